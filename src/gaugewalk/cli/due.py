"""`gaugewalk due`: lubrication, strainers, standby pumps and samples, by walking order."""

import json
from dataclasses import asdict
from pathlib import Path
from typing import Any

import typer

from gaugewalk.cli.clock import now
from gaugewalk.cli.opening import open_watch
from gaugewalk.watch.care_views import DueItem, DueView


def due(plant: Path, journal: str | None, *, everything: bool, as_json: bool) -> None:
    """Write what is due now or soon; with `everything` also what comes later."""
    watch = open_watch(plant, journal)
    try:
        view = watch.program.due(now())
        zone = watch.desk.zone
    finally:
        watch.journal.close()
    items = view.items if everything else view.pressing()
    if as_json:
        typer.echo(json.dumps({"items": [_plain(item) for item in items]}, indent=2))
        return
    typer.echo(f"{view.plant}: {_count(view)}")
    tag = ""
    for item in items:
        if item.tag != tag:
            tag = item.tag
            typer.echo(f"\n{item.tag} {item.name}" + (f" ({item.area})" if item.area else ""))
        day = f", {item.due_at.astimezone(zone):%d %b %Y}" if item.due_at else ""
        typer.echo(f"  {item.state.upper():9} {item.title}{day}")
        for line in _lines(item):
            typer.echo(f"            {line}")
    for remark in view.remarks:
        typer.echo(f"\n{remark}")


def _count(view: DueView) -> str:
    counts = {state: sum(item.state == state for item in view.items) for state in _TOLD}
    return ", ".join(f"{count} {state}" for state, count in counts.items())


_TOLD = ("overdue", "due", "soon", "not known")


def _lines(item: DueItem) -> list[str]:
    care = [f"Care: {item.caution}"] if item.caution else []
    beside = [f"Beside it: {item.beside}"] if item.beside else []
    source = [f"Source: {item.source}"] if item.source else []
    return [item.sentence, *item.remarks, *care, *beside, *source]


def _plain(item: DueItem) -> dict[str, Any]:
    values = asdict(item)
    values["due_at"] = item.due_at.isoformat() if item.due_at else None
    return values
