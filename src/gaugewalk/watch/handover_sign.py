"""Write to a handover and sign it: remarks by the outgoing, then both names."""

from collections.abc import Iterable
from datetime import datetime

from gaugewalk.errors import ArgumentError, ConflictError, nearest_word
from gaugewalk.journal.entry import Entry
from gaugewalk.watch.board import iso
from gaugewalk.watch.clock import shift_start
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.handover import (
    SECTION_IDS,
    Written,
    handover_of,
    shift_to_hand_over,
    written_of,
)
from gaugewalk.watch.handover_scene import boards_of
from gaugewalk.watch.handover_view import sections_json
from gaugewalk.watch.sitting import Sitting, sitting
from gaugewalk.watch.stamp import Stamp, sent_before
from gaugewalk.watch.wall import clock

LONGEST = 4000  # characters of a remark


def write_remark(
    desk: Desk, section: str, text: str, by: Stamp, *, shift: datetime | None = None
) -> Entry:
    """Put a remark in the place of the one before in a section; an empty one wipes it.

    Raises
    ------
    ArgumentError
        There is no such section, or the text is too long.
    ConflictError
        The handover is signed: what comes after that is a note.
    """
    if section not in SECTION_IDS:
        near = nearest_word(section, SECTION_IDS)
        hint = f" Did you mean {near!r}?" if near else ""
        raise ArgumentError(
            f"section = {section[:40]!r}; expected one of {', '.join(SECTION_IDS)}.{hint}"
        )
    words = text.strip()
    if len(words) > LONGEST:
        raise ArgumentError(f"text: expected up to {LONGEST} characters, given {len(words)}.")
    began = _shift(desk, by, shift)
    body = {"step": "text", "shift": iso(began), "section": section, "text": words}
    return _add(desk, began, by.entry("handover", body), by)


def sign(desk: Desk, by: Stamp, *, shift: datetime | None = None) -> Entry:
    """Sign as the outgoing: what stands now is kept word for word.

    Signed again before it is taken over, the newer one stands.

    Raises
    ------
    ConflictError
        It was taken over already.
    """
    began = _shift(desk, by, shift)
    draft = by.entry("handover", {"step": "signed", "shift": iso(began)})
    shown = handover_of(desk, by.now, shift=began, afresh=True)
    body = {**draft.body, "content": sections_json(shown.sections)}
    return _add(desk, began, draft, by, by.entry("handover", body))


def take_over(
    desk: Desk, read: Iterable[str], by: Stamp, *, text: str = "", shift: datetime | None = None
) -> Entry:
    """Sign as the incoming, having read about each pump in trouble.

    Parameters
    ----------
    desk
    read : iterable of str
        Ids of the troubles that were read about.
    by : Stamp
        Who takes over.
    text : str, optional
        What the incoming has to say.
    shift : datetime, optional
        A moment in the shift that is taken over.

    Raises
    ------
    ConflictError
        It is not signed by the outgoing, was taken over, has the same name under it, or a pump in
        trouble was not read about.
    """
    began, confirmed = _shift(desk, by, shift), sorted(set(read))
    body = {"step": "taken", "shift": iso(began), "read": confirmed, "text": text.strip()}
    return _add(desk, began, by.entry("handover", body), by)


def _shift(desk: Desk, by: Stamp, shift: datetime | None) -> datetime:
    """Return when the shift began that is meant; sent again, it is the one meant the first time."""
    with desk.journal.reading() as ledger:
        stored = ledger.find([by.id]).get(by.id)
        if stored is not None and stored.kind == "handover":
            return datetime.fromisoformat(str(stored.body["shift"]))
        if shift is not None:
            return shift_start(desk.plant, shift)
        return shift_to_hand_over(desk, ledger, by.now)


def _add(desk: Desk, began: datetime, draft: Entry, by: Stamp, full: Entry | None = None) -> Entry:
    with sitting(desk, by.now) as work:
        known = sent_before(work.ledger, draft)
        if known is not None:
            return known
        written = written_of(work.ledger, began)
        _still_open(desk, written, str(draft.body["step"]))
        if draft.body["step"] == "taken":
            _both_have_read(work, written, draft)
        return work.add(full or draft)


def _still_open(desk: Desk, written: Written, step: str) -> None:
    if written.taken is not None:
        when = clock(written.taken.seen_at, desk.zone)
        raise ConflictError(
            f"{written.taken.who} took this shift over at {when}. Write a note instead; it is told "
            "from then on."
        )
    if written.signed is not None and step == "text":
        raise ConflictError(
            f"{written.signed.who} has signed this handover. Sign it again to change it, or write "
            "a note."
        )


def _both_have_read(work: Sitting, written: Written, draft: Entry) -> None:
    if written.signed is None:
        raise ConflictError("The outgoing has not signed yet; both read it, the outgoing first.")
    if written.signed.who == draft.who:
        raise ConflictError(
            f"{draft.who} signed it as the outgoing; the one who takes over signs with another "
            "name."
        )
    boards = boards_of(work.desk, work.ledger)
    read = set(draft.body["read"])
    missing = [tag for tag, b in boards.items() if b.trouble and b.trouble.id not in read]
    if missing:
        raise ConflictError(
            f"Not yet read: {', '.join(missing)}. Confirm each pump in trouble, then sign."
        )
