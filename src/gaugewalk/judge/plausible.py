"""Can this reading be? The gauge's range, what nature allows, and the usual slips of the pen.

A slip is only *suspected*: the reading is kept as typed, its severity stands, and the person is
asked. Nothing is corrected by itself.
"""

import itertools
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from gaugewalk.judge.display import span
from gaugewalk.judge.verdict import Band
from gaugewalk.plant.pump import Point
from gaugewalk.units import Quantity, from_si, kind_of, show, to_si

# Units that stand beside each other on dials and in habits; common practice, no source.
_CONFUSED: Mapping[str, tuple[str, ...]] = {
    "pressure": ("barg", "psig", "kPag", "bara", "psia", "mbarg"),
    "pressure_difference": ("bar", "psi", "kPa", "mbar", "mH2O"),
    "temperature": ("degC", "degF"),
    "flow": ("m3/h", "gpm", "L/min", "L/s"),
    "velocity": ("mm/s", "in/s pk"),
    "acceleration": ("g", "m/s2"),
    "length": ("m", "ft", "mm", "in", "cm"),
    "power": ("kW", "hp"),
    "leakage": ("drops/min", "mL/min"),
}
_POSITIVE = (
    "current", "voltage", "power", "velocity", "acceleration", "displacement", "leakage",
    "pressure_difference", "duration", "fraction",
)  # fmt: skip
_FAR = 1.5  # half widths beyond the band's edge before a slip is worth asking about
_HALF_WAY = 0.5  # of the way from the band's middle
_FEWEST_TIMES = 3.0  # times the expected before a too large value is called implausible


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """Why a reading is doubted; `possible` is false where it cannot be what it says."""

    possible: bool
    words: str
    meant: str | None = None  # what may have been meant, with unit


def doubt(
    quantity: Quantity,
    point: Point | None,
    band: Band | None,
    *,
    barometric: float,
    last: float | None = None,
) -> Doubt | None:
    """Return why this entry may be a slip, or none.

    Parameters
    ----------
    quantity
        What was entered.
    point
        The observation point with its gauge's range, where the pump has one.
    band
        Where the reading was expected, if anything is known.
    barometric
        Pressure of the air at the gauge. [Pa]
    last
        The reading before, [SI]: one that was half the way there already makes a slip unlikely.
    """
    slip = (
        _slip(quantity, band, barometric)
        if band and not _on_its_way(quantity, band, last)
        else None
    )
    impossible = _impossible(quantity, point, barometric)
    if impossible:
        meant = f"; {slip.meant} meant?" if slip else ""
        return Doubt(possible=False, words=impossible + meant, meant=slip.meant if slip else None)
    return slip


def confused_with(
    now: float, usual: float, unit: str, tolerance: float, *, barometric: float
) -> str | None:
    """Return the unit in which a record seems to go on, where its numbers jumped like that.

    Parameters
    ----------
    now, usual
        Level after and before the jump, both read in `unit`. [SI]
    tolerance
        How far from the exact factor it may be; at least 1 % of the jump is allowed. [SI]

    Examples
    --------
    >>> confused_with(to_si(140, "degC"), to_si(60, "degC"), "degC", 1.0, barometric=101325.0)
    'degF'
    """
    for other in _CONFUSED.get(kind_of(unit), ()):
        if other == unit:
            continue
        number = from_si(usual, other, barometric=barometric)
        expected = to_si(number, unit, barometric=barometric)
        if abs(now - expected) <= max(tolerance, 0.01 * abs(expected - usual)):
            return other
    return None


def _impossible(quantity: Quantity, point: Point | None, barometric: float) -> str | None:
    low = quantity.value if quantity.low is None else quantity.low
    high = quantity.value if quantity.high is None else quantity.high
    if low < 0.0 and quantity.kind in _POSITIVE:
        return f"{quantity.entered}: this quantity cannot be negative"
    if point is None:
        return None
    slack = point.accuracy or 0.0
    for bound, passed in ((point.range_low, low), (point.range_high, high)):
        if bound is None:
            continue
        outside = passed < bound - slack if bound is point.range_low else passed > bound + slack
        if outside:
            return f"{quantity.entered} is beyond the gauge's range {_range(point, barometric)}"
    return None


