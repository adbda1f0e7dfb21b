"""The journal: append-only, durable, and the only room that speaks SQL.

One connection writes at a time, under a lock; each read takes a connection of its own, so that a
long read never holds up a reading entered at the pump.
"""

import threading
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path
from typing import Any
from uuid import UUID

import sqlalchemy as sa

from gaugewalk.errors import ArgumentError, StorageError
from gaugewalk.journal import schema, state
from gaugewalk.journal.dialect import (
    DRIVER_ERRORS,
    copy_sqlite,
    engine_for,
    lock_writers,
    snapshot,
    tables_in,
)
from gaugewalk.journal.entry import Appended, BatchConflictError, Entry
from gaugewalk.journal.failing import storage_error
from gaugewalk.journal.ledger import (
    END_OF_TIME,
    NO_STATES,
    Ledger,
    Projector,
    hash_of,
    head_of,
)
from gaugewalk.journal.tail import Tail, said_of_loss
from gaugewalk.journal.verify import Verification, number_of, walk_chain
from gaugewalk.journal.wholeness import refuse_cut


@dataclass(frozen=True, slots=True, kw_only=True)
class Journal:
    """An open journal; safe to use from many threads."""

    engine: sa.Engine
    tail: Tail | None = None  # for a file: the note of its last entry
    lost: str | None = None  # when it was opened: what was acknowledged and is not there
    _writing: threading.Lock = field(default_factory=threading.Lock)
    _here: threading.local = field(default_factory=threading.local)

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
        engine = engine_for(where)
        file = engine.url.database if engine.dialect.name == "sqlite" else None
        if file:
            refuse_cut(Path(file))
        _refuse_strange(engine)
        journal = cls(engine=engine, tail=Tail.of(file) if file else None)
        try:
            journal._bring_up_to_date()
            return replace(journal, lost=journal._lost())
        except BaseException:
            journal.close()
            raise

    @classmethod
    def exists(cls, where: str | Path) -> bool:
        """Whether there is a journal, without making one."""
        engine = engine_for(where)
        try:
            return "entries" in _tables(engine)
        finally:
            engine.dispose()

    def _lost(self) -> str | None:
        """Say what was acknowledged and is not there."""
        noted = self.tail.read() if self.tail else None
        if noted is None:
            return None
        with self._connect("be read", writes=False) as connection:
            stored = hash_of(connection, noted[0])
            return None if stored == noted[1] else said_of_loss(noted[0], head_of(connection).seq)

    def _bring_up_to_date(self) -> None:
        with self._connect("be opened", writes=False) as connection:
            if schema.current_version(connection) == schema.VERSION:
                return
        with self._connect("be brought up to date", writes=True) as connection:
            found = schema.current_version(connection)  # another program may have been faster
            if found is not None and found > schema.VERSION:
                raise StorageError(
                    f"The journal has schema {found}; this program knows up to {schema.VERSION}. "
                    "Use the newer program that wrote it."
                )
            if found != schema.VERSION:
                schema.upgrade(connection)

    @contextmanager
    def reading(self) -> Iterator[Ledger]:
        """Ask several questions of one unchanging view of the journal.

        Within such a block of the same thread it is the same view, on the same connection: a
        crowd of readers who each wait for a second one would wait for ever.
        """
        around: Ledger | None = getattr(self._here, "ledger", None)
        if around is not None:
            yield around
            return
        with self._connect("be read", writes=False) as connection:
            self._here.ledger = Ledger(connection=connection)
            try:
                yield self._here.ledger
            finally:
                self._here.ledger = None

    @contextmanager
    def writing(self) -> Iterator[Ledger]:
        """Read and add in one transaction that no other program can come between.

        What was added is durable when the block has ended, and gone when it raises.
        """
        with self._connect("store this", writes=True) as connection:
            ledger = Ledger(connection=connection)
            yield ledger
        if self.tail and ledger.heads:
            self.tail.write(*ledger.heads[-1])

    def append(
        self,
        batch: Iterable[Entry],
        *,
        recorded_at: datetime,
        states: Mapping[str, Mapping[str, Any]] = NO_STATES,
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
        with self.writing() as ledger:
            appended = ledger.append(batch, recorded_at=recorded_at, states=states)
        if appended.conflicts:
            raise BatchConflictError(appended)
        return appended

    def get(self, entry_id: UUID) -> Entry:
        """Return one entry as it was stored; NotFoundError when there is none of that id."""
        with self.reading() as ledger:
            return ledger.get(entry_id)

    def latest(self, tag: str, *, kinds: Collection[str] = ("reading",)) -> dict[str, Entry]:
        """Return the newest entry of each point of a pump, corrections in place."""
        with self.reading() as ledger:
            return ledger.latest(tag, kinds=kinds)

    def history(
        self,
        tag: str | None,
        *,
        since: datetime,
        until: datetime = END_OF_TIME,
        points: Collection[str] | None = None,
        kinds: Collection[str] | None = None,
    ) -> list[Entry]:
        """Return a pump's entries from `since` to `until`, both included, in the order seen.

        A corrected entry is given as corrected, in the place of the original; `corrects` then
        names the original, which `get` returns. A withdrawn one is left out. With no tag: the
        entries that belong to no pump.
        """
        with self.reading() as ledger:
            return ledger.history(tag, since=since, until=until, points=points, kinds=kinds)

    def entries(
        self,
        *,
        after: int = 0,
        kinds: Collection[str] | None = None,
        tags: Collection[str] | None = None,
    ) -> Iterator[Entry]:
        """Yield entries after a sequence number, as recorded, corrections on their own."""
        with self._connect("be read", writes=False) as connection:
            yield from Ledger(connection=connection).entries(after=after, kinds=kinds, tags=tags)

    def last_seq(self) -> int:
        """Return the sequence number of the newest entry, 0 for an empty journal."""
        with self.reading() as ledger:
            return ledger.last_seq()

    def save_state(self, key: str, body: Mapping[str, Any]) -> None:
        """Keep a projection under a key, in place of the one before."""
        with self.writing() as ledger:
            ledger.save_states({key: body})

    def load_state(self, key: str) -> dict[str, Any] | None:
        """Return a projection, or none."""
        with self.reading() as ledger:
            return ledger.load_state(key)

    def load_states(self, prefix: str) -> dict[str, dict[str, Any]]:
        """Return all projections whose key begins with the prefix, sorted by key."""
        with self.reading() as ledger:
            return ledger.load_states(prefix)

    def rebuild(self, projector: Projector, *, form: str | None = None) -> int:
        """Throw all projections away and make them anew from the entries; return how many.

        `projector` is given the ledger and yields every state that follows from it, `form` says
        in which form they are.
        """
        with self.writing() as ledger:
            made = dict(projector(ledger))
            state.clear_states(ledger.connection)
            ledger.save_states(made)
            if form is not None:
                ledger.note_form(form)
        return len(made)

    def verify(self, *, tell: Callable[[float], None] = lambda share: None) -> Verification:
        """Walk the whole hash chain; each entry that is not as stored is named."""
        with self.reading() as ledger:
            return walk_chain(ledger.connection, tell=tell)

    def number_of(self, digest: str) -> int | None:
        """Return the number of the entry that has this hash, as once written down; or none."""
        with self.reading() as ledger:
            return number_of(ledger.connection, digest)

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
    def _connect(self, doing: str, *, writes: bool) -> Iterator[sa.Connection]:
        """Open a transaction; a writer's is committed at the end, a reader's has nothing to."""
        ending = False
        try:
            if not writes:
                with self.engine.connect() as plain:
                    yield snapshot(plain)
                return
            with self._writing, self.engine.connect() as plain:
                connection = plain.execution_options(writes=True)
                with connection.begin():
                    lock_writers(connection)
                    yield connection
                    ending = True
        except DRIVER_ERRORS as error:
            raise storage_error(doing, error, ending=ending) from error


def _tables(engine: sa.Engine) -> list[str]:
    try:
        return tables_in(engine)
    except DRIVER_ERRORS as error:
        raise storage_error("be opened", error) from error


def _refuse_strange(engine: sa.Engine) -> None:
    """Raise where a database holds something else; people's tables may lie beside ours."""
    names = [name for name in _tables(engine) if not name.startswith("people_")]
    if names and not {"entries", schema.VERSION_TABLE} <= set(names):
        raise StorageError(
            f"This is no journal: it holds other tables ({', '.join(names[:3])}). Name an empty "
            "database or a new file."
        )
