"""A robust Kalman trend: where readings are heading, and how unsure that is, without a fixed line.

Level and slope are followed from reading to reading; the slope may wander. How much it wanders is
not guessed: several degrees, from hardly to strongly, run side by side and each counts as much as
it has explained the readings. The same degrees run once more with a slope that dies away, as of a
thing that settles; they count a quarter at first. A wild reading moves the level no further than
three standard deviations of its forecast.

How unsure it is, is held against the readings themselves: forecasts made at earlier moments, as far
ahead for their time as the present one, are compared with what came.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import erfc

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

# Variance of the slope's wandering per usual interval, in units of the readings' scatter. A rate
# that never changes is not offered: recorded wear speeds up and weather turns.
_DEGREES = (1e-5, 1e-4, 1e-3, 1e-2, 1e-1, 1.0)
_WANDERING = np.array([*_DEGREES, *_DEGREES])
_SETTLING = np.repeat([False, True], len(_DEGREES))
# For an earliest moment neither the steadiest count nor what settles: early ends that trusted in
# them held too seldom (`bench/forecast.py`).
_HASTY = (_WANDERING >= 1e-3) & ~_SETTLING
_PRIOR = np.where(_SETTLING, 0.25, 0.75) / len(_DEGREES)
_HALF_LIFE = 1.0  # of the time looked back, in which a settling slope halves
_HUBER = 3.0  # standard deviations beyond which a reading counts no further
_STEPS = 48  # of the time looked ahead, the first a thousandth of it; then within one of them
_BELIEF = 2.0  # own forecasts for which the model's spread counts as seen before any
_EARLIEST = 7  # readings before the first own forecast that is looked at
_MEDIAN_OF_3 = 0.45  # variance of a median of three normal readings, in one reading's


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """Level and slope after one reading, one row per degree of wandering.

    In scaled units: time in usual intervals from the last reading, values in scatters from it.
    """

    at: float
    level: Array  # shape (k,)
    slope: Array
    covariance: Array  # shape (k, 2, 2)
    likelihood: Array  # logarithm

    @property
    def weight(self) -> Array:
        """How much each degree counts."""
        return _shares(self.likelihood)

    @property
    def hasty_weight(self) -> Array:
        """How much each degree counts for an earliest moment."""
        return _shares(np.where(_HASTY, self.likelihood, -np.inf))


@dataclass(frozen=True, slots=True, kw_only=True)
class LocalTrend:
    """Where the readings were heading at each of them; the last is the present."""

    moments: tuple[Moment, ...]
    readings: Array  # scaled
    origin: float  # last value
    last: float  # last time, [s]
    interval: float  # [s]
    scatter: float
    decay: Array  # of the slope, per interval

    @property
    def now(self) -> float:
        """Level after the last reading, in the readings' unit."""
        here = self.moments[-1]
        return self.origin + self.scatter * float(here.weight @ here.level)

    def reach(
        self,
        limit: float,
        ahead: float,
        chance: float,
        *,
        stretch: tuple[float, float] = (1.0, 1.0),
        hasty: bool = False,
        shown: bool = False,
    ) -> float:
        """Return by when the limit is passed with a chance, [s]; infinite if not within.

        Parameters
        ----------
        limit
            In the readings' unit.
        ahead
            How far to look, [s].
        chance
            Between 0 and 1.
        stretch
            By which the spread is taken wider while the level is expected short of the limit, and
            once it is expected past it; see `stretch`.
        hasty
            Leave out those that are steady or settle.
        shown
            True: passed by what is read, which scatters about the level. False: by the level.
        """
        steps = np.geomspace(1e-3, 1.0, _STEPS) * ahead / self.interval
        steps = np.concatenate([[0.0], steps])
        for _ in range(2):  # the second within the step found first
            passed = self._passed(limit, steps, stretch, hasty=hasty, shown=shown)
            i = int(np.argmax(passed >= chance))
            if passed[i] < chance:
                return float("inf")
            steps = np.linspace(steps[max(i - 1, 0)], steps[i], _STEPS)
        return self.last + self.interval * float(steps[-1])

    def _passed(
        self,
        limit: float,
        steps: Array,
        stretch: tuple[float, float],
        *,
        hasty: bool,
        shown: bool,
    ) -> Array:
        """Return the chance that a limit is passed by so many intervals ahead, rising."""
        goal = (limit - self.origin) / self.scatter
        middle, spread = self._ahead(self.moments[-1], steps)
        away = np.sign(limit - self.now) * (middle - goal)
        away /= np.sqrt(spread + (_MEDIAN_OF_3 if shown else 0.0))
        away /= np.where(away < 0.0, *stretch)
        below = np.fromiter(map(erfc, (-away / np.sqrt(2.0)).flat), float, away.size)
        here = self.moments[-1]
        weight = here.hasty_weight if hasty else here.weight
        return np.maximum.accumulate(weight @ (below.reshape(away.shape) / 2.0))

    def stretch(self, ratio: float, side: float) -> float:
        """Return how much farther to one side the readings went than earlier forecasts expected.

        Parameters
        ----------
        ratio
            Time looked ahead over time looked back.
        side
            Which misses are looked at: 1 those above what was expected, -1 those below.

        Returns
        -------
        float
            Root of the mean square of the misses to that side, in standard deviations, over
            stretches of time that do not overlap; both sides alike it would be 1.
        """
        times = np.array([moment.at for moment in self.moments])
        count, squares = 0, 0.0
        end = len(times) - 1
        while True:
            start = int(np.searchsorted(times, (times[end] + ratio * times[0]) / (1.0 + ratio)))
            start = min(start, end - 1)
            if start < _EARLIEST:
                break
            middle, spread = self._ahead(self.moments[start], times[end : end + 1] - times[start])
            weight = self.moments[start].weight
            mean = float(weight @ middle[:, 0])
            variance = float(weight @ (spread[:, 0] + (middle[:, 0] - mean) ** 2)) + _MEDIAN_OF_3
            came = float(np.median(self.readings[max(end - 2, start + 1) : end + 1]))
            count, squares = count + 1, squares + max(side * (came - mean), 0.0) ** 2 / variance
            end = start
        return float(np.sqrt((_BELIEF + 2.0 * squares) / (_BELIEF + count)))

    def _ahead(self, moment: Moment, steps: Array) -> tuple[Array, Array]:
        """Return level and variance per degree, so many intervals after a moment."""
        way = _way(self.decay[:, None], steps)
        p = moment.covariance
        spread = p[:, 0, 0, None] + 2.0 * way * p[:, 0, 1, None] + way**2 * p[:, 1, 1, None]
        spread = spread + _WANDERING[:, None] * steps**3 / 3.0
        return moment.level[:, None] + moment.slope[:, None] * way, spread


