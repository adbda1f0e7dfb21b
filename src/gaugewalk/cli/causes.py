"""`gaugewalk causes` and `gaugewalk findings`: what the knowledge holds."""

import json
from collections import defaultdict
from dataclasses import asdict
from pathlib import Path

import typer

from gaugewalk.diagnose.knowledge import Knowledge, load_knowledge
from gaugewalk.diagnose.trade import Cause, Finding

_STRENGTH = {
    4: "always",
    3: "usually",
    2: "often",
    1: "may be",
    -1: "rather not",
    -2: "speaks against",
    -3: "speaks strongly against",
}


def show_causes(id: str | None, *, knowledge: Path | None, as_json: bool) -> None:
    """List the causes, or explain one."""
    known = load_knowledge(knowledge)
    causes = [known.cause(id)] if id is not None else list(known.causes.values())
    if as_json:
        rows = [asdict(cause) | {"applies": dict(cause.applies)} for cause in causes]
        typer.echo(json.dumps({"causes": rows}, indent=2))
    elif id is None:
        _list([(cause.group, cause.id, cause.title) for cause in causes])
    else:
        _print_cause(causes[0], known)


def show_findings(id: str | None, *, knowledge: Path | None, as_json: bool) -> None:
    """List the findings, or explain one."""
    known = load_knowledge(knowledge)
    findings = [known.finding(id)] if id is not None else list(known.findings.values())
    if as_json:
        typer.echo(json.dumps({"findings": [asdict(one) for one in findings]}, indent=2))
    elif id is None:
        _list([(one.group, one.id, one.title) for one in findings])
    else:
        _print_finding(findings[0], known)


def _list(rows: list[tuple[str, str, str]]) -> None:
    groups: dict[str, list[tuple[str, str]]] = defaultdict(list)
    for group, id, title in rows:
        groups[group].append((id, title))
    for group, lines in groups.items():
        typer.echo(f"\n{group}")
        for id, title in lines:
            typer.echo(f"  {id:34} {title}")


def _print_cause(cause: Cause, known: Knowledge) -> None:
    typer.echo(f"{cause.title} ({cause.id}, {cause.prior})")
    typer.echo(f"  {cause.what_happens}")
    typer.echo("\nSigns (strengths are judgement, not published figures)")
    for link in cause.links:
        why = f": {link.why}" if link.why else ""
        title = known.findings[link.finding].title
        typer.echo(f"  {_STRENGTH[link.strength]:24} {title}{why} [{known.sources[link.source]}]")
    typer.echo("\nWhat to do (site procedures come first)")
    for action in cause.actions:
        typer.echo(f"  {action.kind:10} {action.do} ({action.who})")
        typer.echo(f"  {'':10} Care: {action.caution}")
        if action.verify:
            typer.echo(f"  {'':10} Cured when: {action.verify}; {action.within}")
    if cause.tell_apart:
        others = ", ".join(known.causes[other].title for other in cause.look_alikes)
        typer.echo(f"\nLooks like: {others}\n  {cause.tell_apart}")


def _print_finding(finding: Finding, known: Knowledge) -> None:
    typer.echo(f"{finding.title} ({finding.id})")
    typer.echo(f"  {finding.ask}\n  {finding.how} (about {finding.minutes:g} min)")
    if finding.caution:
        typer.echo(f"  Care: {finding.caution}")
    typer.echo("\nCauses that show it, or speak against it")
    shown = [(cause.strength(finding.id), cause) for cause in known.causes.values()]
    for strength, cause in sorted(shown, key=lambda one: -one[0]):
        if strength:
            typer.echo(f"  {_STRENGTH[strength]:24} {cause.title} ({cause.id})")
