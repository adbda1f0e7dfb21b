"""Readings of months at a glance: of each only what a trend needs.

A reading carries its whole verdict. Over months that is millions of characters, which the database
itself reads faster than we can; so only the few parts that are asked for leave it.
"""

import json
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import sqlalchemy as sa

from gaugewalk.journal.dialect import json_parts
from gaugewalk.journal.entry import Entry
from gaugewalk.journal.reading import by_ids, corrected, corrections_of
from gaugewalk.journal.rows import from_micros, to_micros
from gaugewalk.journal.schema import entries

_PARTS = (("verdict", "severity"), ("verdict", "plausible"), ("context",))
_COLUMNS = (
    entries.c.id,
    entries.c.point,
    entries.c.value,
    entries.c.low,
    entries.c.high,
    entries.c.seen_at,
)


@dataclass(frozen=True, slots=True)
class Glimpse:
    """A reading as it stands: SI, the word about it, what its pump's other points showed."""

    point: str
    value: float
    low: float | None
    high: float | None
    seen_at: datetime
    severity: str | None
    plausible: bool
    context: Mapping[str, float]


def glimpses(
    connection: sa.Connection,
    tag: str,
    span: tuple[datetime, datetime],
    points: Collection[str] | None = None,
) -> list[Glimpse]:
    """Return a pump's readings of a span in the order seen; corrected ones as corrected."""
    since, until = (to_micros(moment) for moment in span)
    query = sa.select(*_COLUMNS, json_parts(connection, entries.c.body, *_PARTS)).where(
        entries.c.tag == tag,
        entries.c.seen_at >= since,
        entries.c.seen_at <= until,
        entries.c.kind == "reading",
    )
    if points is not None:
        query = query.where(entries.c.point.in_(list(points)))
    corrections = corrections_of(connection, tag)
    originals = by_ids(connection, corrections)
    found = []
    for row in connection.execute(query.order_by(entries.c.seen_at, entries.c.seq)):
        if row[0] in corrections:
            entry = corrected(originals[row[0]], corrections)
            found += [] if entry is None else [_of_entry(entry)]
        else:
            found.append(_of_row(row))
    return found


def _of_row(row: Any) -> Glimpse:
    _, point, value, low, high, seen_at, parts = row
    severity, plausible, context = json.loads(parts)
    return Glimpse(
        point, value or 0.0, low, high, from_micros(seen_at),
        severity, plausible in (None, True), context or {},
    )  # fmt: skip


def _of_entry(entry: Entry) -> Glimpse:
    verdict = entry.body.get("verdict", {})
    return Glimpse(
        str(entry.point), float(entry.value or 0.0), entry.low, entry.high, entry.seen_at,
        verdict.get("severity"), bool(verdict.get("plausible", True)),
        entry.body.get("context", {}),
    )  # fmt: skip
