"""When a trouble opens and grows: one open trouble per pump, however many readings belong to it."""

from datetime import timedelta

from gaugewalk.errors import NotFoundError
from gaugewalk.journal.entry import Entry
from gaugewalk.judge.severity import Severity
from gaugewalk.watch.board import OpenTrouble
from gaugewalk.watch.sitting import Sitting
from gaugewalk.watch.stamp import Stamp

PAST = timedelta(hours=24)  # what was seen longer ago tells of the past and opens nothing
UNEASY_IN_A_ROW = 3  # readings of one point at "watch", after which it is a trouble


def follow_reading(work: Sitting, reading: Entry, stamp: Stamp) -> OpenTrouble | None:
    """Open or widen the pump's trouble where a reading asks for it; return the one it belongs to.

    A reading that cannot be true opens nothing: it asks to be read again.
    """
    tag, point = str(reading.tag), str(reading.point)
    verdict = reading.body["verdict"]
    severity = Severity(verdict["severity"])
    last = work.board(tag).last.get(point)
    uneasy = last.uneasy if last and last.id == str(reading.id) else 0
    repeated = uneasy >= UNEASY_IN_A_ROW and _shows(reading)
    grave = severity.rank >= Severity.ACT.rank or repeated
    if verdict["plausible"] and grave and stamp.now - stamp.seen_at <= PAST:
        raise_trouble(work, stamp, tag, severity, verdict["sentence"], by=reading)
    trouble = work.board(tag).trouble
    if trouble is None:
        return None
    return trouble if point in trouble.points or severity is not Severity.NORMAL else None


def _shows(reading: Entry) -> bool:
    """Whether a reading shows something by itself: it swings, or is outside its band or a limit.

    One that only drifts inside its band is kept in sight, but is no trouble yet.
    """
    verdict = reading.body["verdict"]
    if verdict["change"] == "swing":
        return True
    value, (low, high) = float(reading.value or 0.0), verdict["band"] or (None, None)
    edges = [("low", low), ("high", high)]
    edges += [(side, edge) for _, side, edge, _ in reading.body["limits"]]
    given = [(side, edge) for side, edge in edges if edge is not None]
    return any(value < edge if side == "low" else value > edge for side, edge in given)


def raise_trouble(
    work: Sitting, stamp: Stamp, tag: str, severity: Severity, sentence: str, *, by: Entry | None
) -> OpenTrouble:
    """Open a trouble at a pump, or add to the open one what is worse or at another point."""
    point = by.point if by else None
    open_one = work.board(tag).trouble
    made = stamp.another()
    if open_one is None:
        body = {"step": "opened", "trouble": str(made.id), "severity": severity.value}
        body |= {"sentence": sentence, "by": str(by.id) if by else ""}
        work.add(made.entry("trouble", body, tag=tag, point=point))
    elif severity.rank > Severity(open_one.severity).rank:
        body = {"step": "worse", "trouble": open_one.id, "severity": severity.value}
        body |= {"sentence": sentence, "by": str(by.id) if by else ""}
        work.add(made.entry("trouble", body, tag=tag, point=point))
    elif point is not None and point not in open_one.points:
        body = {"step": "joined", "trouble": open_one.id, "by": str(by.id) if by else ""}
        work.add(made.entry("trouble", body, tag=tag, point=point))
    return must_be_open(work, tag, None)


def must_be_open(work: Sitting, tag: str, trouble_id: str | None) -> OpenTrouble:
    """Return the pump's open trouble.

    Raises
    ------
    NotFoundError
        It has none, or not that one.
    """
    trouble = work.board(tag).trouble
    if trouble is None or trouble_id not in (None, trouble.id):
        raise NotFoundError(
            f"Pump {tag} has no open trouble{f' {trouble_id}' if trouble_id else ''}: it was "
            "closed, or belongs to another pump."
        )
    return trouble


def drop_if_founded_on(work: Sitting, stamp: Stamp, tag: str, reading_id: str) -> None:
    """Close a trouble that rested on one reading alone, now that this reading was corrected."""
    trouble = work.board(tag).trouble
    if trouble is None or trouble.opened_by != reading_id or trouble.steps > 1:
        return
    body = {"step": "closed", "trouble": trouble.id, "cause": "the reading was corrected"}
    work.add(stamp.another().entry("trouble", body, tag=tag))
