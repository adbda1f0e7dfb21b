"""`gaugewalk round`: walk a round in the terminal, pump by pump."""

from datetime import datetime
from pathlib import Path

import typer
from rich.console import Console
from rich.prompt import Prompt

from gaugewalk.cli.clock import now
from gaugewalk.cli.opening import open_watch
from gaugewalk.cli.read import lines_of
from gaugewalk.errors import ArgumentError, GaugewalkError
from gaugewalk.units import show
from gaugewalk.watch.service import Watch
from gaugewalk.watch.views import PointView, RoundView

_HELP = "A number with or without unit; - and a reason when it is not taken; empty to come back."


class Away(Exception):  # noqa: N818 - no error: the person walks away, the round stays open
    """The person leaves the round for now."""


def walk(plant: Path, journal: str | None, name: str | None, *, who: str) -> None:
    """Ask for each point of each pump, say the verdict at once, finish the round at its end."""
    watch = open_watch(plant, journal)
    console = Console()
    try:
        view = watch.start_round(name or _most_due(watch, now()), who=who, now=now())
        console.print(f"Round [b]{view.name}[/b], {len(view.stops)} pumps. {_HELP}")
        for stop in view.stops:
            here = watch.round_view(view.id, now(), at=stop.pump.tag)
            _stop(watch, console, here, stop.pump.tag, who)
        _finish(watch, console, view, who)
    except (Away, EOFError):
        console.print("The round stays open; `gaugewalk round` goes on with it.")
    finally:
        watch.journal.close()


def _most_due(watch: Watch, at: datetime) -> str:
    due = watch.rounds_due(at)
    if not due:
        raise ArgumentError("The plant file has no rounds: add a [[round]] with name and every.")
    return due[0].name


def _stop(watch: Watch, console: Console, view: RoundView, tag: str, who: str) -> None:
    stop = next(stop for stop in view.stops if stop.pump.tag == tag)
    pump = stop.pump
    console.rule(f"{pump.tag}  {pump.name}")
    for check in stop.extra_checks:
        console.print(f"Worth checking: {check.title}", markup=False)
    for point in stop.points:
        if not (point.taken or point.skipped):
            _point(watch, console, view, pump.tag, point, who)


def _point(
    watch: Watch, console: Console, view: RoundView, tag: str, point: PointView, who: str
) -> None:
    """Ask until the answer can be stored, or is left open."""
    while True:
        typed = Prompt.ask(_question(watch, point), console=console, default="", show_default=False)
        text = typed.strip()
        if not text:
            return
        if text in ("q", "quit"):
            raise Away
        try:
            _store(watch, console, view, tag, point, text, who)
        except GaugewalkError as error:
            console.print(str(error), markup=False, style="bold")
        else:
            return


def _store(
    watch: Watch,
    console: Console,
    view: RoundView,
    tag: str,
    point: PointView,
    text: str,
    who: str,
) -> None:
    at = now()
    if text.startswith("- ") or text == "-":
        reason = text.removeprefix("-").strip()
        watch.skip(tag, point.point, reason, who=who, now=at, round_id=view.id)
        return
    taken = watch.take_reading(tag, point.point, text, who=who, now=at, round_id=view.id)
    for line in lines_of([taken]):
        console.print(line, markup=False)


def _question(watch: Watch, point: PointView) -> str:
    air = watch.desk.barometric
    last = ""
    if point.last is not None and point.last.value is not None:
        last = f", last {show(point.last.value, point.unit, barometric=air)}"
    expected = f", expected: {point.expected.sentence}" if point.expected else ""
    return f"{point.label} ({point.unit}{last}{expected})".replace("[", "(").replace("]", ")")


def _finish(watch: Watch, console: Console, view: RoundView, who: str) -> None:
    missing = sum(
        not (point.taken or point.skipped)
        for stop in watch.round_view(view.id, now()).stops
        for point in stop.points
    )
    reason = ""
    if missing:
        question = f"{missing} points are open. Why were they not taken? (empty: later)"
        reason = Prompt.ask(question, console=console, default="", show_default=False).strip()
        if not reason:
            raise Away
    watch.finish_round(view.id, who=who, now=now(), reason=reason)
    typer.echo("The round is finished.")
