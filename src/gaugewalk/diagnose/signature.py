"""What each cause does to this pump's own gauges: from the forward model, over its severities.

Where a curve or a rated duty is known, how often a cause shows a finding that a gauge can show is
worked out: the pump in its circuit is driven through the severities of the cause, the rule that
reads the gauge is applied to what the gauge would show, and the share of severities that show the
finding is laid over the table's judgement. Where nothing is known, the table answers alone.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

import numpy as np

from gaugewalk.diagnose.case import Case
from gaugewalk.diagnose.knowledge import Knowledge
from gaugewalk.diagnose.network import SHOWS, Floats, Network
from gaugewalk.diagnose.reading_rules import ReadingRule
from gaugewalk.errors import GaugewalkError
from gaugewalk.physics.circuit import operate
from gaugewalk.physics.circuit_effects import EXTENT
from gaugewalk.physics.circuit_parts import Condition, Swing
from gaugewalk.plant.circuit import circuit_of
from gaugewalk.plant.pump import (
    Driver,
    Lubrication,
    OilSystem,
    PlantCurve,
    PlantLiquid,
    Pump,
    Rated,
    ShaftSeal,
    Source,
    Strainer,
)

SEVERITIES = (0.1, 0.2, 0.35, 0.5, 0.7, 0.9)
# Resistance of the system, as a factor, at which a pump in order may run as well.
DEMANDS = (0.5, 0.7, 0.85, 1.2, 1.5, 2.2)
# How far the model is trusted against the table: it knows this pump, but not how bad it gets.
TRUST = 0.6
RUNS = 0.3  # share of the duty flow that a pump in order must at least move in the model
UNNOTICED = 0.03  # weight of a severity that no gauge shows
# Only what the circuit's laws give; bearings, vibration and leaks are judgement there as here.
MODELLED = frozenset(
    {
        "discharge_pressure",
        "suction_pressure",
        "flow",
        "motor_current",
        "motor_power",
        "suction_strainer_dp",
        "discharge_strainer_dp",
        "speed",
        "oil_supply_pressure",
        "oil_supply_temperature",
        "oil_filter_dp",
        "cooling_water_flow",
        "liquid_temperature",
    }
)


# Judgement, no source: what is judged together, how many of it, and with what spread.
TOGETHER = ("suction_pressure", "discharge_pressure", "flow", "motor_current", "motor_power")
LEAST_TOGETHER = 3
NOISE = 0.025  # of a change, share: gauges, and a model that is not this pump
MOST_BETTER = 5.5  # natural logarithm: no comparison counts for more
TELLING = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """Factors on the odds of causes from all gauges judged together, and what they say."""

    factors: Mapping[str, float] = field(default_factory=dict)
    note: str = ""


@dataclass(frozen=True, slots=True)
class _Shown:
    """What the gauges show: in order, then cause by cause its severities, then other demands."""

    causes: tuple[str, ...]
    values: Mapping[str, Floats]
    swings: Mapping[str, Swing]


def with_signature(case: Case, knowledge: Knowledge) -> Network:
    """Return the network with this pump's own signatures laid over the table.

    Only links to findings that one of the case's readings can show are changed.
    """
    network = knowledge.network
    points = MODELLED.intersection(case.readings)
    pump = case.pump or pump_of(case)
    if not points or pump is None:
        return network
    shown = _drive(pump, case.barometric)
    if shown is None:
        return network
    chances = _chances(knowledge, shown, case.barometric)
    weight = _noticed(chances)
    shows = network.shows.copy()
    rows = np.array([network.causes.index(cause) for cause in shown.causes])
    for finding in {finding for finding, point in chances if point in points}:
        seen = [chances[key] for key in chances if key[0] == finding and key[1] in points]
        chance = (np.max(seen, axis=0) * weight).sum(axis=1)
        column = network.column(finding)
        table = network.shows[rows, column]
        blend = (1.0 - TRUST) * table + TRUST * chance
        # A sign that makes the cause what it is stays so, however little of it there is.
        shows[rows, column] = np.where(table >= SHOWS[4], np.maximum(table, blend), blend)
    return replace(network, shows=shows)


def together(case: Case, knowledge: Knowledge) -> Together:
    """Judge the changes of pressures, flow and current together, not one by one.

    Six percent less pressure with eight percent less flow and seven percent more current is worn
    rings, though no single change is worth noting. Each modelled cause is compared with nothing
    being wrong, over its severities; half the weight of the comparison is taken, because the
    single findings count too.
    """
    points = [
        point
        for point in TOGETHER
        if point in case.readings and point in case.normal and case.readings[point].low is None
    ]
    pump = case.pump or pump_of(case)
    if len(points) < LEAST_TOGETHER or pump is None:
        return Together()
    shown = _drive(pump, case.barometric)
    if shown is None:
        return Together()
    worse = np.zeros(shown.values["flow"].size)
    for point in points:
        value = shown.values[point]
        seen = _relative(case.readings[point].value, case.normal[point].value, point, case)
        model = _relative(value, float(value[0]), point, case)
        worse += (seen - model) ** 2 / (2.0 * NOISE**2)
    # In order means in order at any demand: a moved operating point is no cause.
    sound = np.min(worse[np.r_[0, -len(DEMANDS) : 0]])
    better = np.clip(sound - worse[1 : -len(DEMANDS)], -20.0, MOST_BETTER)
    weight = np.exp(better).reshape(len(shown.causes), len(SEVERITIES)).mean(axis=1)
    factors = dict(zip(shown.causes, (weight**0.5).tolist(), strict=True))
    best = max(factors, key=lambda id: factors[id])
    if factors[best] < TELLING or best not in knowledge.causes:
        return Together(factors=factors)
    note = f"Pressures, flow and current together fit best: {knowledge.causes[best].title}."
    return Together(factors=factors, note=note)


def _relative(value: Floats | float, usual: float, point: str, case: Case) -> Floats:
    """Return the change as a share of the usual value; of a pressure, of the usual gauge value."""
    scale = abs(usual)
    if point.endswith("_pressure"):
        scale = max(abs(usual - case.barometric), 0.5e5)
    return np.asarray((value - usual) / scale)


def _chances(
    knowledge: Knowledge, shown: _Shown, barometric: float
) -> dict[tuple[str, str], Floats]:
    """Return how surely each rule finds something on each gauge, shape (causes, severities)."""
    chances = {}
    for rule in knowledge.reading_rules:
        for point in MODELLED.intersection(rule.points):
            change = _change(rule, point, shown, barometric)
            if change is None or rule.by is None or rule.spread is None:
                continue
            sure = 1.0 / (1.0 + np.exp(-np.clip((change - rule.by) / rule.spread, -40, 40)))
            troubled = sure[1 : -len(DEMANDS)]
            chances[rule.finding, point] = troubled.reshape(len(shown.causes), len(SEVERITIES))
    return chances


def _noticed(chances: Mapping[tuple[str, str], Floats]) -> Floats:
    """Return the weight of each severity of each cause: what no gauge shows nobody asks.

    Shape (causes, severities), each row summing to one.
    """
    noticed = np.max(list(chances.values()), axis=0) + UNNOTICED
    return np.asarray(noticed / noticed.sum(axis=1, keepdims=True))


def _change(rule: ReadingRule, point: str, shown: _Shown, barometric: float) -> Floats | None:
    """Return the change from order in the rule's own measure (see `reading_rules`)."""
    value = shown.values.get(point)
    if value is None or rule.change == "":
        return None
    base = value[0] - barometric if rule.kind == "pressure" else value[0]
    scale = max(abs(float(base)), rule.least)
    if scale <= 0.0:
        return None
    if rule.state == "swinging":
        swing = shown.swings.get(point)
        if swing is None:
            return None
        return np.asarray((swing.high - swing.low) / scale)
    step = rule.sign * (value - value[0])
    return np.asarray(step if rule.change == "difference" else step / scale)


