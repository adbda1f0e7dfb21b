"""The handbook: every engineering calculation by name, with units at the border.

`calculations` lists them, `find` knows them by nearly their name, `draw` draws the few that have a
chart, `calculate` takes texts as a person types them and answers with value, unit, formula, source
and cautions. Where an input has an uncertainty ("3.1 ± 0.05 barg") each numeric answer carries its
combined standard uncertainty.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from functools import cache, partial
from importlib import import_module
from types import MappingProxyType

import numpy as np

from gaugewalk import units
from gaugewalk.errors import (
    ArgumentError,
    GaugewalkError,
    NotFoundError,
    OutOfRangeError,
    nearest_word,
)
from gaugewalk.watch.calculation import Calculation, Input, Output, Result
from gaugewalk.watch.handbook_entry import Entered, read_input
from gaugewalk.watch.handbook_spread import TRIALS, Spread, number_of, spreads

TOPICS = (
    "liquids", "suction", "hydraulics", "curves", "strainers", "oil", "bearings", "cooler",
    "driver", "seal", "vibration", "general",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """One value of an answer: SI number (none for words), and the text for a person."""

    name: str
    title: str
    value: float | None
    unit: str  # that the text is in; empty for words
    text: str
    uncertainty: float | None = None  # combined standard, SI
    low: float | None = None  # 95 % interval of Monte Carlo, SI
    high: float | None = None
    interval: str = ""  # the same as text


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What a calculation answers, complete enough to be shown or kept as it is."""

    name: str
    title: str
    inputs: Mapping[str, str]  # as entered, with the unit taken, defaults included
    values: tuple[Shown, ...]
    formula: str
    source: str
    cautions: tuple[str, ...]
    assumptions: tuple[str, ...]

    def value(self, name: str) -> float:
        """Return the SI value of a numeric output."""
        found = next((one for one in self.values if one.name == name), None)
        if found is None or found.value is None:
            raise NotFoundError(f"{self.name} has no number {name!r}.")
        return found.value

    def to_json(self) -> dict[str, object]:
        """Return the answer as plain data; a number that is not known is none."""
        data = asdict(self) | {"inputs": dict(self.inputs)}
        for one in data["values"]:
            for key in ("value", "uncertainty", "low", "high"):
                if one[key] is not None and not np.isfinite(one[key]):
                    one[key] = None
        return data


@cache
def calculations() -> Mapping[str, Calculation]:
    """Return every calculation by name, grouped as in the handbook."""
    found: dict[str, Calculation] = {}
    for topic in TOPICS:
        for one in import_module(f"gaugewalk.watch.calculations.{topic}").CALCULATIONS:
            found[one.name] = one
    return MappingProxyType(found)


def find(name: str) -> Calculation:
    """Return the calculation of a name, written with dashes, underscores or blanks.

    Raises
    ------
    NotFoundError
        Names the nearest one.

    Examples
    --------
    >>> find("total_head").title
    'Total head from two gauges'
    """
    key = "-".join(name.strip().lower().replace("_", " ").replace("-", " ").split())
    if key in calculations():
        return calculations()[key]
    near = nearest_word(key, calculations())
    hint = f" Did you mean {near!r}?" if near else ""
    raise NotFoundError(f"No calculation {name!r}.{hint} `gaugewalk calc` lists them all.")


