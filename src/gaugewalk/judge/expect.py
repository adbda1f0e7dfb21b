"""Where a reading is expected: its own normal, or while readings are few what the file says."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from gaugewalk.errors import ArgumentError
from gaugewalk.judge.display import about, display_unit, span
from gaugewalk.judge.drivers import Driver, drivers_of
from gaugewalk.judge.limits import watch_band
from gaugewalk.judge.normal import BAND, FEWEST, Fit, Sample, fit, keep, smallest_step, widening
from gaugewalk.judge.state import PointState, forget
from gaugewalk.judge.verdict import Band
from gaugewalk.plant.points import point_kind
from gaugewalk.plant.pump import Point, Pump
from gaugewalk.units import STANDARD_PRESSURE, kind_of, show

# With a usual value but no limits, and with nothing at all: +-10 % of the value, temperatures
# +-8 K, pressures +-10 % of the gauge pressure; common practice, no source.
_SHARE = 0.1 / BAND
_DEGREES = 8.0 / BAND
_MAY_BE_NEGATIVE = ("temperature", "temperature_difference", "length", "number")
_LEAST_PRESSURE = 5000.0 / BAND


def expected_band(
    pump: Pump,
    point: str,
    state: PointState,
    context: Mapping[str, float],
    *,
    barometric: float = STANDARD_PRESSURE,
) -> Band | None:
    """Return where the next reading is expected, for these values of its drivers.

    Parameters
    ----------
    pump, point
        Which reading.
    state
        What is remembered of the point.
    context
        Other points' present values, [SI]; a driver that is missing widens the band.
    barometric
        Pressure of the air at the gauge. [Pa]

    Returns
    -------
    Band or None
        None where neither readings nor the plant file say anything.
    """
    unit = display_unit(pump, point)
    if state.fit is not None:
        return _own(state.fit, drivers_of(point), context, unit, barometric)
    middle, scale = prior(pump, point, barometric=barometric)
    band = watch_band(pump, point)
    if band is not None:
        return _of_limits(band, middle, scale, unit, barometric)
    if middle is None or scale is None:
        return None
    low, high = middle - BAND * scale, middle + BAND * scale
    words = f"about the usual {show(middle, unit, barometric=barometric)} of the plant file"
    return Band(
        low=low, high=high, middle=middle, readings=0, source="usual value", sentence=words,
        scale=scale,
    )  # fmt: skip


def prior(pump: Pump, point: str, *, barometric: float) -> tuple[float | None, float | None]:
    """Return the value and scatter that the plant file lets expect; none where it is silent."""
    entry = pump.point(point)
    if entry is None:
        return None, None
    low, high = entry.watch_low, entry.watch_high
    if low is not None and high is not None:
        middle = entry.usual if entry.usual is not None else (low + high) / 2.0
        return middle, (high - low) / 2.0 / BAND
    if entry.usual is not None:
        return entry.usual, rough_scale(entry.usual, kind_of(entry.unit), barometric)
    return None, None


def rough_scale(value: float, kind: str, barometric: float) -> float:
    """Return a scatter to go by where nothing is known of the gauge; common practice, no source.

    Examples
    --------
    >>> BAND * rough_scale(353.15, "temperature", 101325.0)
    8.0
    """
    if kind == "temperature":
        return _DEGREES
    if kind == "pressure":
        return max(_SHARE * abs(value - barometric), _LEAST_PRESSURE)
    return max(_SHARE * abs(value), 1e-9)


def learn(
    state: PointState, pump: Pump, point: str, sample: Sample, *, barometric: float
) -> PointState:
    """Take a good reading into the own normal and fit it anew."""
    samples = keep(state.samples, sample)
    _, scatter = prior(pump, point, barometric=barometric)
    entry = pump.point(point)
    floor = _floor(entry, samples, kind_of(display_unit(pump, point)), barometric)
    return replace(
        state,
        samples=samples,
        learned=state.learned + 1,
        fit=fit(samples, drivers_of(point), floor=floor, prior=scatter),
    )


def accept(state: PointState, pump: Pump, point: str, *, barometric: float) -> PointState:
    """Take what lasts since an episode began for the normal from now on.

    The own normal is learned anew from the readings since then; what was before is forgotten, how
    the gauge repeats itself is not. The limits of the plant file stand as they are.

    Raises
    ------
    ArgumentError
        Nothing is off, the gauge does not move, or fewer than `FEWEST` readings show the change.
    """
    if state.episode is None:
        raise ArgumentError("Nothing is off at this point: there is no new normal to accept.")
    if state.episode.kind == "frozen":
        raise ArgumentError(
            "The gauge has stopped moving: that is no new normal. Have the gauge looked at."
        )
    lasting = [r for r in state.recent if r.at >= state.episode.since]
    if len(lasting) < FEWEST:
        raise ArgumentError(
            f"Only {len(lasting)} of the {FEWEST} readings that are needed show the change so far."
        )
    fresh, count = forget(state), len(drivers_of(point))
    for r in lasting:
        terms = r.drivers or (float("nan"),) * count
        sample = Sample(at=r.at, value=r.value, drivers=terms)
        fresh = learn(fresh, pump, point, sample, barometric=barometric)
    return fresh


def _floor(entry: Point | None, samples: tuple[Sample, ...], kind: str, barometric: float) -> float:
    """Return the scatter below which the gauge cannot tell: half its accuracy or coarseness."""
    floors = [entry.accuracy / 2.0 if entry and entry.accuracy else 0.0, smallest_step(samples)]
    if any(floors):
        return max(floors)
    middle = float(np.median([s.value for s in samples]))
    return rough_scale(middle, kind, barometric) / 2.0


def _own(
    own: Fit,
    drivers: tuple[Driver, ...],
    context: Mapping[str, float],
    unit: str,
    barometric: float,
) -> Band:
    middle, scale = own.expect([driver.value(context) for driver in drivers])
    scale *= widening(own.readings)
    low, high = middle - BAND * scale, middle + BAND * scale
    if kind_of(unit) not in _MAY_BE_NEGATIVE:
        low = max(low, min(0.0, middle))
    at = _at(own, drivers, context, barometric)
    words = f"its own normal {about(low, high, unit, barometric=barometric)}"
    return Band(
        low=low, high=high, middle=middle, readings=own.readings, source="own normal",
        sentence=f"{words} ({own.readings} readings{at})", scale=scale,
    )  # fmt: skip


def _at(
    own: Fit, drivers: tuple[Driver, ...], context: Mapping[str, float], barometric: float
) -> str:
    """Name the drivers that were read and have a slope, with their values."""
    parts = []
    for driver, slope in zip(drivers, own.slopes, strict=False):
        if slope and driver.point in context:
            kind = point_kind(driver.point)
            value = show(context[driver.point], kind.default_unit, barometric=barometric)
            parts.append(f"{kind.label.lower()} {value}")
    return f", at {' and '.join(parts)}" if parts else ""


def _of_limits(
    band: tuple[float, float],
    middle: float | None,
    scale: float | None,
    unit: str,
    barometric: float,
) -> Band:
    low, high = band
    inside = [end for end in band if np.isfinite(end)]
    if len(inside) == 2:
        words = span(low, high, unit, barometric=barometric)
    else:
        side = "at least" if np.isfinite(low) else "at most"
        words = f"{side} {show(inside[0], unit, barometric=barometric)}"
    center = middle if middle is not None else sum(inside) / len(inside)
    return Band(
        low=low, high=high, middle=center, readings=0, source="limits",
        sentence=f"the limits of the plant file, {words}", scale=scale or 0.0,
    )  # fmt: skip