def _range(point: Point, barometric: float) -> str:
    if point.range_low is not None and point.range_high is not None:
        return span(point.range_low, point.range_high, point.unit, barometric=barometric)
    if point.range_low is not None:
        return f"from {show(point.range_low, point.unit, barometric=barometric)} up"
    return f"up to {show(point.range_high or 0.0, point.unit, barometric=barometric)}"


_COUNTED = ("drops/min",)  # counted, so that a number of them is whole


def _slip(quantity: Quantity, band: Band, barometric: float) -> Doubt | None:
    """Return the first slip that would put a reading far outside the band back inside it."""
    if quantity.low is not None or not _far_outside(quantity.value, band):
        return None
    for what, value, unit in _candidates(quantity, barometric):
        if band.low <= value <= band.high:
            meant = show(value, unit, barometric=barometric)
            return Doubt(
                possible=not _too_large(quantity, band, barometric),
                words=f"{what}: {meant} meant?",
                meant=meant,
            )
    return None


def _on_its_way(quantity: Quantity, band: Band, last: float | None) -> bool:
    """Tell whether the reading before was already half as far from the middle, or farther."""
    if last is None:
        return False
    way = (last - band.middle) / (quantity.value - band.middle or 1e-300)
    return way >= _HALF_WAY and not band.low <= last <= band.high


def _far_outside(value: float, band: Band) -> bool:
    half = min(band.high - band.middle, band.middle - band.low)
    if not half < float("inf"):
        half = max(abs(band.middle), 1e-12) / 2
    return value > band.high + _FAR * half or value < band.low - _FAR * half


def _too_large(quantity: Quantity, band: Band, barometric: float) -> bool:
    """A dying pump can show next to nothing, but not many times what it ever made."""
    typed = from_si(quantity.value, quantity.unit, barometric=barometric)
    expected = from_si(band.high, quantity.unit, barometric=barometric)
    return typed > _FEWEST_TIMES * abs(expected) > 0.0


def _candidates(quantity: Quantity, barometric: float) -> Iterator[tuple[str, float, str]]:
    """Yield what may have been meant: name of the slip, value [SI], unit to show it in."""
    unit = quantity.unit
    typed = from_si(quantity.value, unit, barometric=barometric)

    def si(number: float, in_unit: str = unit) -> float:
        return to_si(number, in_unit, barometric=barometric)

    for factor in (0.1, 10.0, 0.01, 100.0, 0.001, 1000.0):
        if unit in _COUNTED and not float(typed * factor).is_integer():
            continue  # nobody counts a part of a drop
        yield f"decimal mark slipped, {quantity.entered}", si(typed * factor), unit
    if typed:
        yield f"sign lost, {quantity.entered}", si(-typed), unit
    for number in _transposed(quantity.entered):
        yield f"digits swapped, {quantity.entered}", si(number), unit
    for other in _CONFUSED.get(quantity.kind, ()):
        if other != unit:
            yield f"unit mixed up, {quantity.entered}", si(typed, other), other


def _transposed(entered: str) -> Iterator[float]:
    """Yield the number with each pair of neighboring digits swapped.

    Examples
    --------
    >>> list(_transposed("13.5 barg"))
    [31.5, 15.3]
    """
    found = re.match(r"\s*-?[\d.,]*\d", entered)
    if not found:
        return
    text = found.group().strip().replace(",", ".")
    places = [i for i, letter in enumerate(text) if letter.isdigit()]
    for a, b in itertools.pairwise(places):
        letters = list(text)
        letters[a], letters[b] = letters[b], letters[a]
        if letters[a] != letters[b] and "".join(letters).count(".") <= 1:
            yield float("".join(letters))
