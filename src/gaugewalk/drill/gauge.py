"""How a person reads a gauge: to the nearest mark, in the point's unit, a swing as low to high."""

import math

import numpy as np

from gaugewalk import units
from gaugewalk.physics.circuit_parts import Swing
from gaugewalk.plant.pump import Point

# Marks of what is read without a pointer, by unit.
_STEPS = {
    "degC": 1.0,
    "mm/s": 0.1,
    "m": 0.05,
    "%": 5.0,
    "mm": 1.0,
    "drops/min": 1.0,
    "L/min": 0.1,
    "rpm": 5.0,
    "h": 1.0,
}
_MARKS = 150  # a pointer is read to about half a mark


def step_of(point: Point) -> float:
    """Return the smallest difference a person reads, in the point's unit.

    Examples
    --------
    >>> step_of(Point(point="vibration_de", unit="mm/s"))
    0.1
    """
    if point.unit in _STEPS:
        return _STEPS[point.unit]
    span = _span(point)
    if span is None:
        return 1.0 if point.unit == "m3/h" else 0.1
    raw = span / _MARKS
    size = 10.0 ** math.floor(math.log10(raw))
    return float(next(n * size for n in (1.0, 2.0, 5.0, 10.0) if n * size >= raw * 0.999))


def _span(point: Point) -> float | None:
    if point.range_low is None or point.range_high is None:
        return _about(point)
    low, high = (units.from_si(v, point.unit) for v in (point.range_low, point.range_high))
    return high - low


def _about(point: Point) -> float | None:
    """Return twice the usual reading, the range a meter without a stated one will have."""
    if point.usual is None:
        return None
    return 2.0 * abs(units.from_si(point.usual, point.unit)) or None


def shown(value: float, point: Point, step: float, barometric: float) -> float:
    """Return an SI value as the number a person reads: to the nearest mark, inside the range."""
    number = units.from_si(value, point.unit, barometric=barometric)
    if point.range_low is not None and point.range_high is not None:
        low = units.from_si(point.range_low, point.unit, barometric=barometric)
        high = units.from_si(point.range_high, point.unit, barometric=barometric)
        number = min(max(number, low), high)
    return round(number / step) * step


def reading(
    value: float,
    swing: tuple[float, float] | None,
    point: Point,
    *,
    step: float,
    barometric: float,
) -> str:
    """Return the text a person writes down.

    Parameters
    ----------
    value : float
        SI.
    swing : pair of float, optional
        Lowest and highest, SI; written only where it is two marks wide or more.
    point : Point
    step : float
        From `step_of`.
    barometric : float
        [Pa]

    Examples
    --------
    >>> gauge = Point(point="discharge_pressure", unit="barg", range_low=1e5, range_high=7e5)
    >>> reading(4.13e5, None, gauge, step=0.1, barometric=1e5)
    '3.1 barg'
    >>> reading(4.1e5, (3.8e5, 4.6e5), gauge, step=0.1, barometric=1e5)
    '2.8 to 3.6 barg'
    """
    digits = max(0, -math.floor(math.log10(step) + 1e-9))
    if swing is not None:
        low, high = (shown(edge, point, step, barometric) for edge in swing)
        if high - low > 1.5 * step:
            return f"{low:.{digits}f} to {high:.{digits}f} {point.unit}"
    return f"{shown(value, point, step, barometric) + 0.0:.{digits}f} {point.unit}"


def swing_at(swing: Swing | None, index: int) -> tuple[float, float] | None:
    """Return low and high of one entry of a swing, or none."""
    if swing is None:
        return None
    return float(np.asarray(swing.low)[index]), float(np.asarray(swing.high)[index])
