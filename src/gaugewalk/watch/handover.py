"""What the next watch must know, made from the journal, kept as it was signed."""

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from typing import Any

from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ledger import Ledger
from gaugewalk.watch import handover_duties as duties
from gaugewalk.watch import handover_troubles as pumps
from gaugewalk.watch.board import iso
from gaugewalk.watch.clock import shift_end, shift_start
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.handover_scene import Scene
from gaugewalk.watch.handover_view import (
    GENERAL,
    Handover,
    Item,
    Remark,
    Section,
    Signature,
    sections_from,
)

GRACE = timedelta(hours=1)  # after the change, in which the shift before is still handed over
_SECOND = timedelta(seconds=1)

SECTIONS: tuple[tuple[str, str, Callable[[Scene], list[Item]]], ...] = (
    ("troubles", "Pumps in trouble", pumps.troubles),
    ("remedies", "Temporary remedies in force", pumps.remedies),
    ("overdue", "Overdue", duties.overdue),
    ("due", "Follow-ups and rounds due before the next watch ends", duties.due),
    ("unfinished", "Begun and not finished", duties.unfinished),
    ("watch", "To watch", pumps.to_watch),
    ("limits", "Limits in force that differ from the plant file", duties.limits),
    ("changes", "Started, stopped, changed, done, corrected this shift", duties.changes),
    ("closed", "Troubles closed this shift", duties.closed),
    ("later", "Follow-ups due later", duties.later),
    ("care", "Greasing, oil, strainers, standby pumps", duties.care),
    ("skipped", "Not taken this shift", duties.skipped),
    ("rounds", "Rounds of this shift", duties.rounds),
    ("notes", "Standing notes", duties.notes),
)
SECTION_IDS = (*(id for id, _, _ in SECTIONS), GENERAL)
# A thing that only moves from one of these to another is no news.
_WAITING = ("overdue", "due", "later")


def handover_of(
    desk: Desk, now: datetime, *, shift: datetime | None = None, afresh: bool = False
) -> Handover:
    """Return the handover of a shift: as it was signed, else as the journal has it now.

    Parameters
    ----------
    desk, now
    shift : datetime, optional
        A moment in the shift; else the one to be handed over at `now`: the shift that is on, or
        the one before while that waits for its signatures.
    afresh : bool
        As the journal has it now, even where it was signed.
    """
    with desk.journal.reading() as ledger:
        began = shift_start(desk.plant, shift) if shift else shift_to_hand_over(desk, ledger, now)
        written = written_of(ledger, began)
        signed, taken = None if afresh else written.signed, written.taken
        live = live_sections(Scene(desk=desk, ledger=ledger, now=now, began=began), written)
    sections = sections_from(signed.body["content"]) if signed else live
    before, after = _standing(sections), _standing(live)
    news = [item for key, item in after.items() if key not in before] if signed else []
    gone = [item for key, item in before.items() if key not in after] if signed else []
    written_at = signed.seen_at if signed else now
    return Handover(
        plant=desk.plant.name,
        time_zone=desk.plant.time_zone,
        began_at=began,
        ends_at=shift_end(desk.plant, began),
        written_at=written_at,
        sections=sections,
        general=written.remark(desk, GENERAL),
        signed=_signature(signed),
        taken=_signature(taken),
        news=() if taken else tuple(news),
        gone=() if taken else tuple(gone),
        to_read=next(section.items for section in live if section.id == "troubles"),
    )


class Written:
    """What was written to the handover of one shift: remarks and signatures, the newest of each."""

    def __init__(self, entries: Sequence[Entry]) -> None:
        self.signed = _newest(entries, "signed")
        self.taken = _newest(entries, "taken")
        self._texts = {str(e.body["section"]): e for e in entries if e.body["step"] == "text"}

    def remark(self, desk: Desk, section: str) -> Remark | None:
        """Return the remark that stands in a section; none where it was wiped."""
        entry = self._texts.get(section)
        if entry is None or not entry.body["text"]:
            return None
        mark = f"{desk.local(entry.seen_at):%H:%M}"
        return Remark(text=str(entry.body["text"]), who=entry.who, mark=mark)


def written_of(ledger: Ledger, began: datetime) -> Written:
    """Return what was written to the handover of the shift that began then."""
    rows = ledger.history(None, since=began, kinds=["handover"])
    return Written([row for row in rows if row.body["shift"] == iso(began)])


def live_sections(scene: Scene, written: Written) -> tuple[Section, ...]:
    """Return every section as the journal has it now."""
    return tuple(
        Section(
            id=id,
            title=title,
            items=tuple(make(scene)),
            remark=written.remark(scene.desk, id),
        )
        for id, title, make in SECTIONS
    )


def shift_to_hand_over(desk: Desk, ledger: Ledger, now: datetime) -> datetime:
    """Return when the shift began that is to be handed over: the one that is on, or the one before.

    The one before waits an hour for the outgoing, and half a shift for the incoming.
    """
    began = shift_start(desk.plant, now)
    before = shift_start(desk.plant, began - _SECOND)
    written = written_of(ledger, before)
    half = (shift_end(desk.plant, began) - began) / 2
    waits = half if written.signed else GRACE
    return before if not written.taken and now - began < waits else began


def _standing(sections: Sequence[Section]) -> dict[tuple[str, str], Item]:
    """Return what stands and must not be lost, by what it is about."""
    kept = ("troubles", "remedies", "unfinished", "watch", "limits", "notes", *_WAITING)
    return {
        ("waiting" if section.id in _WAITING else section.id, item.id): item
        for section in sections
        if section.id in kept
        for item in section.items
    }


def _newest(entries: Sequence[Entry], step: str) -> Entry | None:
    found = [entry for entry in entries if entry.body["step"] == step]
    return found[-1] if found else None


def _signature(entry: Entry | None) -> Signature | None:
    if entry is None:
        return None
    body: dict[str, Any] = dict(entry.body)
    return Signature(
        id=str(entry.id),
        who=entry.who,
        at=entry.seen_at,
        read=tuple(body.get("read", ())),
        text=str(body.get("text", "")),
    )
