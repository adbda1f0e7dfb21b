"""Handbook: NPSH, its margin, and submergence."""

from typing import Any

from gaugewalk.physics import liquids
from gaugewalk.physics.liquids import Liquid
from gaugewalk.physics.npsh import npsh_available, npsh_from_gauge
from gaugewalk.physics.npsh_margin import SOURCE, guidance, npsh_margin
from gaugewalk.physics.specific_speed import suction_specific_speed, suction_specific_speed_us
from gaugewalk.physics.submergence import (
    bell_froude_number,
    minimum_submergence,
    submergence_margin,
)
from gaugewalk.watch.calculation import (
    Calculation,
    Result,
    choice,
    count,
    gives,
    known,
    liquid,
    may,
    need,
    says,
    yes_no,
)

GROUP = "Suction"
_SERVICES = ("hydrocarbon", "chemical", "power", "water", "paper", "building")
_GAS = "Dissolved gas is not counted: with gas-laden liquid the practical margin is smaller."
_TEMPERATURE = need(
    "temperature", "temperature", "degC", "of the liquid at the pump", "point:liquid_temperature"
)
_STATE = (
    gives("vapor_pressure", "pressure", "bara", "vapor pressure"),
    gives("density", "density", "kg/m3", "density"),
)


def _state(liquid: Liquid, temperature: float) -> dict[str, Any]:
    return {
        "vapor_pressure": liquids.vapor_pressure(liquid, temperature),
        "density": liquids.density(liquid, temperature),
    }


def _from_vessel(
    liquid: Liquid,
    temperature: float,
    level: float,
    surface_pressure: float,
    line_loss: float,
    boiling: bool,
) -> Result:
    state = _state(liquid, temperature)
    surface = state["vapor_pressure"] if boiling else surface_pressure
    npsha = npsh_available(surface, state["vapor_pressure"], state["density"], level, line_loss)
    low = ("Below zero the liquid boils before it reaches the pump.",) if npsha < 0 else ()
    return {"npsh_available": npsha, **state, "warnings": low}


def _from_gauge(
    liquid: Liquid,
    temperature: float,
    suction_pressure: float,
    gauge_elevation: float,
    flow: float,
    suction_diameter: float | None = None,
) -> Result:
    state = _state(liquid, temperature)
    npsha = npsh_from_gauge(
        suction_pressure,
        state["vapor_pressure"],
        state["density"],
        gauge_elevation=gauge_elevation,
        **known(flow=flow if suction_diameter is not None else None, diameter=suction_diameter),
    )
    note = () if suction_diameter is not None else ("Velocity head left out (no pipe diameter).",)
    return {"npsh_available": npsha, **state, "notes": note}


def _margin(
    npsh_available: float,
    npsh_required: float,
    service: str,
    in_preferred_region: bool,
    suction_specific_speed: float | None = None,
) -> Result:
    wanted = guidance(
        service,  # type: ignore[arg-type] # one of the choices of the input
        suction_specific_speed,
        in_preferred_region=in_preferred_region,
    )
    found = npsh_margin(npsh_available, npsh_required, wanted)
    enough = "at or above the published margin" if found.enough else "below the published margin"
    return {
        "margin": found.margin,
        "ratio": found.ratio,
        "wanted": found.wanted,
        "verdict": enough,
    }


def _submergence(
    flow: float,
    bell_diameter: float,
    surface_level: float | None = None,
    bell_level: float | None = None,
) -> Result:
    answer: dict[str, object] = {
        "submergence": minimum_submergence(flow, bell_diameter),
        "froude_number": bell_froude_number(flow, bell_diameter),
    }
    if surface_level is not None and bell_level is not None:
        answer["margin"] = submergence_margin(surface_level, bell_level, flow, bell_diameter)
    return answer


