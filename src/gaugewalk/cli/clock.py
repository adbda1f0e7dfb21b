"""The time at the door: the only place of the command line that looks at a clock."""

from datetime import UTC, datetime


def now() -> datetime:
    """Return the time now."""
    return datetime.now(UTC)
