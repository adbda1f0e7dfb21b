"""Which points of a pump are worth a picture, and their course so far."""

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta

from gaugewalk.journal.ledger import Ledger
from gaugewalk.judge.limits import limits_of
from gaugewalk.judge.severity import Severity
from gaugewalk.plant.points import point_kind
from gaugewalk.plant.pump import Pump
from gaugewalk.watch.board import Board, board_key
from gaugewalk.watch.desk import unit_of
from gaugewalk.watch.point_views import sample_of
from gaugewalk.watch.trend_chart import Course

BEFORE = timedelta(days=14)  # a trouble is seen against what was before it
_FEWEST = 3  # readings, under which a picture says nothing


def courses_of(
    ledger: Ledger, pump: Pump, points: Iterable[str], *, since: datetime, now: datetime, most: int
) -> list[Course]:
    """Return the courses of a pump's points that are in trouble, the worst first.

    Parameters
    ----------
    ledger, pump
    points : iterable of str
        Those at which the trouble showed; others that are not normal now follow them.
    since : datetime
        When the trouble was opened.
    now : datetime
    most : int
        Pictures at most.
    """
    board = Board.from_json(ledger.load_state(board_key(pump.tag)))
    odd = [p for p, last in board.last.items() if last.severity != Severity.NORMAL]
    worst_first = sorted(
        dict.fromkeys((*points, *odd)),
        key=lambda p: -Severity(board.last[p].severity).rank if p in board.last else 0,
    )
    made = (course_of(ledger, pump, point, since - BEFORE, now) for point in worst_first)
    return [course for course in made if course is not None][:most]


def course_of(
    ledger: Ledger, pump: Pump, point: str, since: datetime, now: datetime
) -> Course | None:
    """Return the course of one point; none where too few readings say nothing."""
    rows = ledger.history(pump.tag, since=since, until=now, points=[point], kinds=["reading"])
    if len(rows) < _FEWEST:
        return None
    band = rows[-1].body.get("verdict", {}).get("band")
    return Course(
        title=point_kind(point).label,
        unit=unit_of(pump, point),
        samples=[sample_of(row) for row in rows],
        band=_closed(band) if band else None,
        limits=[(limit.severity.value, limit.value) for limit in limits_of(pump, point)],
    )


def _closed(band: Sequence[float | None]) -> tuple[float, float]:
    low, high = band
    return (float("-inf") if low is None else low, float("inf") if high is None else high)
