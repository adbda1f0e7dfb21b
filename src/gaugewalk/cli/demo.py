"""`gaugewalk demo`: make the invented plant once, then serve it."""

import shutil
from datetime import UTC, datetime
from pathlib import Path

import typer
from rich.progress import Progress

from gaugewalk.cli.opening import JOURNAL_NAME
from gaugewalk.errors import ArgumentError

WHAT_TO_TRY = """\
  1. "This watch" shows what needs a hand now: open the trouble at the top of the list.
  2. Answer one of its next checks and see the causes change places.
  3. Start the round that is due and enter a reading in another unit, as in "45 psig".
In another terminal:  gaugewalk why --plant {plant} {tag}   or   gaugewalk calc
Ctrl-C stops the server; the plant and its journal stay in {folder}."""


def demo(folder: Path, *, port: int, fresh: bool, prepare_only: bool) -> None:
    """Make the demo plant in `folder` where it is missing, and serve it on loopback."""
    from gaugewalk.cli.serve import refuse_port_in_use, serve

    if not prepare_only:
        refuse_port_in_use("127.0.0.1", port)
    plant = folder / "plant.toml"
    if fresh:
        _remove(folder)
    if not plant.is_file():
        _create(folder)
    if prepare_only:
        typer.echo(f"The demo plant is ready in {folder}.")
        return
    typer.echo(f"Larkmoor Oilseed Works (an invented plant) in {folder}. What to try:")
    typer.echo(WHAT_TO_TRY.format(plant=plant, folder=folder, tag=_first_tag(plant)))
    serve(plant, None, host="127.0.0.1", port=port)


def _create(folder: Path) -> None:
    from gaugewalk.drill.larkmoor import create

    if folder.exists() and any(folder.iterdir()):
        raise ArgumentError(
            f"{str(folder)!r} is not empty and holds no plant.toml. Name an empty or new folder "
            "with --folder, so that nothing of yours is overwritten."
        )
    with Progress(transient=True) as progress:
        task = progress.add_task("Walking 60 days of rounds …", total=1.0)
        create(
            folder,
            now=datetime.now(UTC),
            progress=lambda share: progress.update(task, completed=share),
        )


def _remove(folder: Path) -> None:
    """Remove a demo plant, and nothing that does not look like one."""
    if not folder.exists():
        return
    beside = {f"{JOURNAL_NAME}{end}" for end in ("", "-wal", "-shm", "-tail")}
    known = {"plant.toml", "photos", *beside}
    strange = sorted(p.name for p in folder.iterdir() if p.name not in known)
    if strange:
        raise ArgumentError(
            f"{str(folder)!r} holds {strange[0]!r}, which the demo did not make. Move it away, or "
            "name another folder with --folder."
        )
    shutil.rmtree(folder)


def _first_tag(plant: Path) -> str:
    from gaugewalk.plant.plant_file import load_plant

    return load_plant(plant).pumps[0].tag
