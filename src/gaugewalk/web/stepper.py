"""Where the stepper of a field begins and how far one step goes, in the point's own unit."""

import math
from dataclasses import dataclass

from gaugewalk.units import from_si, unit_named
from gaugewalk.watch.views import PointView
from gaugewalk.web.shown import Shown

_STEPS_A_BAND = 10.0  # so many steps from edge to edge of what is expected
_SHARE = 0.02  # of the value, where no band is known


@dataclass(frozen=True, slots=True, kw_only=True)
class Stepper:
    """The number it begins at and the step, as text with the digits they need; empty: none."""

    start: str
    step: str
    symbol: str


def stepper_of(view: PointView, shown: Shown) -> Stepper:
    """Return the stepper around the last value, else around what is expected."""
    symbol = unit_named(view.unit).symbol
    middle = view.last.value if view.last else view.expected.middle if view.expected else None
    if middle is None or not math.isfinite(middle):
        return Stepper(start="", step="", symbol=symbol)
    start = from_si(middle, view.unit, barometric=shown.barometric)
    step = nice_step(_width(view, shown) / _STEPS_A_BAND or abs(start) * _SHARE or 1.0)
    digits = max(0, -math.floor(math.log10(step)))
    return Stepper(
        start=f"{round(start / step) * step:.{digits}f}", step=f"{step:.{digits}f}", symbol=symbol
    )


def nice_step(about: float) -> float:
    """Return the 1, 2 or 5 with zeros that is nearest below.

    Examples
    --------
    >>> nice_step(0.034), nice_step(7.0), nice_step(1.0)
    (0.02, 5.0, 1.0)
    """
    power = 10.0 ** math.floor(math.log10(about) + 1e-9)
    return next(n for n in (5.0, 2.0, 1.0) if n * power <= about * (1 + 1e-9)) * power


def _width(view: PointView, shown: Shown) -> float:
    band = view.expected
    if band is None or not (math.isfinite(band.low) and math.isfinite(band.high)):
        return 0.0
    low, high = (from_si(x, view.unit, barometric=shown.barometric) for x in (band.low, band.high))
    return abs(high - low)