CALCULATIONS = (
    Calculation(
        name="npsh-available",
        title="NPSH available from the vessel or sump",
        group=GROUP,
        inputs=(
            liquid("water"),
            _TEMPERATURE,
            need(
                "level",
                "length",
                "m",
                "surface above the pump; a lift is negative",
                "point:source_level",
            ),
            may(
                "surface_pressure",
                "pressure",
                "barg",
                "over the surface",
                "0 barg",
                "point:source_pressure",
            ),
            may("line_loss", "length", "m", "lost in the suction line", "0 m", "source.line_loss"),
            yes_no("boiling", "liquid at its boiling point in the vessel", fill="source.boiling"),
        ),
        outputs=(gives("npsh_available", "length", "m", "NPSH available"), *_STATE),
        run=_from_vessel,
        formula="NPSHA = (p_surface - p_v)/(ρ g) + z - h_f",
        source="ISO 17769-1 definition; properties as in liquid-properties",
        cautions=(_GAS,),
        example={"temperature": "20 degC", "level": "-3 m", "line_loss": "0.8 m"},
    ),
    Calculation(
        name="npsh-from-gauge",
        title="NPSH available from the suction gauge",
        group=GROUP,
        inputs=(
            liquid("water"),
            _TEMPERATURE,
            need(
                "suction_pressure",
                "pressure",
                "barg",
                "read at the suction gauge",
                "point:suction_pressure",
            ),
            may("gauge_elevation", "length", "m", "gauge above the pump's datum", "0 m"),
            may("flow", "flow", "m3/h", "through the pump", "0 m3/h", "point:flow"),
            may(
                "suction_diameter", "length", "mm", "inside, at the gauge", fill="suction_diameter"
            ),
        ),
        outputs=(gives("npsh_available", "length", "m", "NPSH available"), *_STATE),
        run=_from_gauge,
        formula="NPSHA = (p_gauge + p_baro - p_v)/(ρ g) + z_gauge + v²/2g",
        source="ISO 9906 / ISO 17769-1 definition; properties as in liquid-properties",
        cautions=(_GAS, "Read the gauge while the pump runs, at the flow you judge."),
        example={"temperature": "60 degC", "suction_pressure": "-0.3 barg"},
    ),
    Calculation(
        name="npsh-margin",
        title="NPSH margin against published guidance",
        group=GROUP,
        inputs=(
            need("npsh_available", "length", "m", "from npsh-available or npsh-from-gauge"),
            need(
                "npsh_required",
                "length",
                "m",
                "of the curve at this flow (3 % head drop)",
                "rated.npshr",
            ),
            choice("service", _SERVICES, "kind of service", "water"),
            yes_no("in_preferred_region", "the pump runs near its best efficiency flow"),
            may("suction_specific_speed", "number", "1", "US units, at best efficiency"),
        ),
        outputs=(
            gives("margin", "length", "m", "NPSH available less required"),
            gives("ratio", "number", "1", "available over required"),
            gives("wanted", "length", "m", "margin asked for"),
            says("verdict", "against the guidance"),
        ),
        run=_margin,
        formula="margin = NPSHA - NPSHR; asked for: max of (r - 1) NPSHR and a head",
        source=SOURCE,
        cautions=(
            "At NPSHR the head has already fallen by 3 %; damage starts well above it.",
            "The standard itself was not opened; the maker's word comes first.",
        ),
        example={"npsh_available": "5 m", "npsh_required": "3.2 m"},
    ),
    Calculation(
        name="suction-specific-speed",
        title="Suction specific speed",
        group=GROUP,
        inputs=(
            need("speed", "speed", "rpm", "at which the curve holds", "rated.speed"),
            need("flow", "flow", "m3/h", "at best efficiency", "rated.best_efficiency_flow"),
            need("npsh_required", "length", "m", "at that flow", "rated.npshr"),
            count("eyes", "inlets of the impeller: 1, or 2 for double suction", "1"),
        ),
        outputs=(
            gives("us", "number", "1", "rpm, gpm, ft"),
            gives("dimensionless", "number", "1", "radian-based, without unit"),
        ),
        run=lambda speed, flow, npsh_required, eyes: {
            "us": suction_specific_speed_us(speed, flow, npsh_required, eyes=eyes),
            "dimensionless": suction_specific_speed(speed, flow, npsh_required, eyes=eyes),
        },
        formula="S = n (Q/eyes)^0.5 / NPSHR^0.75",
        source="definition; both customs",
        cautions=("Above about 11,000 (US) the range of quiet running is narrow: trade rule.",),
        example={"speed": "2950 rpm", "flow": "100 m3/h", "npsh_required": "3 m"},
    ),
    Calculation(
        name="submergence",
        title="Submergence against vortices",
        group=GROUP,
        inputs=(
            need("flow", "flow", "m3/h", "into the bell", "point:flow"),
            need("bell_diameter", "length", "mm", "outside, at the mouth", "source.bell_diameter"),
            may(
                "surface_level",
                "length",
                "m",
                "of the liquid, any datum",
                fill="point:source_level",
            ),
            may("bell_level", "length", "m", "of the mouth, same datum", fill="source.bell_level"),
        ),
        outputs=(
            gives("submergence", "length", "m", "least submergence"),
            gives("froude_number", "number", "1", "Froude number"),
            gives("margin", "length", "m", "what stands over it now"),
        ),
        run=_submergence,
        formula="S = D (1 + 2.3 Fr), Fr = v / (g D)^0.5",
        source="ANSI/HI 9.8 formula, as quoted publicly",
        cautions=("A poor sump draws air at more; watch for dimples and swirl.",),
        example={"flow": "400 m3/h", "bell_diameter": "400 mm"},
    ),
)
