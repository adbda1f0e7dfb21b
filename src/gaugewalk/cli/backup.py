"""`gaugewalk backup` and `gaugewalk restore`: a verified copy of the journal, and back."""

from pathlib import Path

import typer

from gaugewalk.cli.clock import now
from gaugewalk.cli.opening import JOURNAL_NAME
from gaugewalk.cli.progress import bar
from gaugewalk.errors import ArgumentError, NotFoundError

_NOT_IN_IT = (
    "The plant file, your own knowledge and check-lists, people and photos are files of their "
    "own: copy them too."
)


def backup(plant: Path, journal: str | None, file: Path, *, replace: bool) -> None:
    """Copy the journal while it is in use, and verify the copy."""
    from gaugewalk.journal.backup import back_up
    from gaugewalk.journal.store import Journal

    source = journal or str(plant.parent / JOURNAL_NAME)
    if not Journal.exists(source):
        raise NotFoundError(f"There is no journal in {source!r}; name it with --journal.")
    opened = Journal.open(source)
    try:
        with bar("Copying and verifying the journal …") as tell:
            found = back_up(opened, file, replace=replace, tell=tell)
    finally:
        opened.close()
    typer.echo(
        f"{found.count} entries copied to {file}, each verified in its chain.\n"
        f"The last hash is {found.head}.\n{_NOT_IN_IT}"
    )


def restore(plant: Path, journal: str | None, file: Path, *, replace: bool) -> None:
    """Put a verified backup in the place of the journal; what is there is kept beside it."""
    from gaugewalk.journal.backup import restore as put_back

    target = _file_of(journal or str(plant.parent / JOURNAL_NAME))
    aside = target.with_name(f"{target.stem}.before-{now():%Y%m%dT%H%M%SZ}{target.suffix}")
    with bar("Verifying the backup …") as tell:
        done = put_back(file, target, aside=aside, replace=replace, tell=tell)
    kept = f"\nThe journal that was there is in {done.aside}." if done.aside else ""
    typer.echo(
        f"{done.count} entries put back from {file}, each verified in its chain.\n"
        f"The last hash is {done.head}.{kept}\n{_NOT_IN_IT}"
    )


def _file_of(where: str) -> Path:
    name = where.removeprefix("sqlite:///")
    if "://" in name:
        raise ArgumentError(
            "This journal is in PostgreSQL: `gaugewalk move BACKUP URL` puts a backup into an "
            "empty database; else restore it with pg_restore."
        )
    return Path(name)
