"""The journal inside one transaction: what is read and what is added belong together."""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any, NamedTuple
from uuid import UUID

import sqlalchemy as sa

from gaugewalk.errors import ArgumentError, NotFoundError
from gaugewalk.journal import reading, state
from gaugewalk.journal.entry import Appended, Entry
from gaugewalk.journal.glimpse import Glimpse, glimpses
from gaugewalk.journal.rows import GENESIS, to_micros, to_row
from gaugewalk.journal.schema import entries

NO_STATES: Mapping[str, Mapping[str, Any]] = {}
END_OF_TIME = datetime(9999, 12, 31, tzinfo=UTC)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ledger:
    """Questions and additions on one connection; the caller owns the transaction.

    `heads` holds number and hash of the last entry of each batch that was added.
    """

    connection: sa.Connection
    heads: list[tuple[int, str]] = field(default_factory=list)
    _absent: set[str] = field(default_factory=set)  # ids that were looked for in vain

    @property
    def writes(self) -> bool:
        """Whether what it sees may still be taken back, because it is being written."""
        return bool(self.connection.get_execution_options().get("writes", False))

    def append(
        self,
        batch: Iterable[Entry],
        *,
        recorded_at: datetime,
        states: Mapping[str, Mapping[str, Any]] = NO_STATES,
    ) -> Appended:
        """Add entries, each once; conflicts are told, not raised. See `Journal.append`."""
        if recorded_at.tzinfo is None:
            raise ArgumentError(f"recorded_at = {recorded_at.isoformat()} has no time zone.")
        unique, clashes = _unique(batch)
        asked = unique.keys() - self._absent
        known = reading.by_ids(self.connection, asked) if asked else {}
        clashes |= {i for i, entry in known.items() if not entry.same_as(unique[i])}
        fresh = [entry for i, entry in unique.items() if i not in known]
        before = head_of(self.connection)
        head = _add(self.connection, fresh, to_micros(recorded_at), before)
        if fresh:
            self._absent.difference_update(unique)
            self.heads.append((head.seq, head.hash))
        if len(fresh) == len(unique):
            state.write_states(self.connection, states.items(), head.seq)
        behind = before.recorded_at - to_micros(recorded_at) if fresh else 0
        return Appended(
            stored=tuple(entry.id for entry in fresh),
            known=tuple(UUID(i) for i in known if i not in clashes),
            conflicts=tuple(UUID(i) for i in sorted(clashes)),
            set_back=timedelta(microseconds=max(behind, 0)),
        )

    def get(self, entry_id: UUID) -> Entry:
        """Return one entry as it was stored; NotFoundError when there is none of that id."""
        found = reading.by_ids(self.connection, [str(entry_id)])
        if not found:
            raise NotFoundError(f"The journal holds no entry {entry_id}.")
        return found[str(entry_id)]

    def find(self, ids: Iterable[UUID]) -> dict[UUID, Entry]:
        """Return those of these entries that the journal holds, as they were stored."""
        asked = [str(i) for i in ids]
        found = reading.by_ids(self.connection, asked)
        if self.writes:  # nobody else can add them before this transaction ends
            self._absent.update(set(asked) - found.keys())
        return {entry.id: entry for entry in found.values()}

    def latest(self, tag: str, *, kinds: Collection[str] = ("reading",)) -> dict[str, Entry]:
        """Return the newest entry of each point of a pump, corrections in place."""
        return reading.latest(self.connection, tag, kinds)

    def history(
        self,
        tag: str | None,
        *,
        since: datetime,
        until: datetime = END_OF_TIME,
        points: Collection[str] | None = None,
        kinds: Collection[str] | None = None,
        newest: int | None = None,
    ) -> list[Entry]:
        """Return a pump's entries of a span in the order seen. See `Journal.history`.

        Of many, only the `newest` where so many are asked for.
        """
        return reading.history(self.connection, tag, (since, until), points, kinds, newest)

    def glimpses(
        self,
        tag: str,
        *,
        since: datetime,
        until: datetime = END_OF_TIME,
        points: Collection[str] | None = None,
    ) -> list[Glimpse]:
        """Return a pump's readings of a span in the order seen, with what a trend needs of each."""
        return glimpses(self.connection, tag, (since, until), points)

    def entries(
        self,
        *,
        after: int = 0,
        kinds: Collection[str] | None = None,
        tags: Collection[str] | None = None,
    ) -> Iterator[Entry]:
        """Yield entries after a sequence number, as recorded, corrections on their own."""
        return reading.walk(self.connection, after, kinds, tags)

    def since(
        self,
        moment: datetime,
        kinds: Collection[str],
        *,
        now: datetime,
        newest: int | None = None,
    ) -> list[Entry]:
        """Return what was recorded from that moment on, as recorded, oldest first.

        Whatever the clock was set to afterwards, what was recorded later is part of it. Of many,
        only the `newest` where so many are asked for.
        """
        return reading.recorded_since(self.connection, moment, now, kinds, newest)

    def newest_recorded_at(self) -> datetime | None:
        """Return the latest time at which an entry was recorded; none for an empty journal."""
        return reading.newest_recorded_at(self.connection)

    def tags_since(self, seq: int) -> list[str]:
        """Return the pumps that entries after a sequence number belong to."""
        return reading.tags_since(self.connection, seq)

    def newest_of_kind(self, kind: str) -> int:
        """Return the sequence number of the newest entry of a kind, 0 where there is none."""
        return reading.newest_of_kind(self.connection, kind)

    def last_seq(self) -> int:
        """Return the sequence number of the newest entry, 0 for an empty journal."""
        return head_of(self.connection).seq

    def hash_at(self, seq: int) -> str | None:
        """Return the hash of the entry with that number; none where there is no such entry."""
        return hash_of(self.connection, seq)

    def load_state(self, key: str) -> dict[str, Any] | None:
        """Return a projection, or none."""
        return state.read_state(self.connection, key)

    def load_states(self, prefix: str) -> dict[str, dict[str, Any]]:
        """Return all projections whose key begins with the prefix, sorted by key."""
        return state.read_states(self.connection, prefix)

    def find_states(self, keys: Iterable[str]) -> dict[str, dict[str, Any]]:
        """Return those of these projections that there are, by key."""
        return state.find_states(self.connection, list(keys))

    def save_states(self, bodies: Mapping[str, Mapping[str, Any]]) -> None:
        """Keep projections under their keys, in place of those before."""
        state.write_states(self.connection, bodies.items(), self.last_seq())

    def form(self) -> str | None:
        """Return in which form the projections are kept; none where that was never noted."""
        return state.read_form(self.connection)

    def note_form(self, form: str) -> None:
        """Note in which form the projections are kept."""
        state.write_form(self.connection, form, self.last_seq())


