"""`gaugewalk why`: the causes, the check that decides and the careful action."""

import json
import sys
from pathlib import Path

import typer

from gaugewalk.cli.clock import now
from gaugewalk.diagnose.case_file import read_case_text
from gaugewalk.diagnose.diagnosis import Diagnosis, diagnose
from gaugewalk.diagnose.explain import odds_in_words
from gaugewalk.diagnose.knowledge import load_knowledge
from gaugewalk.errors import ArgumentError, FileError, NotFoundError
from gaugewalk.watch.telling import percent


def why(
    tag: str | None,
    case: str | None,
    *,
    plant: Path,
    journal: str | None,
    knowledge: Path | None,
    as_json: bool,
) -> None:
    """Diagnose one case (file, or - for standard input) or one pump of the plant."""
    if (tag is None) == (case is None):
        raise ArgumentError("give either a pump's tag or --case FILE (or --case - to read it in).")
    known = load_knowledge(knowledge)
    if case is not None:
        found = diagnose(read_case_text(_text(case), known), known)
    else:
        found = _of_pump(str(tag), plant, journal)
    if as_json:
        typer.echo(json.dumps(found.to_json(), indent=2))
    else:
        _print(found)


def _text(case: str) -> str:
    if case == "-":
        return sys.stdin.read()
    try:
        return Path(case).read_text("utf-8")
    except OSError as error:
        raise NotFoundError(f"the case {case!r} could not be read: {error.strerror}.") from error
    except UnicodeDecodeError as error:
        raise FileError(f"the case {case!r} is not UTF-8 text. Save it as UTF-8.", []) from error


def _of_pump(tag: str, plant: Path, journal: str | None) -> Diagnosis:
    from gaugewalk.cli.opening import open_watch

    return open_watch(plant, journal).diagnose_pump(tag, now())


def _print(found: Diagnosis) -> None:
    typer.echo(f"Verdict: {found.verdict}")
    for reason in found.reasons:
        typer.echo(f"  because {reason}")
    typer.echo(
        f"\nNothing wrong {percent(found.no_fault)} · "
        f"something not known here {percent(found.unexplained)}"
    )
    if found.cut_off >= 0.1:
        typer.echo(
            "  Four and more troubles at once were not looked into; "
            f"they may take up to {percent(found.cut_off)}."
        )
    for text in (*found.innocent, *found.contradictions, *found.notes):
        typer.echo(f"  {text}")
    typer.echo("\nCauses")
    for one in [cause for cause in found.causes if cause.probability >= 0.02][:6]:
        words = odds_in_words(one.probability)
        typer.echo(f"  {percent(one.probability):>9} {words:12} {one.title} ({one.cause})")
        typer.echo(f"       {one.because}")
    _print_kin(found)
    _print_rest(found)


def _print_kin(found: Diagnosis) -> None:
    """Print which cause leads to which, and which cannot be told apart yet."""
    titles = {cause.cause: cause.title for cause in found.causes}
    for chain in found.chains:
        typer.echo(f"  One leads to the other: {titles[chain.root]} > {titles[chain.consequence]}")
    for alike in found.look_alikes:
        names = " / ".join(titles[id] for id in alike.causes)
        typer.echo(f"  Hard to tell apart: {names}. {alike.tell_apart}")
    for one in found.learned:
        typer.echo(f"  Found here before: {one.title} (counted {one.count:.2g})")


def _print_rest(found: Diagnosis) -> None:
    if found.next_checks:
        typer.echo("\nCheck next")
    for check in found.next_checks:
        care = f" Care: {check.caution}" if check.caution else ""
        typer.echo(f"  {check.ask} ({check.finding}, about {check.minutes:g} min)")
        typer.echo(f"       {check.how}{care}")
    if found.actions:
        typer.echo("\nWhat to do (site procedures come first)")
    for advice in found.actions:
        action = advice.action
        typer.echo(f"  {action.kind:10} {action.do} ({action.who}). Care: {action.caution}")
    for text in found.stop_when:
        typer.echo(f"  {'stop':10} {text}")
    for number in found.numbers:
        typer.echo(f"  {number.quantity}: {number.value:.3g} {number.unit} ({number.formula})")
