"""When will it reach its limit? A robust trend through the last readings, with an 80 % interval.

Only the readings since the last sudden change (a strainer cleaned, oil topped up) count. Where no
trend stands out of the scatter (Mann-Kendall) there is no forecast, and that is said. Nothing is
told further ahead than was looked back.

Three moments are told: the earliest, which nine of ten shall not come before; when, if it goes on
as lately; and the latest, which nine of ten shall not come after. What warms up or wears in slows
down by itself: where the readings do not make nine of ten sure, the late end stays open, and it is
said that it may level off. A closed end is the rule where wear or dirt goes on evenly, an open one
where things warm up, wander, or are meddled with (`bench/forecast.py`).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from math import isfinite
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gaugewalk.judge.display import display_unit, span
from gaugewalk.judge.drivers import drivers_of
from gaugewalk.judge.limits import Limit, limits_of
from gaugewalk.judge.local_trend import LocalTrend, local_trend
from gaugewalk.judge.normal import Fit
from gaugewalk.judge.trend import FEWEST, Trend, trend_of
from gaugewalk.plant.points import point_kind
from gaugewalk.plant.pump import Pump
from gaugewalk.units import show

CLAIM = 0.9  # of forecasts: not reached before the early end; by the late end, where there is one
LEVEL = 2.0 * CLAIM - 1.0  # between both
_CHANCE = 0.01  # of so ordered a row without a trend, above which there is no forecast
_FAR = 1.0  # times the time looked back, beyond which nothing is forecast
_LATE = 1.5  # times the time looked back, beyond which a late end is open
_NEAR = 0.1  # times the time looked back: the least over which own forecasts are looked at
_SURE = 8.0  # times its error, under which a slope promises no late end
_PASSAGE = 1.5  # chance of having passed a limit over that of being past it; between 1 and 2
_RESET = 6.0  # times the usual change from reading to reading, for a sudden one
_MOST = 128  # last readings looked at
_DAY = 86400.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """When a point reaches a limit, or why that cannot be said.

    `when` is none where nothing is forecast; it holds if things go on as lately. `low` is the
    earliest moment: nine in ten are not reached before it. `high` is the latest: nine in ten are
    reached by it; none where that is open. From `level` at `last`, the last reading, they lead.
    """

    point: str
    sentence: str
    when: datetime | None = None
    low: datetime | None = None
    high: datetime | None = None
    last: datetime | None = None
    level: float | None = None  # SI
    limit: Limit | None = None
    readings: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossing:
    """When readings reach a value: the earliest, if they go on as lately, and the latest, [s]."""

    low: float
    when: float
    high: float  # infinite where it is open
    level: float  # now, in the readings' unit
    last: float  # reading
    trend: Trend


@dataclass(frozen=True, slots=True, kw_only=True)
class _Course:
    """Whether and which way readings go (the trend), and how (the local trend)."""

    trend: Trend
    local: LocalTrend
    last: float  # time of the last reading, [s]


@dataclass(frozen=True, slots=True, kw_only=True)
class Past:
    """One reading of the past: when [s], what [SI], and what else was read then [SI]."""

    at: float
    value: float
    context: Mapping[str, float]


def time_to_limit(
    times: ArrayLike, values: ArrayLike, limit: float, *, claim: float = CLAIM
) -> Crossing | None:
    """Return when a rising or falling row of readings reaches a value.

    Parameters
    ----------
    times
        When, rising. [s]
    values
        Readings, in any unit.
    limit
        Value to be reached, same unit.
    claim
        Probability that it is not reached before the early end, and that it is by the late one.

    Returns
    -------
    Crossing or None
        None where there is no trend, it leads away, the limit is passed already, or it lies further
        ahead than was looked back.

    Notes
    -----
    Whether there is a trend is Mann-Kendall's answer on the readings since the last sudden change,
    and which way it leads is the Theil-Sen slope's; when the limit is reached is the Kalman
    trend's, which lets the rate change. The late end is the later of the Kalman trend's and the
    Theil-Sen line's, its slope as flat as its error allows (9 of 10): a spurt of late often falls
    back to the line.

    Examples
    --------
    >>> day = 86400.0
    >>> crossing = time_to_limit([i * day for i in range(10)], range(10), 15)
    >>> round(crossing.when / day, 1)
    15.0
    """
    course = _course(times, values)
    return _crossing(course, limit, claim) if course else None


def look_ahead(
    pump: Pump,
    point: str,
    past: Sequence[Past],
    *,
    now: datetime,
    barometric: float,
    fit: Fit | None = None,
) -> Forecast:
    """Say when a point will reach its next limit, or why that cannot be said.

    Parameters
    ----------
    pump, point
        Which point.
    past
        Good readings of the running pump, oldest first.
    now
        Aware; durations in the sentence count from it.
    barometric
        Pressure of the air at the gauge. [Pa]
    fit
        Own normal of the point: takes weather and duty out of the readings before the trend.
    """
    label, unit = point_kind(point).label, display_unit(pump, point)
    limits = limits_of(pump, point)
    if not limits:
        return Forecast(point=point, sentence=f"{label} has no limit to reach.")
    if len(past) < FEWEST:
        words = f"{label}: {len(past)} readings are too few for a forecast; it takes {FEWEST}."
        return Forecast(point=point, sentence=words, readings=len(past))
    times, values = [p.at for p in past], _adjusted(past, point, fit)
    course = _course(times, values)
    found = [
        (crossing, limit)
        for limit in limits
        if course and _towards(course, limit) and (crossing := _crossing(course, limit.value))
    ]
    if not found:
        towards = [limit for limit in limits if course and _towards(course, limit)]
        words = (
            _far_off(label, unit, course, towards, barometric)
            if course and towards
            else _no_trend(label, unit, values, barometric)
        )
        return Forecast(point=point, sentence=words, readings=len(past))
    crossing, limit = min(found, key=lambda pair: pair[0].when)
    return Forecast(
        point=point,
        sentence=_sentence(label, unit, crossing, limit, now.timestamp(), barometric),
        when=datetime.fromtimestamp(crossing.when, UTC),
        low=datetime.fromtimestamp(crossing.low, UTC),
        high=datetime.fromtimestamp(crossing.high, UTC) if isfinite(crossing.high) else None,
        last=datetime.fromtimestamp(crossing.last, UTC),
        level=crossing.level,
        limit=limit,
        readings=crossing.trend.readings,
    )


def _course(times: ArrayLike, values: ArrayLike) -> _Course | None:
    """Return where the last readings are heading; none where no trend stands out."""
    t, v = np.asarray(times, dtype=float)[-_MOST:], np.asarray(values, dtype=float)[-_MOST:]
    start = _since_reset(v)
    trend = trend_of(t[start:], v[start:])
    if trend is None or trend.chance > _CHANCE or not trend.slope:
        return None
    return _Course(trend=trend, local=local_trend(t[start:], v[start:]), last=float(t[-1]))


def _towards(course: _Course, limit: Limit) -> bool:
    return (course.trend.slope > 0.0) == (limit.side == "high")


def _crossing(course: _Course, limit: float, claim: float = CLAIM) -> Crossing | None:
    trend, local = course.trend, course.local
    side = 1.0 if trend.slope > 0.0 else -1.0
    if side * (limit - trend.at(course.last)) <= 0.0 or side * (limit - local.now) <= 0.0:
        return None
    when = local.reach(limit, _FAR * trend.span, 0.5)
    if not isfinite(when):
        return None
    ratio = max((when - course.last) / trend.span, _NEAR)
    fast, slow = local.stretch(ratio, side), local.stretch(ratio, -side)
    # The limit is reached when it is passed for the first time. Where the rate wanders, that chance
    # is up to twice the chance of being past it (reflection principle).
    low = local.reach(
        limit,
        _FAR * trend.span,
        (1.0 - claim) / _PASSAGE,
        stretch=(fast, 1.0),
        hasty=True,
    )
    late = _LATE * trend.span
    high = local.reach(limit, late, claim, stretch=(1.0, slow), shown=True)
    high = max(when, high, _flattest(trend, limit, claim, course.last))
    return Crossing(
        low=min(low, when),
        when=when,
        high=high if high <= course.last + late else float("inf"),
        level=local.now,
        last=course.last,
        trend=trend,
    )


def _flattest(trend: Trend, limit: float, claim: float, last: float) -> float:
    """Return when a line as flat as the slope's error allows reaches the limit, [s].

    Infinite where the slope is not sure enough to promise that it goes on.
    """
    if abs(trend.slope) < _SURE * trend.slope_error:
        return float("inf")
    flat = abs(trend.slope) - NormalDist().inv_cdf(claim) * trend.slope_error
    return last + abs(limit - trend.at(last)) / flat


def _adjusted(past: Sequence[Past], point: str, fit: Fit | None) -> list[float]:
    """Take out what the drivers did: what the readings would be at the drivers' usual values."""
    if fit is None:
        return [p.value for p in past]
    drivers = drivers_of(point)
    return [
        p.value - fit.expect([driver.value(p.context) for driver in drivers])[0] + fit.middle
        for p in past
    ]


