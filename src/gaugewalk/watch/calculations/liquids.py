"""Handbook: the liquid itself."""

from gaugewalk.errors import GaugewalkError
from gaugewalk.physics import dissolved_gas, liquids
from gaugewalk.physics.liquids import Liquid
from gaugewalk.physics.npsh import barometric_pressure, boiling_margin
from gaugewalk.watch.calculation import Calculation, Result, gives, liquid, may, need

GROUP = "Liquid"
_SOURCE = (
    "Water: IAPWS R7-97(2012) and R12-08; pure liquids and solutions: CoolProp's published "
    "equations; a solution's vapor pressure by Raoult's law"
)
_IMPURE = "Holds for the liquid named; dissolved gas and light ends boil off earlier."
_TEMPERATURE = need(
    "temperature", "temperature", "degC", "of the liquid at the pump", "point:liquid_temperature"
)


def _properties(liquid: Liquid, temperature: float) -> Result:
    answers: dict[str, object] = {}
    missing: list[GaugewalkError] = []
    for name, function in (
        ("vapor_pressure", liquids.vapor_pressure),
        ("density", liquids.density),
        ("kinematic_viscosity", liquids.kinematic_viscosity),
        ("dynamic_viscosity", liquids.dynamic_viscosity),
        ("specific_heat", liquids.specific_heat),
    ):
        try:
            answers[name] = function(liquid, temperature)
        except GaugewalkError as problem:
            missing.append(problem)
    if not answers:
        raise missing[0]
    notes = tuple(f"Left out: {problem}" for problem in missing)
    return {**answers, "notes": notes}


def _evolution(
    liquid: Liquid, temperature: float, surface_pressure: float, gas_share: float
) -> Result:
    vapor = liquids.vapor_pressure(liquid, temperature)
    solubility = dissolved_gas.air_in_water(temperature)
    return {
        "solubility": solubility,
        "practical_vapor_pressure": dissolved_gas.gas_evolution_pressure(
            surface_pressure, vapor, solubility, gas_share=gas_share
        ),
        "vapor_pressure": vapor,
        "density": liquids.density(liquid, temperature),
        "warnings": (dissolved_gas.CAUTION,),
    }


