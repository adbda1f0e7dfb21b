"""A check-list fitted to one pump: the steps that concern it, with its own numbers in the texts."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.packing import leak_off_window
from gaugewalk.plant.points import all_points
from gaugewalk.plant.pump import Lubrication, OilSystem, Pump, Strainer
from gaugewalk.units import show
from gaugewalk.watch.procedure import Applies, Procedure, Procedures, Setting, Step

HOT = 333.15  # [K]; 60 degC and above a liquid counts as hot; common practice, no source
_PLANT_FILE_WAIT = 900.0  # `ShaftSeal.wait_between_flats` of a plant file that is silent, [s]
_SLOT = re.compile(r"\{(\w+)\}")

_SEALS = ("packing", "single mechanical seal", "double mechanical seal")
_LUBRICATION = (
    "grease", "grease cup", "oil sump", "constant-level oiler", "oil ring", "forced feed",
)  # fmt: skip
_PLANS = (
    "none", "seal water", "own liquid", "flush", "cooled flush", "external flush", "buffer",
    "barrier", "quench",
)  # fmt: skip
_STRAINER = ("none", "single", "duplex")
_YES_NO = ("yes", "no")

# Every fact that a list may ask for, with the words it can have.
VOCABULARY: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "seal": _SEALS,
        "seal_liquid": _PLANS,
        "seal_pot": _YES_NO,
        "lubrication": _LUBRICATION,  # of pump or driver
        "forced_feed": _YES_NO,
        "auxiliary_oil_pump": _YES_NO,
        "oil_heater": _YES_NO,
        "oil_cooler": ("none", "single", "duplex"),
        "oil_filter": ("none", "single", "duplex"),
        "suction_strainer": _STRAINER,
        "discharge_strainer": _STRAINER,
        "strainer": _STRAINER,  # of either side
        "hazards": ("none", "hot", "toxic", "flammable", "corrosive", "slippery"),
        "hot": _YES_NO,
        "suction": ("flooded", "lift", "vessel", "sump"),
        "gas_laden": _YES_NO,
        "driver": ("electric motor", "turbine", "engine"),
        "variable_speed": _YES_NO,
        "standby": _YES_NO,  # one of a pair
        "check_valve": _YES_NO,
        "minimum_flow_line": _YES_NO,
        "heat_traced": _YES_NO,
        "orientation": ("horizontal", "vertical"),
    }
)
SLOTS = ("tag", "partner", "liquid", "product")  # facts of the pump that a text may name


@dataclass(frozen=True, slots=True, kw_only=True)
class FittedStep:
    """One step as it stands for a pump; times in [s], readings by point."""

    id: str
    text: str
    caution: str
    who: str
    look: bool
    tag: str  # where its readings and its event belong
    readings: tuple[str, ...] = ()
    wait: float = 0.0
    wait_words: str = ""
    hold: str = ""
    event: str = ""
    trial: str = ""
    results: tuple[str, ...] = ()
    again: float = 0.0
    again_what: str = ""
    only: str = ""  # where it applies, in words; told only where the pump is not known
    sources: tuple[str, ...] = ()
    settings: tuple[str, ...] = ()  # ids of those in the text


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitted:
    """A check-list for one pump, or for any."""

    procedure: Procedure
    tag: str
    steps: tuple[FittedStep, ...]
    settings: tuple[Setting, ...]


def fitted(
    book: Procedures, procedure: Procedure, pump: Pump | None, partner: Pump | None = None
) -> Fitted:
    """Fit a list to a pump; with none, every step stays and says where it applies.

    Parameters
    ----------
    book : Procedures
    procedure : Procedure
    pump : Pump, optional
    partner : Pump, optional
        The other pump of the pair, for the steps that are done there.
    """
    facts = facts_of(pump) if pump else None
    settings = settings_for(book, pump)
    kept = [s for s in procedure.steps if facts is None or holds(s.applies, facts)]
    slots = _slots(pump) | {id: one.words for id, one in settings.items()}
    context = _Context(
        sources=book.sources, settings=settings, slots=slots, pump=pump, partner=partner
    )
    steps = tuple(_step(context, procedure, step) for step in kept)
    used = dict.fromkeys(id for step in steps for id in step.settings)
    return Fitted(
        procedure=procedure,
        tag=pump.tag if pump else "",
        steps=steps,
        settings=tuple(settings[id] for id in used),
    )


def lists_for(book: Procedures, pump: Pump) -> tuple[Procedure, ...]:
    """Return the lists that fit a pump, in their order."""
    facts = facts_of(pump)
    return tuple(one for one in book.lists.values() if holds(one.applies, facts))


def holds(applies: Applies, facts: Mapping[str, frozenset[str]]) -> bool:
    """Tell whether a pump's facts fit: for each fact asked for, one of the words is there."""
    return all(facts[fact] & set(words) for fact, words in applies.items())