def calculate(
    name: str,
    texts: Mapping[str, str],
    *,
    barometric: float = units.STANDARD_PRESSURE,
    monte_carlo: bool = False,
) -> Answer:
    """Work out one calculation from texts.

    Parameters
    ----------
    name : str
        Of the calculation.
    texts : mapping of str to str
        Inputs by name, as typed: "40 m3/h", "3.1 ± 0.05 barg", "2.8 to 4.1 barg", "hexane".
    barometric : float
        Pressure of the air at the gauges. [Pa]
    monte_carlo : bool
        Uncertainty by trials at random instead of first order.

    Returns
    -------
    Answer

    Raises
    ------
    NotFoundError
        No such calculation.
    ArgumentError
        An input is unknown, missing or not fit; names it, what was given and what is expected.

    Examples
    --------
    >>> answer = calculate("synchronous-speed", {"frequency": "50 Hz", "poles": "4"})
    >>> answer.values[0].text
    '1500 rpm'
    """
    calculation = find(name)
    texts = _complete(calculation, texts)
    entered = _read(calculation, texts, barometric)
    run = partial(_run, calculation, entered, barometric)
    result = run({key: one.value for key, one in entered.items()})
    spread = spreads(calculation, run, entered, trials=monte_carlo)
    show = partial(_shown, calculation=calculation, entered=entered, barometric=barometric)
    shown = tuple(
        show(output, result[output.name], spread.get(output.name))
        for output in calculation.outputs
        if result.get(output.name) is not None
    )
    return Answer(
        name=calculation.name,
        title=calculation.title,
        inputs={key: _echo(text, entered[key]) for key, text in texts.items()},
        values=shown,
        formula=calculation.formula,
        source=calculation.source,
        cautions=(*calculation.cautions, *_sentences(result, "warnings")),
        assumptions=(
            *_sentences(result, "notes"),
            *_assumptions(calculation, entered, texts, monte_carlo=monte_carlo),
        ),
    )


def draw(
    name: str,
    texts: Mapping[str, str],
    *,
    barometric: float = units.STANDARD_PRESSURE,
    on_paper: bool = False,
) -> str:
    """Draw the chart of a calculation as SVG.

    Parameters
    ----------
    name, texts, barometric
        As for `calculate`.
    on_paper : bool
        True for a file; False to take the color of the page around it.

    Raises
    ------
    NotFoundError, ArgumentError
        As for `calculate`; also where the calculation has no chart.

    Examples
    --------
    >>> svg = draw("oil-temperature-window", find("oil-temperature-window").example)
    >>> svg.startswith("<svg")
    True
    """
    calculation = find(name)
    if calculation.draw is None:
        drawn = ", ".join(one.name for one in calculations().values() if one.draw)
        raise ArgumentError(f"{calculation.name} has no chart; expected one of {drawn}.")
    entered = _read(calculation, _complete(calculation, texts), barometric)
    run = partial(_run, calculation, entered, barometric)
    run({key: one.value for key, one in entered.items()})  # what cannot be worked out is refused
    return calculation.draw(
        {key: one.value for key, one in entered.items()},
        {one.name: entered[one.name].unit if one.name in entered else one.unit
         for one in calculation.inputs},
        on_paper,
    )  # fmt: skip


def _read(
    calculation: Calculation, texts: Mapping[str, str], barometric: float
) -> dict[str, Entered]:
    return {
        key: read_input(_input(calculation, key), text, barometric=barometric)
        for key, text in texts.items()
    }


def _echo(text: str, entered: Entered) -> str:
    """Return an input as typed, with the unit that a bare number was taken in."""
    bare = not any(sign.isalpha() or sign in "%°" for sign in text)
    return f"{text} {entered.unit}" if bare and entered.unit not in ("", "1") else text


def _sentences(result: Result, name: str) -> tuple[str, ...]:
    found = result.get(name, ())
    return tuple(str(one) for one in found) if isinstance(found, tuple) else ()


def _input(calculation: Calculation, key: str) -> Input:
    found = calculation.input(key)
    if found is None:
        names = [one.name for one in calculation.inputs]
        near = nearest_word(key, names)
        hint = f" Did you mean {near!r}?" if near else ""
        raise ArgumentError(
            f"{calculation.name} has no input {key!r}; expected {', '.join(names)}.{hint}"
        )
    return found


def _complete(calculation: Calculation, texts: Mapping[str, str]) -> dict[str, str]:
    """Return the texts by input name, with defaults, and refuse what is unknown or missing."""
    given: dict[str, str] = {}
    for key, text in texts.items():
        name = _input(calculation, key.strip().replace("-", "_")).name
        if name in given:
            raise ArgumentError(f"{name} is given twice; expected once.")
        if str(text).strip():
            given[name] = str(text).strip()
    missing = [one for one in calculation.inputs if one.required and one.name not in given]
    if missing:
        wanted = "; ".join(
            f"{one.name} ({one.words}), such as {calculation.example[one.name]!r}"
            for one in missing
        )
        raise ArgumentError(f"{calculation.name} also needs {wanted}.")
    defaults = {
        one.name: one.default
        for one in calculation.inputs
        if one.default is not None and one.name not in given
    }
    return {
        one.name: (given | defaults)[one.name]
        for one in calculation.inputs
        if one.name in given or one.name in defaults
    }


