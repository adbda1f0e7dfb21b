"""How sure an answer of the handbook is: uncertainty of each number it gives."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.uncertainty import Measured, monte_carlo, propagate
from gaugewalk.watch.calculation import Calculation, Result
from gaugewalk.watch.handbook_entry import Entered

TRIALS = 2000  # of Monte Carlo; each is a whole calculation

Run = Callable[[Mapping[str, object]], Result]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Combined standard uncertainty, and by Monte Carlo the interval of 95 %, SI."""

    uncertainty: float
    low: float | None = None
    high: float | None = None


def number_of(value: object) -> float:
    """Return a result as a number; NaN where there is none."""
    return float("nan") if value is None or isinstance(value, str) else float(np.asarray(value))


def spreads(
    calculation: Calculation, run: Run, entered: Mapping[str, Entered], *, trials: bool
) -> dict[str, Spread]:
    """Return the spread of each numeric output; empty where no input has one.

    Parameters
    ----------
    calculation : Calculation
        Whose outputs are wanted.
    run : callable
        From all inputs in SI to the result.
    entered : mapping of str to Entered
        The inputs as read.
    trials : bool
        Trials at random instead of first order.
    """
    measured = {
        key: Measured(
            value=number_of(one.value),
            uncertainty=one.uncertainty,
            shape="uniform" if one.swing else "normal",
        )
        for key, one in entered.items()
        if one.uncertainty > 0
    }
    if not measured:
        return {}
    exact = {key: one.value for key, one in entered.items() if key not in measured}
    names = [output.name for output in calculation.outputs if output.kind != "text"]
    return (_by_trials if trials else _first_order)(run, exact, measured, names)


def _first_order(
    run: Run, exact: Mapping[str, object], measured: Mapping[str, Measured], names: list[str]
) -> dict[str, Spread]:
    remembered: dict[tuple[float, ...], Result] = {}

    def one_number(name: str, **values: float) -> float:
        key = tuple(values.values())
        if key not in remembered:
            remembered[key] = run({**exact, **values})
        return number_of(remembered[key].get(name))

    return {
        name: Spread(uncertainty=propagate(partial(one_number, name), measured).uncertainty)
        for name in names
    }


def _by_trials(
    run: Run, exact: Mapping[str, object], measured: Mapping[str, Measured], names: list[str]
) -> dict[str, Spread]:
    """Return the spreads; a trial outside a source's range counts as one without an answer."""
    columns: dict[str, NDArray[np.float64]] = {}

    def column(name: str, **drawn: NDArray[np.float64]) -> NDArray[np.float64]:
        if not columns:  # the same seed draws the same trials for every output
            rows = zip(*drawn.values(), strict=True)
            results = [_trial(run, {**exact, **dict(zip(drawn, row, strict=True))}) for row in rows]
            columns.update(
                {one: np.array([number_of(r.get(one)) for r in results]) for one in names}
            )
        return columns[name]

    found: dict[str, Spread] = {}
    for name in names:
        try:
            simulated = monte_carlo(partial(column, name), measured, trials=TRIALS)
        except ArgumentError:
            continue  # no trial has this output: these inputs do not ask for it
        noise = 1e-9 * abs(simulated.value)  # rounding of an output that no trial moves
        found[name] = Spread(
            uncertainty=simulated.uncertainty if simulated.uncertainty > noise else 0.0,
            low=simulated.low,
            high=simulated.high,
        )
    return found


def _trial(run: Run, values: Mapping[str, object]) -> Result:
    try:
        return run(values)
    except ArgumentError:
        return {}
