"""Handbook: packing and mechanical seals."""

from gaugewalk.errors import ArgumentError
from gaugewalk.physics import liquids, packing
from gaugewalk.physics import mechanical_seal as seal
from gaugewalk.physics.liquids import Liquid
from gaugewalk.watch.calculation import (
    Calculation,
    Result,
    choice,
    gives,
    liquid,
    may,
    need,
    says,
)

GROUP = "Shaft seal"
_DROP = may("drop_volume", "volume", "mL", "of one drop: water 0.05, oil 0.067", "0.05 mL")
_SHAFT = need("shaft_diameter", "length", "mm", "of shaft or sleeve", "seal.shaft_diameter")
_TEMPERATURE = may("temperature", "temperature", "degC", "of the liquid", "20 degC",
                   "point:liquid_temperature")  # fmt: skip
_COUNT_DROPS = "A drop differs by 30 to 40 %; for a figure that matters use a measuring cup."
_GLAND = (
    "Adjust packing only as site procedure allows: one flat at a time, evenly, guard on, wait, and "
    "never to zero drops."
)


def _wishes(shaft_diameter: float, drop_volume: float) -> Result:
    low, target, high = packing.leak_off_window(shaft_diameter, drop_volume)
    rows = "; ".join(
        f"{wish.words} {least / drop_volume * 60:.0f} to {most / drop_volume * 60:.0f} drops/min "
        f"({wish.source})"
        for wish, least, most in packing.leak_off_wishes(shaft_diameter, drop_volume)
    )
    return {"low": low, "target": target, "high": high, "published": rows}


def _packing_heat(
    contact_pressure: float,
    shaft_diameter: float,
    packed_length: float,
    speed: float,
    friction: float,
    liquid: Liquid,
    temperature: float,
    leak_off: float | None = None,
) -> Result:
    heat = packing.friction_heat(contact_pressure, shaft_diameter, packed_length, speed, friction)
    answer: dict[str, object] = {"heat": heat}
    if leak_off is not None:
        answer["leak_rise"] = packing.leak_temperature_rise(
            heat,
            leak_off,
            liquids.density(liquid, temperature),
            liquids.specific_heat(liquid, temperature),
        )
    return answer


def _flush(
    heat: float,
    liquid: Liquid,
    temperature: float,
    flow: float | None = None,
    rise: float | None = None,
) -> Result:
    density = liquids.density(liquid, temperature)
    specific_heat = liquids.specific_heat(liquid, temperature)
    if (flow is None) == (rise is None):
        raise ArgumentError("expected either flow or rise, and not both.")
    if flow is not None:
        return {"rise": seal.flush_temperature_rise(heat, flow, density, specific_heat)}
    return {"flow": seal.flush_flow_needed(heat, float(rise or 0.0), density, specific_heat)}


def _barrier(barrier_pressure: float, chamber_pressure: float) -> Result:
    margin = seal.barrier_margin(barrier_pressure, chamber_pressure)
    enough = margin >= seal.LEAST_BARRIER
    low = ("Below the chamber: the pumped liquid goes into the barrier liquid.",)
    return {
        "margin": margin,
        "wanted": seal.LEAST_BARRIER,
        "verdict": "at or above the wanted margin" if enough else "below the wanted margin",
        "warnings": low if margin < 0 else (),
    }


