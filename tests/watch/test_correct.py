"""A wrong reading gets its right value; both stay, and nothing rests on the wrong one."""

from uuid import UUID

import pytest

from gaugewalk.errors import ArgumentError, ConflictError, NotFoundError
from gaugewalk.journal.ids import new_id
from gaugewalk.judge.severity import Severity

from .watch_day import Day, settle


def last_of(day: Day, hours: float) -> tuple[float | None, Severity]:
    view = day.watch.pump_page("C1A", day.at(hours))
    point = next(p for p in view.points if p.point == "discharge_pressure")
    assert point.last is not None
    return point.last.value, view.severity


def test_the_corrected_value_stands_and_the_first_is_reachable(day: Day) -> None:
    settle(day)
    wrong = day.read(0, "1.3")
    fixed = day.watch.correct(
        wrong.entry.id, "3.1", who="s. marsh", now=day.at(1), why="digits swapped"
    )
    assert fixed.verdict.severity is Severity.NORMAL
    value, severity = last_of(day, 1)
    assert value == fixed.entry.value
    assert severity is Severity.NORMAL
    (stands,) = [
        e for e in day.watch.journal.history("C1A", since=day.at(0)) if e.kind == "reading"
    ]
    assert (stands.id, stands.corrects, stands.seen_at) == (
        fixed.entry.id,
        wrong.entry.id,
        day.at(0),
    )
    assert day.watch.journal.get(wrong.entry.id) == wrong.entry


def test_a_trouble_that_rested_on_the_wrong_reading_alone_is_gone(day: Day) -> None:
    settle(day)
    wrong = day.read(0, "1.3")
    assert wrong.trouble_id is not None
    day.watch.correct(wrong.entry.id, "3.1", who="s. marsh", now=day.at(0.1))
    assert day.watch.troubles(day.at(0.1)) == ()
    view = day.watch.trouble(wrong.trouble_id, day.at(0.1))
    assert (view.closed_at, view.cause) == (day.at(0.1), "the reading was corrected")


def test_a_trouble_with_more_to_it_stays(day: Day) -> None:
    settle(day)
    wrong = day.read(0, "1.3")
    day.read(0.1, "45 A", point="motor_current")
    day.watch.correct(wrong.entry.id, "3.1", who="s. marsh", now=day.at(0.2))
    assert len(day.watch.troubles(day.at(0.2))) == 1


def test_a_correction_is_judged_as_of_its_time_not_with_what_came_later(day: Day) -> None:
    wrong = day.read(0, "3.5")
    settle_later = [day.read(n, "3.1") for n in range(1, 20)]
    assert settle_later[-1].verdict.rests_on > 0
    fixed = day.watch.correct(wrong.entry.id, "3.2", who="s. marsh", now=day.at(20))
    assert fixed.verdict.rests_on == 0


def test_normal_is_learned_from_the_corrected_value(day: Day) -> None:
    first = [day.read(n, "3.1") for n in range(12)]
    before = day.watch.journal.load_state("point/C1A/discharge_pressure")
    day.watch.correct(first[3].entry.id, "3.2", who="s. marsh", now=day.at(13))
    after = day.watch.journal.load_state("point/C1A/discharge_pressure")
    assert before is not None
    assert after is not None
    changed = [
        (a, b)
        for a, b in zip(before["state"]["samples"], after["state"]["samples"], strict=True)
        if a != b
    ]
    assert len(changed) == 1
    assert changed[0][1][1] - changed[0][0][1] == pytest.approx(0.1e5)


def test_a_correction_may_be_corrected_again(day: Day) -> None:
    wrong = day.read(0, "1.3")
    second = day.watch.correct(wrong.entry.id, "2.9", who="s. marsh", now=day.at(1))
    third = day.watch.correct(second.entry.id, "3.1", who="s. marsh", now=day.at(2))
    assert third.entry.corrects == wrong.entry.id
    assert last_of(day, 2)[0] == third.entry.value


def test_a_correction_sent_twice_is_one(day: Day) -> None:
    wrong = day.read(0, "1.3")
    sent = {"who": "s. marsh", "id": new_id(day.at(1)), "now": day.at(1)}
    first = day.watch.correct(wrong.entry.id, "3.1", **sent)
    count = day.watch.journal.last_seq()
    assert day.watch.correct(wrong.entry.id, "3.1", **sent).entry == first.entry
    assert day.watch.journal.last_seq() == count


def test_a_withdrawn_reading_gives_its_place_to_the_one_before(day: Day) -> None:
    settle(day)
    good = day.read(0, "3.12")
    other_pump = day.read(1, "1.2")
    day.watch.withdraw(other_pump.entry.id, why="that was S3", who="r. vale", now=day.at(1.1))
    value, severity = last_of(day, 1.2)
    assert value == good.entry.value
    assert severity is Severity.NORMAL
    assert day.watch.troubles(day.at(1.2)) == ()
    with pytest.raises(ArgumentError, match="why"):
        day.watch.withdraw(good.entry.id, why="", who="r. vale", now=day.at(2))


def test_only_readings_that_exist_are_corrected(day: Day) -> None:
    note = day.watch.note("C1A", "wet floor", who="r. vale", now=day.at(0))
    with pytest.raises(ConflictError, match="only readings"):
        day.watch.correct(note.id, "3.1", who="r. vale", now=day.at(0))
    with pytest.raises(NotFoundError):
        day.watch.correct(UUID(int=7), "3.1", who="r. vale", now=day.at(0))
