"""The clock of the computer is set back: nothing is lost from sight, and it is told."""

from datetime import timedelta

import pytest

from tests.watch.conftest import *  # noqa: F403  # its fixtures
from tests.watch.watch_day import Day


def test_what_was_written_before_and_after_is_all_handed_over(day: Day) -> None:
    day.watch.event("C1A", "stopped", who="r. vale", now=day.at(1.0))
    day.watch.event("C1A", "started", who="r. vale", now=day.at(2.0))
    day.watch.event("C1B", "started", who="r. vale", now=day.at(0.5))  # an hour and a half back
    changes = day.watch.this_watch(day.at(0.6)).changes
    assert [(e.kind, e.tag) for e in changes] == [
        ("note", None),
        ("event", "C1B"),
        ("event", "C1A"),
        ("event", "C1A"),
    ]
    text = day.watch.handover_text(day.at(0.7))
    assert "The clock here went back from 08:00 to 06:30" in text
    assert day.watch.journal.verify().ok


def test_it_is_told_once_for_each_time_that_it_goes_back(day: Day) -> None:
    for hours in (5.0, 5.1, 3.0, 3.1, 3.2, 1.0, 1.0, 6.0):
        day.read(hours, "3.1")
    notes = [entry for entry in day.watch.journal.entries() if entry.kind == "note"]
    assert [note.who for note in notes] == ["Gaugewalk"] * 2
    assert "from 11:06 to 09:00" in notes[0].body["text"]


@pytest.mark.parametrize("seconds", [1, 30, 119])
def test_two_computers_may_differ_a_little(day: Day, seconds: int) -> None:
    day.read(1, "3.1")
    now = day.at(1) - timedelta(seconds=seconds)
    day.read(1, "3.1", "suction_pressure", now=now, seen_at=now)
    assert [entry.kind for entry in day.watch.journal.entries()] == ["reading", "reading"]


def test_readings_after_it_are_judged_and_the_rebuild_gives_the_same(day: Day) -> None:
    for hours in (5.0, 6.0, 2.0, 3.0):
        assert day.read(hours, "3.1").verdict.severity.value == "normal"
    assert day.read(3.5, "1.0").trouble_id is not None
    states = day.watch.journal.load_states("")
    day.watch.rebuild()
    assert day.watch.journal.load_states("") == states


def test_a_clock_far_ahead_is_not_told_for_ever(day: Day) -> None:
    day.watch.event("C1A", "stopped", who="r. vale", now=day.at(24 * 365))
    for hours in range(0, 24 * 40, 24):
        day.watch.event("C1A", "started", who="r. vale", now=day.at(float(hours)))
    changes = day.watch.this_watch(day.at(24 * 39 + 1.0)).changes
    assert len([e for e in changes if e.kind == "event"]) == 1
