"""All boards of the plant at hand, kept up to date by what was added to the journal since.

Two thousand boards take a fifth of a second to read; between two looks only a few of them have
changed. What is kept here follows from the journal alone and is asked of it each time: a board
changes only by an entry of its pump.
"""

import threading
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from gaugewalk.journal.ledger import Ledger
from gaugewalk.watch.board import Board, board_key

_MANY = 200  # pumps that changed, from which on all boards are read at once
_KEPT = 64  # moments; at twenty entries a second a page may take three seconds


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Moment:
    """All boards as they stood at one entry."""

    seq: int
    hash: str | None  # of that entry: another one where a backup was put back meanwhile
    boards: Mapping[str, Board]


@dataclass(slots=True, kw_only=True)
class Boards:
    """The boards of every pump as one view of the journal has them; safe to use from many threads.

    Who began to look a moment ago sees the journal of that moment, while others see a newer one.
    So the last moments are kept, not only the newest.
    """

    _moments: list[_Moment] = field(default_factory=list)  # the one that was used last at the end
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def at(self, ledger: Ledger, tags: Iterable[str]) -> dict[str, Board]:
        """Return the boards of these pumps, in their order, as the ledger sees them."""
        known = self.every(ledger)
        return {tag: known.get(tag, _EMPTY) for tag in tags}

    def every(self, ledger: Ledger) -> Mapping[str, Board]:
        """Return every board there is, those of pumps that have left the plant file too."""
        if ledger.writes:  # what is not committed yet may never have been
            return self._read_all(ledger)
        head = ledger.last_seq()
        with self._lock:
            now = self._before(ledger, head)
            if now is not None and now.seq == head:
                self._moments.remove(now)
            else:
                boards = self._read_all(ledger) if now is None else self._read_since(ledger, now)
                now = _Moment(seq=head, hash=ledger.hash_at(head), boards=boards)
            self._moments.append(now)
            del self._moments[:-_KEPT]
            return now.boards

    def forget(self) -> None:
        """Read everything again, as after the projections were made anew."""
        with self._lock:
            self._moments.clear()

    def _before(self, ledger: Ledger, head: int) -> _Moment | None:
        """Return the newest moment that belongs to what the ledger sees."""
        older = sorted((m for m in self._moments if m.seq <= head), key=lambda m: -m.seq)
        return next((m for m in older if ledger.hash_at(m.seq) == m.hash), None)

    def _read_all(self, ledger: Ledger) -> dict[str, Board]:
        prefix = board_key("")
        rows = ledger.load_states(prefix).items()
        return {key.removeprefix(prefix): Board.from_json(row) for key, row in rows}

    def _read_since(self, ledger: Ledger, then: _Moment) -> Mapping[str, Board]:
        changed = ledger.tags_since(then.seq)
        if len(changed) > _MANY:
            return self._read_all(ledger)
        keys = {board_key(tag): tag for tag in changed}
        rows = ledger.find_states(keys).items()
        return {**then.boards, **{keys[key]: Board.from_json(row) for key, row in rows}}


_EMPTY = Board()
