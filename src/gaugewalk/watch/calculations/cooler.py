"""Handbook: the oil cooler."""

import numpy as np
from numpy.typing import NDArray

from gaugewalk.errors import ArgumentError
from gaugewalk.physics import cooler
from gaugewalk.physics.cooler import ARRANGEMENTS
from gaugewalk.physics.cooler_state import (
    CoolerInOrder,
    cooler_says,
    fouling_rate,
    fouling_resistance,
)
from gaugewalk.watch.calculation import Calculation, Result, choice, gives, may, need, row, says

GROUP = "Oil cooler"
# Mineral turbine oil at about 50 °C and fresh water at about 30 °C; common practice, no source.
_OIL = (860.0, 2000.0)
_WATER = (995.0, 4180.0)
_ARRANGEMENT = choice("arrangement", ARRANGEMENTS, "of the two streams", "counterflow")
_OIL_FLOW = need("oil_flow", "flow", "L/min", "through the cooler", "lubrication.system.oil_flow")
_OIL_IN = need(
    "oil_in", "temperature", "degC", "oil before the cooler", "point:oil_reservoir_temperature"
)
_OIL_OUT = need(
    "oil_out", "temperature", "degC", "oil after the cooler", "point:oil_supply_temperature"
)
_WATER_IN = need(
    "water_in",
    "temperature",
    "degC",
    "cooling water before the cooler",
    "point:cooling_water_temperature_in",
)
_WATER_OUT = need(
    "water_out",
    "temperature",
    "degC",
    "cooling water after the cooler",
    "point:cooling_water_temperature_out",
)
_UA = need("conductance", "heat_conductance", "W/K", "U A of the surface")
_SOURCE = "effectiveness-NTU method, Incropera and DeWitt, chapter 11"
_PROPERTIES = (
    "Oil taken as 860 kg/m³ and 2.0 kJ/(kg K), water as 995 kg/m³ and 4.18 kJ/(kg K) "
    "(common practice, no source).",
)


def _oil_rate(flow: float) -> float:
    return float(cooler.capacity_rate(flow, *_OIL))


def _water_flow(rate: float) -> float:
    return rate / (_WATER[0] * _WATER[1])


def _duty(oil_flow: float, oil_in: float, oil_out: float, water_rise: float) -> Result:
    heat = cooler.duty(_oil_rate(oil_flow), oil_in, oil_out)
    return {
        "duty": heat,
        "water_flow": _water_flow(float(heat) / water_rise),
        "notes": _PROPERTIES,
    }


def _lmtd(
    hot_in: float, hot_out: float, cold_in: float, cold_out: float, arrangement: str
) -> Result:
    return {
        "lmtd": cooler.mean_temperature_difference(
            hot_in,
            hot_out,
            cold_in,
            cold_out,
            arrangement,  # type: ignore[arg-type] # a choice
        )
    }


def _outlets(
    oil_in: float,
    water_in: float,
    oil_flow: float,
    water_flow: float,
    conductance: float,
    arrangement: str,
) -> Result:
    oil, water = _oil_rate(oil_flow), float(cooler.capacity_rate(water_flow, *_WATER))
    oil_out, water_out = cooler.outlet_temperatures(
        oil_in,
        water_in,
        oil,
        water,
        conductance,
        arrangement,  # type: ignore[arg-type] # a choice
    )
    return {
        "oil_out": oil_out,
        "water_out": water_out,
        "duty": oil * (oil_in - float(oil_out)),
        "notes": _PROPERTIES,
    }


def _conductance(
    oil_in: float,
    oil_out: float,
    water_in: float,
    water_out: float,
    oil_flow: float,
    arrangement: str,
    clean_conductance: float | None = None,
) -> Result:
    oil = _oil_rate(oil_flow)
    if not (oil_in > oil_out and water_out > water_in):
        raise ArgumentError("expected oil_in above oil_out and water_out above water_in.")
    heat = oil * (oil_in - oil_out)
    water = heat / (water_out - water_in)
    surface = cooler.conductance(oil_in, oil_out, water_in, oil, water, arrangement)  # type: ignore[arg-type] # a choice
    answer: dict[str, object] = {
        "conductance": surface,
        "duty": heat,
        "water_flow": _water_flow(water),
        "notes": _PROPERTIES,
    }
    if clean_conductance is not None:
        answer["of_clean"] = float(surface) / clean_conductance
        answer["fouling"] = fouling_resistance(surface, clean_conductance)
    return answer


def _needed(
    oil_in: float,
    oil_out: float,
    water_in: float,
    oil_flow: float,
    conductance: float,
    arrangement: str,
) -> Result:
    rate = cooler.water_needed(
        oil_in,
        oil_out,
        water_in,
        _oil_rate(oil_flow),
        conductance,
        arrangement,  # type: ignore[arg-type] # a choice
    )
    rise = _oil_rate(oil_flow) * (oil_in - oil_out) / rate
    return {"water_flow": _water_flow(rate), "water_out": water_in + rise, "notes": _PROPERTIES}


