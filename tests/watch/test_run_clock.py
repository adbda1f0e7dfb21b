"""Run time against counting second by second; late news, the hour meter, what is forgotten."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.watch.run_clock import KEPT, RunClock

HOUR = 3600.0


def clock(*seen: tuple[float, bool]) -> RunClock:
    made = RunClock()
    for hours, running in seen:
        made = made.see(hours * HOUR, running, exact=True)
    return made


def test_starts_and_stops_are_counted() -> None:
    made = clock((0, True), (10, False), (12, True), (15, False))
    assert made.ran(20 * HOUR) == 13 * HOUR
    assert (made.running, made.starts, made.since) == (False, 2, 15 * HOUR)


def test_a_pump_still_running_counts_on() -> None:
    assert clock((0, True)).ran(5 * HOUR) == 5 * HOUR


def test_nothing_known_is_nothing_counted() -> None:
    assert RunClock().ran(1e9) == 0.0
    assert RunClock().running is None
    assert RunClock().since is None


def test_a_change_seen_by_a_gauge_is_put_halfway() -> None:
    made = clock((0, True), (1, True)).see(5 * HOUR, False, exact=False)
    assert made.ran(9 * HOUR) == 3 * HOUR  # running at 1 h, standing at 5 h


# Hours at which it was switched, rising; it is looked at again between them.
_TIMES = st.lists(st.integers(1, 400), min_size=1, max_size=30, unique=True).map(sorted)


@given(times=_TIMES, first=st.booleans(), at=st.integers(0, 500))
def test_as_counted_hour_by_hour(times: list[int], first: bool, at: int) -> None:
    made, state, states = clock((0, first)), first, []
    for hour in range(501):
        if hour in times:
            state = not state
            made = made.see(hour * HOUR, state, exact=True)
        states.append(state)
    assert made.ran(at * HOUR) == pytest.approx(HOUR * sum(states[:at]))


@given(times=_TIMES, late=st.integers(0, 29), first=st.booleans())
def test_one_record_that_comes_late_changes_nothing(
    times: list[int], late: int, first: bool
) -> None:
    rows = [(hour, first ^ (n % 2 == 0)) for n, hour in enumerate(times)]
    missing = rows[late % len(rows)]
    end = (450, rows[-1][1])
    whole = clock((0, first), *rows, end)
    gapped = clock((0, first), *[row for row in rows if row != missing], end)
    after = gapped.see(missing[0] * HOUR, missing[1], exact=True)
    assert after.ran(450 * HOUR) == pytest.approx(whole.ran(450 * HOUR))


def test_late_news_that_contradicts_is_put_between() -> None:
    seen = clock((0, True)).see(10 * HOUR, True, exact=False)
    made = seen.see(4 * HOUR, False, exact=True)
    assert made.running is True
    assert made.ran(10 * HOUR) == pytest.approx((4 + 3) * HOUR)  # stood from 4 h, back at 7 h
    assert seen.see(4 * HOUR, False, exact=False) == seen  # a gauge read late tells nothing new


@given(st.integers(KEPT, 3 * KEPT))
def test_it_forgets_marks_but_no_time(count: int) -> None:
    made = clock(*[(n, n % 2 == 0) for n in range(count)])
    assert len(made.marks) <= KEPT
    on = sum(1 for n in range(count - 1) if n % 2 == 0)
    assert made.ran((count - 1) * HOUR) == pytest.approx(on * HOUR)
    assert made.starts == (count + 1) // 2


def test_the_meter_is_believed_between_its_readings() -> None:
    made = clock((0, True)).read_meter("a", 0.0, 1000 * HOUR)
    made = made.see(100 * HOUR, True, exact=False).read_meter("b", 100 * HOUR, 1080 * HOUR)
    assert made.ran(100 * HOUR) == pytest.approx(80 * HOUR)
    assert made.ran(110 * HOUR) == pytest.approx(90 * HOUR)


@pytest.mark.parametrize("value", [900.0, 5000.0], ids=["exchanged", "miswritten"])
def test_a_jump_of_the_meter_is_not_followed(value: float) -> None:
    made = clock((0, True)).read_meter("a", 0.0, 1000 * HOUR)
    made = made.read_meter("b", 100 * HOUR, value * HOUR)
    assert made.ran(100 * HOUR) == pytest.approx(100 * HOUR)


def test_a_corrected_meter_is_counted_anew() -> None:
    made = clock((0, True)).read_meter("a", 0.0, 1000 * HOUR)
    made = made.read_meter("b", 100 * HOUR, 1008 * HOUR)
    assert made.ran(100 * HOUR) == pytest.approx(8 * HOUR)
    right = made.correct_meter("b", 1080 * HOUR)
    assert right.ran(100 * HOUR) == pytest.approx(80 * HOUR)
    assert made.correct_meter("b", None).ran(100 * HOUR) == pytest.approx(100 * HOUR)
    assert made.correct_meter("a", 0.0) == made
    assert right.read_meter("c", 50 * HOUR, 0.0) == right  # an old one, sent late


@given(times=_TIMES, first=st.booleans())
def test_it_comes_back_from_json(times: list[int], first: bool) -> None:
    made = clock((0, first)).read_meter("m", HOUR, 5.0)
    for n, hour in enumerate(times):
        made = made.see(hour * HOUR, n % 2 == 0, exact=n % 3 == 0)
    assert RunClock.from_json(json.loads(json.dumps(made.to_json()))) == made
