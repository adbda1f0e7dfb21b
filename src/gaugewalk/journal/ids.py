"""Record ids, made where the thing was seen, so that a record sent twice is still one record."""

import secrets
from datetime import datetime
from uuid import UUID

from gaugewalk.errors import ArgumentError


def new_id(now: datetime) -> UUID:
    """Make a version 7 UUID: ids made later sort later, to the millisecond.

    Parameters
    ----------
    now : datetime
        The time at which the record is made, with its time zone.

    Returns
    -------
    UUID
        48 bits of Unix time in milliseconds and 74 random bits.

    Raises
    ------
    ArgumentError
        When `now` has no time zone.

    References
    ----------
    .. [1] RFC 9562 (2024), section 5.7, UUID version 7.

    Examples
    --------
    >>> from datetime import UTC
    >>> made = new_id(datetime(2022, 2, 22, 19, 22, 22, tzinfo=UTC))
    >>> str(made)[:15], made.version
    ('017f22e2-79b0-7', 7)
    """
    if now.tzinfo is None:
        raise ArgumentError(f"now = {now.isoformat()} has no time zone; give an aware datetime.")
    milliseconds = int(now.timestamp() * 1000) & (1 << 48) - 1
    low, high = secrets.randbits(62), secrets.randbits(12)
    return UUID(int=milliseconds << 80 | 7 << 76 | high << 64 | 2 << 62 | low)
