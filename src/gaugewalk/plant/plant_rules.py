"""What must agree within a plant: tags, partners, rounds; each pump by `pump_rules`."""

from collections import Counter

from gaugewalk.errors import nearest_word
from gaugewalk.plant.faults import Faults
from gaugewalk.plant.pump import Plant
from gaugewalk.plant.pump_rules import check_pump

_HIGHEST_TOWN = 5500.0  # [m]; nobody runs a plant higher up
_LOWEST_SHORE = -450.0  # [m]


def check_plant(plant: Plant, faults: Faults, *, air: float, whole: bool = True) -> None:
    """Add a fault for everything in a plant that does not agree.

    Parameters
    ----------
    plant : Plant
        As built, with stand-ins where a value was unusable.
    faults : Faults
        Faults found so far; more are added.
    air : float
        Pressure of the air at the plant. [Pa]
    whole : bool
        Whether the whole text could be read; if not, what is missing may stand in the lines that
        could not.
    """
    _check_site(plant, faults)
    if not plant.pumps and whole and not faults.touches(("pump",)):
        faults.add(("pump",), "nothing", "one or more tables [[pump]]")
    tags = {pump.tag: index for index, pump in reversed(list(enumerate(plant.pumps)))}
    _check_tags(plant, faults)
    for index, pump in enumerate(plant.pumps):
        check_pump(pump, ("pump", index), faults, air)
    if whole:
        _check_partners(plant, tags, faults)
        _check_rounds(plant, tags, faults)


def _check_site(plant: Plant, faults: Faults) -> None:
    if not _LOWEST_SHORE <= plant.elevation <= _HIGHEST_TOWN:
        expected = f"{_LOWEST_SHORE:g} m to {_HIGHEST_TOWN:g} m above sea level"
        faults.add(("plant", "elevation"), f"{plant.elevation:g} m", expected)
    air = plant.barometric_pressure
    if air is not None and not 45_000 <= air <= 112_000:
        expected = "the absolute pressure of the air, 0.45 to 1.12 bara"
        faults.add(("plant", "barometric_pressure"), f"{air / 1e5:.3g} bara", expected)
    if plant.shift_hours and 24 % plant.shift_hours:
        expected = "hours that divide a day: 4, 6, 8 or 12"
        faults.add(("plant", "shift_hours"), str(plant.shift_hours), expected)


def _check_tags(plant: Plant, faults: Faults) -> None:
    count = Counter(pump.tag for pump in plant.pumps)
    for index, pump in enumerate(plant.pumps):
        if count[pump.tag] > 1 and pump.tag:
            expected = f"a tag of its own; {count[pump.tag]} pumps have this one"
            faults.add(("pump", index, "tag"), repr(pump.tag), expected)


def _check_partners(plant: Plant, tags: dict[str, int], faults: Faults) -> None:
    for index, pump in enumerate(plant.pumps):
        if pump.partner is None or not pump.tag:
            continue
        path = ("pump", index, "partner")
        other = tags.get(pump.partner)
        if pump.partner == pump.tag:
            faults.add(path, repr(pump.partner), "another pump than itself")
        elif other is None:
            near = nearest_word(pump.partner, tags)
            faults.add(path, repr(pump.partner), "the tag of a pump in this file", near)
        elif plant.pumps[other].partner != pump.tag:
            theirs = plant.pumps[other].partner
            named = f"names {theirs!r}" if theirs else "names no partner"
            faults.add(
                path, f"{pump.partner!r}, which {named}", f"partner = {pump.tag!r} there too"
            )


def _check_rounds(plant: Plant, tags: dict[str, int], faults: Faults) -> None:
    areas = {pump.area for pump in plant.pumps if pump.area}
    names = Counter(plan.name for plan in plant.rounds)
    for index, plan in enumerate(plant.rounds):
        path = ("round", index)
        if names[plan.name] > 1 and plan.name:
            faults.add((*path, "name"), repr(plan.name), "a name of its own")
        for key, words, known in (("tags", plan.tags, tags), ("areas", plan.areas, areas)):
            for word in words:
                if word not in known:
                    expected = f"{key} of pumps in this file"
                    faults.add((*path, key), repr(word), expected, nearest_word(word, known))