def _says(
    oil_in: float,
    oil_out: float,
    water_in: float,
    water_out: float,
    oil_flow: float,
    usual_water_flow: float,
    usual_water_in: float,
    usual_duty: float,
    clean_conductance: float,
    oil_out_low: float,
    oil_out_high: float,
    arrangement: str,
) -> Result:
    usual = CoolerInOrder(
        oil_capacity_rate=_oil_rate(oil_flow),
        clean_conductance=clean_conductance,
        water_capacity_rate=float(cooler.capacity_rate(usual_water_flow, *_WATER)),
        water_in=usual_water_in,
        duty=usual_duty,
        oil_out_low=oil_out_low,
        oil_out_high=oil_out_high,
        arrangement=arrangement,  # type: ignore[arg-type] # a choice
    )
    found = cooler_says(oil_in, oil_out, water_in, water_out, usual)
    shares = "; ".join(
        f"{cause.replace('-', ' ')} {shift:+.1f} K" for cause, shift in found.shares.items()
    )
    return {
        "cause": found.cause.replace("-", " "),
        "sentence": found.sentence,
        "shares": shares or None,
        "duty": found.duty,
        "conductance": found.conductance,
        "water_flow": _water_flow(found.water_capacity_rate),
        "notes": _PROPERTIES,
    }


def _fouling(
    times: NDArray[np.float64], conductances: NDArray[np.float64], clean: float, least: float
) -> Result:
    resistances = fouling_resistance(conductances, clean)
    rate = fouling_rate(times, resistances)
    to_go = float(fouling_resistance(least, clean)) - float(np.median(resistances[-3:]))
    if rate <= 0:
        return {"rate": rate * 86400, "notes": ("The surface does not get worse.",)}
    return {"rate": rate * 86400, "time": max(to_go / rate, 0.0)}


