"""This watch at a glance: what needs a hand, what comes due, what changed since it began."""

from datetime import datetime

from gaugewalk.journal.ledger import Ledger
from gaugewalk.judge.severity import Severity
from gaugewalk.watch.board import Board
from gaugewalk.watch.clock import shift_end, shift_start
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.follow_up import due_of
from gaugewalk.watch.round_plan import rounds_due
from gaugewalk.watch.trouble import open_line
from gaugewalk.watch.views import FollowUp, TroubleLine, Uneasy, WatchView

CHANGES = ("event", "action", "trouble", "limit", "note", "skipped", "correction")
MOST_CHANGES = 100  # the newest; the handover has them all


def this_watch(desk: Desk, now: datetime) -> WatchView:
    """Return what the watch-keeper must know now; calm where nothing is open."""
    began = shift_start(desk.plant, now)
    with desk.journal.reading() as ledger:
        boards = load_boards(desk, ledger)
        changes = ledger.since(began, CHANGES, now=now, newest=MOST_CHANGES)
    return WatchView(
        plant=desk.plant.name,
        now=now,
        troubles=troubles_on(desk, boards),
        follow_ups=follow_ups_on(boards),
        rounds=rounds_due(desk, now),
        pumps=len(desk.pumps),
        uneasy=uneasy_on(desk, boards),
        shift_began_at=began,
        shift_ends_at=shift_end(desk.plant, now),
        changes=tuple(reversed(changes)),
    )


def load_boards(desk: Desk, ledger: Ledger) -> dict[str, Board]:
    """Return the boards of the plant's pumps in walking order."""
    return desk.boards.at(ledger, desk.pumps)


def troubles_on(desk: Desk, boards: dict[str, Board]) -> tuple[TroubleLine, ...]:
    """Return the open troubles by urgency, then in walking order."""
    lines = [open_line(desk, tag, b.trouble) for tag, b in boards.items() if b.trouble]
    return tuple(sorted(lines, key=lambda line: (-line.severity.rank, line.walk_order, line.tag)))


def uneasy_on(desk: Desk, boards: dict[str, Board]) -> tuple[Uneasy, ...]:
    """Return the pumps to keep an eye on: a reading is not normal, but no trouble is open."""
    rows = [
        Uneasy(
            tag=tag,
            name=desk.pumps[tag].name,
            severity=board.severity,
            sentence=board.sentence,
            walk_order=desk.pumps[tag].walk_order,
        )
        for tag, board in boards.items()
        if board.trouble is None and board.severity is not Severity.NORMAL
    ]
    return tuple(sorted(rows, key=lambda row: (-row.severity.rank, row.walk_order, row.tag)))


def follow_ups_on(boards: dict[str, Board]) -> tuple[FollowUp, ...]:
    """Return every follow-up that waits, the one due first at the top."""
    rows = [row for tag, board in boards.items() for row in due_of(tag, board)]
    return tuple(sorted(rows, key=lambda row: row.due_at))
