"""The time at the door: the only place of the command line that looks at a clock."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from gaugewalk.errors import ArgumentError


def now() -> datetime:
    """Return the time now."""
    return datetime.now(UTC)


def moment(text: str, zone: ZoneInfo) -> datetime:
    """Read a time; one without its zone is the plant's own.

    Raises
    ------
    ArgumentError
        It is no ISO 8601 time.

    Examples
    --------
    >>> moment("2025-07-01 06:40", ZoneInfo("Europe/Paris")).isoformat()
    '2025-07-01T06:40:00+02:00'
    """
    try:
        read = datetime.fromisoformat(text)
    except ValueError as error:
        raise ArgumentError(
            f"time = {text[:40]!r}; expected a time as in 2025-11-03 06:40 or 2025-11-03T06:40Z."
        ) from error
    return read if read.tzinfo else read.replace(tzinfo=zone)
