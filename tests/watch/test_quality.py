"""A round's quality is of the round: what is missing, repeated, or quicker than one can walk."""

from collections.abc import Mapping
from datetime import timedelta
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.watch.quality import (
    RoundQuality,
    at_least,
    coverage,
    remarks,
    round_qualities,
)

from .watch_day import Day

POINTS = ("suction_pressure", "discharge_pressure", "motor_current", "leak_off")


def walk(
    day: Day, hours: float, *, vary: int, minutes: float = 3.0, points: tuple[str, ...] = POINTS,
    skip: Mapping[str, str] | None = None,
) -> str:  # fmt: skip
    """Walk the boiler house; `vary` moves every value a little."""
    id = day.watch.start_round("boiler house", who="r. vale", now=day.at(hours)).id
    steady = {"suction_pressure": 0.4, "discharge_pressure": 3.1, "motor_current": 31.0,
              "leak_off": 40.0}  # fmt: skip
    for point in points:
        day.read(hours, f"{steady[point] * (1 + 0.002 * vary):.4g}", point=point, round_id=id)
    for point, why in (skip or {}).items():
        day.watch.skip("C1A", point, why, who="r. vale", now=day.at(hours))
    then = hours + minutes / 60
    day.read(then, f"{3.1 * (1 + 0.002 * vary):.4g}", tag="C1B", round_id=id)
    reason = "" if skip is None else "the lamp failed"
    day.watch.finish_round(id, who="r. vale", now=day.at(then + 0.05), reason=reason)
    return id


def qualities(day: Day, since: float, until: float) -> tuple[RoundQuality, ...]:
    with day.watch.journal.reading() as ledger:
        return round_qualities(day.watch.desk, ledger, day.at(since), day.at(until))


def settled(day: Day) -> None:
    for n in range(8):
        walk(day, -48 + 6 * n, vary=n % 5)


def test_a_whole_round_has_nothing_to_remark(day: Day) -> None:
    settled(day)
    walk(day, 0, vary=9)
    (found,) = qualities(day, -1, 1)
    assert (found.planned, found.taken, found.open, found.copies) == (5, 5, 0, 0)
    assert coverage(found) == "5 of 5 points taken."
    assert remarks(found) == []


def test_what_was_not_taken_is_told_with_its_reason(day: Day) -> None:
    walk(day, 0, vary=0, points=POINTS[:2], skip={"leak_off": "guard in the way"})
    (found,) = qualities(day, -1, 1)
    assert coverage(found) == (
        "3 of 5 points taken; not taken: guard in the way (1), the lamp failed (1)."
    )


def test_a_pump_where_nothing_was_written_is_named(day: Day) -> None:
    day.watch.start_round("boiler house", who="r. vale", now=day.at(0))
    day.read(0.1, "3.1")
    (found,) = qualities(day, -1, 1)
    assert not found.walk.finished
    assert coverage(found) == "1 of 5 points taken; nothing written at C1B (1); 3 open."


def test_the_same_values_again_are_worth_a_second_look(day: Day) -> None:
    for n in range(12):
        walk(day, -96 + 6 * n, vary=n)
    walk(day, 0, vary=11)
    (found,) = qualities(day, -1, 1)
    assert (found.copies, found.compared) == (5, 5)
    assert found.chance < 0.001
    (said,) = remarks(found)
    assert said.startswith("5 of 5 values are the same as the time before, where about 0 usually")


def test_gauges_that_always_show_the_same_are_no_matter(day: Day) -> None:
    for n in range(12):
        walk(day, -96 + 6 * n, vary=0)
    walk(day, 0, vary=0)
    (found,) = qualities(day, -1, 1)
    assert found.copies == 5
    assert found.chance > 0.5
    assert remarks(found) == []


def test_a_way_quicker_than_ever_walked_is_told_kindly(day: Day) -> None:
    settled(day)
    walk(day, 0, vary=9, minutes=0.2)
    (found,) = qualities(day, -1, 1)
    assert [(leg.start, leg.end, leg.usual) for leg in found.quick] == [("C1A", "C1B", 180.0)]
    assert remarks(found) == [
        "From C1A to C1B in 12 s, usually 3 min: perhaps the time of writing."
    ]


def test_no_name_is_in_it(day: Day) -> None:
    settled(day)
    walk(day, 0, vary=9, minutes=0.1)
    assert "vale" not in repr(qualities(day, -60, 1))


def test_a_round_over_the_change_of_shift_belongs_to_both(day: Day) -> None:
    walk(day, 7.9, vary=0, minutes=30)  # the shift changes at 8 h
    assert len(qualities(day, 0, 8)) == len(qualities(day, 8, 16)) == 1


def test_a_round_nobody_finished_ends_where_the_next_begins(day: Day) -> None:
    day.watch.start_round("boiler house", who="r. vale", now=day.at(0))
    day.read(0.1, "3.1")
    walk(day, 5, vary=1)
    first, second = qualities(day, -1, 6)
    assert day.at(4.9) < first.walk.until < second.walk.begun_at
    assert (first.taken, second.taken) == (1, 5)


@given(st.lists(st.floats(0, 1), max_size=7), st.integers(0, 8))
def test_chance_of_repeats_is_that_of_counting_every_way(shares: list[float], count: int) -> None:
    whole = 0.0
    for size in range(count, len(shares) + 1):
        for chosen in combinations(range(len(shares)), size):
            term = 1.0
            for n, share in enumerate(shares):
                term *= share if n in chosen else 1.0 - share
            whole += term
    assert at_least(count, shares) == pytest.approx(whole, abs=1e-12)


def test_the_clock_of_the_wall_has_no_say_in_how_long_a_way_took(day: Day) -> None:
    """Over the hour that comes twice (26 October 2025, 01:00 UTC in London) nothing is quick."""
    start = -24 * 8 - 6 + 1.0  # an hour after midnight UTC of that Sunday
    for n in range(8):
        walk(day, start - 48 + 6 * n, vary=n)
    walk(day, start, vary=9)
    found = qualities(day, start - 0.1, start + 1)[-1]
    assert found.walk.begun_at + timedelta(minutes=3) < found.walk.until
    assert found.quick == ()
