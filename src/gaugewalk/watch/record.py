"""Record what is no number: findings seen or not, points not taken, notes, starts and stops."""

from uuid import UUID

from gaugewalk.errors import ArgumentError
from gaugewalk.journal.entry import Entry
from gaugewalk.judge.severity import Severity
from gaugewalk.plant.points import point_kind
from gaugewalk.watch.deeds import EVENTS
from gaugewalk.watch.desk import Desk, worded
from gaugewalk.watch.remembered import OVERHAULED, refold
from gaugewalk.watch.sitting import sitting
from gaugewalk.watch.stamp import Stamp, sent_before
from gaugewalk.watch.steps import raise_trouble


def observe(
    desk: Desk, tag: str, finding: str, present: bool | None, by: Stamp, *, note: str = ""
) -> tuple[Entry, str | None]:
    """Store that a finding was seen, not seen, or could not be looked at (none).

    A danger sign opens a trouble. Returns the entry and the id of the trouble open at the pump.

    Raises
    ------
    NotFoundError
        There is no such pump or finding.
    """
    desk.pump(tag)
    known = desk.knowledge.finding(finding)
    draft = by.entry("observation", {"present": present, "note": note}, tag=tag, point=finding)
    with sitting(desk, by.now) as work:
        entry = sent_before(work.ledger, draft)
        if entry is None:
            body = {**draft.body, "title": known.title}
            entry = work.add(by.entry("observation", body, tag=tag, point=finding))
            if present and known.danger in ("act", "stop"):
                raise_trouble(work, by, tag, Severity(known.danger), f"{known.title}.", by=entry)
        trouble = work.board(tag).trouble
        return entry, trouble.id if trouble else None


def skip(
    desk: Desk, tag: str, point: str, reason: str, by: Stamp, *, round_id: str | None = None
) -> Entry:
    """Store that a point was not taken, and why; as easy as a number."""
    desk.pump(tag)
    body = {"reason": worded("reason", reason, longest=200)}
    body |= {"round": round_id} if round_id else {}
    return _once(desk, by.entry("skipped", body, tag=tag, point=point_kind(point).id), by)


def note(
    desk: Desk,
    tag: str | None,
    text: str,
    by: Stamp,
    *,
    standing: bool = False,
    ends: UUID | None = None,
    photo: str = "",
) -> Entry:
    """Store a note; a standing one is told at every handover until another one `ends` it.

    `photo` is the SHA-256 of a photo that is kept beside the journal.
    """
    if tag is not None:
        desk.pump(tag)
    body: dict[str, object] = {"text": worded("text", text), "standing": standing}
    body |= {"ends": str(ends)} if ends else {}
    body |= {"photo": photo} if photo else {}
    return _once(desk, by.entry("note", body, tag=tag), by)


def event(desk: Desk, tag: str, what: str, by: Stamp) -> Entry:
    """Store that a pump was started, stopped or overhauled.

    A standing pump teaches no normal; after an overhaul the normal is learned anew.
    """
    desk.pump(tag)
    if what not in EVENTS:
        raise ArgumentError(f"event = {what[:40]!r}; expected one of {', '.join(EVENTS)}.")
    draft = by.entry("event", {"event": what}, tag=tag)
    with sitting(desk, by.now) as work:
        known = sent_before(work.ledger, draft)
        if known is not None:
            return known
        work.add(draft)
        if what == OVERHAULED:
            work.flush()
            filed = desk.as_filed(tag)
            for point in work.board(tag).last:
                work.remember(tag, point, refold(work.ledger, filed, point, desk.barometric))
        return draft


def _once(desk: Desk, draft: Entry, by: Stamp) -> Entry:
    with sitting(desk, by.now) as work:
        return sent_before(work.ledger, draft) or work.add(draft)
