"""Take a reading: read what was typed, judge it, store it, open a trouble where it asks for one."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from gaugewalk.journal.entry import Entry
from gaugewalk.judge.limits import limits_of
from gaugewalk.judge.severity import Severity
from gaugewalk.judge.verdict import Verdict
from gaugewalk.plant.points import point_kind
from gaugewalk.plant.pump import Pump
from gaugewalk.units import Quantity, parse
from gaugewalk.watch.desk import Desk, unit_of
from gaugewalk.watch.remembered import fold
from gaugewalk.watch.sitting import Sitting, sitting
from gaugewalk.watch.stamp import Stamp, sent_before
from gaugewalk.watch.steps import follow_reading


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """A reading as stored, the word about it, and the trouble that it belongs to."""

    entry: Entry
    verdict: Verdict
    trouble_id: str | None


def read_text(desk: Desk, tag: str, point: str, text: str, unit: str | None = None) -> Quantity:
    """Read what was typed for a point of a pump; a bare number is in the point's own unit.

    Raises
    ------
    UnitError
        The text cannot be read; the message says what to write.
    NotFoundError
        There is no such pump or observation point.
    """
    pump, kind = desk.pump(tag), point_kind(point)
    default = unit or unit_of(pump, point)
    return parse(text, kind.kinds, default_unit=default, barometric=desk.barometric)


def take_reading(
    desk: Desk, tag: str, point: str, quantity: Quantity, by: Stamp, *, round_id: str | None = None
) -> Judged:
    """Judge and store one reading; what is odd is stored with its word, never refused."""
    with sitting(desk, by.now) as work:
        return take_into(work, tag, point, quantity, by, round_id=round_id)


def take_into(
    work: Sitting,
    tag: str,
    point: str,
    quantity: Quantity,
    by: Stamp,
    *,
    round_id: str | None = None,
) -> Judged:
    """Judge a reading and take it, with what follows from it, into the work in hand."""
    body = {"round": round_id} if round_id else {}
    draft = by.entry("reading", body, tag=tag, point=point, **measured(quantity))
    known = None if by.made_here else sent_before(work.ledger, draft)
    work.fetch(tag, point)
    if known is not None:
        trouble = work.board(tag).trouble
        return Judged(
            entry=known, verdict=verdict_in(known), trouble_id=trouble.id if trouble else None
        )
    pump = work.desk.pump(tag)
    context = work.context(tag, point, by.seen_at)
    verdict, remembered = fold(
        work.remembered(tag, point),
        pump,
        point,
        quantity,
        seen_at=by.seen_at,
        context=context,
        barometric=work.desk.barometric,
    )
    work.remember(tag, point, remembered)
    grounds = judged_body(pump, verdict, context)
    entry = by.entry("reading", {**body, **grounds}, tag=tag, point=point, **measured(quantity))
    trouble = follow_reading(work, work.add(entry), by)
    return Judged(entry=entry, verdict=verdict, trouble_id=trouble.id if trouble else None)


def measured(quantity: Quantity) -> dict[str, Any]:
    """Return the fields of an entry that hold what was read."""
    return {
        "value": quantity.value,
        "low": quantity.low,
        "high": quantity.high,
        "quantity": quantity.kind,
        "unit": quantity.unit,
        "entered": quantity.entered,
    }


def judged_body(pump: Pump, verdict: Verdict, context: Mapping[str, float]) -> dict[str, Any]:
    """Return the word about a reading with everything it rests on, as it was at the time."""
    limits = limits_of(pump, verdict.point)
    return {
        "verdict": dict(verdict.to_json()),
        "context": dict(context),
        "limits": [[x.severity.value, x.side, x.value, x.source] for x in limits],
    }


def verdict_in(entry: Entry) -> Verdict:
    """Return the verdict that was stored with a reading."""
    stored = dict(entry.body["verdict"])
    band = stored["band"]
    sides = (float("-inf"), float("inf"))
    since = stored["since"]
    return Verdict(
        **{
            **stored,
            "severity": Severity(stored["severity"]),
            "band": tuple(s if x is None else x for x, s in zip(band, sides, strict=True))
            if band
            else None,
            "since": datetime.fromisoformat(since) if since else None,
            "reasons": tuple(stored["reasons"]),
        }
    )
