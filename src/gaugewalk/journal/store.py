"""The journal: append-only, durable, and the only room that speaks SQL.

One connection writes at a time, under a lock; each read takes a connection of its own, so that a
long read never holds up a reading entered at the pump.
"""

import threading
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from uuid import UUID

import sqlalchemy as sa

from gaugewalk.errors import ArgumentError, NotFoundError, StorageError
from gaugewalk.journal import reading, schema, state
from gaugewalk.journal.dialect import (
    DRIVER_ERRORS,
    copy_sqlite,
    engine_for,
    lock_writers,
    storage_error,
)
from gaugewalk.journal.entry import Appended, BatchConflictError, Entry
from gaugewalk.journal.rows import GENESIS, chain, to_entry, to_micros, to_row
from gaugewalk.journal.schema import entries

_NO_STATES: Mapping[str, Mapping[str, Any]] = {}
_END_OF_TIME = datetime(9999, 12, 31, tzinfo=UTC)


@dataclass(frozen=True, slots=True, kw_only=True)
class Verification:
    """What a walk along the hash chain found."""

    count: int  # entries walked
    head: str  # hash of the last one: write it down elsewhere and a cut-off end shows too
    faults: tuple[str, ...]

    @property
    def ok(self) -> bool:
        """Whether every entry is the one that was stored."""
        return not self.faults


@dataclass(frozen=True, slots=True, kw_only=True)
class Journal:
    """An open journal; safe to use from many threads."""

    engine: sa.Engine
    _writing: threading.RLock = field(default_factory=threading.RLock)

    @classmethod
    def open(cls, where: str | Path) -> "Journal":
        """Open the journal in a file or at a database URL; make or upgrade it where needed.

        Raises
        ------
        StorageError
            When it cannot be opened, or was written by a newer version.

        Examples
        --------
        >>> import tempfile
        >>> with tempfile.TemporaryDirectory() as folder:
        ...     journal = Journal.open(Path(folder) / "watch.db")
        ...     print(journal.verify().count)
        ...     journal.close()
        0
        """
        journal = cls(engine=engine_for(where))
        try:
            journal._bring_up_to_date()
        except BaseException:
            journal.close()
            raise
        return journal

    def _bring_up_to_date(self) -> None:
        with self._read("be opened") as connection:
            if schema.current_version(connection) == schema.VERSION:
                return
        with self._write("be brought up to date") as connection:
            found = schema.current_version(connection)  # another program may have been faster
            if found is not None and found > schema.VERSION:
                raise StorageError(
                    f"The journal has schema {found}; this program knows up to {schema.VERSION}. "
                    "Use the newer program that wrote it."
                )
            if found != schema.VERSION:
                schema.upgrade(connection)

    def append(
        self,
        batch: Iterable[Entry],
        *,
        recorded_at: datetime,
        states: Mapping[str, Mapping[str, Any]] = _NO_STATES,
    ) -> Appended:
        """Store entries durably, each once.

        Parameters
        ----------
        batch : iterable of Entry
            An entry whose id is known with the same content is not stored again.
        recorded_at : datetime
            The time now; entries already known keep theirs.
        states : mapping
            Projections that follow from this batch; saved with it when all of it is new.

        Raises
        ------
        BatchConflictError
            When an id is known with other content. The rest of the batch is stored all the same.
        StorageError
            When nothing could be stored.
        """
        if recorded_at.tzinfo is None:
            raise ArgumentError(f"recorded_at = {recorded_at.isoformat()} has no time zone.")
        unique, clashes = _unique(batch)
        with self._write("store this") as connection:
            known = reading.by_ids(connection, unique)
            clashes |= {i for i, entry in known.items() if not entry.same_as(unique[i])}
            fresh = [entry for i, entry in unique.items() if i not in known]
            seq = _add(connection, fresh, to_micros(recorded_at))
            if len(fresh) == len(unique):
                state.write_states(connection, states.items(), seq)
        appended = Appended(
            stored=tuple(entry.id for entry in fresh),
            known=tuple(UUID(i) for i in known if i not in clashes),
            conflicts=tuple(UUID(i) for i in sorted(clashes)),
        )
        if clashes:
            raise BatchConflictError(appended)
        return appended

    def get(self, entry_id: UUID) -> Entry:
        """Return one entry as it was stored; NotFoundError when there is none of that id."""
        with self._read("be read") as connection:
            found = reading.by_ids(connection, [str(entry_id)])
        if not found:
            raise NotFoundError(f"The journal holds no entry {entry_id}.")
        return found[str(entry_id)]

    def find(self, ids: Iterable[UUID]) -> dict[UUID, Entry]:
        """Return those of these entries that the journal holds, as they were stored."""
        with self._read("be read") as connection:
            found = reading.by_ids(connection, [str(i) for i in ids])
        return {entry.id: entry for entry in found.values()}

    def latest(self, tag: str, *, kinds: Collection[str] = ("reading",)) -> dict[str, Entry]:
        """Return the newest entry of each point of a pump, corrections in place."""
        with self._read("be read") as connection:
            return reading.latest(connection, tag, kinds)

    def history(
        self,
        tag: str | None,
        *,
        since: datetime,
        until: datetime = _END_OF_TIME,
        points: Collection[str] | None = None,
        kinds: Collection[str] | None = None,
    ) -> list[Entry]:
        """Return a pump's entries from `since` to `until`, both included, in the order seen.

        A corrected entry is given as corrected, in the place of the original; `corrects` then
        names the original, which `get` returns. A withdrawn one is left out. With no tag: the
        entries that belong to no pump.
        """
        with self._read("be read") as connection:
            return reading.history(connection, tag, (since, until), points, kinds)

    def entries(
        self,
        *,
        after: int = 0,
        kinds: Collection[str] | None = None,
        tags: Collection[str] | None = None,
    ) -> Iterator[Entry]:
        """Yield entries after a sequence number, as recorded, corrections on their own."""
        with self._read("be read") as connection:
            yield from reading.walk(connection, after, kinds, tags)

    def last_seq(self) -> int:
        """Return the sequence number of the newest entry, 0 for an empty journal."""
        with self._read("be read") as connection:
            return _head(connection)[0]

    def save_state(self, key: str, body: Mapping[str, Any]) -> None:
        """Keep a projection under a key, in place of the one before."""
        with self._write("keep a state") as connection:
            state.write_states(connection, [(key, body)], _head(connection)[0])

    def load_state(self, key: str) -> dict[str, Any] | None:
        """Return a projection, or none."""
        with self._read("be read") as connection:
            return state.read_state(connection, key)

    def load_states(self, prefix: str) -> dict[str, dict[str, Any]]:
        """Return all projections whose key begins with the prefix, sorted by key."""
        with self._read("be read") as connection:
            return state.read_states(connection, prefix)

    def rebuild(self, projector: state.Projector) -> int:
        """Throw all projections away and make them anew from the entries; return how many."""
        with self._write("be rebuilt") as connection:
            seq = _head(connection)[0]
            made = list(projector(reading.walk(connection, 0, None, None)))
            state.clear_states(connection)
            return state.write_states(connection, made, seq)

    def verify(self) -> Verification:
        """Walk the whole hash chain; each entry that is not as stored is named."""
        with self._read("be verified") as connection:
            rows = connection.execution_options(yield_per=2000).execute(
                sa.select(entries).order_by(entries.c.seq)
            )
            count, seq, head, faults = 0, 0, GENESIS, []
            for row in rows:
                count += 1
                fault = _fault(row, seq, head)
                if fault:
                    faults.append(fault)
                seq, head = row.seq, row.hash
            newest = connection.execute(sa.select(sa.func.max(schema.states.c.seq))).scalar()
        if newest is not None and newest > seq:
            faults.append(f"entries {seq + 1} to {newest} are missing at the end")
        return Verification(count=count, head=head, faults=tuple(faults))

    def backup(self, target: Path) -> Path:
        """Copy the journal, complete and consistent, while others go on writing (SQLite only)."""
        if self.engine.dialect.name != "sqlite":
            raise ArgumentError("This journal is in PostgreSQL: back it up with pg_dump.")
        part = target.with_name(target.name + ".part")
        try:
            with self.engine.connect() as connection:
                copy_sqlite(connection, part)
            part.replace(target)
        except (*DRIVER_ERRORS, OSError) as error:
            part.unlink(missing_ok=True)
            raise storage_error("be copied", error) from error
        return target

    def close(self) -> None:
        """Close all connections."""
        self.engine.dispose()

    @contextmanager
    def _read(self, doing: str) -> Iterator[sa.Connection]:
        try:
            with self.engine.connect() as connection:
                yield connection
        except DRIVER_ERRORS as error:
            raise storage_error(doing, error) from error

    @contextmanager
    def _write(self, doing: str) -> Iterator[sa.Connection]:
        try:
            with self._writing, self.engine.connect() as plain:
                connection = plain.execution_options(writes=True)
                with connection.begin():
                    lock_writers(connection)
                    yield connection
        except DRIVER_ERRORS as error:
            raise storage_error(doing, error) from error


