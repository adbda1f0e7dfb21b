"""`gaugewalk export`: readings, troubles or rounds as a table for other programs."""

import sys
from datetime import UTC, datetime
from pathlib import Path

import typer

from gaugewalk.cli.clock import now
from gaugewalk.cli.opening import open_watch
from gaugewalk.cli.progress import bar

_EVER = datetime(1970, 1, 1, tzinfo=UTC)
STANDARD_OUT = "-"


def export(
    plant: Path,
    journal: str | None,
    what: str,
    file: str,
    *,
    since: str | None,
    until: str | None,
    tags: list[str],
    replace: bool,
) -> None:
    """Write a table to a file by its ending, or as CSV to standard output."""
    from gaugewalk.watch.export import Span, table
    from gaugewalk.watch.export_file import Heading, form_of, write_csv, write_table
    from gaugewalk.watch.wall import read_time

    if file != STANDARD_OUT:
        form_of(Path(file))
    watch = open_watch(plant, journal)
    at, zone = now(), watch.desk.zone
    span = Span(
        since=read_time(since, zone) if since else _EVER,
        until=read_time(until, zone) if until else at,
        tags=tuple(tags),
    )
    heading = Heading(plant=watch.plant.name, zone=zone, written_at=at)
    with watch.journal.reading() as ledger, bar(f"Writing {what} …") as tell:
        made = table(watch.desk, ledger, what, span, tell=tell)
        if file == STANDARD_OUT:
            write_csv(made, sys.stdout, heading)
        else:
            count = write_table(made, Path(file), heading, replace=replace)
            typer.echo(f"{count} {what} written to {file}.")
    watch.journal.close()
