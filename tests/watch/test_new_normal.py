"""A lasting change becomes a pump's own normal when somebody who may says so, with a reason."""

import pytest

from gaugewalk.errors import ArgumentError, ConflictError
from gaugewalk.journal.ids import new_id
from gaugewalk.judge.severity import Severity

from .watch_day import Day, settle

KEY = "point/C1A/discharge_pressure"


def changed(day: Day, readings: int = 10) -> float:
    """A sound pump, then a quarter of a bar more for good; return the hours passed."""
    settle(day)
    for n in range(readings):
        day.read(6 * n, f"{3.36 + 0.02 * (n % 4):.2f}")
    return 6.0 * readings


def accept(day: Day, hours: float, why: str = "larger impeller fitted", **how: object) -> object:
    return day.watch.program.accept_normal(
        "C1A", "discharge_pressure", why=why, who="s. marsh", now=day.at(hours), **how
    )


def test_what_was_off_is_normal_from_then_on(day: Day) -> None:
    hours = changed(day)
    before = day.read(hours, "3.38").verdict
    assert before.severity is not Severity.NORMAL
    entry = accept(day, hours + 1)
    assert entry.body["why"] == "larger impeller fitted"
    assert "New normal of discharge pressure accepted: its own normal 3." in entry.body["text"]
    after = day.read(hours + 6, "3.40").verdict
    assert after.severity is Severity.NORMAL
    assert after.change == "steady"
    assert after.rests_on == 11
    assert day.read(hours + 12, "2.95").verdict.severity is not Severity.NORMAL


def test_a_rebuild_gives_the_same(day: Day) -> None:
    hours = changed(day)
    accept(day, hours)
    day.read(hours + 6, "3.40")
    stored = day.watch.journal.load_state(KEY)
    day.watch.rebuild()
    assert day.watch.journal.load_state(KEY) == stored


def test_sent_twice_it_is_accepted_once(day: Day) -> None:
    hours = changed(day)
    id = new_id(day.at(hours))
    first = accept(day, hours, id=id, seen_at=day.at(hours))
    last = day.watch.journal.last_seq()
    assert accept(day, hours + 1, id=id, seen_at=day.at(hours)).id == first.id
    assert day.watch.journal.last_seq() == last
    with pytest.raises(ConflictError):
        accept(day, hours + 1, why="another reason", id=id, seen_at=day.at(hours))


def test_what_cannot_be_accepted_is_said(day: Day) -> None:
    with pytest.raises(ArgumentError, match="Discharge pressure of C1A: Nothing is off"):
        accept(day, 0)
    hours = changed(day, readings=5)
    with pytest.raises(ArgumentError, match="Only 5 of the 8 readings"):
        accept(day, hours)
    with pytest.raises(ArgumentError, match="why"):
        accept(day, hours, why=" ")


def test_limits_stand_whatever_is_accepted(day: Day) -> None:
    settle(day)
    for n in range(10):
        taken = day.read(6 * n, f"{1.40 + 0.02 * (n % 4):.2f}")
    limit = taken.verdict.severity
    accept(day, 60)
    after = day.read(66, "1.42").verdict
    assert after.severity is limit
    assert "limit" in after.sentence
