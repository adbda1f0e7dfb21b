"""`gaugewalk calc`: the pocket handbook on the command line."""

import json
from collections.abc import Sequence
from pathlib import Path

import typer

from gaugewalk.errors import ArgumentError
from gaugewalk.units import STANDARD_PRESSURE, parse
from gaugewalk.watch.calculation import Calculation, Input
from gaugewalk.watch.handbook import Answer, calculate, calculations, draw, find


def calc(
    name: str | None,
    pairs: Sequence[str],
    *,
    as_json: bool,
    plot: Path | None,
    monte_carlo: bool,
    elevation: str | None,
) -> None:
    """List the calculations, explain one, or work one out.

    Parameters
    ----------
    name : str or None
        Of the calculation; none lists them all.
    pairs : sequence of str
        ``key=value``; none explains the inputs.
    as_json : bool
        Print JSON instead of a table.
    plot : Path or None
        File for the chart, .svg or .png.
    monte_carlo : bool
        Uncertainty by trials at random.
    elevation : str or None
        Of the site, for gauge pressures; none: at the sea.
    """
    if name is None:
        _list(as_json=as_json)
        return
    calculation = find(name)
    texts = _texts(calculation, pairs)
    if not texts and any(one.required for one in calculation.inputs):
        _explain(calculation, as_json=as_json)
        return
    barometric = _barometric(elevation)
    answer = calculate(calculation.name, texts, barometric=barometric, monte_carlo=monte_carlo)
    if plot is not None:
        from gaugewalk.watch.chart_file import write_chart

        write_chart(draw(calculation.name, texts, barometric=barometric, on_paper=True), plot)
    if as_json:
        typer.echo(json.dumps(answer.to_json(), ensure_ascii=False, indent=2))
    else:
        _show(answer, plot)


def _barometric(elevation: str | None) -> float:
    if elevation is None:
        return STANDARD_PRESSURE
    from gaugewalk.physics.npsh import barometric_pressure

    return float(barometric_pressure(parse(elevation, "length", default_unit="m").value))


def _texts(calculation: Calculation, pairs: Sequence[str]) -> dict[str, str]:
    texts: dict[str, str] = {}
    for pair in pairs:
        key, equals, text = pair.partition("=")
        if not equals or not key.strip():
            raise ArgumentError(f"{pair!r} is not key=value; expected such as {_call(calculation)}")
        if key.strip() in texts:
            raise ArgumentError(f"{key.strip()} is given twice; expected once.")
        texts[key.strip()] = text
    return texts


def _call(calculation: Calculation) -> str:
    given = " ".join(f'{key}="{text}"' for key, text in calculation.example.items())
    return f"gaugewalk calc {calculation.name} {given}".strip()


def _list(*, as_json: bool) -> None:
    if as_json:
        rows = [_as_data(one) for one in calculations().values()]
        typer.echo(json.dumps(rows, ensure_ascii=False, indent=2))
        return
    group = ""
    for one in calculations().values():
        if one.group != group:
            group = one.group
            typer.echo(f"\n{group}")
        typer.echo(f"  {one.name}: {one.title}")
        typer.echo(f"      {one.formula}")
        typer.echo(f"      source: {one.source}")
        for caution in one.cautions:
            typer.echo(f"      caution: {caution}")
    typer.echo("\n`gaugewalk calc NAME` explains the inputs of one.")


def _as_data(one: Calculation) -> dict[str, object]:
    return {
        "name": one.name,
        "title": one.title,
        "group": one.group,
        "formula": one.formula,
        "source": one.source,
        "cautions": list(one.cautions),
        "chart": one.draw is not None,
        "example": dict(one.example),
        "inputs": [
            {
                "name": given.name,
                "form": given.form,
                "kind": given.kind,
                "unit": given.unit,
                "words": given.words,
                "required": given.required,
                "default": given.default,
                "choices": list(given.choices),
            }
            for given in one.inputs
        ],
        "outputs": [
            {"name": out.name, "kind": out.kind, "unit": out.unit, "words": out.words}
            for out in one.outputs
        ],
    }


def _explain(one: Calculation, *, as_json: bool) -> None:
    if as_json:
        typer.echo(json.dumps(_as_data(one), ensure_ascii=False, indent=2))
        return
    typer.echo(f"{one.title}\n")
    _print_table(
        ("input", "as", "what", "if left out"),
        [(given.name, _form(given), given.words, _absent(given)) for given in one.inputs],
    )
    _print_table(
        ("answer", "in", "what"),
        [(out.name, out.unit or "words", out.words) for out in one.outputs],
    )
    typer.echo(f"formula: {one.formula}")
    typer.echo(f"source: {one.source}")
    for caution in one.cautions:
        typer.echo(f"caution: {caution}")
    typer.echo(f"example: {_call(one)}")


def _form(given: Input) -> str:
    words = {
        "quantity": given.unit if given.unit != "1" else "number",
        "row": f"a; b; c {given.unit}",
        "liquid": "name",
        "choice": " | ".join(given.choices),
        "count": "whole number",
        "yes-no": "yes | no",
        "text": "text",
    }
    return words[given.form]


def _absent(given: Input) -> str:
    if given.default is not None:
        return given.default
    return "needed" if given.required else "left out"


def _show(answer: Answer, plot: Path | None) -> None:
    typer.echo(f"{answer.title}\n")
    heads, rows = ["answer", "", "name"], [[v.title, v.text, v.name] for v in answer.values]
    if any(value.interval for value in answer.values):
        heads.append("95 % interval")
        rows = [[*cells, v.interval] for cells, v in zip(rows, answer.values, strict=True)]
    _print_table(heads, rows)
    typer.echo("with " + ", ".join(f"{key} = {text}" for key, text in answer.inputs.items()))
    typer.echo(f"formula: {answer.formula}")
    typer.echo(f"source: {answer.source}")
    for sentence in answer.assumptions:
        typer.echo(f"assumed: {sentence}")
    for sentence in answer.cautions:
        typer.echo(f"caution: {sentence}")
    if plot is not None:
        typer.echo(f"chart: {plot}")


def _print_table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    from rich import box
    from rich.console import Console
    from rich.table import Table

    table = Table(box=box.SIMPLE_HEAD, pad_edge=False)
    for head in heads:
        table.add_column(head, overflow="fold")
    for row in rows:
        table.add_row(*row)
    Console(highlight=False, markup=False).print(table)