CALCULATIONS = (
    Calculation(
        name="liquid-properties",
        title="Properties of a liquid at a temperature",
        group=GROUP,
        inputs=(liquid(), _TEMPERATURE),
        outputs=(
            gives("vapor_pressure", "pressure", "bara", "vapor pressure"),
            gives("density", "density", "kg/m3", "density"),
            gives("kinematic_viscosity", "kinematic_viscosity", "cSt", "kinematic viscosity"),
            gives("dynamic_viscosity", "dynamic_viscosity", "mPa s", "dynamic viscosity"),
            gives("specific_heat", "specific_heat", "kJ/(kg K)", "specific heat"),
        ),
        run=_properties,
        formula="equation of state of the liquid, on its saturation line",
        source=_SOURCE,
        cautions=(_IMPURE,),
        example={"liquid": "water", "temperature": "80 degC"},
    ),
    Calculation(
        name="vapor-pressure",
        title="Vapor pressure",
        group=GROUP,
        inputs=(liquid(), _TEMPERATURE),
        outputs=(gives("vapor_pressure", "pressure", "bara", "vapor pressure, absolute"),),
        run=lambda liquid, temperature: {
            "vapor_pressure": liquids.vapor_pressure(liquid, temperature)
        },
        formula="p_v(T) of the liquid's equation",
        source=_SOURCE,
        cautions=(_IMPURE,),
        example={"liquid": "water", "temperature": "100 degC"},
    ),
    Calculation(
        name="boiling-point",
        title="Boiling point at a pressure",
        group=GROUP,
        inputs=(
            liquid(),
            need(
                "pressure",
                "pressure",
                "barg",
                "over the liquid, such as at the suction",
                "point:suction_pressure",
            ),
        ),
        outputs=(gives("boiling_temperature", "temperature", "degC", "boiling point"),),
        run=lambda liquid, pressure: {
            "boiling_temperature": liquids.boiling_temperature(liquid, pressure)
        },
        formula="T at which p_v(T) = p",
        source=_SOURCE,
        cautions=(_IMPURE,),
        example={"liquid": "water", "pressure": "0 barg"},
    ),
    Calculation(
        name="boiling-margin",
        title="Kelvins to boiling at the suction",
        group=GROUP,
        inputs=(
            liquid(),
            _TEMPERATURE,
            need(
                "suction_pressure",
                "pressure",
                "barg",
                "at the suction gauge",
                "point:suction_pressure",
            ),
        ),
        outputs=(
            gives("margin", "temperature_difference", "K", "margin to boiling"),
            gives("boiling_temperature", "temperature", "degC", "boiling point there"),
        ),
        run=lambda liquid, temperature, suction_pressure: {
            "margin": boiling_margin(liquid, temperature, suction_pressure),
            "boiling_temperature": liquids.boiling_temperature(liquid, suction_pressure),
        },
        formula="T_boil(p_suction) - T",
        source=_SOURCE,
        cautions=(
            "The pressure inside the impeller eye is lower than at the gauge; a small margin is "
            "already too small.",
        ),
        example={"liquid": "hexane", "temperature": "45 degC", "suction_pressure": "0.2 barg"},
    ),
    Calculation(
        name="practical-vapor-pressure",
        title="Vapor pressure with dissolved air",
        group=GROUP,
        inputs=(
            liquid("water"),
            _TEMPERATURE,
            may("surface_pressure", "pressure", "barg", "over the surface", "0 barg"),
            may("gas_share", "fraction", "%", "of volume that the pump may carry as gas", "2 %"),
        ),
        outputs=(
            gives("practical_vapor_pressure", "pressure", "bara", "pressure at which gas is felt"),
            gives("vapor_pressure", "pressure", "bara", "vapor pressure"),
            gives("solubility", "number", "1", "air dissolved, volume by volume"),
        ),
        run=_evolution,
        formula="p = (S p_surface + r p_v)/(S + r), r = φ/(1 - φ)",
        source="Henry's law and the ideal gas; air in water as in the physics module",
        cautions=(
            "For water saturated with air; oils and hydrocarbons dissolve several times more.",
        ),
        example={"temperature": "20 degC"},
    ),
    Calculation(
        name="barometric-pressure",
        title="Pressure of the air at an elevation",
        group=GROUP,
        inputs=(need("elevation", "length", "m", "of the site above the sea"),),
        outputs=(gives("barometric_pressure", "pressure", "mbara", "standard atmosphere there"),),
        run=lambda elevation: {"barometric_pressure": barometric_pressure(elevation)},
        formula="p = 101325 (1 - 2.25577e-5 h)^5.25588",
        source="ISO 2533, standard atmosphere",
        cautions=("Weather moves it by 3 % either way.",),
        example={"elevation": "1500 m"},
    ),
    Calculation(
        name="free-gas",
        title="Share of air that comes out of water at a pressure",
        group=GROUP,
        inputs=(
            liquid("water"),
            _TEMPERATURE,
            need("pressure", "pressure", "barg", "at the suction", "point:suction_pressure"),
            may("surface_pressure", "pressure", "barg", "where it took up its air", "0 barg"),
        ),
        outputs=(gives("share", "fraction", "%", "of the volume that is gas and vapor"),),
        run=lambda liquid, temperature, pressure, surface_pressure: {
            "share": dissolved_gas.free_gas_share(
                pressure,
                surface_pressure,
                liquids.vapor_pressure(liquid, temperature),
                dissolved_gas.air_in_water(temperature),
            ),
            "warnings": (dissolved_gas.CAUTION,),
        },
        formula="r = S (p_surface - p)/(p - p_v), share = r/(1 + r)",
        source="Henry's law and the ideal gas",
        cautions=("2 % is felt, 6 % may stop the flow: trade figures.",),
        example={"temperature": "20 degC", "pressure": "-0.5 barg"},
    ),
)
