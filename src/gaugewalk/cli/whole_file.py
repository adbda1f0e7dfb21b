"""Write a file that was asked for; nothing is ever written over unasked."""

from pathlib import Path

import typer

from gaugewalk.errors import ArgumentError


def write_file(file: Path, content: bytes, *, replace: bool) -> None:
    """Write a file and say so.

    Raises
    ------
    ArgumentError
        It is there already, or cannot be written.
    """
    if file.exists() and not replace:
        raise ArgumentError(f"{str(file)!r} is there already; nothing was written. Use --replace.")
    try:
        file.write_bytes(content)
    except OSError as problem:
        raise ArgumentError(f"{str(file)!r} cannot be written: {problem.strerror}.") from problem
    typer.echo(f"Written to {file}.")
