"""Handbook: head, power, efficiency, speed, heat."""

from gaugewalk.errors import ArgumentError
from gaugewalk.physics import liquids
from gaugewalk.physics.affinity import flow_at_speed, head_at_speed, power_at_speed
from gaugewalk.physics.head import differential_head, head_of_pressure, velocity_head
from gaugewalk.physics.liquids import Liquid
from gaugewalk.physics.power import hydraulic_power, pump_efficiency, shaft_power
from gaugewalk.physics.region import operating_region, preferred_limits
from gaugewalk.physics.specific_speed import (
    specific_speed,
    specific_speed_metric,
    specific_speed_us,
)
from gaugewalk.physics.thermal import (
    heating_rate,
    minimum_thermal_flow,
    temperature_rise,
    time_to_temperature,
)
from gaugewalk.physics.viscous import viscous_factors, viscous_parameter
from gaugewalk.watch.calculation import (
    Calculation,
    Result,
    gives,
    known,
    liquid,
    may,
    need,
    says,
)

GROUP = "Hydraulics"
_FLOW = need("flow", "flow", "m3/h", "through the pump", "point:flow")
_HEAD = need("head", "length", "m", "total head", "rated.head")
_DENSITY = may("density", "density", "kg/m3", "of the liquid at this temperature", "998.2 kg/m3")
_LIQUID_TEMPERATURE = may(
    "temperature", "temperature", "degC", "of the liquid", "20 degC", "point:liquid_temperature"
)


def _density(liquid: Liquid, temperature: float) -> float:
    return float(liquids.density(liquid, temperature))


def _total_head(
    suction_pressure: float,
    discharge_pressure: float,
    liquid: Liquid,
    temperature: float,
    suction_elevation: float,
    discharge_elevation: float,
    flow: float,
    suction_diameter: float | None = None,
    discharge_diameter: float | None = None,
) -> Result:
    density = _density(liquid, temperature)
    both = suction_diameter is not None and discharge_diameter is not None
    head = differential_head(
        suction_pressure,
        discharge_pressure,
        density,
        suction_elevation=suction_elevation,
        discharge_elevation=discharge_elevation,
        flow=flow if both else 0.0,
        **known(suction_diameter=suction_diameter, discharge_diameter=discharge_diameter)
        if both
        else {},
    )
    note = () if both else ("Velocity heads left out (needs both pipe diameters and the flow).",)
    return {"head": head, "density": density, "notes": note}


def _specific(speed: float, flow: float, head: float) -> Result:
    return {
        "metric": specific_speed_metric(speed, flow, head),
        "us": specific_speed_us(speed, flow, head),
        "dimensionless": specific_speed(speed, flow, head),
    }


def _affinity(
    speed: float,
    new_speed: float,
    flow: float | None = None,
    head: float | None = None,
    power: float | None = None,
) -> Result:
    if flow is None and head is None and power is None:
        raise ArgumentError("expected at least one of flow, head and power.")
    return known(
        new_flow=None if flow is None else flow_at_speed(flow, speed, new_speed),
        new_head=None if head is None else head_at_speed(head, speed, new_speed),
        new_power=None if power is None else power_at_speed(power, speed, new_speed),
    )


def _region(
    flow: float,
    best_efficiency_flow: float,
    minimum_flow: float,
    maximum_flow: float | None = None,
    specific_speed_us: float | None = None,
) -> Result:
    near, far = preferred_limits(specific_speed_us)
    end = maximum_flow if maximum_flow is not None else far * best_efficiency_flow
    found = operating_region(
        flow,
        best_efficiency_flow,
        minimum_flow=minimum_flow,
        maximum_flow=end,
        specific_speed_us=specific_speed_us,
    )
    note = (
        ("End of the allowable region not given: the preferred one is taken as its end.",)
        if maximum_flow is None
        else ()
    )
    return {
        "share": found.share,
        "region": str(found.word),
        "preferred_from": near * best_efficiency_flow,
        "preferred_to": far * best_efficiency_flow,
        "notes": note,
    }


def _minimum_flow(power: float, liquid: Liquid, temperature: float, allowed_rise: float) -> Result:
    heat = liquids.specific_heat(liquid, temperature)
    return {
        "minimum_flow": minimum_thermal_flow(
            power, _density(liquid, temperature), heat, allowed_rise
        )
    }