CALCULATIONS = (
    Calculation(
        name="drops-to-flow",
        title="Drops a minute to milliliters a minute",
        group=GROUP,
        inputs=(need("drops_per_minute", "number", "1", "counted for a whole minute"), _DROP),
        outputs=(
            gives("flow", "leakage", "mL/min", "leakage"),
            gives("per_day", "volume", "L", "in a day"),
        ),
        run=lambda drops_per_minute, drop_volume: {
            "flow": packing.leak_rate(drops_per_minute / 60, drop_volume),
            "per_day": packing.leak_rate(drops_per_minute / 60, drop_volume) * 86400,
        },
        formula="drops/min * volume of a drop",
        source="20 drops/mL water, 15 drops/mL oil: pharmacy and trade convention",
        cautions=(_COUNT_DROPS,),
        example={"drops_per_minute": "40"},
    ),
    Calculation(
        name="flow-to-drops",
        title="Milliliters a minute to drops a minute",
        group=GROUP,
        inputs=(need("flow", "leakage", "mL/min", "caught in a cup"), _DROP),
        outputs=(gives("drops_per_minute", "number", "1", "drops a minute"),),
        run=lambda flow, drop_volume: {
            "drops_per_minute": packing.drop_rate(flow, drop_volume) * 60
        },
        formula="flow / volume of a drop",
        source="20 drops/mL water, 15 drops/mL oil: pharmacy and trade convention",
        cautions=(_COUNT_DROPS,),
        example={"flow": "2 mL/min"},
    ),
    Calculation(
        name="leak-off",
        title="Leak-off wanted from a packing",
        group=GROUP,
        inputs=(_SHAFT, _DROP),
        outputs=(
            gives("target", "leakage", "drops/min", "a start, until the pump has its own target"),
            gives("low", "leakage", "drops/min", "half of it"),
            gives("high", "leakage", "drops/min", "twice of it"),
            says("published", "published wishes"),
        ),
        run=_wishes,
        formula="9 drops/min for each inch of shaft, half to double",
        source="trade practice, no source; the published wishes name theirs",
        cautions=(
            "The books differ by a factor of 60: the right target is the pump's own. In "
            "light-liquid organic service any drip counts as a leak.",
            _GLAND,
        ),
        example={"shaft_diameter": "50 mm"},
    ),
    Calculation(
        name="packing-heat",
        title="Heat made by packing",
        group=GROUP,
        inputs=(
            need(
                "contact_pressure",
                "pressure_difference",
                "bar",
                "of the packing on the shaft; at least the pressure sealed",
            ),
            _SHAFT,
            need("packed_length", "length", "mm", "rings together"),
            need("speed", "speed", "rpm", "of the shaft", "point:speed"),
            may("friction", "number", "1", "coefficient, 0.05 to 0.2", "0.1"),
            may("leak_off", "leakage", "drops/min", "now", fill="point:leak_off"),
            liquid("water"),
            _TEMPERATURE,
        ),
        outputs=(
            gives("heat", "power", "W", "heat"),
            gives("leak_rise", "temperature_difference", "K", "rise if the leak-off took it all"),
        ),
        run=_packing_heat,
        formula="P = μ p π d L * π d n; ΔT = P/(ρ Q c_p)",
        source="friction; coefficient common practice, no source",
        cautions=("Good to a factor of two. Shaft and box carry most of the heat.", _GLAND),
        example={
            "contact_pressure": "3 bar",
            "shaft_diameter": "50 mm",
            "packed_length": "60 mm",
            "speed": "1450 rpm",
        },
    ),
    Calculation(
        name="gland-travel",
        title="Travel of the gland for a turn of its nuts",
        group=GROUP,
        inputs=(
            need("flats", "number", "1", "turned; one flat is a sixth of a turn"),
            need("thread_pitch", "length", "mm", "of the studs"),
        ),
        outputs=(gives("travel", "length", "mm", "travel"),),
        run=lambda flats, thread_pitch: {"travel": packing.gland_travel(flats, thread_pitch)},
        formula="flats/6 * pitch",
        source="US Army TM 5-4210-233-14&P-2: one flat at a time",
        cautions=(_GLAND,),
        example={"flats": "1", "thread_pitch": "1.75 mm"},
    ),
    Calculation(
        name="seal-face-heat",
        title="Heat made by the faces of a mechanical seal",
        group=GROUP,
        inputs=(
            need("pressure_difference", "pressure_difference", "bar", "across the faces"),
            need("speed", "speed", "rpm", "of the shaft", "point:speed"),
            need("face_outside", "length", "mm", "outside diameter of the face"),
            need("face_inside", "length", "mm", "inside diameter of the face"),
            need("balance_diameter", "length", "mm", "of the seal"),
            need("spring_force", "number", "1", "at working length, newton"),
            may("friction", "number", "1", "effective coefficient", "0.07"),
            may("pressure_drop_coefficient", "number", "1", "0.5 to 0.8", "0.5"),
        ),
        outputs=(gives("heat", "power", "W", "heat at the faces"),),
        run=lambda pressure_difference, speed, **face: {
            "heat": seal.face_heat(pressure_difference, speed, **face)
        },
        formula="(Δp (B - K) + F/A) A f π D_m n",
        source="API 682, annex on heat generation (public copies)",
        cautions=("Good to a factor of two; heat from a hot pump comes on top.",),
        example={
            "pressure_difference": "20 bar",
            "speed": "3000 rpm",
            "face_outside": "61.6 mm",
            "face_inside": "48.9 mm",
            "balance_diameter": "52.4 mm",
            "spring_force": "190",
        },
    ),
    Calculation(
        name="seal-flush",
        title="Flush of a mechanical seal: rise or flow",
        group=GROUP,
        inputs=(
            need("heat", "power", "W", "to be carried away"),
            may(
                "flow",
                "flow",
                "L/min",
                "of the flush; gives the rise",
                fill="point:seal_flush_flow",
            ),
            may("rise", "temperature_difference", "K", "allowed; gives the flow"),
            liquid("water"),
            _TEMPERATURE,
        ),
        outputs=(
            gives("rise", "temperature_difference", "K", "temperature rise of the flush"),
            gives("flow", "flow", "L/min", "flush flow needed"),
        ),
        run=_flush,
        formula="P = ρ Q c_p ΔT",
        source="energy balance",
        example={"heat": "1000 W", "flow": "4 L/min"},
    ),
    Calculation(
        name="orifice-flow",
        title="Flow through a flush orifice",
        group=GROUP,
        inputs=(
            need("pressure_difference", "pressure_difference", "bar", "across it"),
            need("bore", "length", "mm", "of the orifice"),
            may("density", "density", "kg/m3", "of the liquid", "998.2 kg/m3"),
        ),
        outputs=(gives("flow", "flow", "L/min", "flow"),),
        run=lambda pressure_difference, bore, density: {
            "flow": seal.orifice_flow(pressure_difference, bore, density),
            "warnings": ("Below 3.2 mm an orifice plugs (seal makers' plan pages).",)
            if bore < seal.LEAST_ORIFICE * (1 - 1e-9)
            else (),
        },
        formula="Q = 0.61 A (2Δp/ρ)^0.5",
        source="sharp-edged orifice, textbook",
        example={"pressure_difference": "2 bar", "bore": "3.2 mm"},
    ),
    Calculation(
        name="barrier-pressure",
        title="Barrier liquid above the seal chamber",
        group=GROUP,
        inputs=(
            need("barrier_pressure", "pressure", "barg", "in the pot", "point:seal_pot_pressure"),
            need(
                "chamber_pressure",
                "pressure",
                "barg",
                "in the seal chamber",
                "seal.chamber_pressure",
            ),
        ),
        outputs=(
            gives("margin", "pressure_difference", "bar", "above the chamber"),
            gives("wanted", "pressure_difference", "bar", "wanted at least"),
            says("verdict", "the margin is"),
        ),
        run=_barrier,
        formula="p_barrier - p_chamber",
        source="API 682, 1.4 bar, from memory, unverified; plan 54 sheets print 20 to 30 psi",
        cautions=("Only for pressurized barrier liquid; a buffer liquid stays below.",),
        example={"barrier_pressure": "6 barg", "chamber_pressure": "4.2 barg"},
    ),
    Calculation(
        name="seal-leak-limit",
        title="Leak allowed in a seal's qualification test",
        group=GROUP,
        inputs=(may("density", "density", "kg/m3", "of the liquid", "998.2 kg/m3"), _DROP),
        outputs=(
            gives("flow", "leakage", "mL/h", "5.6 g/h"),
            gives("drops_per_minute", "number", "1", "drops a minute"),
        ),
        run=lambda density, drop_volume: {
            "flow": seal.leak_limit(density),
            "drops_per_minute": packing.drop_rate(seal.leak_limit(density), drop_volume) * 60,
        },
        formula="5.6 g/h over density",
        source="API 682, from memory, unverified",
        cautions=("A test limit: local rules may count any visible drip as a leak.",),
        example={},
    ),
    Calculation(
        name="seal-plan",
        title="What a seal piping plan does",
        group=GROUP,
        inputs=(choice("plan", tuple(seal.PLANS), "number of the plan"),),
        outputs=(says("path", "the liquid goes"),),
        run=lambda plan: {"path": seal.seal_plan(plan)},
        formula="table",
        source="API 682: plans 11, 13, 21 in makers' public pages, the others from memory",
        example={"plan": "11"},
    ),
)
