"""What must be looked at again, by when; it stays on the board until somebody answers."""

import re
from datetime import datetime, timedelta

from gaugewalk.errors import NotFoundError
from gaugewalk.journal.entry import Entry
from gaugewalk.watch.board import Board, Due, iso
from gaugewalk.watch.clock import shift_end
from gaugewalk.watch.desk import Desk, worded
from gaugewalk.watch.lookup import first_entry
from gaugewalk.watch.sitting import Sitting, sitting
from gaugewalk.watch.stamp import Stamp, sent_before
from gaugewalk.watch.views import FollowUp

NEXT_ROUND = timedelta(hours=4)  # when no time is named; common practice, no source
_UNITS = {"s": 1.0, "m": 60.0, "h": 3600.0, "d": 86400.0}
_SPAN = re.compile(
    r"(\d+(?:[.,]\d+)?|\ban?)\s+(min(?:utes?)?|h(?:ours?)?|days?|d|s(?:ec(?:onds?)?)?)\b"
)


def due_in(desk: Desk, words: str, start: datetime) -> datetime:
    """Return the moment that a text names, counted from `start`.

    A span of time is added; "this shift" is its end; anything else is four hours, about a round.

    Examples
    --------
    >>> str(time_in("2 to 5 min; again after 30 min")), str(time_in("within an hour"))
    ('0:05:00', '1:00:00')
    """
    if "shift" in words:
        return shift_end(desk.plant, start)
    return start + (time_in(words) or NEXT_ROUND)


def time_in(words: str) -> timedelta | None:
    """Return the first span of time that a text names, or none."""
    found = _SPAN.search(words)
    if found is None:
        return None
    count = 1.0 if found[1].startswith("a") else float(found[1].replace(",", "."))
    return timedelta(seconds=count * _UNITS[found[2][0]])


def ask_again(
    work: Sitting,
    by: Stamp,
    tag: str,
    what: str,
    due_at: datetime,
    *,
    trouble: str | None = None,
    point: str | None = None,
) -> Entry:
    """Put a follow-up on the pump's board."""
    made = by.another()
    body = {
        "follow_up": str(made.id),
        "step": "opened",
        "what": what,
        "due_at": iso(due_at),
        "trouble": trouble,
    }
    return work.add(made.entry("follow_up", body, tag=tag, point=point))


def add_follow_up(
    desk: Desk, tag: str, what: str, due_at: datetime, by: Stamp, *, point: str | None = None
) -> Entry:
    """Ask to look at something again by a time."""
    desk.pump(tag)
    body = {
        "follow_up": str(by.id),
        "step": "opened",
        "what": worded("what", what, longest=300),
        "due_at": iso(due_at),
        "trouble": None,
    }
    draft = by.entry("follow_up", body, tag=tag, point=point)
    with sitting(desk, by.now) as work:
        return sent_before(work.ledger, draft) or work.add(draft)


def answer_follow_up(desk: Desk, follow_up_id: str, result: str, by: Stamp) -> Entry:
    """Answer a follow-up with what was found; only then it leaves the board.

    Raises
    ------
    NotFoundError
        There is no such follow-up, or it was answered before.
    """
    text = worded("result", result, longest=300)
    with sitting(desk, by.now) as work:
        asked = first_entry(work.ledger, follow_up_id, "follow_up", "opened", "follow-up")
        tag = str(asked.tag)
        body = {"follow_up": follow_up_id, "step": "answered", "result": text}
        draft = by.entry("follow_up", body, tag=tag)
        known = sent_before(work.ledger, draft)
        if known is not None:
            return known
        if follow_up_id not in work.board(tag).due:
            raise NotFoundError(f"The follow-up {follow_up_id} was answered before.")
        return work.add(draft)


def due_of(tag: str, board: Board) -> list[FollowUp]:
    """Return a pump's follow-ups, the one due first at the top."""
    rows = [_shown(tag, row) for row in board.due.values()]
    return sorted(rows, key=lambda row: row.due_at)


def _shown(tag: str, row: Due) -> FollowUp:
    return FollowUp(
        id=row.id,
        tag=tag,
        what=row.what,
        due_at=datetime.fromisoformat(row.due_at),
        trouble_id=row.trouble,
        point=row.point,
    )
