"""Copy a journal from one place to another, as it is: numbers, times and hashes stay.

Every entry's hash is worked out anew on the way, so that what was altered in the first place never
comes to the second unseen. What is there already is not copied again: a copy that broke off goes
on where it ended.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from gaugewalk.errors import ArgumentError, NotFoundError, StorageError
from gaugewalk.journal import schema, state
from gaugewalk.journal.dialect import engine_for
from gaugewalk.journal.ledger import Ledger, hash_of, head_of
from gaugewalk.journal.store import Journal
from gaugewalk.journal.verify import fault_of

_AT_ONCE = 2000  # rows in one transaction
Tell = Callable[[float], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """What a copy did: entries copied now, those that were there before, and the last hash."""

    copied: int
    known: int
    head: str


def move(source: str | Path, target: str | Path, *, tell: Tell = lambda share: None) -> Moved:
    """Copy the journal at `source` to `target` and verify the copy.

    Parameters
    ----------
    source, target : str or Path
        File paths or database URLs. The source is not changed.
    tell : callable
        Told now and then which share of the work is done, 0 to 1.

    Raises
    ------
    NotFoundError
        There is no journal at the source.
    ArgumentError
        Source and target are the same, or the target holds something else.
    StorageError
        An entry of the source is not as it was stored, or the copy is not as the source.
    """
    _refuse_same(source, target)
    _refuse_nothing(source)
    origin = Journal.open(source)
    try:
        copy = Journal.open(target)
        try:
            return _move(origin, copy, tell)
        finally:
            copy.close()
    finally:
        origin.close()


def _move(origin: Journal, copy: Journal, tell: Tell) -> Moved:
    with origin.reading() as ledger:
        total = ledger.last_seq()
        known, head = _common_part(ledger, copy)
        seq = known
        rows = _checked(ledger.connection, known, head)
        while batch := list(islice(rows, _AT_ONCE)):
            _put(copy, batch, seq)
            seq = batch[-1]["seq"]
            tell(0.7 * seq / total)
        states, form = ledger.load_states(""), ledger.form()
        with copy.writing() as there:
            _refuse_others(head_of(there.connection).seq, seq)
            state.clear_states(there.connection)
            there.save_states(states)
            if form is not None:
                there.note_form(form)
        head = head_of(ledger.connection).hash
    found = copy.verify()
    if not found.ok or found.head != head:
        named = "; ".join(found.faults[:5]) or "its last hash differs"
        raise StorageError(f"The copy is not as the journal: {named}. Do not use it.")
    tell(1.0)
    return Moved(copied=seq - known, known=known, head=head)


def _refuse_same(source: str | Path, target: str | Path) -> None:
    first, second = engine_for(source).url, engine_for(target).url
    files = [Path(str(url.database)).resolve() for url in (first, second)]
    same_file = first.get_backend_name() == "sqlite" and files[0] == files[1]
    if first == second or (same_file and second.get_backend_name() == "sqlite"):
        raise ArgumentError("The journal is there already: name another place to copy it to.")


def _refuse_nothing(source: str | Path) -> None:
    """Raise where there is no journal, which opening it would make."""
    if not Journal.exists(source):
        name = engine_for(source).url.database
        raise NotFoundError(f"There is no journal in {name!r}; name the one to copy.")


def _common_part(ledger: Ledger, copy: Journal) -> tuple[int, str]:
    """Return the head of what both hold; raise where the target holds something else."""
    with copy.reading() as there:
        seq, digest, _ = head_of(there.connection)
    if seq and hash_of(ledger.connection, seq) != digest:
        raise ArgumentError(
            f"The target holds {seq} entries that are not those of this journal. Name an empty "
            "database or a new file; two journals cannot be put into one."
        )
    return seq, digest


def _checked(connection: sa.Connection, after: int, head: str) -> Iterator[dict[str, Any]]:
    """Yield the rows after a number, each found to be as it was stored."""
    query = sa.select(schema.entries).where(schema.entries.c.seq > after)
    previous, digest = after, head
    for row in connection.execute(
        query.order_by(schema.entries.c.seq), execution_options={"yield_per": _AT_ONCE}
    ):
        fault = fault_of(row, previous, digest)
        if fault:
            raise StorageError(
                f"The journal is not whole: {fault}. Entries up to {previous} can be trusted. "
                "Compare it with the last backup before it is copied."
            )
        previous, digest = row.seq, row.hash
        yield dict(row._mapping)


def _put(copy: Journal, batch: list[dict[str, Any]], after: int) -> None:
    with copy.writing() as there:
        _refuse_others(head_of(there.connection).seq, after)
        there.connection.execute(sa.insert(schema.entries), batch)
        there.heads.append((batch[-1]["seq"], batch[-1]["hash"]))


def _refuse_others(found: int, expected: int) -> None:
    if found != expected:
        raise StorageError("Another program writes to the target. Stop it and begin again.")
