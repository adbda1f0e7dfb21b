"""Fill a calculation's inputs from what is known of a pump: its plant file and last readings."""

from collections.abc import Mapping

from gaugewalk.journal.entry import Entry
from gaugewalk.plant.pump import Pump
from gaugewalk.units import from_si, show
from gaugewalk.watch.calculation import Calculation, Input

_DIGITS = 5  # more than a gauge shows, so that filling in loses nothing


def fill(
    calculation: Calculation, pump: Pump, last: Mapping[str, Entry], *, barometric: float
) -> dict[str, str]:
    """Return the inputs that the pump's own data answer, as a person would type them.

    Parameters
    ----------
    calculation : Calculation
        Its inputs say where each is found (`Input.fill`).
    pump : Pump
        Of the plant file.
    last : mapping of str to Entry
        The last reading of each observation point.
    barometric : float
        Pressure of the air at the gauges. [Pa]

    Returns
    -------
    dict of str to str
        By input name; what is not known is left out.
    """
    found = {}
    for given in calculation.inputs:
        text = _text(given, pump, last, barometric) if given.fill else None
        if text:
            found[given.name] = text
    return found


def _text(given: Input, pump: Pump, last: Mapping[str, Entry], barometric: float) -> str | None:
    if given.fill.startswith("point:"):
        entry = last.get(given.fill.removeprefix("point:"))
        value: object = entry.value if entry else None
    else:
        value = _at(pump, given.fill)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return _row(given, value, barometric)
    if isinstance(value, float):
        return _short(show(value, given.unit, barometric=barometric, digits=_DIGITS))
    return str(value) if value is not None else None


def _row(given: Input, values: tuple[object, ...], barometric: float) -> str | None:
    """Return a row as it is typed, such as a curve: "0; 50; 100 m3/h"."""
    numbers = [
        f"{from_si(value, given.unit, barometric=barometric):.{_DIGITS}g}"
        for value in values
        if isinstance(value, float | int)
    ]
    return f"{'; '.join(numbers)} {given.unit}" if numbers and given.form == "row" else None


def _short(text: str) -> str:
    """Leave out zeros that say nothing: "60.000 mm" is "60 mm"."""
    number, blank, symbol = text.partition(" ")
    if "." in number and "e" not in number:
        number = number.rstrip("0").rstrip(".")
    return f"{number}{blank}{symbol}"


def _at(thing: object, path: str) -> object:
    for name in path.split("."):
        if isinstance(thing, tuple):  # "bearings.0.bore"
            thing = thing[int(name)] if name.isdigit() and int(name) < len(thing) else None
        else:
            thing = getattr(thing, name, None)
        if thing is None:
            return None
    return thing
