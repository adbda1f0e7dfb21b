"""A case: what is known of one pump, what is read, what was seen, what was done about it.

Nothing is guessed: what the case does not name was not looked at.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from gaugewalk.plant.pump import Point, Pump
from gaugewalk.units import STANDARD_PRESSURE, Quantity

# Names of liquids as thin and as heavy as water at any temperature a pump sees, and of others.
WATERY = ("water", "condensate", "sewage", "coolant", "boric")
NOT_WATERY = ("glycol", "oil", "sludge", "slurry")
# Names of liquids that bring solids with them.
DIRTY = (
    *("river", "sea water", "seawater", "raw ", "lake", "pond", "storm", "service water", "drain"),
    *("sewage", "waste", "sludge", "slurry", "pulp", "ash", "sand", "mud", "dirty", "effluent"),
)
# Names of liquids that are pumped near their boiling point.
HOT = ("condensate", "boiler", "feedwater", "hot water", "reflux", "propane", "butane", "ammonia")
COLD_NAMES = ("river", "sea water", "seawater", "lake", "pond", "sewage", "chilled", "well water")
WARM, COOL = 350.0, 320.0  # [K]: water warmer than the first may boil at an inlet, cooler hardly
_NOTHING: Mapping[str, Quantity] = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseLiquid:
    """The liquid as named, with its temperature at the pump. [K]"""

    name: str = ""
    temperature: float | None = None
    mass_fraction: float | None = None
    hazards: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseCurve:
    """The pump's curve at one speed, SI, tuples of equal length, flow rising."""

    flow: tuple[float, ...]
    head: tuple[float, ...]
    power: tuple[float, ...] = ()
    efficiency: tuple[float, ...] = ()
    npshr: tuple[float, ...] = ()
    speed: float | None = None
    density: float = 998.2


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """One thing that was done about the trouble, and what came of it."""

    action: str
    when: str = ""
    result: str = ""
    returned_after: float | None = None  # [s]


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One case, SI inside.

    `facts` are the words of the pump that say which causes can be (shaft seal, lubrication, ...);
    `rated` holds flow [m3/s], head [m], npshr [m], speed [1/s], power [W], current [A];
    `confirmed` counts the causes that closed troubles of this pump and its kind were put down to;
    `pump` is set where the case was made from a plant file; `told` says that somebody picked the
    signs to describe a trouble, rather than that they were read on rounds and asked for.
    """

    facts: Mapping[str, object] = field(default_factory=dict)
    liquid: CaseLiquid = field(default_factory=CaseLiquid)
    rated: Mapping[str, float] = field(default_factory=dict)
    curve: CaseCurve | None = None
    readings: Mapping[str, Quantity] = field(default_factory=dict)
    normal: Mapping[str, Quantity] = field(default_factory=dict)
    observations: Mapping[str, bool] = field(default_factory=dict)
    done: tuple[Done, ...] = ()
    barometric: float = STANDARD_PRESSURE
    suction_diameter: float | None = None
    discharge_diameter: float | None = None
    limits: Mapping[str, Point] = field(default_factory=dict)
    confirmed: Mapping[str, float] = field(default_factory=dict)
    pump: Pump | None = None
    told: bool = True


def case_from_pump(
    pump: Pump,
    *,
    readings: Mapping[str, Quantity] = _NOTHING,
    normal: Mapping[str, Quantity] = _NOTHING,
    observations: Mapping[str, bool] | None = None,
    done: tuple[Done, ...] = (),
    barometric: float = STANDARD_PRESSURE,
    facts: Mapping[str, object] | None = None,
    confirmed: Mapping[str, float] = MappingProxyType({}),
) -> Case:
    """Make a case of a pump of the plant file.

    Parameters
    ----------
    pump : Pump
    readings, normal : mapping of point to Quantity
        Latest readings and what is usual for this pump, SI.
    observations : mapping of finding to bool
        What was looked for: there or not.
    done : tuple of Done
    barometric : float
        Local air pressure. [Pa]
    facts : mapping, optional
        Further facts that the plant file does not know, laid over those it does.
    confirmed : mapping of cause to float
        How often closed troubles of this pump and its kind were put down to each cause.
    """
    return Case(
        facts=MappingProxyType(_facts_of(pump) | dict(facts or {})),
        liquid=CaseLiquid(
            name=pump.liquid.name,
            temperature=pump.liquid.temperature,
            mass_fraction=pump.liquid.mass_fraction,
            hazards=tuple(pump.liquid.hazards),
        ),
        rated=MappingProxyType(_rated_of(pump)),
        curve=_curve_of(pump),
        readings=readings,
        normal=normal,
        observations=dict(observations or {}),
        done=done,
        barometric=barometric,
        suction_diameter=pump.suction_diameter,
        discharge_diameter=pump.discharge_diameter,
        limits=MappingProxyType({point.point: point for point in pump.points}),
        confirmed=confirmed,
        pump=pump,
        told=False,
    )


def facts_of(case: Case) -> Mapping[str, object]:
    """Return the facts of the pump, with those that follow from others.

    Examples
    --------
    >>> sorted(facts_of(Case(liquid=CaseLiquid(name="river water"))).items())
    [('dirty', True), ('near_boiling', False), ('watery', True)]
    """
    name = case.liquid.name.casefold()
    facts = dict(case.facts)
    if facts.get("driver") in ("turbine", "engine"):
        facts.setdefault("variable_speed", True)
    watery = _any_of(WATERY, name) and not _any_of(NOT_WATERY, name)
    if watery:
        facts["watery"] = True
    if _begins_a_word(DIRTY, name):
        facts["dirty"] = True
    near = _near_boiling(name, case.liquid.temperature if watery else None)
    if near is not None:
        facts["near_boiling"] = near
    return facts


def _any_of(words: tuple[str, ...], name: str) -> bool:
    return any(word in name for word in words)


def _begins_a_word(words: tuple[str, ...], name: str) -> bool:
    """Return whether one of the words begins a word of the name: ash, but not flash."""
    spaced = f" {name.replace('-', ' ')} "
    return any(f" {word}" in spaced for word in words)


def _near_boiling(name: str, temperature: float | None) -> bool | None:
    """Return whether the liquid is pumped near its boiling point; none where nothing tells."""
    if temperature is not None and not COOL < temperature < WARM:
        return temperature >= WARM
    if _begins_a_word(HOT, name):
        return True
    return False if _begins_a_word(COLD_NAMES, name) else None


def _facts_of(pump: Pump) -> dict[str, object]:
    return {
        "shaft_seal": pump.seal.kind,
        "lubrication": pump.lubrication.kind,
        "driver": pump.driver.kind,
        "suction": pump.source.kind,
        "suction_strainer": pump.suction_strainer is not None,
        "discharge_strainer": pump.discharge_strainer is not None,
        "minimum_flow_line": pump.minimum_flow_line,
        "variable_speed": pump.driver.variable_speed,
        "standby": pump.partner is not None,
        "check_valve": pump.check_valve,
        "heat_traced": pump.heat_traced,
        "orientation": pump.orientation,
    }


def _rated_of(pump: Pump) -> dict[str, float]:
    given = {
        "flow": pump.rated.flow,
        "head": pump.rated.head,
        "npshr": pump.rated.npshr,
        "speed": pump.rated.speed,
        "power": pump.driver.power,
        "current": pump.driver.current,
    }
    return {name: value for name, value in given.items() if value is not None}


def _curve_of(pump: Pump) -> CaseCurve | None:
    if pump.curve is None:
        return None
    return CaseCurve(
        flow=pump.curve.flow,
        head=pump.curve.head,
        power=pump.curve.power,
        efficiency=pump.curve.efficiency,
        npshr=pump.curve.npshr,
        speed=pump.curve.speed,
        density=pump.curve.density,
    )
