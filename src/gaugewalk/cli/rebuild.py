"""`gaugewalk rebuild`: the screens' own tables, built anew from the journal."""

from pathlib import Path

import typer

from gaugewalk.cli.opening import open_watch


def rebuild(plant: Path, journal: str | None) -> None:
    """Verify the journal's chain and rebuild every projection from it."""
    watch = open_watch(plant, journal)
    entries = watch.journal.verify()
    watch.rebuild()
    typer.echo(f"The journal is whole: {entries} entries in an unbroken chain. Rebuilt from it.")
