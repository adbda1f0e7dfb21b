"""`gaugewalk check`: every fault of a plant file at once."""

import json
from dataclasses import asdict
from pathlib import Path

import typer

from gaugewalk.errors import NotFoundError, Problem


def check(path: Path, *, as_json: bool) -> int:
    """Print the faults of a plant file; return 0 where there are none, else 1."""
    from gaugewalk.plant.plant_file import check_plant_text

    if not path.is_file():
        raise NotFoundError(f"no plant file at {str(path)!r}. Give the path of a TOML file.")
    try:
        text = path.read_text("utf-8")
    except (UnicodeDecodeError, OSError) as error:
        raise NotFoundError(
            f"{str(path)!r} could not be read as UTF-8 text: {error}. Save it as UTF-8."
        ) from error
    plant, problems = check_plant_text(text, path.name)
    if as_json:
        typer.echo(json.dumps({"problems": [asdict(p) for p in problems]}, indent=2))
    else:
        _print(path, problems, pumps=len(plant.pumps) if plant else 0)
    return 1 if plant is None else 0


def _print(path: Path, problems: tuple[Problem, ...], *, pumps: int) -> None:
    for problem in problems:
        typer.echo(f"{path.name}: {problem}")
    if not problems:
        typer.echo(f"{path.name}: no fault found in {pumps} pumps.")
    else:
        typer.echo(f"{path.name}: {len(problems)} to look at.")
