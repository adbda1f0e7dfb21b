"""`gaugewalk work-request`: one page on a trouble for a mechanic and a planner."""

import json
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from gaugewalk.cli.clock import now
from gaugewalk.cli.opening import open_watch
from gaugewalk.cli.whole_file import write_file
from gaugewalk.errors import NotFoundError

if TYPE_CHECKING:
    from gaugewalk.watch.work_request import WorkRequest


def work_request(
    plant: Path, journal: str | None, tag: str, *, pdf: Path | None, replace: bool, as_json: bool
) -> None:
    """Write the work request of the trouble that is open at a pump.

    Raises
    ------
    NotFoundError
        There is no such pump, or no trouble open there.
    """
    watch, at = open_watch(plant, journal), now()
    watch.desk.pump(tag)
    trouble = next((line.id for line in watch.troubles(at) if line.tag == tag), None)
    if trouble is None:
        raise NotFoundError(f"No trouble is open at {tag}; open one by hand, then ask for work.")
    if pdf is not None:
        write_file(pdf, watch.papers.work_request_pdf(trouble, at), replace=replace)
    elif as_json:
        plain = watch.papers.work_request_json(trouble, at)
        typer.echo(json.dumps(plain, indent=2, ensure_ascii=False))
    else:
        typer.echo(_text(watch.papers.work_request(trouble, at)))
    watch.journal.close()


def _text(made: "WorkRequest") -> str:
    """Write the gist as text."""
    likely = [f"{one.title} ({one.percent})" for one in made.causes]
    parts = [
        f"WORK REQUEST  {made.tag} {made.name}, {made.area}, {made.plant}",
        f"{made.severity}: {made.what}",
        f"Since {made.since}. {made.recurrence}".rstrip(),
        f"Urgency: {made.urgency}",
        *_listed("LIKELY CAUSE", likely or ["No cause of the book stands out yet."]),
        *_listed("TRIED SO FAR", made.tried or ["Nothing is written down."]),
        *_listed("BEFORE IT IS OPENED", (*made.isolation, made.isolation_source)),
        *_listed("CAN IT RUN UNTIL THEN", (*made.run_until, *made.stop_when)),
    ]
    return "\n".join(parts)


def _listed(title: str, lines: Iterable[str]) -> list[str]:
    return ["", title, *(f"  - {line}" for line in lines)]
