"""Open a plant and its journal the same way for every command."""

from pathlib import Path
from typing import TYPE_CHECKING

from gaugewalk.errors import NotFoundError

if TYPE_CHECKING:
    from gaugewalk.people.store import Store
    from gaugewalk.watch.photos import Photos
    from gaugewalk.watch.service import Watch

JOURNAL_NAME = "watch.db"


def photos_beside(plant: Path) -> "Photos":
    """Return the folder of photos that belongs to a plant file."""
    from gaugewalk.watch.photos import Photos

    return Photos(folder=plant.parent / "photos")


def open_watch(plant: Path, journal: str | None) -> "Watch":
    """Return the watch over a plant file and the journal that belongs to it.

    Raises
    ------
    NotFoundError
        There is no plant file at that path.
    FileError
        The plant file has faults; all of them are listed.
    StorageError
        The journal could not be opened.
    """
    if not plant.is_file():
        raise NotFoundError(
            f"no plant file at {str(plant)!r}. Name one with --plant FILE, or make the demo plant "
            "with `gaugewalk demo`."
        )
    from gaugewalk.diagnose.knowledge import load_knowledge
    from gaugewalk.journal.store import Journal
    from gaugewalk.plant.plant_file import load_plant
    from gaugewalk.watch.procedure_file import load_procedures
    from gaugewalk.watch.service import Watch

    own_knowledge = plant.parent / "knowledge.toml"
    own_lists = plant.parent / "procedures.toml"
    watch = Watch(
        plant=load_plant(plant),
        journal=Journal.open(journal or str(plant.parent / JOURNAL_NAME)),
        knowledge=load_knowledge(own_knowledge if own_knowledge.is_file() else None),
        procedures=load_procedures(own_lists if own_lists.is_file() else None),
    )
    if watch.journal.lost:
        _tell_loss(watch, watch.journal.lost)
    _keep_form(watch)
    return watch


def _tell_loss(watch: "Watch", sentence: str) -> None:
    """Say that the journal's end is missing, here and at every handover until somebody ends it."""
    import typer

    from gaugewalk.cli.clock import now

    typer.echo(f"gaugewalk: {sentence}", err=True)
    watch.note(None, sentence, who="Gaugewalk", now=now(), standing=True)


def _keep_form(watch: "Watch") -> None:
    """Make what the screens show anew where another version of the program kept it its own way."""
    import typer

    from gaugewalk.watch.form import is_kept, keep

    if not is_kept(watch.desk):
        typer.echo(
            "Another version wrote here: making the screens anew from the journal …", err=True
        )
        keep(watch.desk)


def people_place(plant: Path, journal: str | None) -> str:
    """Return where the people are kept: beside the journal's file, or in its PostgreSQL database.

    Examples
    --------
    >>> people_place(Path("larkmoor/plant.toml"), None).replace("\\\\", "/")
    'larkmoor/people.db'
    >>> people_place(Path("plant.toml"), "postgresql://watch@db/larkmoor")
    'postgresql://watch@db/larkmoor'
    """
    from gaugewalk.people.store import FILE_NAME

    where = journal or str(plant.parent / JOURNAL_NAME)
    if where.startswith("sqlite:///"):
        where = where.removeprefix("sqlite:///")
    return where if "://" in where else str(Path(where).with_name(FILE_NAME))


def open_people_of(plant: Path, journal: str | None) -> "Store | None":
    """Return the people of a plant where somebody has an account; none where nobody has."""
    from gaugewalk.people.accounts import anybody
    from gaugewalk.people.store import Store

    where = people_place(plant, journal)
    if "://" not in where and not Path(where).exists():
        return None
    people = Store.open(where)
    if anybody(people):
        return people
    people.close()
    return None