def _time_to_boil(
    power: float,
    volume: float,
    liquid: Liquid,
    temperature: float,
    pressure: float,
    metal_mass: float,
) -> Result:
    mass = volume * _density(liquid, temperature)
    rate = heating_rate(
        power, mass, liquids.specific_heat(liquid, temperature), metal_mass=metal_mass
    )
    boiling = liquids.boiling_temperature(liquid, pressure)
    return {
        "rate_k_per_min": rate * 60,
        "boiling_temperature": boiling,
        "time": time_to_temperature(rate, temperature, boiling),
    }


def _viscous(viscosity: float, flow: float, head: float, speed: float, flow_share: float) -> Result:
    parameter = viscous_parameter(viscosity, flow, head, speed)
    factors = viscous_factors(parameter, flow_share)
    return {
        "parameter": parameter,
        "flow_factor": factors.flow,
        "head_factor": factors.head,
        "efficiency_factor": factors.efficiency,
    }


CALCULATIONS = (
    Calculation(
        name="total-head",
        title="Total head from two gauges",
        group=GROUP,
        inputs=(
            need(
                "suction_pressure",
                "pressure",
                "barg",
                "read at the suction gauge",
                "point:suction_pressure",
            ),
            need(
                "discharge_pressure",
                "pressure",
                "barg",
                "read at the discharge gauge",
                "point:discharge_pressure",
            ),
            liquid("water"),
            _LIQUID_TEMPERATURE,
            may("suction_elevation", "length", "m", "suction gauge above datum", "0 m"),
            may("discharge_elevation", "length", "m", "discharge gauge above datum", "0 m"),
            may("flow", "flow", "m3/h", "through the pump", "0 m3/h", "point:flow"),
            may(
                "suction_diameter", "length", "mm", "inside, at the gauge", fill="suction_diameter"
            ),
            may(
                "discharge_diameter",
                "length",
                "mm",
                "inside, at the gauge",
                fill="discharge_diameter",
            ),
        ),
        outputs=(
            gives("head", "length", "m", "total head"),
            gives("density", "density", "kg/m3", "density taken"),
        ),
        run=_total_head,
        formula="H = (p2 - p1)/(ρ g) + (z2 - z1) + (v2² - v1²)/2g",
        source="ISO 9906, definition of total head",
        cautions=("Two gauges of class 1.6 may be off by several percent of the head together.",),
        example={"suction_pressure": "0.2 barg", "discharge_pressure": "5.0 barg"},
    ),
    Calculation(
        name="head-of-pressure",
        title="Column of liquid that a pressure difference holds",
        group=GROUP,
        inputs=(
            need("pressure_difference", "pressure_difference", "bar", "between two points"),
            _DENSITY,
        ),
        outputs=(gives("head", "length", "m", "height of the column"),),
        run=lambda pressure_difference, density: {
            "head": head_of_pressure(pressure_difference, density)
        },
        formula="H = Δp/(ρ g)",
        source="hydrostatics; g = 9.80665 m/s²",
        example={"pressure_difference": "1 bar", "density": "998.2 kg/m3"},
    ),
    Calculation(
        name="velocity-head",
        title="Velocity head in a pipe",
        group=GROUP,
        inputs=(_FLOW, need("diameter", "length", "mm", "inside", "discharge_diameter")),
        outputs=(gives("head", "length", "m", "velocity head"),),
        run=lambda flow, diameter: {"head": velocity_head(flow, diameter)},
        formula="v²/2g, v = Q/(π d²/4)",
        source="definition",
        example={"flow": "100 m3/h", "diameter": "100 mm"},
    ),
    Calculation(
        name="hydraulic-power",
        title="Power in the liquid",
        group=GROUP,
        inputs=(_FLOW, _HEAD, _DENSITY),
        outputs=(gives("power", "power", "kW", "hydraulic power"),),
        run=lambda flow, head, density: {"power": hydraulic_power(flow, head, density)},
        formula="P = ρ g Q H",
        source="ISO 17769-1 definition",
        example={"flow": "100 m3/h", "head": "50 m"},
    ),
    Calculation(
        name="pump-shaft-power",
        title="Shaft power of a pump",
        group=GROUP,
        inputs=(
            _FLOW,
            _HEAD,
            need("efficiency", "fraction", "%", "of the pump at this flow"),
            _DENSITY,
        ),
        outputs=(gives("power", "power", "kW", "shaft power"),),
        run=lambda flow, head, efficiency, density: {
            "power": shaft_power(flow, head, density, efficiency)
        },
        formula="P = ρ g Q H / η",
        source="ISO 17769-1 definition",
        example={"flow": "100 m3/h", "head": "50 m", "efficiency": "75 %"},
    ),
    Calculation(
        name="pump-efficiency",
        title="Efficiency of a pump",
        group=GROUP,
        inputs=(
            _FLOW,
            _HEAD,
            need("power", "power", "kW", "at the shaft", "point:motor_power"),
            _DENSITY,
        ),
        outputs=(gives("efficiency", "fraction", "%", "efficiency"),),
        run=lambda flow, head, power, density: {
            "efficiency": pump_efficiency(flow, head, density, power)
        },
        formula="η = ρ g Q H / P",
        source="ISO 17769-1 definition",
        cautions=("Shaft power, not electric power: take the motor's losses off first.",),
        example={"flow": "100 m3/h", "head": "50 m", "power": "18 kW"},
    ),
    Calculation(
        name="specific-speed",
        title="Specific speed",
        group=GROUP,
        inputs=(
            need("speed", "speed", "rpm", "of the curve", "rated.speed"),
            need("flow", "flow", "m3/h", "at best efficiency", "rated.best_efficiency_flow"),
            need("head", "length", "m", "of one stage there", "rated.head"),
        ),
        outputs=(
            gives("metric", "number", "1", "r/min, m3/s, m"),
            gives("us", "number", "1", "r/min, gpm, ft"),
            gives("dimensionless", "number", "1", "radian-based, without unit"),
        ),
        run=_specific,
        formula="n Q^0.5 / H^0.75",
        source="definition in three customs",
        cautions=("Flow of one inlet and head of one stage.",),
        example={"speed": "2950 rpm", "flow": "100 m3/h", "head": "50 m"},
    ),
    Calculation(
        name="affinity",
        title="Flow, head and power at another speed",
        group=GROUP,
        inputs=(
            need("speed", "speed", "rpm", "now", "point:speed"),
            need("new_speed", "speed", "rpm", "wanted"),
            may("flow", "flow", "m3/h", "now", fill="point:flow"),
            may("head", "length", "m", "now"),
            may("power", "power", "kW", "now", fill="point:motor_power"),
        ),
        outputs=(
            gives("new_flow", "flow", "m3/h", "flow at the new speed"),
            gives("new_head", "length", "m", "head at the new speed"),
            gives("new_power", "power", "kW", "power at the new speed"),
        ),
        run=_affinity,
        formula="Q ~ n, H ~ n², P ~ n³",
        source="affinity laws (similarity)",
        cautions=("Against a static head the duty point moves off the similar points.",),
        example={"speed": "2950 rpm", "new_speed": "2400 rpm", "flow": "100 m3/h", "head": "50 m"},
    ),
    Calculation(
        name="operating-region",
        title="Where the duty lies against best efficiency",
        group=GROUP,
        inputs=(
            _FLOW,
            need(
                "best_efficiency_flow",
                "flow",
                "m3/h",
                "at this speed",
                "rated.best_efficiency_flow",
            ),
            may(
                "minimum_flow",
                "flow",
                "m3/h",
                "least continuous flow, of the maker",
                "0 m3/h",
                "rated.minimum_flow",
            ),
            may("maximum_flow", "flow", "m3/h", "end of the allowable region"),
            may("specific_speed_us", "number", "1", "r/min, gpm, ft"),
        ),
        outputs=(
            says("region", "region"),
            gives("share", "fraction", "%", "of best efficiency flow"),
            gives("preferred_from", "flow", "m3/h", "preferred region from"),
            gives("preferred_to", "flow", "m3/h", "preferred region to"),
        ),
        run=_region,
        formula="70 to 120 % of best efficiency flow; above Ns 4500 (US) 80 to 115 %",
        source="ANSI/HI 9.6.3 and API 610 as cited in public texts; not opened",
        example={"flow": "80 m3/h", "best_efficiency_flow": "100 m3/h", "minimum_flow": "30 m3/h"},
    ),
    Calculation(
        name="temperature-rise",
        title="Warming of the liquid in the pump",
        group=GROUP,
        inputs=(
            _HEAD,
            need("efficiency", "fraction", "%", "at this flow"),
            liquid("water"),
            _LIQUID_TEMPERATURE,
        ),
        outputs=(gives("rise", "temperature_difference", "K", "temperature rise"),),
        run=lambda head, efficiency, liquid, temperature: {
            "rise": temperature_rise(head, efficiency, liquids.specific_heat(liquid, temperature))
        },
        formula="ΔT = g H (1 - η)/(η c_p)",
        source="energy balance",
        cautions=("All losses are taken to stay in the liquid.",),
        example={"head": "100 m", "efficiency": "50 %"},
    ),
    Calculation(
        name="minimum-thermal-flow",
        title="Least flow that carries the heat away",
        group=GROUP,
        inputs=(
            need("power", "power", "kW", "shaft power near shutoff"),
            liquid("water"),
            _LIQUID_TEMPERATURE,
            may("allowed_rise", "temperature_difference", "K", "allowed", "8.33 K"),
        ),
        outputs=(gives("minimum_flow", "flow", "m3/h", "least flow for the heat"),),
        run=_minimum_flow,
        formula="Q = P/(ρ c_p ΔT)",
        source="energy balance; 15 °F allowed is common practice",
        cautions=("The least stable flow is usually higher; the maker states it.",),
        example={"power": "10 kW"},
    ),
    Calculation(
        name="time-to-boil",
        title="Time until a deadheaded pump boils",
        group=GROUP,
        inputs=(
            need("power", "power", "kW", "shaft power at shutoff"),
            need("volume", "volume", "L", "liquid in the casing"),
            liquid("water"),
            _LIQUID_TEMPERATURE,
            may(
                "pressure",
                "pressure",
                "barg",
                "in the casing (suction side)",
                "0 barg",
                "point:suction_pressure",
            ),
            may("metal_mass", "mass", "kg", "of the casing that warms with it", "0 kg"),
        ),
        outputs=(
            gives("time", "duration", "min", "until boiling"),
            gives("rate_k_per_min", "number", "1", "warming, kelvin a minute"),
            gives("boiling_temperature", "temperature", "degC", "boiling point there"),
        ),
        run=_time_to_boil,
        formula="dT/dt = P/(m c_p + m_metal c_metal)",
        source="energy balance, no heat lost to the surroundings",
        cautions=(
            "A closed-in pump can burst. Never wait for this time: stop the pump under site "
            "procedure and stay clear.",
        ),
        example={"power": "7.5 kW", "volume": "8 L"},
    ),
    Calculation(
        name="viscous-correction",
        title="Factors for a viscous liquid",
        group=GROUP,
        inputs=(
            need("viscosity", "kinematic_viscosity", "cSt", "of the liquid"),
            need(
                "flow", "flow", "m3/h", "on water at best efficiency", "rated.best_efficiency_flow"
            ),
            need("head", "length", "m", "of one stage there", "rated.head"),
            need("speed", "speed", "rpm", "of the pump", "rated.speed"),
            may("flow_share", "fraction", "%", "of best efficiency flow, for the head", "100 %"),
        ),
        outputs=(
            gives("parameter", "number", "1", "parameter B"),
            gives("flow_factor", "number", "1", "factor on flow"),
            gives("head_factor", "number", "1", "factor on head"),
            gives("efficiency_factor", "number", "1", "factor on efficiency"),
        ),
        run=_viscous,
        formula="B = 16.5 ν^0.5 H^0.0625/(Q^0.375 n^0.25); C_Q = 2.71^(-0.165 (log B)^3.15)",
        source="ANSI/HI 9.6.7, as reproduced in public texts",
        cautions=("Radial impellers, Newtonian liquids; from B = 40 ask the maker.",),
        example={"viscosity": "120 cSt", "flow": "100 m3/h", "head": "91 m", "speed": "3550 rpm"},
    ),
)