@lru_cache(maxsize=512)
def _drive(pump: Pump, barometric: float) -> _Shown | None:
    """Drive one pump through every modelled cause; none where it cannot be modelled."""
    causes = tuple(cause for cause in EXTENT if not cause.startswith("gauge-"))
    count = 1 + len(causes) * len(SEVERITIES) + len(DEMANDS)
    severities = {}
    for place, cause in enumerate(causes):
        row = np.zeros(count)
        start = 1 + place * len(SEVERITIES)
        row[start : start + len(SEVERITIES)] = SEVERITIES
        severities[cause] = row
    demand = np.ones(count)
    demand[-len(DEMANDS) :] = DEMANDS
    try:
        circuit = circuit_of(pump, barometric=barometric)
        operation = operate(circuit, Condition(severities=severities, demand=demand))
    except (GaugewalkError, ArithmeticError):
        return None
    values = {point: np.broadcast_to(value, (count,)) for point, value in operation.values.items()}
    if not values["flow"][0] > RUNS * circuit.duty_flow:
        return None  # as described it could not even run in order: the table answers
    return _Shown(causes=causes, values=values, swings=operation.swings)


def pump_of(case: Case) -> Pump | None:
    """Make a pump as the plant file would hold it from what a case tells; none if too little."""
    if case.curve is None and not {"flow", "head"} <= case.rated.keys():
        return None
    if not case.liquid.name:
        return None
    facts = case.facts
    forced = facts.get("lubrication") == "forced feed"
    return Pump(
        tag="case",
        name="case",
        liquid=PlantLiquid(
            name=case.liquid.name,
            temperature=case.liquid.temperature,
            mass_fraction=case.liquid.mass_fraction,
        ),
        source=Source(kind=_word(facts, "suction", "flooded")),
        curve=_plant_curve(case),
        rated=Rated(
            flow=case.rated.get("flow"),
            head=case.rated.get("head"),
            npshr=case.rated.get("npshr"),
            speed=case.rated.get("speed"),
            power=case.rated.get("power"),
        ),
        seal=ShaftSeal(kind=_word(facts, "shaft_seal", "single mechanical seal")),
        lubrication=Lubrication(
            kind=_word(facts, "lubrication", "oil sump"),
            system=OilSystem(cooler=True) if forced else None,
        ),
        driver=Driver(kind=_word(facts, "driver", "electric motor")),
        suction_strainer=None if facts.get("suction_strainer") is False else Strainer(),
        discharge_strainer=None if facts.get("discharge_strainer") is False else Strainer(),
    )


def _word(facts: Mapping[str, object], key: str, usual: str) -> Any:
    # The case reader lets only the words of the plant's types through.
    return facts.get(key, usual)


def _plant_curve(case: Case) -> PlantCurve | None:
    if case.curve is None:
        return None
    speed = case.curve.speed or case.rated.get("speed") or 24.5
    return PlantCurve(
        speed=speed,
        flow=case.curve.flow,
        head=case.curve.head,
        power=case.curve.power,
        efficiency=case.curve.efficiency,
        npshr=case.curve.npshr,
        density=case.curve.density,
    )
