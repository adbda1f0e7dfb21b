"""`gaugewalk rebuild`: the screens' own tables, built anew from the journal."""

from pathlib import Path

import typer

from gaugewalk.cli.opening import open_watch
from gaugewalk.cli.progress import bar
from gaugewalk.errors import StorageError

_NAMED = 20  # faults that are listed


def rebuild(plant: Path, journal: str | None) -> None:
    """Verify the journal's chain and rebuild every projection from it."""
    watch = open_watch(plant, journal)
    with bar("Walking the chain …") as tell:
        found = watch.journal.verify(tell=tell)
    if not found.ok:
        faults = "".join(f"\n  - {fault}" for fault in found.faults[:_NAMED])
        raise StorageError(
            f"The journal was altered or is incomplete, {len(found.faults)} faults:{faults}\n"
            "Nothing was rebuilt. Keep this file aside and compare it with the last backup."
        )
    with bar("Making the screens anew …") as tell:
        watch.rebuild(tell=tell)
    typer.echo(f"The journal is whole: {found.count} entries in a chain. Rebuilt from it.")
    watch.journal.close()
