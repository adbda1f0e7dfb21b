"""Is the journal complete and unaltered? A walk along its hash chain."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import sqlalchemy as sa

from gaugewalk.journal.rows import GENESIS, chain, to_entry
from gaugewalk.journal.schema import entries, states

_CHUNK = 2000


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


def walk_chain(
    connection: sa.Connection, *, tell: Callable[[float], None] = lambda share: None
) -> Verification:
    """Compute every hash anew; after a fault the walk goes on from what is stored.

    Entries cut off at the end show only where a projection reflects them; whoever keeps a `head`
    elsewhere can compare it. `tell` is told now and then which share is done, 0 to 1.
    """
    query = sa.select(entries).order_by(entries.c.seq)
    count, seq, head, faults = 0, 0, GENESIS, []
    last = connection.execute(sa.select(sa.func.max(entries.c.seq))).scalar() or 1
    for row in connection.execute(query, execution_options={"yield_per": _CHUNK}):
        count += 1
        fault = fault_of(row, seq, head)
        if fault:
            faults.append(fault)
        seq, head = row.seq, row.hash
        if count % _CHUNK == 0:
            tell(min(seq / last, 1.0))
    newest = connection.execute(sa.select(sa.func.max(states.c.seq))).scalar()
    if newest is not None and newest > seq:
        faults.append(f"entries {seq + 1} to {newest} are missing at the end")
    return Verification(count=count, head=head, faults=tuple(faults))


def fault_of(row: sa.Row[Any], previous_seq: int, previous: str) -> str | None:
    """Say what is wrong with one row of the chain, or nothing."""
    if row.seq != previous_seq + 1:
        return f"entries {previous_seq + 1} to {row.seq - 1} are missing"
    try:
        expected = chain(previous, row.seq, row.recorded_at, to_entry(row).content())
    except (ValueError, TypeError) as error:
        return f"entry {row.seq} ({row.id}) cannot be read: {error}"
    return None if expected == row.hash else f"entry {row.seq} ({row.id}) was altered"


def number_of(connection: sa.Connection, digest: str) -> int | None:
    """Return the number of the entry that has this hash, or none."""
    query = sa.select(entries.c.seq).where(entries.c.hash == digest)
    return connection.execute(query).scalar()
