"""Correct or withdraw a reading: a new record takes its place, and both stay."""

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any
from uuid import UUID

from gaugewalk.errors import ConflictError
from gaugewalk.journal.entry import Entry
from gaugewalk.judge.severity import Severity
from gaugewalk.watch.board import Last, iso
from gaugewalk.watch.desk import Desk, worded
from gaugewalk.watch.remembered import BEGINNING, Remembered, fold, refold
from gaugewalk.watch.sitting import Sitting, sitting
from gaugewalk.watch.stamp import Stamp, sent_before
from gaugewalk.watch.steps import drop_if_founded_on
from gaugewalk.watch.take import Judged, judged_body, measured, read_text, verdict_in


def correct(desk: Desk, entry_id: UUID, text: str, by: Stamp, *, why: str = "") -> Judged:
    """Put another value in the place of a reading; the first stays reachable.

    The new value is judged as of the time when the reading was seen.

    Raises
    ------
    ConflictError
        The entry is no reading.
    """
    with sitting(desk, by.now) as work:
        reading = _reading(work, entry_id)
        tag, point = str(reading.tag), str(reading.point)
        quantity = read_text(desk, tag, point, text, reading.unit)
        draft = _correction(by, reading, {"why": why}, **measured(quantity))
        known = sent_before(work.ledger, draft)
        if known is not None:
            return Judged(entry=known, verdict=verdict_in(known), trouble_id=None)
        context = dict(reading.body.get("context", {}))
        verdict, _ = fold(
            _as_of(work, reading),
            desk.pump(tag),
            point,
            quantity,
            seen_at=reading.seen_at,
            context=context,
            barometric=desk.barometric,
        )
        grounds = judged_body(desk.pump(tag), verdict, context)
        body = {"why": why, **grounds}
        entry = work.add(_correction(by, reading, body, **measured(quantity)))
        _remake(work, reading, by)
        trouble = work.board(tag).trouble
        return Judged(entry=entry, verdict=verdict, trouble_id=trouble.id if trouble else None)


def withdraw(desk: Desk, entry_id: UUID, by: Stamp, *, why: str) -> Entry:
    """Take a reading back, for example one entered at the wrong pump; it stays reachable."""
    with sitting(desk, by.now) as work:
        reading = _reading(work, entry_id)
        body: dict[str, Any] = {"withdrawn": True, "why": worded("why", why, longest=200)}
        known = sent_before(work.ledger, _correction(by, reading, body))
        if known is not None:
            return known
        before = _before(work, reading)
        body["before"] = asdict(before) if before else None
        entry = work.add(_correction(by, reading, body))
        _remake(work, reading, by)
        return entry


def _reading(work: Sitting, entry_id: UUID) -> Entry:
    """Return the reading, also when it is named by one of its corrections."""
    entry = work.ledger.get(entry_id)
    while entry.corrects is not None:
        entry = work.ledger.get(entry.corrects)
    if entry.kind != "reading":
        raise ConflictError(f"Entry {entry_id} is a {entry.kind}; only readings are corrected.")
    return entry


def _correction(by: Stamp, reading: Entry, body: Mapping[str, Any], **fields: Any) -> Entry:
    return by.entry(
        "correction", body, tag=reading.tag, point=reading.point, corrects=reading.id, **fields
    )


def _as_of(work: Sitting, reading: Entry) -> Remembered:
    """Return what was remembered of the point before this reading, from its own past alone."""
    return refold(
        work.ledger,
        work.desk.as_filed(str(reading.tag)),
        str(reading.point),
        work.desk.barometric,
        before=reading.seq,
    )


def _before(work: Sitting, reading: Entry) -> Last | None:
    """Return the reading that stands when this one is withdrawn."""
    rows = work.ledger.history(
        str(reading.tag), since=BEGINNING, points=[str(reading.point)], kinds=["reading"]
    )
    others = [row for row in rows if reading.id not in (row.id, row.corrects)]
    if not others:
        return None
    row = others[-1]
    verdict = row.body["verdict"]
    return Last(
        id=str(row.corrects or row.id),
        seen_at=iso(row.seen_at),
        value=float(row.value or 0.0),
        severity=verdict["severity"],
        sentence=verdict["sentence"],
        plausible=verdict["plausible"],
        uneasy=int(verdict["severity"] != Severity.NORMAL),
    )


def _remake(work: Sitting, reading: Entry, by: Stamp) -> None:
    """Make the point's state anew and drop a trouble that had only this reading to stand on."""
    tag, point = str(reading.tag), str(reading.point)
    work.flush()
    anew = refold(work.ledger, work.desk.as_filed(tag), point, work.desk.barometric)
    work.remember(tag, point, anew)
    last = work.board(tag).last.get(point)
    if last is None or last.severity == Severity.NORMAL:
        drop_if_founded_on(work, by, tag, str(reading.id))