def _since_reset(values: NDArray[np.float64]) -> int:
    """Return where the readings begin anew after the last sudden change, 0 where there is none."""
    if len(values) < FEWEST:
        return 0
    changes = np.diff(values)
    usual = 1.4826 * float(np.median(np.abs(changes - np.median(changes))))
    reach = float(np.ptp(values))
    # The two readings after it must stay there: one wild reading is no reset.
    ahead = _median_of_next(values) - values[:-1]
    sudden = (np.abs(changes) > _RESET * usual) & (np.abs(ahead) > max(_RESET * usual, reach / 3))
    return int(np.flatnonzero(sudden)[-1]) + 1 if sudden.any() else 0


def _median_of_next(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the median of the three readings after each; of those that there are, at the end.

    Examples
    --------
    >>> _median_of_next(np.array([0.0, 1.0, 9.0, 2.0, 4.0])).tolist()
    [2.0, 4.0, 3.0, 4.0]
    """
    after = np.pad(values[1:], (0, 2), constant_values=np.nan)
    return np.nanmedian(np.lib.stride_tricks.sliding_window_view(after, 3), axis=1)


def _sentence(
    label: str, unit: str, crossing: Crossing, limit: Limit, now: float, barometric: float
) -> str:
    mark = f"the {limit.severity} limit {show(limit.value, unit, barometric=barometric)}"
    return (
        f"{label} {_moved(crossing.trend, unit, barometric)}; {mark} is reached "
        f"{_moments(crossing, now)} ({crossing.trend.readings} readings)."
    )


def _moved(trend: Trend, unit: str, barometric: float) -> str:
    first, last = (trend.at(trend.center + side * trend.span / 2.0) for side in (-1.0, 1.0))
    how = "rose" if trend.slope > 0.0 else "fell"
    moved = span(first, last, unit, barometric=barometric)
    return f"{how} from {moved} in {_duration(trend.span)}"


def _moments(crossing: Crossing, now: float) -> str:
    """Say when, how soon and how late, in spans from now on."""
    early, middle, late = (at - now for at in (crossing.low, crossing.when, crossing.high))
    if late <= 0.0:
        return "by now, going by the readings so far"
    likeliest = f"likeliest in {_duration(middle)}" if middle > 0.0 else "likeliest by now"
    if isfinite(late):
        ends = f"in {_between(early, late)}" if early > 0.0 else f"within {_duration(late)}"
        return f"{ends} in {LEVEL * 10:.0f} cases of 10, {likeliest}"
    soonest = (
        f"not before {_duration(early)} in {CLAIM * 10:.0f} cases of 10, " if early > 0.0 else ""
    )
    return f"{soonest or 'at any time, '}{likeliest}; it may also level off"


def _far_off(
    label: str, unit: str, course: _Course, towards: Sequence[Limit], barometric: float
) -> str:
    further = "further " if any(limit.beyond(course.local.now) for limit in towards) else ""
    return (
        f"{label} {_moved(course.trend, unit, barometric)}; going on so, no {further}limit is "
        "reached in as long again."
    )


def _no_trend(label: str, unit: str, values: Sequence[float], barometric: float) -> str:
    low, high = map(float, np.quantile(values, (0.1, 0.9)))
    reach = span(low, high, unit, barometric=barometric)
    return f"{label} shows no trend towards a limit: {len(values)} readings, mostly {reach}."


def _between(low: float, high: float) -> str:
    """Write a range of durations, the unit once where it is one.

    Examples
    --------
    >>> _between(3.1 * 86400, 9 * 86400), _between(7200, 3 * 86400)
    ('3.1 to 9.0 days', '2 h to 3.0 days')
    """
    first, last = _duration(low), _duration(high)
    number, unit = first.split(" ")
    return f"{number} to {last}" if last.endswith(f" {unit}") else f"{first} to {last}"


def _duration(seconds: float) -> str:
    """Write a duration in the largest fitting unit.

    Examples
    --------
    >>> _duration(7200), _duration(3.24 * 86400), _duration(40 * 60)
    ('2 h', '3.2 days', '40 min')
    """
    if seconds < 3600.0:
        return f"{seconds / 60:.0f} min"
    if seconds < 2 * _DAY:
        return f"{seconds / 3600:.0f} h"
    return f"{seconds / _DAY:.1f} days" if seconds < 10 * _DAY else f"{seconds / _DAY:.0f} days"
