"""How values of a point are written: in the pump's own unit for it, a span with one unit word."""

from math import ceil, log10

from gaugewalk.plant.points import point_kind
from gaugewalk.plant.pump import Pump
from gaugewalk.units import from_si, show


def display_unit(pump: Pump, point: str) -> str:
    """Return the unit in which a point is shown: the pump's own, else the point's default."""
    entry = pump.point(point)
    return entry.unit if entry else point_kind(point).default_unit


def about(low: float, high: float, unit: str, *, barometric: float) -> str:
    """Write the ends of a band no finer than a twentieth of its width, with their unit once.

    Examples
    --------
    >>> about(278.37, 317.45, "degC", barometric=101325.0)
    '5 to 44 °C'
    >>> about(388325.0, 454325.0, "barg", barometric=101325.0)
    '2.87 to 3.53 barg'
    """
    ends = [from_si(end, unit, barometric=barometric) for end in (low, high)]
    width = abs(ends[1] - ends[0])
    if not 1e-6 < width < 1e6:
        return span(low, high, unit, barometric=barometric)
    places = max(0, ceil(-log10(width / 20.0)))
    first, second = (_plain(f"{end:.{places}f}") for end in ends)
    word = show(high, unit, barometric=barometric).partition(" ")[2]
    return f"{first} to {second} {word}".strip()


def _plain(text: str) -> str:
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


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
