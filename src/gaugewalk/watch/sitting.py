"""The work in hand inside one transaction: entries about to be added and what follows from them."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ids import new_id
from gaugewalk.journal.ledger import Ledger
from gaugewalk.watch.board import Board, after, board_key, iso
from gaugewalk.watch.care import Care, care_after, care_key, concerns, turning
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.remembered import Remembered, point_key
from gaugewalk.watch.wall import clock

SLACK = timedelta(minutes=2)  # by so much the clocks of two computers may differ
TOGETHER = timedelta(minutes=30)  # readings this close are taken to show the same moment


@dataclass(slots=True, kw_only=True)
class Sitting:
    """Entries made so far, with the boards and point states as they stand after them."""

    desk: Desk
    ledger: Ledger
    now: datetime
    _pending: list[Entry] = field(default_factory=list)
    _boards: dict[str, Board] = field(default_factory=dict)
    _points: dict[tuple[str, str], Remembered] = field(default_factory=dict)
    _cares: dict[str, Care] = field(default_factory=dict)
    _changed: dict[str, Mapping[str, Any]] = field(default_factory=dict)
    _touched: set[str] = field(default_factory=set)  # keys of the projections to be saved

    def fetch(self, tag: str, point: str) -> None:
        """Look up at once what a reading of a point will need."""
        if tag in self._boards and (tag, point) in self._points:
            return
        keys = (board_key(tag), point_key(tag, point), care_key(tag))
        board, remembered, care = map(self.ledger.find_states(keys).get, keys)
        self._boards.setdefault(tag, Board.from_json(board))
        self._points.setdefault((tag, point), Remembered.from_json(remembered))
        self._cares.setdefault(tag, Care.from_json(care))

    def board(self, tag: str) -> Board:
        """Return the pump's board as it stands now."""
        if tag not in self._boards:
            self._boards[tag] = Board.from_json(self.ledger.load_state(board_key(tag)))
        return self._boards[tag]

    def remembered(self, tag: str, point: str) -> Remembered:
        """Return what is remembered of a point as it stands now."""
        if (tag, point) not in self._points:
            stored = self.ledger.load_state(point_key(tag, point))
            self._points[tag, point] = Remembered.from_json(stored)
        return self._points[tag, point]

    def remember(self, tag: str, point: str, remembered: Remembered) -> None:
        """Keep what is remembered of a point from now on."""
        self._points[tag, point] = remembered
        self._touched.add(point_key(tag, point))

    def care(self, tag: str) -> Care:
        """Return what is remembered of the pump's care as it stands now."""
        if tag not in self._cares:
            self._cares[tag] = Care.from_json(self.ledger.load_state(care_key(tag)))
        return self._cares[tag]

    def keep(self, key: str, body: Mapping[str, Any]) -> None:
        """Keep any other projection."""
        self._changed[key] = body

    def kept(self, key: str) -> Mapping[str, Any] | None:
        """Return any other projection as it stands now, or none."""
        return self._changed.get(key) or self.ledger.load_state(key)

    def add(self, entry: Entry) -> Entry:
        """Take an entry into the batch and fold it into its pump's board and care."""
        self._pending.append(entry)
        if entry.tag is not None:
            self._boards[entry.tag] = after(self.board(entry.tag), entry)
            self._touched.add(board_key(entry.tag))
            pump = self.desk.filed.get(entry.tag)
            if pump is not None and concerns(entry):
                self._cares[entry.tag] = care_after(self.care(entry.tag), entry, pump)
                self._touched.add(care_key(entry.tag))
        return entry

    def flush(self) -> None:
        """Add what is pending to the journal, still inside the transaction."""
        appended = self.ledger.append(self._pending, recorded_at=self.now)
        self._pending.clear()
        if appended.set_back > SLACK:
            told = _of_clock(self.desk, appended.set_back, self.now)
            self.ledger.append([told], recorded_at=self.now)

    def finish(self) -> None:
        """Add what is pending and save all that changed."""
        self.flush()
        known: dict[str, Board | Remembered | Care] = {
            **{board_key(tag): board for tag, board in self._boards.items()},
            **{point_key(*key): state for key, state in self._points.items()},
            **{care_key(tag): care for tag, care in self._cares.items() if care != _NO_CARE},
        }
        touched = {key: one.to_json() for key, one in known.items() if key in self._touched}
        self.ledger.save_states({**touched, **self._changed})

    def context(self, tag: str, point: str, seen_at: datetime) -> dict[str, float]:
        """Return what the pump's other points showed at that moment, and whether it ran."""
        board = self.board(tag)
        start, end = iso(seen_at - TOGETHER), iso(seen_at)
        if any(last.seen_at > end for last in board.last.values()):
            values = self._then(tag, seen_at)
        else:
            near = {p: x for p, x in board.last.items() if x.seen_at >= start and x.plausible}
            values = {p: x.value for p, x in near.items()}
        values.pop(point, None)
        running = running_now(self.desk, tag, board, values, seen_at)
        return values if running is None else {**values, "running": float(running)}

    def _then(self, tag: str, seen_at: datetime) -> dict[str, float]:
        """Look in the journal what was read around a moment that is past."""
        self.flush()
        rows = self.ledger.history(tag, since=seen_at - TOGETHER, until=seen_at, kinds=["reading"])
        return {
            str(row.point): row.value
            for row in rows
            if row.value is not None and row.body.get("verdict", {}).get("plausible", True)
        }


def _of_clock(desk: Desk, behind: timedelta, now: datetime) -> Entry:
    """Note that the clock went back, for whoever reads the times of what was written here."""
    before, after = (clock(moment, desk.zone, beside=now) for moment in (now + behind, now))
    text = (
        f"The clock here went back from {before} to {after}: what was written before this note "
        "may bear later times than what follows. See that the clock is right."
    )
    body = {"text": text, "standing": True}
    return Entry(id=new_id(now), kind="note", who="Gaugewalk", seen_at=now, body=body)


_NO_CARE = Care()


def running_now(
    desk: Desk, tag: str, board: Board, values: Mapping[str, float], seen_at: datetime
) -> bool | None:
    """Tell whether the pump ran: its current or speed says so, else the last one who looked.

    None where nothing is known; readings are then judged as those of a running pump.
    """
    pump = desk.pump(tag)
    for point in ("motor_current", "speed"):
        if point in values:
            return turning(pump, point, values[point])
    told = board.running_at is not None and board.running_at <= iso(seen_at)
    return board.running if told else None


_IN_HAND: ContextVar[Sitting | None] = ContextVar("in_hand", default=None)


@contextmanager
def together(desk: Desk, now: datetime) -> Iterator[Sitting]:
    """Let every use case called within work in one transaction, as for many rounds at once.

    What one of them asks of the journal, and not of the sitting, it sees only after `flush`.
    """
    with sitting(desk, now) as work:
        token = _IN_HAND.set(work)
        try:
            yield work
        finally:
            _IN_HAND.reset(token)


@contextmanager
def sitting(desk: Desk, now: datetime) -> Iterator[Sitting]:
    """Work inside one transaction; all is durable at the end, or nothing when it raises."""
    in_hand = _IN_HAND.get()
    if in_hand is not None and in_hand.desk is desk:
        in_hand.now = max(in_hand.now, now)
        yield in_hand
        return
    with desk.journal.writing() as ledger:
        work = Sitting(desk=desk, ledger=ledger, now=now)
        yield work
        work.finish()
