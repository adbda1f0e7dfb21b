"""`gaugewalk handover`: what the next watch must know, as plain text."""

from pathlib import Path

import typer

from gaugewalk.cli.clock import now
from gaugewalk.cli.opening import open_watch


def handover(plant: Path, journal: str | None) -> None:
    """Write the handover of the shift that is on."""
    watch = open_watch(plant, journal)
    typer.echo(watch.handover_text(now()), nl=False)
    watch.journal.close()
