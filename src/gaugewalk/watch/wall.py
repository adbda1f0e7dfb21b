"""Times as the clock on the plant's wall shows them, read and written so that none is meant twice.

When the clocks go back an hour comes twice: there the name of the time stands behind it. When they
go forward an hour never is.
"""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from gaugewalk.errors import ArgumentError


def clock(moment: datetime, zone: ZoneInfo, *, beside: datetime | None = None) -> str:
    """Write a time of day, with its date where it is another day than `beside`.

    Examples
    --------
    >>> paris, night = ZoneInfo("Europe/Paris"), datetime(2025, 10, 26, tzinfo=UTC)
    >>> [clock(night.replace(hour=hour), paris) for hour in (0, 1, 9)]
    ['02:00 CEST', '02:00 CET', '10:00']
    >>> clock(night.replace(hour=9), paris, beside=datetime(2025, 10, 27, 9, tzinfo=UTC))
    'Sun 26 Oct 10:00'
    """
    local = moment.astimezone(zone)
    text = f"{local:%H:%M}{name_of_hour(local)}"
    if beside is None or local.date() == beside.astimezone(zone).date():
        return text
    return f"{day(moment, zone)} {text}"


def day(moment: datetime, zone: ZoneInfo) -> str:
    """Write the day of a moment."""
    local = moment.astimezone(zone)
    return f"{local:%a} {local.day} {local:%b}"


def stamp_of(moment: datetime, zone: ZoneInfo) -> str:
    """Write day, year and time.

    Examples
    --------
    >>> stamp_of(datetime(2025, 11, 3, 6, 0, tzinfo=UTC), ZoneInfo("Europe/London"))
    'Mon 3 Nov 2025 06:00'
    """
    local = moment.astimezone(zone)
    return f"{day(moment, zone)} {local:%Y} {clock(moment, zone)}"


def exact(moment: datetime, zone: ZoneInfo) -> str:
    """Write a time for a machine: local, with its distance from UTC, whole seconds.

    Examples
    --------
    >>> exact(datetime(2025, 10, 26, 1, 30, tzinfo=UTC), ZoneInfo("Europe/Paris"))
    '2025-10-26T02:30:00+01:00'
    """
    return moment.astimezone(zone).isoformat(timespec="seconds")


def name_of_hour(local: datetime) -> str:
    """Return the name of the time behind a blank where this hour comes twice, else nothing."""
    if not _twice(local):
        return ""
    name = local.tzname() or ""
    return f" UTC{name}" if name[:1] in "+-" else f" {name}"


def read_time(text: str, zone: ZoneInfo) -> datetime:
    """Read a time; one without its zone is the plant's own.

    Raises
    ------
    ArgumentError
        It is no ISO 8601 time, or it is one that the plant's clock shows twice or never.

    Examples
    --------
    >>> read_time("2025-07-01 06:40", ZoneInfo("Europe/Paris")).isoformat()
    '2025-07-01T06:40:00+02:00'
    """
    try:
        read = datetime.fromisoformat(text.strip())
    except ValueError as error:
        raise ArgumentError(
            f"time = {text[:40]!r}; expected a time as in 2025-11-03 06:40 or 2025-11-03T06:40Z."
        ) from error
    if read.tzinfo:
        return read
    local = read.replace(tzinfo=zone)
    if _twice(local):
        ways = " or ".join(exact(local.replace(fold=fold), zone) for fold in (0, 1))
        raise ArgumentError(f"time = {text!r} comes twice that night; write {ways}.")
    if local.astimezone(UTC).astimezone(zone).replace(tzinfo=None) != read:
        raise ArgumentError(
            f"time = {text!r} never was: the clocks went forward over it. Write the time that the "
            "clock showed, or add its distance from UTC."
        )
    return local


def _twice(local: datetime) -> bool:
    first, second = (local.replace(fold=fold).utcoffset() for fold in (0, 1))
    return first is not None and second is not None and first > second
