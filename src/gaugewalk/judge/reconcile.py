"""Weighted least squares over redundant readings, and the chi-square test whether they agree.

Every reading is a function of a few unknowns; more readings than unknowns must agree within their
uncertainties. Where they do not, each single reading is left out in turn: the one without which the
rest agree may be the lying one.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Model = Callable[[Array], Mapping[str, float]]
"""Unknowns (scaled, about 1) to what each gauge would show, [SI]."""

_STEPS = 40
_SMALL = 1e-5  # step of the numerical slopes, in scaled unknowns


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One reading with its standard uncertainty, [SI]."""

    point: str
    value: float
    uncertainty: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """The unknowns that fit best, how sure they are, and how well the readings agree.

    `degrees` counts the readings beyond what the unknowns need; `chance` is the probability of so
    large a disagreement where all uncertainties are true, 1 where nothing is redundant.
    """

    unknowns: Array
    covariance: Array
    chi_square: float
    degrees: int
    chance: float
    residuals: Mapping[str, float]  # reading less fitted, in uncertainties


def solve(
    model: Model, readings: Sequence[Measured], start: Array, spread: Array, *, free: int
) -> Solution:
    """Fit the unknowns to the readings by damped Gauss-Newton steps.

    Parameters
    ----------
    model
        What each gauge would show.
    readings
        What they do show.
    start, spread
        Where to begin, and how far each unknown may lie from there, both scaled: a weak belief that
        holds what no reading tells, and leaves its wide uncertainty visible.
    free
        Unknowns that count against the readings in the degrees of freedom.

    References
    ----------
    .. [1] JCGM 100:2008 for the uncertainties; VDI 2048 for reconciliation and its chi-square
       test (from memory).
    """
    x, damping = start.copy(), 1e-3
    weights = np.array([1.0 / m.uncertainty for m in readings])
    cost = _cost(model, readings, weights, x, start, spread)
    for _ in range(_STEPS):
        slopes, misses = _slopes(model, readings, weights, x), _misses(model, readings, weights, x)
        slopes = np.vstack([slopes, np.diag(1.0 / spread)])
        misses = np.concatenate([misses, (start - x) / spread])
        square = slopes.T @ slopes
        step = np.linalg.solve(square + damping * np.diag(np.diag(square)), slopes.T @ misses)
        new_cost = _cost(model, readings, weights, x + step, start, spread)
        if new_cost > cost:
            damping = min(damping * 10.0, 1e8)
            continue
        done = cost - new_cost < 1e-9 * (1.0 + cost)
        x, cost, damping = x + step, new_cost, max(damping / 10.0, 1e-9)
        if done:
            break
    slopes = np.vstack([_slopes(model, readings, weights, x), np.diag(1.0 / spread)])
    misses = _misses(model, readings, weights, x)
    chi_square, degrees = float(misses @ misses), max(len(readings) - free, 0)
    return Solution(
        unknowns=x,
        covariance=np.asarray(np.linalg.inv(slopes.T @ slopes), dtype=np.float64),
        chi_square=chi_square,
        degrees=degrees,
        chance=chance(chi_square, degrees),
        residuals={m.point: float(z) for m, z in zip(readings, misses, strict=True)},
    )


def chance(chi_square: float, degrees: int) -> float:
    """Return the probability of at least this chi-square; 1 without redundancy.

    Examples
    --------
    >>> round(chance(3.841, 1), 3), chance(5.0, 0)
    (0.05, 1.0)
    """
    from scipy.special import gammaincc  # heavy; only an estimate needs it

    return float(gammaincc(degrees / 2.0, chi_square / 2.0)) if degrees > 0 else 1.0


def propagated(function: Callable[[Array], float], solution: Solution) -> tuple[float, float]:
    """Return a function of the unknowns with its standard uncertainty."""
    x = solution.unknowns
    value = function(x)
    slopes = np.empty(len(x))
    for i in range(len(x)):
        moved = x.copy()
        moved[i] += _SMALL
        slopes[i] = (function(moved) - value) / _SMALL
    variance = float(slopes @ solution.covariance @ slopes)
    return value, max(variance, 0.0) ** 0.5


def _misses(model: Model, readings: Sequence[Measured], weights: Array, x: Array) -> Array:
    shown = model(x)
    return np.array([m.value - shown[m.point] for m in readings]) * weights


def _slopes(model: Model, readings: Sequence[Measured], weights: Array, x: Array) -> Array:
    base = model(x)
    columns = []
    for i in range(len(x)):
        moved = x.copy()
        moved[i] += _SMALL
        shown = model(moved)
        columns.append([(shown[m.point] - base[m.point]) / _SMALL for m in readings])
    return np.array(columns).reshape(len(x), len(readings)).T * weights[:, None]


def _cost(
    model: Model,
    readings: Sequence[Measured],
    weights: Array,
    x: Array,
    start: Array,
    spread: Array,
) -> float:
    misses = _misses(model, readings, weights, x)
    away = (x - start) / spread
    return float(misses @ misses + away @ away)
