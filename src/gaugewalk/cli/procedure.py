"""`gaugewalk procedure`: the check-lists as text, for any pump or fitted to one."""

import json
import textwrap
from dataclasses import asdict
from pathlib import Path
from typing import Any

import typer

from gaugewalk.watch.procedure_file import load_procedures
from gaugewalk.watch.procedure_show import list_view, procedure_lines, setting_words
from gaugewalk.watch.procedure_views import ProcedureLine, ProcedureView, StepView

OWN_FILE = "procedures.toml"
_RULE = "The site's procedures and the maker's instructions come first."
_WIDTH = 96


def procedure(
    name: str | None, tag: str | None, *, plant: Path, journal: str | None, as_json: bool
) -> None:
    """List the check-lists, or write one; with a pump's tag as it stands for that pump."""
    if tag is not None:
        _of_pump(name, tag, plant, journal, as_json)
        return
    own = plant.parent / OWN_FILE
    book = load_procedures(own if own.is_file() else None)
    if name is None:
        _list(procedure_lines(book), as_json)
    else:
        _write(list_view(book, name, None, None), as_json)


def _of_pump(name: str | None, tag: str, plant: Path, journal: str | None, as_json: bool) -> None:
    from gaugewalk.cli.opening import open_watch

    watch = open_watch(plant, journal)
    try:
        if name is None:
            _list(watch.program.procedures(tag), as_json)
        else:
            _write(watch.program.procedure(name, tag), as_json)
    finally:
        watch.journal.close()


def _list(lines: tuple[ProcedureLine, ...], as_json: bool) -> None:
    if as_json:
        typer.echo(json.dumps({"procedures": [asdict(line) for line in lines]}, indent=2))
        return
    group = ""
    for line in lines:
        if line.group != group:
            group = line.group
            typer.echo(f"\n{group}")
        own = " (this plant's own)" if line.own else ""
        typer.echo(f"  {line.id:22} {line.title}{own}, {line.steps} steps")
    typer.echo(f"\n{_RULE}")


def _write(view: ProcedureView, as_json: bool) -> None:
    if as_json:
        typer.echo(json.dumps(_plain(view), indent=2))
        return
    at = f" at {view.pump.tag} {view.pump.name}" if view.pump else ""
    typer.echo(f"{view.title}{at}\n{'=' * len(view.title + at)}")
    _paragraph(f"When: {view.when} Who: {view.who}.")
    _paragraph(f"Care: {view.caution}")
    _paragraph(_RULE)
    for line in view.running:
        typer.echo(f"Under way: {line.done} of {line.of} steps, by {line.who}")
    for step in view.steps:
        _step(step, view)
    if view.settings:
        typer.echo("\nTimes and bands in this list")
    for setting in view.settings:
        _paragraph(f"* {setting_words(setting)}", indent="    ", first="  ")
    typer.echo("")
    _paragraph(f"Sources: {'; '.join(view.sources)}.")


def _step(step: StepView, view: ProcedureView) -> None:
    who = f" [{step.who}]" if step.who != view.who else ""
    typer.echo("")
    _paragraph(f"{step.number:2}. {step.text}{who}", indent="    ", first="")
    if step.hold:
        _paragraph(f"HOLD: {step.hold}. Not passed without a reason and a name.", indent="    ")
    if step.caution:
        _paragraph(f"Care: {step.caution}", indent="    ")
    for words in _asked(step):
        _paragraph(words, indent="    ")


def _asked(step: StepView) -> list[str]:
    """Return what a step asks for, in words."""
    said = []
    if step.readings:
        said.append(f"Read: {', '.join(step.readings)}")
    if step.wait_words:
        said.append(f"Not before {step.wait_words} after the step before.")
    if step.results:
        said.append(f"What came of it: {' / '.join(step.results)}")
    if step.amount_unit:
        places = f" at {', '.join(place for place in step.places if place)}" if step.places else ""
        said.append(f"How much{places} ({step.amount_unit})")
    return [*said, *([f"Only where {step.only}."] if step.only else [])]


def _paragraph(text: str, *, indent: str = "", first: str | None = None) -> None:
    lead = indent if first is None else first
    for line in textwrap.wrap(text, _WIDTH, initial_indent=lead, subsequent_indent=indent):
        typer.echo(line)


def _plain(view: ProcedureView) -> dict[str, Any]:
    values = {
        name: getattr(view, name)
        for name in ("id", "title", "group", "when", "who", "caution", "own", "sources")
    }
    empty: tuple[object, ...] = ("", (), None, False, 0.0)
    steps = [
        {name: value for name, value in asdict(step).items() if value not in empty}
        for step in view.steps
    ]
    return {
        **values,
        "pump": view.pump.tag if view.pump else None,
        "steps": steps,
        "settings": [asdict(setting) for setting in view.settings],
        "under_way": [line.id for line in view.running],
    }
