"""`gaugewalk read`: readings of one pump from the command line, with the verdict at once."""

import json
from collections.abc import Sequence
from pathlib import Path

import typer

from gaugewalk.cli.clock import now
from gaugewalk.cli.opening import open_watch
from gaugewalk.errors import ArgumentError, GaugewalkError
from gaugewalk.watch.views import Taken
from gaugewalk.watch.wall import read_time

MARKS = {"normal": " ", "watch": "?", "act": "!", "stop": "X"}


def read(
    plant: Path,
    journal: str | None,
    tag: str,
    values: Sequence[str],
    *,
    who: str,
    seen: str | None,
    as_json: bool,
) -> None:
    """Take each `point=value`; those that cannot be read are named after the others are stored.

    Raises
    ------
    ArgumentError
        Lists every value that could not be read, with what to write instead.
    """
    watch = open_watch(plant, journal)
    at = now()
    seen_at = read_time(seen, watch.desk.zone) if seen else at
    taken: list[Taken] = []
    refused: list[str] = []
    for text in values:
        try:
            point, value = split(text)
            taken.append(watch.take_reading(tag, point, value, who=who, now=at, seen_at=seen_at))
        except GaugewalkError as error:
            refused.append(f"  - {text}: {error}")
    if as_json:
        typer.echo(json.dumps([as_plain(one) for one in taken], ensure_ascii=False, indent=2))
    else:
        for line in lines_of(taken):
            typer.echo(line)
    watch.journal.close()
    if refused:
        head = f"{len(refused)} of {len(values)} values were not stored:"
        raise ArgumentError("\n".join([head, *refused]))


def split(text: str) -> tuple[str, str]:
    """Part `point=value`.

    Examples
    --------
    >>> split("discharge_pressure = 3.1 barg")
    ('discharge_pressure', '3.1 barg')
    """
    point, equals, value = text.partition("=")
    if not equals or not point.strip() or not value.strip():
        raise ArgumentError(f"{text[:60]!r}: write point=value, as in discharge_pressure=3.1")
    return point.strip(), value.strip()


def as_plain(taken: Taken) -> dict[str, object]:
    """Return what became of a reading as plain JSON values."""
    return {
        "id": str(taken.entry.id),
        "point": taken.entry.point,
        "entered": taken.entry.entered,
        "value": taken.entry.value,
        "verdict": dict(taken.verdict.to_json()),
        "trouble": taken.trouble_id,
        "checks": [{"finding": check.finding, "ask": check.title} for check in taken.extra_checks],
    }


def lines_of(taken: Sequence[Taken]) -> list[str]:
    """Write each verdict in a line, then the checks worth making, each once."""
    lines = []
    for one in taken:
        word = one.verdict.severity.value
        lines.append(f"{MARKS[word]} {word.upper():6} {one.verdict.sentence}")
        if one.verdict.suspicion:
            lines.append(f"         {one.verdict.suspicion}")
    checks = {check.finding: check for one in taken for check in one.extra_checks}
    if checks:
        lines.append("Worth checking now:")
    for check in checks.values():
        lines.append(f"  - {check.title}")
        if check.caution:
            lines.append(f"    Caution: {check.caution}")
    return lines