def _unique(batch: Iterable[Entry]) -> tuple[dict[str, Entry], set[str]]:
    """Take each id of a batch once; also return the ids that come with two contents."""
    unique: dict[str, Entry] = {}
    clashes: set[str] = set()
    for entry in batch:
        first = unique.setdefault(str(entry.id), entry)
        if not first.same_as(entry):
            clashes.add(str(entry.id))
    return unique, clashes


def _head(connection: sa.Connection) -> tuple[int, str]:
    query = sa.select(entries.c.seq, entries.c.hash).order_by(entries.c.seq.desc()).limit(1)
    row = connection.execute(query).first()
    return (row.seq, row.hash) if row else (0, GENESIS)


def _add(connection: sa.Connection, fresh: Sequence[Entry], recorded_at: int) -> int:
    """Chain entries to the head inside the caller's transaction; return the last sequence."""
    seq, previous = _head(connection)
    rows = []
    for entry in fresh:
        seq += 1
        row = to_row(entry, seq, recorded_at, previous)
        previous = row["hash"]
        rows.append(row)
    if rows:
        connection.execute(sa.insert(entries), rows)
    return seq


def _fault(row: sa.Row[Any], previous_seq: int, previous: str) -> str | None:
    """Say what is wrong with one row of the chain, or nothing."""
    if row.seq != previous_seq + 1:
        return f"entries {previous_seq + 1} to {row.seq - 1} are missing"
    try:
        expected = chain(previous, row.seq, row.recorded_at, to_entry(row).content())
    except (ValueError, TypeError) as error:
        return f"entry {row.seq} ({row.id}) cannot be read: {error}"
    return None if expected == row.hash else f"entry {row.seq} ({row.id}) was altered"
