"""`gaugewalk import`: readings from a CSV file."""

from pathlib import Path

import typer

from gaugewalk.cli.clock import now
from gaugewalk.cli.opening import open_watch
from gaugewalk.cli.progress import bar
from gaugewalk.errors import FileError


def import_readings(plant: Path, journal: str | None, file: Path, *, who: str) -> None:
    """Store the rows that can be read and list those that cannot.

    Raises
    ------
    FileError
        Rows could not be read; the others are stored.
    """
    watch = open_watch(plant, journal)
    with bar(f"Reading {file.name} …") as tell:
        done = watch.import_csv(file, who=who, now=now(), tell=tell)
    watch.journal.close()
    typer.echo(f"{done.stored} readings stored, {done.known} were known before.")
    if done.problems:
        count = len(done.problems)
        rows = "1 row was" if count == 1 else f"{count} rows were"
        raise FileError(f"{file.name}: {rows} not stored", done.problems)
