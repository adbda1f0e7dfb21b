"""`gaugewalk move`: a journal from a file into PostgreSQL, or back."""

import typer
from rich.progress import Progress

from gaugewalk.errors import ArgumentError


def move(source: str, target: str) -> None:
    """Copy a journal to another place, verify it, and say how to go on.

    Raises
    ------
    NotFoundError
        There is no journal at the source.
    ArgumentError
        The target is the source, or holds something else.
    StorageError
        The journal was altered, or one of the two places failed; called again it goes on.
    """
    from gaugewalk.journal.move import move as copy

    for name, text in (("FROM", source), ("TO", target)):
        if not text.strip():
            raise ArgumentError(f"{name} is empty; expected a file or postgresql://USER@HOST/NAME.")
    with Progress(transient=True) as progress:
        task = progress.add_task("Copying and verifying the journal …", total=1.0)
        done = copy(source, target, tell=lambda share: progress.update(task, completed=share))
    before = f", {done.known} were there before" if done.known else ""
    typer.echo(
        f"{done.copied} entries copied{before}; every one verified in its chain.\n"
        f"The last hash is {done.head}.\n"
        "The journal you copied from is unchanged. Stop what still writes to it; what comes in "
        "there from now on is not in the copy.\n"
        "Accounts and photos are not part of a journal: take them along yourself."
    )
