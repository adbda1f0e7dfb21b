"""Entries as they come from a round, for the tests of the journal."""

from datetime import UTC, datetime, timedelta
from typing import Any

from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ids import new_id
from gaugewalk.journal.store import Journal

START = datetime(2025, 11, 3, 6, 0, tzinfo=UTC)
LATER = START + timedelta(hours=8)


def reading(minutes: float = 0, *, value: float = 31.0, **other: Any) -> Entry:
    seen = START + timedelta(minutes=minutes)
    fields: dict[str, Any] = {
        "id": new_id(seen),
        "kind": "reading",
        "tag": "P-101",
        "point": "motor_current",
        "value": value,
        "quantity": "current",
        "unit": "A",
        "entered": f"{value:g} A",
        "who": "r. vale",
        "seen_at": seen,
    }
    return Entry(**(fields | other))


def correction(of: Entry, minutes: float, value: float | None, **body: Any) -> Entry:
    return Entry(
        id=new_id(START + timedelta(minutes=minutes)),
        kind="correction",
        tag=of.tag,
        point=of.point,
        value=value,
        quantity=of.quantity,
        unit=of.unit,
        entered=None if value is None else f"{value:g} A",
        who="s. marsh",
        seen_at=START + timedelta(minutes=minutes),
        corrects=of.id,
        body=body,
    )


def put(journal: Journal, *batch: Entry) -> None:
    journal.append(batch, recorded_at=LATER)
