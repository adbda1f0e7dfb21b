"""A pump's own normal: what a point usually reads at these values of its drivers.

The model is a line that a person can follow: *usual value + slope x (driver - its usual value)*
for at most three drivers, fitted by Huber's robust regression to a bounded set of good readings.
The set never grows (`KEPT` readings, none older than 90 days, thinned evenly), so that a verdict
costs the same after a hundred and after ten million readings.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gaugewalk.judge.drivers import Driver

KEPT = 96  # readings kept: three a day for a month, or one a day for three months
MEMORY = 90 * 86400.0  # s
FEWEST = 8  # readings below which the plant file's limits stand in
BAND = 4.0  # half width of the band in usual scatters; with many readings about 1 in 16,000 outside
_HUBER = 1.345  # 95 % efficient for normal scatter; Huber, Robust Statistics, 1981
_MAD = 1.4826  # median absolute deviation to standard deviation of a normal distribution
_SETTLED = 1e-6  # a fit is settled when no coefficient moves by more than this share of the scatter


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """One good reading with the values of its drivers when it was taken, [SI], epoch [s]."""

    at: float
    value: float
    drivers: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """A fitted normal: `middle` at the drivers' `centers`, one slope per driver, and the scatter.

    `spreads` are the drivers' usual scatters in the readings the fit rests on; a slope of zero
    belongs to a driver that did not move enough to tell.
    """

    middle: float
    scale: float
    readings: int
    centers: tuple[float, ...] = ()
    slopes: tuple[float, ...] = ()
    spreads: tuple[float, ...] = ()

    def expect(self, drivers: Sequence[float]) -> tuple[float, float]:
        """Return the expected value and its scatter at these drivers, [SI].

        A driver that was not read is taken at its center and its share is added to the scatter;
        beyond the range it was seen in (3 spreads) the line is not drawn further.
        """
        value, variance = self.middle, self.scale**2
        for given, center, slope, spread in zip(
            drivers, self.centers, self.slopes, self.spreads, strict=False
        ):
            if not np.isfinite(given):
                variance += (slope * spread) ** 2
                continue
            away = given - center
            inside = max(-3.0 * spread, min(3.0 * spread, away))
            value += slope * inside
            variance += (slope * (away - inside)) ** 2
        return value, float(np.sqrt(variance))


def widening(readings: int) -> float:
    """Return the factor by which a scatter known from few readings is widened.

    Follows the ratio of Student's t to the normal quantile at four scatters: 1 + 6/n is within
    10 % of it from ten readings on.

    Examples
    --------
    >>> round(widening(8), 2), round(widening(96), 2)
    (1.75, 1.06)
    """
    return 1.0 + 6.0 / max(readings, 1)


def keep(samples: Sequence[Sample], new: Sample) -> tuple[Sample, ...]:
    """Add a reading to the bounded set; drop what is too old, then thin where it is densest."""
    kept = [s for s in samples if s.at > new.at - MEMORY]
    kept.append(new)
    if len(kept) > KEPT:
        # The newest quarter stays whole; of the rest the one closest to its neighbors goes.
        old = np.array([s.at for s in kept[: KEPT * 3 // 4]])
        crowding = np.concatenate([[np.inf], old[2:] - old[:-2], [np.inf]])
        kept.pop(int(np.argmin(crowding)))
    return tuple(kept)


def fit(
    samples: Sequence[Sample], drivers: Sequence[Driver], *, floor: float, prior: float | None
) -> Fit | None:
    """Fit the own normal to good readings; none below `FEWEST` readings.

    Parameters
    ----------
    samples
        Good readings of a running pump, [SI].
    drivers
        What the values in each sample's `drivers` belong to.
    floor
        Scatter below which the gauge cannot tell, [SI].
    prior
        Scatter expected before any reading was seen, [SI]; counts as four readings.

    References
    ----------
    .. [1] P. J. Huber, Robust Statistics, Wiley 1981: M-estimate, k = 1.345 (from memory).
    """
    if len(samples) < FEWEST:
        return None
    values = np.array([s.value for s in samples])
    terms = np.array([s.drivers for s in samples]).reshape(len(samples), len(drivers))
    centers, spreads, scaled = _scaled(terms)
    usable = _usable(spreads, scaled, len(samples))
    design = np.column_stack([np.ones(len(values)), scaled[:, usable]])
    coefficients, scale = _huber(design, values)
    if prior is not None:
        n = len(samples)
        scale = float(np.sqrt((n * scale**2 + 4.0 * prior**2) / (n + 4.0)))
    slopes = np.zeros(len(drivers))
    slopes[usable] = coefficients[1:] / spreads[usable]
    return Fit(
        middle=float(coefficients[0]),
        scale=max(scale, floor),
        readings=len(samples),
        centers=tuple(map(float, centers)),
        slopes=tuple(map(float, slopes)),
        spreads=tuple(map(float, spreads)),
    )


def smallest_step(samples: Sequence[Sample]) -> float:
    """Return half the smallest difference between two readings, the gauge's own coarseness [SI].

    Examples
    --------
    >>> smallest_step([Sample(at=0, value=3.0), Sample(at=1, value=3.5), Sample(at=2, value=3.0)])
    0.25
    """
    values = np.unique([s.value for s in samples])
    if len(values) < 2:
        return 0.0
    gaps = np.diff(values)
    # Two readings equal but for rounding are one value.
    real = gaps[gaps > 1e-9 * max(abs(values[0]), abs(values[-1]))]
    return float(real.min()) / 2.0 if len(real) else 0.0


def _scaled(
    terms: NDArray[np.float64],
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Center and scale each driver robustly; a value not read becomes the center."""
    centers, spreads = np.full(terms.shape[1], np.nan), np.zeros(terms.shape[1])
    scaled = np.zeros(terms.shape)
    for i, column in enumerate(terms.T):
        known = np.isfinite(column)
        if known.sum() < FEWEST:
            centers[i] = 0.0
            continue
        centers[i] = _median(column[known])
        spreads[i] = _MAD * _median(np.abs(column[known] - centers[i]))
        if spreads[i] == 0.0:
            spreads[i] = np.std(column[known])
        if spreads[i] > 1e-9 * abs(centers[i]):
            scaled[known, i] = np.clip((column[known] - centers[i]) / spreads[i], -5.0, 5.0)
    return centers, spreads, scaled