def _run(
    calculation: Calculation,
    entered: Mapping[str, Entered],
    barometric: float,
    values: Mapping[str, object],
) -> Result:
    """Run a calculation; what it refuses is told in the units of the person."""
    try:
        return calculation.run(**values)
    except OutOfRangeError as problem:
        raise ArgumentError(
            f"{calculation.name}: {_outside(calculation, entered, barometric, problem)}"
        ) from problem
    except GaugewalkError as problem:
        raise ArgumentError(f"{calculation.name}: {problem}") from problem
    except (ArithmeticError, ValueError, TypeError) as problem:
        raise ArgumentError(
            f"{calculation.name}: these inputs have no answer ({problem}); check their size, sign "
            "and unit."
        ) from problem


def _outside(
    calculation: Calculation,
    entered: Mapping[str, Entered],
    barometric: float,
    problem: OutOfRangeError,
) -> str:
    """Return the message of a value outside its source's range, in the unit it was given in."""
    given = entered.get(problem.name)
    if given is None or not given.unit or not isinstance(given.value, float):
        return str(problem)
    show = partial(units.show, unit=given.unit, barometric=barometric)
    return (
        f"{problem.name} = {show(given.value)} is outside {show(problem.low)} to "
        f"{show(problem.high)} ({problem.source})."
    )


def _shown(
    output: Output,
    value: object,
    spread: Spread | None,
    *,
    calculation: Calculation,
    entered: Mapping[str, Entered],
    barometric: float,
) -> Shown:
    if output.kind == "text":
        return Shown(name=output.name, title=output.words, value=None, unit="", text=str(value))
    number = number_of(value)
    unit = _unit_for(output, entered, calculation)
    text = units.show(number, unit, barometric=barometric)
    if spread is not None and spread.uncertainty > 0:
        text = _with_spread(number, spread.uncertainty, unit, barometric)
    return Shown(
        name=output.name,
        title=output.words,
        value=number,
        unit=unit,
        text=text,
        uncertainty=spread.uncertainty if spread else None,
        low=spread.low if spread else None,
        high=spread.high if spread else None,
        interval=_interval(spread, unit, barometric),
    )


def _interval(spread: Spread | None, unit: str, barometric: float) -> str:
    if spread is None or spread.low is None or spread.high is None:
        return ""
    low, high = (units.show(v, unit, barometric=barometric) for v in (spread.low, spread.high))
    return f"{low} to {high}"


def _unit_for(output: Output, entered: Mapping[str, Entered], calculation: Calculation) -> str:
    """Return the person's own unit where an input of the same default unit was given in one."""
    for one in calculation.inputs:
        given = entered.get(one.name)
        if given is not None and given.unit and one.unit == output.unit:
            return given.unit
    return output.unit


def _with_spread(number: float, uncertainty: float, unit: str, barometric: float) -> str:
    """Write a value and its uncertainty to the same place, two digits of uncertainty."""
    value = units.from_si(number, unit, barometric=barometric)
    width = abs(units.from_si(number + uncertainty, unit, barometric=barometric) - value)
    if not np.isfinite(value) or width <= 0:
        return units.show(number, unit, barometric=barometric)
    places = max(1 - int(np.floor(np.log10(width))), 0)
    symbol = units.table()[unit].symbol
    return f"{value:.{places}f} ± {width:.{places}f} {symbol}".strip()


def _assumptions(
    calculation: Calculation,
    entered: Mapping[str, Entered],
    texts: Mapping[str, str],
    *,
    monte_carlo: bool,
) -> tuple[str, ...]:
    found = [f"{texts[key]}: {one.note}" for key, one in entered.items() if one.note]
    uncertain = [one for one in entered.values() if one.uncertainty > 0]
    if any(not one.swing for one in uncertain):
        found.append("± is one standard uncertainty, in the inputs and in the answers.")
    if any(one.swing for one in uncertain):
        found.append("A swing is taken as equally likely over its whole width.")
    if uncertain:
        found.append(
            f"Combined by {TRIALS} trials at random (JCGM 101)."
            if monte_carlo
            else "Combined to first order, inputs independent (JCGM 100)."
        )
    return tuple(found)
