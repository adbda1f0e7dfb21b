"""`gaugewalk verify`: is the journal complete and as it was written?"""

import json
from pathlib import Path

import typer

from gaugewalk.cli.opening import JOURNAL_NAME
from gaugewalk.cli.progress import bar
from gaugewalk.errors import NotFoundError, StorageError

_NAMED = 20  # faults that are listed


def verify(plant: Path, journal: str | None, *, was: str | None, as_json: bool) -> None:
    """Walk the hash chain; with `was`, also look for a last hash written down before.

    Raises
    ------
    StorageError
        The journal is not whole, or no longer holds that hash.
    """
    from gaugewalk.journal.store import Journal

    place = journal or str(plant.parent / JOURNAL_NAME)
    if not Journal.exists(place):
        raise NotFoundError(f"There is no journal in {place!r}; name it with --journal.")
    opened = Journal.open(place)
    try:
        with bar("Walking the chain …") as tell:
            found = opened.verify(tell=tell)
        lost = opened.lost
        at = opened.number_of(was) if was else None
    finally:
        opened.close()
    faults = [*found.faults, *([lost] if lost else [])]
    if was and at is None:
        faults.append(f"no entry has the hash {was[:80]}: what stood before it may be gone")
    if as_json:
        said = {"ok": not faults, "entries": found.count, "head": found.head, "faults": faults}
        typer.echo(json.dumps(said, indent=2))
    if faults:
        listed = "".join(f"\n  - {fault}" for fault in faults[:_NAMED])
        raise StorageError(
            f"The journal is not whole, {len(faults)} faults:{listed}\n"
            "Keep this file aside and compare it with the last backup."
        )
    if not as_json:
        before = f"\nThe hash you gave is that of entry {at}." if was else ""
        typer.echo(
            f"The journal is whole: {found.count} entries in a chain.\n"
            f"The last hash is {found.head}: written down elsewhere, it shows later that nothing "
            f"before it was changed or cut off.{before}"
        )
