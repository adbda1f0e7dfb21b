"""At which places of a pump a deed can be done."""

from gaugewalk.plant.pump import Pump
from gaugewalk.watch.deeds import (
    BEARINGS,
    CUP_FILLED,
    CUP_TURNED,
    FILTER_CHANGED,
    GREASED,
    OILED,
    STRAINER_CLEANED,
    STRAINERS,
    deed_kind,
)

_GREASE = {GREASED: "grease", CUP_TURNED: "grease cup", CUP_FILLED: "grease cup"}


def places_at(pump: Pump, what: str) -> tuple[str, ...]:
    """Return the places of a pump at which a deed can be done; all where the file is silent.

    Examples
    --------
    >>> from gaugewalk.plant.pump import Lubrication, PlantLiquid, ShaftSeal, Strainer
    >>> pump = Pump(tag="P", name="p", liquid=PlantLiquid(name="water"),
    ...             seal=ShaftSeal(kind="packing"), lubrication=Lubrication(kind="oil sump"),
    ...             suction_strainer=Strainer())
    >>> places_at(pump, "strainer cleaned"), places_at(pump, "oil topped up")
    (('suction',), ('pump',))
    """
    places = deed_kind(what).places
    if what in _GREASE:
        return _greased(pump, _GREASE[what]) or places
    if what == STRAINER_CLEANED:
        fitted = (pump.suction_strainer, pump.discharge_strainer)
        there = tuple(p for p, one in zip(STRAINERS, fitted, strict=True) if one is not None)
        return there or places
    return _oiled(pump, forced=what == FILTER_CHANGED) or places if places == OILED else places


def _greased(pump: Pump, kind: str) -> tuple[str, ...]:
    both = {False: pump.lubrication, True: pump.driver_lubrication}
    own = [bearing.place for bearing in pump.bearings]
    found = []
    for place in BEARINGS:
        driver = place.startswith("driver")
        oiled = both[driver]
        listed = [one for one in own if one.startswith("driver") is driver]
        there = place in listed if listed else place in ("de", "driver_de")
        if oiled is not None and oiled.kind == kind and there:
            found.append(place)
    return tuple(found)


def _oiled(pump: Pump, *, forced: bool) -> tuple[str, ...]:
    both = zip(OILED, (pump.lubrication, pump.driver_lubrication), strict=True)
    return tuple(
        where
        for where, oiled in both
        if oiled is not None
        and not oiled.kind.startswith("grease")
        and (oiled.kind == "forced feed" or not forced)
    )