# Given the ledger, give every state that follows from its entries.
Projector = Callable[[Ledger], Iterable[tuple[str, Mapping[str, Any]]]]


class Head(NamedTuple):
    """Number, hash and time in microseconds of the newest entry."""

    seq: int = 0
    hash: str = GENESIS
    recorded_at: int = 0


def head_of(connection: sa.Connection) -> Head:
    """Return what the next entry chains to."""
    row = connection.execute(_HEAD).first()
    return Head(*row) if row else Head()


_HEAD = (
    sa.select(entries.c.seq, entries.c.hash, entries.c.recorded_at)
    .order_by(entries.c.seq.desc())
    .limit(1)
)
_ADD = sa.insert(entries)


def hash_of(connection: sa.Connection, seq: int) -> str | None:
    """Return the hash of the entry with that number, or none."""
    return connection.execute(sa.select(entries.c.hash).where(entries.c.seq == seq)).scalar()


def _unique(batch: Iterable[Entry]) -> tuple[dict[str, Entry], set[str]]:
    """Take each id of a batch once; also return the ids that come with two contents."""
    unique: dict[str, Entry] = {}
    clashes: set[str] = set()
    for entry in batch:
        first = unique.setdefault(str(entry.id), entry)
        if first is not entry and not first.same_as(entry):
            clashes.add(str(entry.id))
    return unique, clashes


def _add(connection: sa.Connection, fresh: Sequence[Entry], recorded_at: int, head: Head) -> Head:
    """Chain entries to the head; return the new head."""
    seq, previous, _ = head
    rows = []
    for entry in fresh:
        seq += 1
        row = to_row(entry, seq, recorded_at, previous)
        previous = row["hash"]
        rows.append(row)
    if rows:
        connection.execute(_ADD, rows)
    return Head(seq, previous, recorded_at)
