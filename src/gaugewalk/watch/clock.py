"""Shifts and the times at which rounds fall due, by the clock on the plant's wall."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from gaugewalk.plant.pump import Plant

_EARLY = 0.25  # a round begun in the last quarter of a slot is the next slot's round


def shift_start(plant: Plant, now: datetime) -> datetime:
    """Return when the shift that is on at `now` began, in UTC.

    Shifts begin at wall-clock times, so that a shift over the change of the clocks is an hour
    longer or shorter.

    Examples
    --------
    >>> plant = Plant(name="Hill", time_zone="Europe/Paris", shift_hours=8)
    >>> shift_start(plant, datetime(2025, 7, 1, 3, 30, tzinfo=UTC)).isoformat()
    '2025-06-30T20:00:00+00:00'
    """
    return max(start for start in _starts(plant, now) if start <= now)


def shift_end(plant: Plant, now: datetime) -> datetime:
    """Return when the shift that is on at `now` ends, in UTC."""
    return min(start for start in _starts(plant, now) if start > now)


def _starts(plant: Plant, now: datetime) -> list[datetime]:
    zone = ZoneInfo(plant.time_zone)
    today = now.astimezone(zone).date()
    first = time.fromisoformat(plant.first_shift)
    count = max(1, 24 // plant.shift_hours)
    hours = (first.hour + n * plant.shift_hours for n in range(count))
    clock = [(hour // 24, time(hour % 24, first.minute)) for hour in hours]
    days = [today + timedelta(days=shift) for shift in (-2, -1, 0, 1, 2)]
    return [_at(day + timedelta(days=over), at, zone) for day in days for over, at in clock]


def _at(day: date, at: time, zone: ZoneInfo) -> datetime:
    return datetime.combine(day, at, zone).astimezone(UTC)


def round_due(plant: Plant, every: float, last: datetime | None, now: datetime) -> datetime:
    """Return when a round is next due, or since when it is.

    Rounds fall due at the day's first shift and every `every` [s] after it. A round that is
    walked less often than daily falls due that long after the last one.

    Examples
    --------
    >>> plant = Plant(name="Hill", first_shift="06:00")
    >>> six, nine, eleven = (datetime(2025, 7, 1, hour, tzinfo=UTC) for hour in (6, 9, 11))
    >>> [round_due(plant, 4 * 3600.0, six, now).hour for now in (nine, eleven)]
    [10, 10]
    """
    span = timedelta(seconds=every)
    if span > timedelta(days=1):
        return now if last is None else last + span
    anchor = _first_shift(plant, now)
    slot = anchor + (now - anchor) // span * span
    if last is not None and last >= slot - _EARLY * span:
        return slot + span if last < slot + (1 - _EARLY) * span else slot + 2 * span
    return slot


def _first_shift(plant: Plant, now: datetime) -> datetime:
    zone = ZoneInfo(plant.time_zone)
    first = time.fromisoformat(plant.first_shift)
    today = now.astimezone(zone).date()
    candidates = (_at(today - timedelta(days=back), first, zone) for back in (0, 1))
    return next(start for start in candidates if start <= now)