def must_fit(procedure: Procedure, pump: Pump) -> None:
    """Refuse a list that is not for this pump.

    Raises
    ------
    ArgumentError
        Says for which pumps it is.
    """
    if not holds(procedure.applies, facts_of(pump)):
        raise ArgumentError(
            f"{procedure.title!r} is for pumps with {only(procedure.applies)}; {pump.tag} is not "
            "one."
        )


def facts_of(pump: Pump) -> dict[str, frozenset[str]]:
    """Return what a list may ask of a pump.

    Examples
    --------
    >>> from gaugewalk.plant.pump import PlantLiquid, ShaftSeal
    >>> facts = facts_of(Pump(tag="P", name="p", liquid=PlantLiquid(name="hexane"),
    ...     seal=ShaftSeal(kind="packing"), lubrication=Lubrication(kind="grease")))
    >>> sorted(facts["seal"]), sorted(facts["strainer"])
    (['packing'], ['none'])
    """
    oils = [one for one in (pump.lubrication, pump.driver_lubrication) if one is not None]
    systems = [one.system for one in oils if one.system is not None]
    strainers = {
        "suction_strainer": _strainer(pump.suction_strainer),
        "discharge_strainer": _strainer(pump.discharge_strainer),
    }
    known: dict[str, Iterable[str]] = {
        "seal": [pump.seal.kind],
        "seal_liquid": [pump.seal.liquid.plan],
        "seal_pot": _yes(pump.seal.liquid.pot),
        "lubrication": [one.kind for one in oils],
        **_oil_facts(oils, systems),
        **{side: [word] for side, word in strainers.items()},
        "strainer": {*strainers.values()} - {"none"} or {"none"},
        "hazards": pump.liquid.hazards or ["none"],
        "hot": _yes(is_hot(pump)),
        "suction": [pump.source.kind],
        "gas_laden": _yes(pump.liquid.gas_laden),
        "driver": [pump.driver.kind],
        "variable_speed": _yes(pump.driver.variable_speed),
        "standby": _yes(pump.partner is not None),
        "check_valve": _yes(pump.check_valve),
        "minimum_flow_line": _yes(pump.minimum_flow_line),
        "heat_traced": _yes(pump.heat_traced),
        "orientation": [pump.orientation],
    }
    return {fact: frozenset(words) for fact, words in known.items()}


def is_hot(pump: Pump) -> bool:
    """Tell whether the pump's liquid can burn whoever touches it."""
    warm = pump.liquid.temperature is not None and pump.liquid.temperature >= HOT
    return warm or "hot" in pump.liquid.hazards


def _oil_facts(oils: list[Lubrication], systems: list[OilSystem]) -> dict[str, Iterable[str]]:
    forced = any(one.kind == "forced feed" for one in oils)
    return {
        "forced_feed": _yes(forced),
        "auxiliary_oil_pump": _yes(any(one.auxiliary_pump for one in systems)),
        "oil_heater": _yes(any(one.heater for one in systems)),
        "oil_cooler": _fitting([(one.cooler, one.cooler_duplex) for one in systems]),
        "oil_filter": _fitting([(one.filter, one.filter_duplex) for one in systems]),
    }


def _fitting(there: list[tuple[bool, bool]]) -> list[str]:
    return ["duplex" if twice else "single" for fitted, twice in there if fitted] or ["none"]


def _strainer(strainer: Strainer | None) -> str:
    return "none" if strainer is None else "duplex" if strainer.duplex else "single"


def _yes(there: bool) -> list[str]:
    return ["yes" if there else "no"]


# ------------------------------------------------------------------ settings of one pump


def settings_for(book: Procedures, pump: Pump | None) -> dict[str, Setting]:
    """Return the settings; what the plant file says of this very pump comes first."""
    found = dict(book.settings)
    if pump is None:
        return found
    for id, (value, source) in _of_pump(pump).items():
        if id in found:
            found[id] = replace(found[id], value=value, source=source, own=True)
    window = _window(pump)
    if window and "leak_off_band" in found and not found["leak_off_band"].own:
        source = "8 to 10 drops/min per inch of shaft, half to double; common practice, no source"
        found["leak_off_band"] = replace(found["leak_off_band"], value=window, source=source)
    return found


