"""What is done to keep a pump well: greased, topped up, cleaned, turned; each with its amount.

A deed is an `event` of the journal. Its body names the deed and the place; the amount stands where
the value of a reading stands, in SI with what was typed.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from gaugewalk.errors import ArgumentError, NotFoundError, nearest_word

EVENTS = ("started", "stopped", "overhauled")  # the other events of a pump
BEARINGS = ("de", "nde", "driver_de", "driver_nde")
OILED = ("pump", "driver")
STRAINERS = ("suction", "discharge")
PLACES = MappingProxyType(
    {
        "de": "drive end",
        "nde": "non-drive end",
        "driver_de": "driver's drive end",
        "driver_nde": "driver's non-drive end",
        "pump": "pump",
        "driver": "driver",
        "suction": "suction side",
        "discharge": "discharge side",
        "": "",
    }
)

GREASED, CUP_TURNED, CUP_FILLED = "greased", "grease cup turned", "grease cup filled"
TOPPED_UP, OIL_CHANGED, OIL_SAMPLED = "oil topped up", "oil changed", "oil sampled"
STRAINER_CLEANED, FILTER_CHANGED = "strainer cleaned", "oil filter changed"
TURNED, TEST_RUN, STANDBY_LOOKED = "turned by hand", "test run", "standby looked over"
ISOLATED, BACK = "isolated", "back in service"
VENTED = "vented"


@dataclass(frozen=True, slots=True, kw_only=True)
class DeedKind:
    """One thing that is done: where it may be, and what is counted."""

    words: str  # as it is told, with the place behind it
    places: tuple[str, ...] = ("",)
    quantity: str = ""  # kind of the amount; empty where nothing is counted
    unit: str = ""  # of a bare number


DEEDS: Mapping[str, DeedKind] = MappingProxyType(
    {
        GREASED: DeedKind(words="Greased", places=BEARINGS, quantity="mass", unit="gram"),
        CUP_TURNED: DeedKind(
            words="Turned the grease cup", places=BEARINGS, quantity="number", unit="1"
        ),
        CUP_FILLED: DeedKind(words="Filled the grease cup", places=BEARINGS),
        TOPPED_UP: DeedKind(words="Topped up the oil", places=OILED, quantity="volume", unit="L"),
        OIL_CHANGED: DeedKind(words="Changed the oil", places=OILED, quantity="volume", unit="L"),
        OIL_SAMPLED: DeedKind(words="Took an oil sample", places=OILED),
        STRAINER_CLEANED: DeedKind(words="Cleaned the strainer", places=STRAINERS),
        FILTER_CHANGED: DeedKind(words="Put a clean oil filter in service", places=OILED),
        TURNED: DeedKind(words="Turned by hand, locked out"),
        TEST_RUN: DeedKind(words="Test run", quantity="duration", unit="min"),
        STANDBY_LOOKED: DeedKind(words="Looked over as standby"),
        ISOLATED: DeedKind(words="Isolated for maintenance"),
        BACK: DeedKind(words="Back in service"),
        VENTED: DeedKind(words="Vented"),
    }
)


def deed_kind(name: str) -> DeedKind:
    """Return what a deed is.

    Raises
    ------
    NotFoundError
        Names the nearest known deed.
    """
    if (found := DEEDS.get(name)) is not None:
        return found
    near = nearest_word(name, DEEDS)
    hint = f"Did you mean {near!r}?" if near else f"Known are {', '.join(DEEDS)}."
    raise NotFoundError(f"No deed {name[:40]!r}. {hint}")


def checked_place(name: str, place: str) -> str:
    """Return the place of a deed; a deed with one place needs none.

    Raises
    ------
    ArgumentError
        It is not one of the deed's places.
    """
    places = deed_kind(name).places
    if not place and len(places) == 1:
        return places[0]
    if place in places:
        return place
    raise ArgumentError(f"place = {place[:30]!r}; {name} is done at one of {', '.join(places)}.")


def told(name: str, place: str, amount: str = "") -> str:
    """Say a deed in words.

    Examples
    --------
    >>> told("greased", "driver_de", "12 g"), told("vented", "")
    ("Greased, driver's drive end, 12 g", 'Vented')
    """
    return ", ".join(part for part in (DEEDS[name].words, PLACES[place], amount) if part)
