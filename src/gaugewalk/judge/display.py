"""How values of a point are written: in the pump's own unit for it, a span with one unit word."""

from gaugewalk.plant.points import point_kind
from gaugewalk.plant.pump import Pump
from gaugewalk.units import show


def display_unit(pump: Pump, point: str) -> str:
    """Return the unit in which a point is shown: the pump's own, else the point's default."""
    entry = pump.point(point)
    return entry.unit if entry else point_kind(point).default_unit


def span(low: float, high: float, unit: str, *, barometric: float) -> str:
    """Write two SI values with their unit once.

    Examples
    --------
    >>> span(381325.0, 441325.0, "barg", barometric=101325.0)
    '2.8 to 3.4 barg'
    """
    first = show(low, unit, barometric=barometric)
    second = show(high, unit, barometric=barometric)
    number, _, word = first.partition(" ")
    return (
        f"{number} to {second}" if word and second.endswith(f" {word}") else f"{first} to {second}"
    )
