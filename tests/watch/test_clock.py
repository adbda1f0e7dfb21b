from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from gaugewalk.plant.pump import Plant
from gaugewalk.watch.clock import round_due, shift_end, shift_start

LONDON = ZoneInfo("Europe/London")
HOUR = timedelta(hours=1)


def plant(hours: int = 8, first: str = "06:00") -> Plant:
    return Plant(name="Test House", time_zone="Europe/London", shift_hours=hours, first_shift=first)


def wall(text: str, fold: int = 0) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=LONDON, fold=fold)


@pytest.mark.parametrize(
    ("hours", "first", "now", "start", "end"),
    [
        (8, "06:00", "2025-11-03T06:00", "2025-11-03T06:00", "2025-11-03T14:00"),
        (8, "06:00", "2025-11-03T05:59", "2025-11-02T22:00", "2025-11-03T06:00"),
        (8, "06:00", "2025-11-03T23:30", "2025-11-03T22:00", "2025-11-04T06:00"),
        (12, "07:00", "2025-11-03T02:00", "2025-11-02T19:00", "2025-11-03T07:00"),
        (12, "18:30", "2025-11-03T02:00", "2025-11-02T18:30", "2025-11-03T06:30"),
    ],
)
def test_shifts_run_over_midnight(hours: int, first: str, now: str, start: str, end: str) -> None:
    assert shift_start(plant(hours, first), wall(now)) == wall(start)
    assert shift_end(plant(hours, first), wall(now)) == wall(end)


def test_the_night_of_the_autumn_change_is_an_hour_longer() -> None:
    # In 2025 the clocks in London went back on 26 October at 02:00 summer time.
    for fold in (0, 1):
        now = wall("2025-10-26T01:30", fold)
        assert shift_start(plant(), now) == wall("2025-10-25T22:00")
        assert shift_end(plant(), now) - shift_start(plant(), now) == 9 * HOUR


def test_shifts_follow_each_other_without_gap_through_a_year() -> None:
    now = datetime(2025, 1, 1, tzinfo=UTC)
    while now < datetime(2026, 1, 1, tzinfo=UTC):
        end = shift_end(plant(), now)
        assert shift_start(plant(), end) == end
        assert shift_start(plant(), now) <= now < end
        now += 5 * HOUR


def test_a_round_never_walked_is_due_since_its_slot_began() -> None:
    now = wall("2025-11-03T11:00")
    assert round_due(plant(), 4 * 3600, None, now) == wall("2025-11-03T10:00")


@pytest.mark.parametrize(
    ("last", "due"),
    [
        ("2025-11-03T10:05", "2025-11-03T14:00"),  # walked in its slot
        ("2025-11-03T09:10", "2025-11-03T14:00"),  # a little early
        ("2025-11-03T08:50", "2025-11-03T10:00"),  # that was the one before
        ("2025-11-02T22:00", "2025-11-03T10:00"),  # missed altogether
    ],
)
def test_a_round_is_due_slot_by_slot(last: str, due: str) -> None:
    now = wall("2025-11-03T11:00")
    assert round_due(plant(), 4 * 3600, wall(last), now) == wall(due)


def test_a_round_walked_early_is_next_due_one_slot_on() -> None:
    now = wall("2025-11-03T13:30")
    assert round_due(plant(), 4 * 3600, wall("2025-11-03T13:20"), now) == wall("2025-11-03T18:00")


def test_a_weekly_round_is_due_a_week_after_the_last() -> None:
    now, week = wall("2025-11-03T11:00"), 7 * 24 * 3600
    assert round_due(plant(), week, wall("2025-11-01T09:00"), now) == wall("2025-11-08T09:00")
    assert round_due(plant(), week, None, now) == now
