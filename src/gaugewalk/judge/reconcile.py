"""Weighted least squares over redundant readings, and the chi-square test whether they agree.

Every reading is a function of a few unknowns; more readings than unknowns must agree within their
uncertainties. Where they do not, each single reading is left out in turn: the one without which the
rest agree may be the lying one.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import erfc, exp, pi

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
    shown = _shown(model, readings, x)
    cost = _cost(readings, weights, shown, (x - start) / spread)
    belief, back = np.diag(1.0 / spread), True
    for _ in range(_STEPS):
        if back:  # the slopes stay where a step was not taken
            slopes = np.vstack([_slopes(model, readings, weights, x, shown), belief])
            misses = np.concatenate([_misses(readings, weights, shown), (start - x) / spread])
            square, way = slopes.T @ slopes, slopes.T @ misses
        step = np.linalg.solve(square + damping * np.diag(np.diag(square)), way)
        new = _shown(model, readings, x + step)
        new_cost = _cost(readings, weights, new, (x + step - start) / spread)
        back = new_cost <= cost
        if not back:
            damping = min(damping * 10.0, 1e8)
            continue
        done = cost - new_cost < 1e-9 * (1.0 + cost)
        x, shown, cost, damping = x + step, new, new_cost, max(damping / 10.0, 1e-9)
        if done:
            break
    slopes = np.vstack([_slopes(model, readings, weights, x, shown), belief])
    misses = _misses(readings, weights, shown)
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
    # Closed form for whole degrees (Abramowitz and Stegun 26.4.4 and 26.4.5, from memory; the tests
    # hold it against a library, whose loading would take longer than the estimate).
    if degrees <= 0 or chi_square <= 0.0:
        return 1.0
    half = chi_square / 2.0
    odd = degrees % 2
    total = erfc(half**0.5) if odd else 0.0
    term = exp(-half) * (2.0 * (half / pi) ** 0.5 if odd else 1.0)
    for k in range(degrees // 2):
        total += term
        term *= half / (k + 1.5 if odd else k + 1.0)
    return min(total, 1.0)


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


def _shown(model: Model, readings: Sequence[Measured], x: Array) -> Array:
    shown = model(x)
    return np.array([shown[m.point] for m in readings])


def _misses(readings: Sequence[Measured], weights: Array, shown: Array) -> Array:
    return (np.array([m.value for m in readings]) - shown) * weights


def _slopes(
    model: Model, readings: Sequence[Measured], weights: Array, x: Array, shown: Array
) -> Array:
    columns = []
    for i in range(len(x)):
        moved = x.copy()
        moved[i] += _SMALL
        columns.append((_shown(model, readings, moved) - shown) / _SMALL)
    return np.array(columns).T * weights[:, None]


def _cost(readings: Sequence[Measured], weights: Array, shown: Array, away: Array) -> float:
    misses = _misses(readings, weights, shown)
    return float(misses @ misses + away @ away)
