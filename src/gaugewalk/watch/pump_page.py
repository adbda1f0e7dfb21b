"""One pump on one page: its points with their past, what is open, what happened, what comes."""

from datetime import datetime, timedelta

from gaugewalk.judge.estimate import Estimate, estimate
from gaugewalk.judge.forecast import Forecast
from gaugewalk.plant.pump import Pump
from gaugewalk.watch.ahead import forecasts
from gaugewalk.watch.board import Board, board_key, iso
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.follow_up import due_of
from gaugewalk.watch.point_views import point_views
from gaugewalk.watch.sitting import TOGETHER, Sitting, running_now
from gaugewalk.watch.trouble import open_line
from gaugewalk.watch.views import PumpView

PAST = timedelta(days=90)  # of the trends, and of the own normal
_EVENTS = 50  # newest ones shown
_KINDS = ("note", "action", "observation", "skipped", "event", "trouble", "limit", "follow_up")


def pump_page(desk: Desk, tag: str, now: datetime) -> PumpView:
    """Return everything that a pump's page shows."""
    pump = desk.pump(tag)
    with desk.journal.reading() as ledger:
        board = Board.from_json(ledger.load_state(board_key(tag)))
        readings = ledger.glimpses(tag, since=now - PAST, until=now)
        points = point_views(desk, ledger, pump, now, past=readings)
        coming = forecasts(desk, ledger, pump, readings, now)
        events = ledger.history(tag, since=now - PAST, kinds=_KINDS, newest=_EVENTS)
        near = Sitting(desk=desk, ledger=ledger, now=now).context(tag, "", now)
    running = running_now(desk, tag, board, near, now)
    return PumpView(
        pump=pump,
        severity=board.severity,
        sentence=board.sentence,
        running=running,
        points=points,
        estimate=None if running is False else _estimate(desk, pump, board),
        troubles=(open_line(desk, tag, board.trouble),) if board.trouble else (),
        follow_ups=tuple(due_of(tag, board)),
        events=tuple(reversed(events)),
        coming=coming,
    )


def _estimate(desk: Desk, pump: Pump, board: Board) -> Estimate | None:
    """Return what the readings of the last visit say together; none where nothing was read."""
    sound = {point: last for point, last in board.last.items() if last.plausible}
    if not sound:
        return None
    newest = datetime.fromisoformat(max(last.seen_at for last in sound.values()))
    start = iso(newest - TOGETHER)
    values = {point: last.value for point, last in sound.items() if last.seen_at >= start}
    return estimate(pump, values, desk.barometric)


def ahead_of(desk: Desk, tag: str, now: datetime) -> tuple[Forecast, ...]:
    """Return the points of a pump that will reach a limit, the soonest first."""
    pump = desk.pump(tag)
    with desk.journal.reading() as ledger:
        readings = ledger.glimpses(tag, since=now - PAST, until=now)
        return forecasts(desk, ledger, pump, readings, now)