def _median(values: NDArray[np.float64]) -> float:
    """Return the median of a short row without gaps; `np.median` spends ten times as long on it."""
    ordered = np.sort(values)
    half = len(ordered) // 2
    return float(ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2.0)


def _usable(
    spreads: NDArray[np.float64], scaled: NDArray[np.float64], readings: int
) -> NDArray[np.int_]:
    """Return the drivers that moved, one per eight readings, and none that repeats another."""
    chosen: list[int] = []
    for i in range(len(spreads)):
        if len(chosen) >= readings // FEWEST or not np.any(scaled[:, i]):
            continue
        twin = any(abs(_correlation(scaled[:, i], scaled[:, j])) > 0.98 for j in chosen)
        if not twin:
            chosen.append(i)
    return np.array(chosen, dtype=int)


def _correlation(a: NDArray[np.float64], b: NDArray[np.float64]) -> float:
    a, b = a - a.mean(), b - b.mean()
    return float(a @ b / np.sqrt((a @ a) * (b @ b) + 1e-300))


def _huber(
    design: NDArray[np.float64], values: NDArray[np.float64]
) -> tuple[NDArray[np.float64], float]:
    """Return Huber's coefficients and the residuals' scatter by their MAD.

    Each slope carries one pseudo-reading of "no influence", so that a driver which hardly moved
    gets hardly any slope.
    """
    columns = design.shape[1]
    ridge = np.diag([1e-9] + [1.0] * (columns - 1))
    shift = _median(values)
    y = values - shift
    coefficients: NDArray[np.float64] = np.zeros(columns)
    scale = 0.0
    for _ in range(15):
        residuals = y - design @ coefficients
        scale = _MAD * _median(np.abs(residuals - _median(residuals)))
        if scale == 0.0:
            scale = float(np.std(residuals))
        if scale == 0.0:
            break
        weights = np.minimum(1.0, _HUBER * scale / np.maximum(np.abs(residuals), 1e-300))
        weighted = design * weights[:, None]
        solved = np.linalg.solve(design.T @ weighted + ridge, weighted.T @ y)
        moved = np.abs(solved - coefficients).max()
        coefficients = np.asarray(solved, dtype=np.float64)
        if moved < _SETTLED * scale:
            break
    n = len(values)
    coefficients[0] += shift
    return coefficients, scale * float(np.sqrt(n / max(n - columns, 1)))
