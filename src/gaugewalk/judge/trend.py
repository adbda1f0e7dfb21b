"""Trends that no single reading can make: Theil-Sen slope, Mann-Kendall whether there is one."""

from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike, NDArray

_EXACT_UP_TO = 40  # readings; beyond, the normal approximation differs by less than 1e-4
FEWEST = 8  # readings for a trend
_STANDS_OUT = 1.64  # standard errors of a correlation


@dataclass(frozen=True, slots=True, kw_only=True)
class Trend:
    """A straight line through readings, and how sure it is.

    `level` at time `center` [s], `slope` per second with its standard error; `chance` is the
    two-sided probability of so ordered a row where there is no trend.
    """

    center: float
    level: float
    slope: float
    slope_error: float
    scatter: float
    chance: float
    readings: int
    span: float  # s

    def at(self, time: float) -> float:
        """Return the line's value at a time [s]."""
        return self.level + self.slope * (time - self.center)


def theil_sen(times: ArrayLike, values: ArrayLike) -> tuple[float, float]:
    """Return the median of all pairwise slopes, and the matching intercept.

    Parameters
    ----------
    times, values : array, shape (n,)
        n of at least 2.

    Returns
    -------
    slope, intercept
        Intercept is the median value less slope times the median time.

    References
    ----------
    .. [1] P. K. Sen, J. Am. Stat. Assoc. 63 (1968) 1379 (from memory).

    Examples
    --------
    >>> theil_sen(range(10), [1, 3, 2, 5, 4, 6, 8, 7, 9, 30])  # least squares would say 2.05
    (1.0, 1.0)
    """
    t, v = np.asarray(times, dtype=float), np.asarray(values, dtype=float)
    slope = float(np.median(_slopes(t, v)))
    return slope, float(np.median(v) - slope * np.median(t))


def mann_kendall(values: ArrayLike) -> tuple[int, float]:
    """Return S and its two-sided probability where there is no trend.

    Exact up to 40 readings without ties; else the normal approximation with variance
    n (n - 1)(2 n + 5)/18 less the ties', and continuity correction.

    References
    ----------
    .. [1] M. G. Kendall, Rank Correlation Methods (from memory).

    Examples
    --------
    >>> s, chance = mann_kendall([1, 3, 2, 5, 4, 6, 8, 7, 9, 30])
    >>> s, round(chance, 8)
    (39, 0.00011519)
    """
    v = np.asarray(values, dtype=float)
    i, j = np.triu_indices(len(v), 1)
    s = int(np.sign(v[j] - v[i]).sum())
    if len(np.unique(v)) == len(v) and len(v) <= _EXACT_UP_TO:
        return s, _exact_chance(len(v), abs(s))
    return s, normal_chance(s, _variance(v))


def normal_chance(s: int, variance: float) -> float:
    """Return the two-sided normal probability of S with continuity correction.

    Examples
    --------
    >>> round(normal_chance(39, 125.0), 9)
    0.000676764
    """
    if s == 0 or variance <= 0.0:
        return 1.0
    z = (abs(s) - 1) / variance**0.5
    return 2.0 * (1.0 - NormalDist().cdf(z))


def trend_of(times: ArrayLike, values: ArrayLike) -> Trend | None:
    """Return the trend of readings in rising time; none below `FEWEST` or within one moment.

    The slope's error follows from Sen's interval of the pairwise slopes. Readings that follow each
    other closely (a day's warmth, a slow swing) count as fewer: where the residuals' correlation
    from one to the next, r, stands out, the variances of S and of the slope are taken
    (1 + r)/(1 - r) times.

    References
    ----------
    .. [1] K. H. Hamed, A. R. Rao, J. Hydrol. 204 (1998) 182: Mann-Kendall for correlated readings
       (from memory), here with the first correlation only.
    """
    t, v = np.asarray(times, dtype=float), np.asarray(values, dtype=float)
    if len(t) < FEWEST or t[-1] <= t[0]:
        return None
    slopes = np.sort(_slopes(t, v))
    slope, center = float(np.median(slopes)), float(np.median(t))
    residuals = v - slope * (t - center)
    level = float(np.median(residuals))
    scatter = 1.4826 * float(np.median(np.abs(residuals - level)))
    s, chance = mann_kendall(v)
    alike = _alike(residuals - level)
    return Trend(
        center=center,
        level=level,
        slope=slope,
        slope_error=_slope_error(slopes, v) * alike**0.5,
        scatter=scatter,
        chance=chance if alike == 1.0 else normal_chance(s, _variance(v) * alike),
        readings=len(t),
        span=float(t[-1] - t[0]),
    )


def _alike(residuals: NDArray[np.float64]) -> float:
    """Return how many times fewer readings that are alike from one to the next count for."""
    total = float(residuals @ residuals)
    r = float(residuals[1:] @ residuals[:-1]) / total if total > 0.0 else 0.0
    if r <= _STANDS_OUT / len(residuals) ** 0.5:
        return 1.0
    r = min(r, 0.95)
    return (1.0 + r) / (1.0 - r)


def _slopes(t: NDArray[np.float64], v: NDArray[np.float64]) -> NDArray[np.float64]:
    i, j = np.triu_indices(len(t), 1)
    apart = t[j] > t[i]
    return np.asarray((v[j] - v[i])[apart] / (t[j] - t[i])[apart])


def _slope_error(slopes: NDArray[np.float64], values: NDArray[np.float64]) -> float:
    """Return half of Sen's 68 % interval of the slope."""
    half = np.sqrt(max(_variance(values), 0.0)) / 2.0
    middle = (len(slopes) - 1) / 2.0
    low = slopes[max(int(np.floor(middle - half)), 0)]
    high = slopes[min(int(np.ceil(middle + half)), len(slopes) - 1)]
    return float(high - low) / 2.0


def _variance(values: NDArray[np.float64]) -> float:
    """Return the variance of S without trend, ties allowed for."""
    n = len(values)
    _, ties = np.unique(values, return_counts=True)
    tied = float(np.sum(ties * (ties - 1) * (2 * ties + 5)))
    return (n * (n - 1) * (2 * n + 5) - tied) / 18.0


def _exact_chance(n: int, s: int) -> float:
    """Return the exact two-sided probability of |S| >= s, from the counts of inversions."""
    if s == 0:
        return 1.0
    chances = np.ones(1)
    for k in range(2, n + 1):
        chances = np.convolve(chances, np.full(k, 1.0 / k))
    inversions = np.arange(len(chances))
    return float(min(1.0, chances[np.abs(n * (n - 1) // 2 - 2 * inversions) >= s].sum()))
