"""What the log of a pump's care tells the diagnosis, without anybody having to remember it."""

from datetime import datetime, timedelta

from gaugewalk.journal.ledger import Ledger
from gaugewalk.judge.severity import Severity
from gaugewalk.plant.pump import Pump
from gaugewalk.watch.board import Board, board_key
from gaugewalk.watch.care import Care, care_key
from gaugewalk.watch.deeds import BACK, BEARINGS, GREASED, OILED
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.lubrication import point_of
from gaugewalk.watch.upkeep import oiled_by, use_of

_AFTER_GREASING = timedelta(days=2)  # a rise that stays longer than a day; common practice
_AFTER_WORK = timedelta(days=1)


def care_findings(desk: Desk, ledger: Ledger, pump: Pump, now: datetime) -> dict[str, bool]:
    """Return the findings that follow from what was done to a pump; only ones that are there.

    That the log shows nothing is no proof that nothing is there: so nothing is said to be absent.
    """
    stored = Care.from_json(ledger.load_state(care_key(pump.tag)))
    care = stored.until(now.timestamp())
    found = {name: True for name in _of_oil(desk, pump, care, now)}
    if _hot_after_greasing(ledger, pump, care, now):
        found["bearing-hot-after-greasing"] = True
    back = care.last(BACK)
    if back and timedelta(0) <= _ago(now, back.at) <= _AFTER_WORK:
        found["after-maintenance"] = True
    return found


def _of_oil(desk: Desk, pump: Pump, care: Care, now: datetime) -> set[str]:
    """Return the findings of top-ups that grow: of a reservoir, or of a bath."""
    names = set()
    for place in OILED:
        if use_of(desk, care, place, now).growing:
            reservoir = oiled_by(pump, place) == "forced feed"
            names.add("oil-reservoir-falling" if reservoir else "oiler-emptying-fast")
    return names


def _hot_after_greasing(ledger: Ledger, pump: Pump, care: Care, now: datetime) -> bool:
    """Whether a bearing that was as usual before it was greased is not so now."""
    board = Board.from_json(ledger.load_state(board_key(pump.tag)))
    for place in BEARINGS:
        deed, last = care.last(GREASED, place), board.last.get(point_of(place))
        if deed is None or last is None or last.severity == Severity.NORMAL:
            continue
        seen = datetime.fromisoformat(last.seen_at)
        if not timedelta(0) <= _ago(seen, deed.at) <= _AFTER_GREASING:
            continue
        greased = seen - _ago(seen, deed.at)
        rows = ledger.history(
            pump.tag, since=greased - _AFTER_GREASING, until=greased,
            points=[point_of(place)], kinds=["reading"],
        )  # fmt: skip
        if rows and rows[-1].body["verdict"]["severity"] == Severity.NORMAL:
            return True
    return False


def _ago(now: datetime, at: float) -> timedelta:
    return timedelta(seconds=now.timestamp() - at)