def local_trend(times: Array, values: Array) -> LocalTrend:
    """Follow level and slope through readings in rising time, at least five.

    Notes
    -----
    The readings' scatter is taken from their second differences, those beyond three median scatters
    cut off, so that neither a trend nor a wild reading widens it.

    References
    ----------
    .. [1] A. C. Harvey, Forecasting, Structural Time Series Models and the Kalman Filter,
       Cambridge 1989: local linear trend (from memory).
    .. [2] E. S. Gardner, E. McKenzie, Management Science 31 (1985) 1237: damped trend (from
       memory).

    Examples
    --------
    >>> trend = local_trend(np.arange(20.0), np.arange(20.0) + 0.1 * (-1.0) ** np.arange(20))
    >>> round(trend.reach(30.0, 60.0, 0.5))
    30
    """
    interval = float(np.median(np.diff(times)))
    scatter = _scatter(values)
    x, y = (times - times[-1]) / interval, (values - values[-1]) / scatter
    decay = np.where(_SETTLING, np.log(2.0) / max(-_HALF_LIFE * x[0], 1.0), 0.0)
    return LocalTrend(
        moments=tuple(_follow(x, y, decay)),
        readings=y,
        origin=float(values[-1]),
        last=float(times[-1]),
        interval=interval,
        scatter=scatter,
        decay=decay,
    )


def _shares(likelihood: Array) -> Array:
    weight = np.exp(likelihood - likelihood.max())
    return np.asarray(weight / weight.sum())


def _scatter(values: Array) -> float:
    second = values[2:] - 2.0 * values[1:-1] + values[:-2]
    usual = 1.4826 * float(np.median(np.abs(second)))
    clipped = np.clip(second, -_HUBER * usual, _HUBER * usual)
    scatter = float(np.sqrt(np.mean(clipped**2) / 6.0))
    return max(scatter, 1e-6 * float(np.ptp(values)), 1e-300)


def _follow(x: Array, y: Array, decay: Array) -> Iterator[Moment]:
    """Yield what is known after each reading."""
    level, slope = np.full(len(_WANDERING), y[0]), np.zeros(len(_WANDERING))
    covariance = np.zeros((len(_WANDERING), 2, 2))
    covariance[:, 0, 0] = 1.0
    covariance[:, 1, 1] = (1.0 + 5.0 * np.ptp(y) / max(x[-1] - x[0], 1.0)) ** 2
    likelihood = np.log(_PRIOR)
    yield Moment(at=x[0], level=level, slope=slope, covariance=covariance, likelihood=likelihood)
    for at, step, reading in zip(x[1:], np.diff(x), y[1:], strict=True):
        level, slope = level + slope * _way(decay, step), slope * np.exp(-decay * step)
        covariance = _ahead(covariance, decay, step)
        total = covariance[:, 0, 0] + 1.0
        miss = (reading - level) / np.sqrt(total)
        likelihood = likelihood - 0.5 * (np.log(total) + np.minimum(miss**2, _HUBER**2))
        gain = covariance[:, :, 0] / total[:, None]
        moved = np.clip(miss, -_HUBER, _HUBER) * np.sqrt(total)
        level, slope = level + gain[:, 0] * moved, slope + gain[:, 1] * moved
        covariance = covariance - gain[:, :, None] * covariance[:, None, 0, :]
        yield Moment(at=at, level=level, slope=slope, covariance=covariance, likelihood=likelihood)


def _way(decay: Array, step: ArrayLike) -> Array:
    """Return how far a slope of one carries in a step of time when it dies away like that."""
    rate = np.maximum(decay, 1e-12)
    return np.asarray(-np.expm1(-rate * step) / rate)


def _ahead(p: Array, decay: Array, step: float) -> Array:
    """Carry the covariance of level and slope over a step of time."""
    move = np.zeros((len(decay), 2, 2))
    move[:, 0, 0], move[:, 0, 1], move[:, 1, 1] = 1.0, _way(decay, step), np.exp(-decay * step)
    noise = np.array([[step**3 / 3.0, step**2 / 2.0], [step**2 / 2.0, step]])
    return np.asarray(move @ p @ move.transpose(0, 2, 1) + _WANDERING[:, None, None] * noise)
