"""Fill a calculation's inputs from what is known of a pump: its plant file and last readings."""

from collections.abc import Mapping

from gaugewalk.journal.entry import Entry
from gaugewalk.plant.pump import Pump
from gaugewalk.units import show
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
    if isinstance(value, float):
        return show(value, given.unit, barometric=barometric, digits=_DIGITS)
    return str(value) if value is not None else None


def _at(thing: object, path: str) -> object:
    for name in path.split("."):
        thing = getattr(thing, name, None)
        if thing is None:
            return None
    return thing
