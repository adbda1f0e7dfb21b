"""What closed troubles teach: which causes were confirmed at a pump and at others of its kind.

Nothing is kept beside the journal: the counts follow from the entries each time, so that another
cause found later takes the first one back.
"""

from datetime import datetime

from gaugewalk.errors import ConflictError
from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ledger import Ledger
from gaugewalk.plant.pump import Pump
from gaugewalk.watch.desk import Desk, worded
from gaugewalk.watch.lookup import first_entry
from gaugewalk.watch.sitting import sitting
from gaugewalk.watch.stamp import Stamp, sent_before

KIN = 0.5  # what a trouble of another pump of the kind counts, against one of its own (judgement)
MOST_KIN = 50  # so many others of the kind are asked


def counts_of(desk: Desk, ledger: Ledger, pump: Pump, now: datetime) -> dict[str, float]:
    """Return how often each cause was confirmed, at the pump itself and at others of its kind.

    A trouble closed with words that are no cause of the knowledge counts for none.
    """
    kin = [
        other.tag for other in desk.pumps.values() if other.tag != pump.tag and _alike(other, pump)
    ]
    titles = {cause.title: cause.id for cause in desk.knowledge.causes.values()}
    newest: dict[str, Entry] = {}
    for entry in ledger.entries(kinds=["trouble"], tags=[pump.tag, *kin[:MOST_KIN]]):
        if entry.body.get("step") in ("closed", "found") and entry.seen_at <= now:
            newest[str(entry.body["trouble"])] = entry
    counts: dict[str, float] = {}
    for entry in newest.values():
        told = str(entry.body.get("cause", ""))
        cause = str(entry.body.get("cause_id") or titles.get(told, ""))
        if cause in desk.knowledge.causes:
            counts[cause] = counts.get(cause, 0.0) + (1.0 if entry.tag == pump.tag else KIN)
    return counts


def _alike(one: Pump, other: Pump) -> bool:
    """Return whether one is the other's standby, or sealed, lubricated, driven and fed alike."""
    if one.partner == other.tag or other.partner == one.tag:
        return True
    return (one.seal.kind, one.lubrication.kind, one.driver.kind, one.source.kind) == (
        other.seal.kind,
        other.lubrication.kind,
        other.driver.kind,
        other.source.kind,
    )


def name_cause(desk: Desk, trouble_id: str, cause: str, by: Stamp) -> Entry:
    """Put another cause in the place of the one a trouble was closed with; the first stays kept.

    Raises
    ------
    ConflictError
        The trouble is still open: it gets its cause when it is closed.
    NotFoundError
        There is no such trouble.
    """
    body = {"step": "found", "trouble": trouble_id, **cause_words(desk, cause)}
    with sitting(desk, by.now) as work:
        opened = first_entry(work.ledger, trouble_id, "trouble", "opened", "trouble")
        tag = str(opened.tag)
        draft = by.entry("trouble", body, tag=tag)
        known = sent_before(work.ledger, draft)
        if known is not None:
            return known
        open_one = work.board(tag).trouble
        if open_one is not None and open_one.id == trouble_id:
            raise ConflictError("The trouble is still open; its cause is named when it is closed.")
        return work.add(draft)


def cause_words(desk: Desk, cause: str) -> dict[str, str]:
    """Return a named cause as kept: a cause of the knowledge, by id or title, with both."""
    causes = desk.knowledge.causes
    text = cause.strip()
    known = causes.get(text) or next((one for one in causes.values() if one.title == text), None)
    if known is None:
        return {"cause": worded("cause", cause)}
    return {"cause": known.title, "cause_id": known.id}