def _of_pump(pump: Pump) -> dict[str, tuple[str, str]]:
    given: dict[str, tuple[str, str]] = {}
    seal, source = pump.seal, f"plant file, {pump.tag}"
    if seal.wait_between_flats != _PLANT_FILE_WAIT:
        given["flat_wait"] = (show(seal.wait_between_flats, "min"), source)
    if seal.leak_off_low is not None and seal.leak_off_high is not None:
        given["leak_off_band"] = (_drops(seal.leak_off_low, seal.leak_off_high), source)
    if pump.lubrication.cup_turns_per_round is not None:
        given["cup_turns"] = (f"{pump.lubrication.cup_turns_per_round:g}", source)
    if pump.driver.kind == "engine":
        given["test_run"] = ("30 min", "NFPA 25, weekly test of an engine-driven fire pump, quoted")
    return given


def _window(pump: Pump) -> str:
    if pump.seal.kind != "packing" or pump.seal.shaft_diameter is None:
        return ""
    low, _, high = leak_off_window(pump.seal.shaft_diameter)
    return _drops(low, high)


def _drops(low: float, high: float) -> str:
    return f"{show(low, 'drops/min').split()[0]} to {show(high, 'drops/min')}"


# ------------------------------------------------------------------ one step


@dataclass(frozen=True, slots=True, kw_only=True)
class _Context:
    """What every step of a list is fitted with."""

    sources: Mapping[str, str]
    settings: Mapping[str, Setting]
    slots: Mapping[str, str]
    pump: Pump | None
    partner: Pump | None

    def at(self, step: Step) -> Pump | None:
        """Return the pump at which a step is done."""
        return self.partner if step.partner and self.partner else self.pump


def _step(context: _Context, procedure: Procedure, step: Step) -> FittedStep:
    settings, slots, there = context.settings, context.slots, context.at(step)
    names = [*_SLOT.findall(f"{step.text} {step.caution} {step.again_what}"), step.wait, step.again]
    wait, again = settings.get(step.wait), settings.get(step.again)
    return FittedStep(
        id=step.id,
        text=fill(step.text, slots),
        caution=fill(step.caution, slots),
        who=step.who or procedure.who,
        look=step.look,
        tag=there.tag if there else "",
        readings=_readings(step, there),
        wait=wait.low if wait else 0.0,
        wait_words=wait.words if wait else "",
        hold=fill(step.hold, slots),
        event=step.event,
        trial=step.trial,
        results=step.results,
        again=again.low if again else 0.0,
        again_what=fill(step.again_what, slots),
        only="" if context.pump else only(step.applies),
        sources=tuple(context.sources[key] for key in step.sources),
        settings=tuple(name for name in dict.fromkeys(names) if name in settings),
    )


def fill(text: str, slots: Mapping[str, str]) -> str:
    """Put values into the slots of a text."""
    return _SLOT.sub(lambda slot: slots.get(slot[1], slot[0]), text)


def slots_in(text: str) -> list[str]:
    """Return the names of the slots of a text.

    Examples
    --------
    >>> slots_in("Wait {flat_wait} at {tag}")
    ['flat_wait', 'tag']
    """
    return _SLOT.findall(text)


def only(applies: Applies) -> str:
    """Say in words where something applies.

    Examples
    --------
    >>> only({"seal": ("packing",), "standby": ("yes",)})
    'seal: packing; standby: yes'
    """
    return "; ".join(
        f"{fact.replace('_', ' ')}: {' or '.join(words)}" for fact, words in applies.items()
    )


def _slots(pump: Pump | None) -> dict[str, str]:
    if pump is None:
        return {
            "tag": "the pump",
            "partner": "the other pump",
            "liquid": "the liquid",
            "product": "the product marked on the point",
        }
    return {
        "tag": pump.tag,
        "partner": pump.partner or "the other pump",
        "liquid": pump.liquid.name,
        "product": pump.lubrication.product or "the product marked on the point",
    }


def _readings(step: Step, pump: Pump | None) -> tuple[str, ...]:
    """Return the points to read: those of the step that this pump has, stars spelled out."""
    if pump is None:
        return step.readings
    own = [point.point for point in pump.points]
    found: list[str] = []
    for name in step.readings:
        found += [point for point in own if matches(name, point)]
    return tuple(dict.fromkeys(found))


def matches(name: str, point: str) -> bool:
    """Tell whether a step's name of a point, perhaps with a star, means this point.

    Examples
    --------
    >>> matches("bearing_temperature_*", "bearing_temperature_de"), matches("flow", "oil_flow")
    (True, False)
    """
    return point.startswith(name[:-1]) if name.endswith("*") else point == name


def known_point(name: str) -> bool:
    """Tell whether a step's name of a point means any observation point."""
    return any(matches(name, point) for point in all_points())
