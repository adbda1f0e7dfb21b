"""Between an entry and its row: times as microseconds, the hash that chains row to row."""

import hashlib
import json
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID

import sqlalchemy as sa

from gaugewalk.journal.entry import Entry, canonical

GENESIS = "0" * 64  # what the first entry chains to
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MICROSECOND = timedelta(microseconds=1)


def to_micros(moment: datetime) -> int:
    """Count microseconds since 1970 in UTC, exactly.

    Examples
    --------
    >>> to_micros(datetime(1970, 1, 1, 0, 0, 1, 5, tzinfo=UTC))
    1000005
    """
    return (moment - _EPOCH) // _MICROSECOND


def from_micros(count: int) -> datetime:
    """Return the moment that many microseconds after 1970, in UTC."""
    return _EPOCH + timedelta(microseconds=count)


def chain(previous: str, seq: int, recorded_at: int, content: Mapping[str, Any]) -> str:
    """Hash one entry together with the hash of the entry before it."""
    text = canonical({"content": content, "recorded_at": recorded_at, "seq": seq})
    return hashlib.sha256(f"{previous}\n{text}".encode()).hexdigest()


def to_row(entry: Entry, seq: int, recorded_at: int, previous: str) -> dict[str, Any]:
    """Return the row that stores the entry as number `seq` after the hash `previous`."""
    content = entry.content()
    return content | {
        "seq": seq,
        "seen_at": to_micros(entry.seen_at),
        "recorded_at": recorded_at,
        "body": canonical(content["body"]),
        "hash": chain(previous, seq, recorded_at, content),
    }


def to_entry(row: sa.Row[Any]) -> Entry:
    """Return the entry that a row of the table stores.

    It was checked when it was stored, so that it is put together here without asking again: most
    of the time of a page that shows years would go into that.
    """
    made = object.__new__(Entry)
    columns: Any = row
    seq, id, *plain, seen_at, recorded_at, corrects, body, _ = columns
    put = object.__setattr__
    put(made, "seq", seq)
    put(made, "id", UUID(id))
    for name, value in zip(_PLAIN, plain, strict=True):
        put(made, name, value)
    put(made, "seen_at", from_micros(seen_at))
    put(made, "recorded_at", from_micros(recorded_at))
    put(made, "corrects", UUID(corrects) if corrects else None)
    put(made, "body", json.loads(body))
    return made


# The columns of the table between `id` and `seen_at`, in their order.
_PLAIN = (
    "kind", "tag", "point", "value", "low", "high", "quantity", "unit", "entered", "who",
)  # fmt: skip