CALCULATIONS = (
    Calculation(
        name="cooler-duty",
        title="Heat an oil cooler carries, and the water for it",
        group=GROUP,
        inputs=(
            _OIL_FLOW,
            _OIL_IN,
            _OIL_OUT,
            may("water_rise", "temperature_difference", "K", "of the cooling water", "6 K"),
        ),
        outputs=(
            gives("duty", "power", "kW", "heat carried"),
            gives("water_flow", "flow", "L/min", "water that takes it at that rise"),
        ),
        run=_duty,
        formula="Q = ρ V c_p ΔT",
        source="energy balance",
        example={"oil_flow": "30 L/min", "oil_in": "58 degC", "oil_out": "45 degC"},
    ),
    Calculation(
        name="mean-temperature-difference",
        title="Logarithmic mean temperature difference",
        group=GROUP,
        inputs=(
            need("hot_in", "temperature", "degC", "hot side inlet"),
            need("hot_out", "temperature", "degC", "hot side outlet"),
            need("cold_in", "temperature", "degC", "cold side inlet"),
            need("cold_out", "temperature", "degC", "cold side outlet"),
            choice("arrangement", ("counterflow", "parallel"), "of the streams", "counterflow"),
        ),
        outputs=(gives("lmtd", "temperature_difference", "K", "LMTD"),),
        run=_lmtd,
        formula="(ΔT1 - ΔT2)/ln(ΔT1/ΔT2)",
        source="textbook; equal ends by their common value",
        example={
            "hot_in": "150 degC",
            "hot_out": "90 degC",
            "cold_in": "25 degC",
            "cold_out": "80 degC",
        },
    ),
    Calculation(
        name="effectiveness",
        title="Effectiveness of a heat exchanger",
        group=GROUP,
        inputs=(
            need("ntu", "number", "1", "transfer units UA/C_min"),
            need("capacity_ratio", "number", "1", "C_min/C_max, 0 to 1"),
            _ARRANGEMENT,
        ),
        outputs=(gives("effectiveness", "number", "1", "effectiveness"),),
        run=lambda ntu, capacity_ratio, arrangement: {
            "effectiveness": cooler.effectiveness(ntu, capacity_ratio, arrangement)
        },
        formula="ε(NTU, C_min/C_max) of the arrangement",
        source=f"{_SOURCE}; crossflow unmixed by Mason's series",
        example={"ntu": "5", "capacity_ratio": "0.7"},
    ),
    Calculation(
        name="cooler-outlets",
        title="Outlet temperatures of an oil cooler",
        group=GROUP,
        inputs=(
            _OIL_IN,
            _WATER_IN,
            _OIL_FLOW,
            need("water_flow", "flow", "L/min", "cooling water", "point:cooling_water_flow"),
            _UA,
            _ARRANGEMENT,
        ),
        outputs=(
            gives("oil_out", "temperature", "degC", "oil leaves at"),
            gives("water_out", "temperature", "degC", "water leaves at"),
            gives("duty", "power", "kW", "heat carried"),
        ),
        run=_outlets,
        formula="Q = ε C_min (T_oil,in - T_water,in)",
        source=_SOURCE,
        example={
            "oil_in": "58 degC",
            "water_in": "28 degC",
            "oil_flow": "30 L/min",
            "water_flow": "16.74 L/min",
            "conductance": "600 W/K",
        },
    ),
    Calculation(
        name="cooler-conductance",
        title="What the surface of an oil cooler is worth now",
        group=GROUP,
        inputs=(
            _OIL_IN,
            _OIL_OUT,
            _WATER_IN,
            _WATER_OUT,
            _OIL_FLOW,
            _ARRANGEMENT,
            may("clean_conductance", "heat_conductance", "W/K", "U A when clean"),
        ),
        outputs=(
            gives("conductance", "heat_conductance", "W/K", "U A now"),
            gives("of_clean", "fraction", "%", "of the clean surface"),
            gives("duty", "power", "kW", "heat carried"),
            gives("water_flow", "flow", "L/min", "water flow that fits the temperatures"),
            gives("fouling", "number", "1", "fouling resistance, K/W"),
        ),
        run=_conductance,
        formula="UA = NTU(ε) C_min; R = 1/UA - 1/UA_clean",
        source=_SOURCE,
        cautions=("Steady temperatures only; conductance falls with either flow too.",),
        example={
            "oil_in": "58 degC",
            "oil_out": "45 degC",
            "water_in": "28 degC",
            "water_out": "37.63 degC",
            "oil_flow": "30 L/min",
            "clean_conductance": "800 W/K",
        },
    ),
    Calculation(
        name="cooling-water-needed",
        title="Cooling water that holds an oil temperature",
        group=GROUP,
        inputs=(_OIL_IN, _OIL_OUT, _WATER_IN, _OIL_FLOW, _UA, _ARRANGEMENT),
        outputs=(
            gives("water_flow", "flow", "L/min", "water flow"),
            gives("water_out", "temperature", "degC", "water leaves at"),
        ),
        run=_needed,
        formula="root of T_oil,out(m_w) = target at fixed UA",
        source=_SOURCE,
        cautions=(
            "Open cooling water slowly: a cold shock thickens the oil and starves bearings.",
        ),
        example={
            "oil_in": "58 degC",
            "oil_out": "45 degC",
            "water_in": "28 degC",
            "oil_flow": "30 L/min",
            "conductance": "600 W/K",
        },
    ),
    Calculation(
        name="cooler-says",
        title="What the four temperatures of an oil cooler say",
        group=GROUP,
        inputs=(
            _OIL_IN,
            _OIL_OUT,
            _WATER_IN,
            _WATER_OUT,
            _OIL_FLOW,
            need("clean_conductance", "heat_conductance", "W/K", "U A of the clean surface"),
            need(
                "usual_water_flow",
                "flow",
                "L/min",
                "when in order",
                "lubrication.system.water_flow",
            ),
            need("usual_water_in", "temperature", "degC", "when in order"),
            need("usual_duty", "power", "kW", "heat when in order"),
            may(
                "oil_out_low",
                "temperature",
                "degC",
                "lowest wanted",
                "40 degC",
                "lubrication.system.supply_temperature_low",
            ),
            may(
                "oil_out_high",
                "temperature",
                "degC",
                "highest wanted",
                "50 degC",
                "lubrication.system.supply_temperature_high",
            ),
            _ARRANGEMENT,
        ),
        outputs=(
            says("cause", "leading cause"),
            says("sentence", "in words"),
            says("shares", "shift of the oil by each"),
            gives("duty", "power", "kW", "heat carried now"),
            gives("conductance", "heat_conductance", "W/K", "U A now"),
            gives("water_flow", "flow", "L/min", "water flow that fits"),
        ),
        run=_says,
        formula="T_oil,out = T_water,in + Q/(ε C_min) - Q/C_oil, one change after the other",
        source=_SOURCE,
        cautions=(
            "Holds for steady temperatures and the usual oil flow; a bypass valve looks like dirt.",
        ),
        example={
            "oil_in": "69 degC",
            "oil_out": "56 degC",
            "water_in": "28 degC",
            "water_out": "37.63 degC",
            "oil_flow": "30 L/min",
            "clean_conductance": "600 W/K",
            "usual_water_flow": "16.74 L/min",
            "usual_water_in": "28 degC",
            "usual_duty": "11.18 kW",
        },
    ),
    Calculation(
        name="cooler-fouling",
        title="How fast a cooler fouls",
        group=GROUP,
        inputs=(
            row("times", "duration", "d", "of the readings, any common start"),
            row("conductances", "heat_conductance", "W/K", "U A at those times, like flows"),
            need("clean", "heat_conductance", "W/K", "U A when clean"),
            need("least", "heat_conductance", "W/K", "U A at which it is cleaned"),
        ),
        outputs=(
            gives("time", "duration", "d", "until cleaning"),
            gives("rate", "number", "1", "added resistance each day, K/W"),
        ),
        run=_fouling,
        formula="R = 1/UA - 1/UA_clean, median of all slopes",
        source="Sen, J. Am. Stat. Assoc. 63 (1968)",
        example={
            "times": "0; 10; 20; 30 d",
            "conductances": "600; 560; 530; 500 W/K",
            "clean": "620 W/K",
            "least": "400 W/K",
        },
    ),
)
