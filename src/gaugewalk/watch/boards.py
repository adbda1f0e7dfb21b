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


@dataclass(slots=True, kw_only=True)
class Boards:
    """The boards of every pump as they stood at one entry; safe to use from many threads."""

    _seq: int = -1  # the newest entry that is in them; -1: nothing is
    _hash: str | None = None  # of that entry: another one where a backup was put back meanwhile
    _known: dict[str, Board] = field(default_factory=dict)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def at(self, ledger: Ledger, tags: Iterable[str]) -> dict[str, Board]:
        """Return the boards of these pumps, in their order, as the ledger sees them or newer."""
        known = self.every(ledger)
        return {tag: known.get(tag, _EMPTY) for tag in tags}

    def every(self, ledger: Ledger) -> Mapping[str, Board]:
        """Return every board there is, those of pumps that have left the plant file too."""
        if ledger.writes:  # what is not committed yet may never have been
            return self._read_all(ledger)
        head = ledger.last_seq()
        with self._lock:
            if self._seq < 0 or head < self._seq or ledger.hash_at(self._seq) != self._hash:
                self._known = self._read_all(ledger)
            elif head > self._seq:
                self._known = self._known | self._read_changed(ledger)
            if head != self._seq or self._hash is None:
                self._seq, self._hash = head, ledger.hash_at(head)
            return self._known

    def forget(self) -> None:
        """Read everything again, as after the projections were made anew."""
        with self._lock:
            self._seq = -1

    def _read_all(self, ledger: Ledger) -> dict[str, Board]:
        prefix = board_key("")
        rows = ledger.load_states(prefix).items()
        return {key.removeprefix(prefix): Board.from_json(row) for key, row in rows}

    def _read_changed(self, ledger: Ledger) -> dict[str, Board]:
        changed = ledger.tags_since(self._seq)
        if len(changed) > _MANY:
            return self._read_all(ledger)
        keys = {board_key(tag): tag for tag in changed}
        rows = ledger.find_states(keys).items()
        return {keys[key]: Board.from_json(row) for key, row in rows}


_EMPTY = Board()
