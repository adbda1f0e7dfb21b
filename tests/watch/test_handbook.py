"""The handbook: all calculations answer, published values pass the border, errors speak."""

import json
import math
from dataclasses import fields
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gaugewalk import units
from gaugewalk.errors import ArgumentError, GaugewalkError, NotFoundError
from gaugewalk.plant.points import all_points
from gaugewalk.plant.pump import (
    Bearing,
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
from gaugewalk.watch.calculation import Calculation
from gaugewalk.watch.handbook import calculate, calculations, draw, find
from gaugewalk.watch.handbook_fill import fill

ALL = list(calculations().values())

# (calculation, inputs, output, unit, expected, tolerance): the published rows stand with their
# sources in tests/physics; here the same numbers go through text and units.
PUBLISHED: list[tuple[str, dict[str, str], str, str, float, float]] = [
    # IAPWS: boiling point of water at one atmosphere, 99.97 °C.
    ("boiling-point", {"liquid": "water", "pressure": "1.01325 bara"},
     "boiling_temperature", "degC", 99.974, 0.01),
    # IAPWS R7-97 Table 35: 0.00353658941 MPa at 300 K.
    ("vapor-pressure", {"liquid": "water", "temperature": "300 K"},
     "vapor_pressure", "kPaa", 3.53658941, 1e-6),
    # ASTM D341, public worked example: 404 and 28 mm2/s give 132.126 at 60 °C.
    ("oil-viscosity", {"temperature": "140 degF", "viscosity_40": "404 cSt",
                       "viscosity_100": "28 mm2/s"}, "viscosity", "cSt", 132.126, 0.07),
    # ASTM D2270 calculation example: index 92.
    ("viscosity-index", {"viscosity_40": "73.30 cSt", "viscosity_100": "8.86 cSt"},
     "index", "1", 92, 0.5),
    # SKF catalog, calculation example 1 (public copy): 169 million turns, 940 h.
    ("bearing-life", {"load_rating": "55300", "load": "10000", "speed": "3000 rpm"},
     "life", "h", 940, 1),
    ("bearing-life", {"load_rating": "55300", "load": "10000", "speed": "50 1/s"},
     "million_turns", "1", 169, 0.2),
    # 0.005 D B: 6309 12.5 g, and the same bearing in inches.
    ("grease-charge", {"outside_diameter": "100 mm", "width": "25 mm"}, "mass", "gram", 12.5, 1e-6),
    ("grease-charge", {"outside_diameter": "3.937 in", "width": "0.9843 in"},
     "mass", "oz", 0.4418, 0.0022),
    # Arithmetic of the classical empirical formula: 12113.3 h.
    ("regrease-interval", {"speed": "1500 rpm", "bore": "45 mm"}, "interval", "h", 12113.3, 12),
    # ISO 3448: VG 46 is 41.4 to 50.6.
    ("oil-grade", {"grade": "46"}, "greatest", "cSt", 50.6, 1e-6),
    # Public tool page: LMTD 67.5 K; in Fahrenheit the same case.
    ("mean-temperature-difference", {"hot_in": "302 degF", "hot_out": "194 degF",
     "cold_in": "77 degF", "cold_out": "176 degF"}, "lmtd", "K", 67.5, 0.05),
    # ht documentation: NTU 5, ratio 0.7, crossflow 0.8444822.
    ("effectiveness", {"ntu": "5", "capacity_ratio": "0.7", "arrangement": "crossflow"},
     "effectiveness", "1", 0.8444822, 1e-5),
    # Derived: 30 L/min of oil by 13 K is 11.18 kW; water with a rise of 6 K 26.88 L/min.
    ("cooler-duty", {"oil_flow": "30 L/min", "oil_in": "58", "oil_out": "45"},
     "duty", "kW", 11.18, 0.012),
    ("cooler-duty", {"oil_flow": "30 L/min", "oil_in": "58", "oil_out": "45"},
     "water_flow", "L/min", 26.88, 0.14),
    # DOE fact sheet, slip example from memory: 60 % and 15 hp.
    ("slip-load", {"speed": "1770 rpm", "synchronous_speed": "1800 rpm",
                   "rated_speed": "1750 rpm", "rated_power": "25 hp"},
     "shaft_power", "hp", 15, 0.01),
    # NEMA definition, printed 1.1 %.
    ("voltage-unbalance", {"first": "462 V", "second": "463 V", "third": "0.455 kV"},
     "unbalance", "%", 1.1, 0.05),
    ("motor-power", {"voltage": "400", "current": "32", "power_factor": "0.86",
                     "efficiency": "92 %"}, "shaft_power", "kW", 17.5411, 0.002),
    ("synchronous-speed", {"frequency": "60 Hz", "poles": "4"}, "speed", "rpm", 1800, 1e-6),
    ("torque", {"shaft_power": "18.5 kW", "speed": "2940 rpm"}, "torque", "N m", 60.089, 0.006),
    # 20 drops a milliliter.
    ("drops-to-flow", {"drops_per_minute": "60"}, "flow", "mL/min", 3.0, 1e-9),
    ("flow-to-drops", {"flow": "2 mL/min"}, "drops_per_minute", "1", 40, 1e-9),
    # 5.6 g/h of water: 1.867 drops a minute.
    ("seal-leak-limit", {"density": "1000 kg/m3"}, "drops_per_minute", "1", 1.867, 0.002),
    # API 682 annex example from memory: about 0.45 kW.
    ("seal-face-heat", {"pressure_difference": "2 MPa", "speed": "3000 rpm",
     "face_outside": "61.6 mm", "face_inside": "48.9 mm", "balance_diameter": "52.4 mm",
     "spring_force": "190"}, "heat", "kW", 0.45, 0.005),
    # ISO 10816-7: category I up to 200 kW, B/C 4.0.
    ("vibration-zone", {"velocity": "3 mm/s", "category": "I", "power": "55 kW"},
     "cd", "mm/s", 6.6, 1e-9),
    # 50 um p-p at 25 Hz is 2.7768 mm/s r.m.s.; 3.0 mm/s is 0.16703 in/s peak.
    ("vibration-convert", {"frequency": "25 Hz", "displacement": "50 um pk-pk"},
     "velocity_rms", "mm/s", 2.7768, 3e-5),
    ("vibration-convert", {"frequency": "25 Hz", "velocity": "3.0 mm/s"},
     "peak_in_s", "1", 0.16703, 5e-6),
    # Case Western bearing data: 6205 at 1797 r/min, outer race 107.364 Hz.
    ("bearing-frequencies", {"speed": "1797 rpm", "balls": "9", "ball_diameter": "0.3126 in",
     "pitch_diameter": "1.537 in"}, "outer_race", "Hz", 107.364, 0.011),
    # Sines of 3 and 4 mm/s peak together: 3.535534 mm/s r.m.s.
    ("vibration-sum", {"first": "3 mm/s pk", "second": "4 mm/s pk"}, "rms", "mm/s", 3.535534, 1e-6),
    ("vane-pass", {"speed": "2970 rpm", "vanes": "6"}, "frequency", "Hz", 297, 1e-9),
    # ISO 281, arithmetic: nu1 9.649 mm2/s for 72.5 mm at 3000 r/min.
    ("required-viscosity", {"speed": "3000 rpm", "bore": "45 mm", "outside_diameter": "100 mm"},
     "viscosity", "cSt", 9.649, 0.001),
    # Strainer: 0.10 bar at 80 becomes 0.15625 at 100 m3/h (square law).
    ("strainer-drop", {"drop": "0.10 bar", "flow": "80 m3/h", "to_flow": "100 m3/h"},
     "drop", "bar", 0.15625, 1e-9),
    # HI 9.6.7 formulas with B = 5.50: factors 0.938 and 0.739 (inputs of the print from memory).
    ("viscous-correction", {"viscosity": "120 cSt", "flow": "440 gpm", "head": "300 ft",
     "speed": "3550 rpm"}, "parameter", "1", 5.50, 0.04),
    # One bar of cold water is 10.2 m.
    ("head-of-pressure", {"pressure_difference": "1 bar", "density": "1000 kg/m3"},
     "head", "m", 10.197, 0.001),
    # US hydraulic horsepower: gpm ft SG / 3960, 0.1 %.
    ("hydraulic-power", {"flow": "396 gpm", "head": "100 ft", "density": "999 kg/m3"},
     "power", "hp", 10.0, 0.02),
]  # fmt: skip


def by_name(one: Calculation) -> str:
    return one.name


@pytest.mark.parametrize("one", ALL, ids=by_name)
def test_every_calculation_answers_its_example(one: Calculation) -> None:
    answer = calculate(one.name, one.example)
    assert answer.values
    assert all(
        value.text != "not known" and (value.value is None or math.isfinite(value.value))
        for value in answer.values
    )
    json.dumps(answer.to_json(), allow_nan=False)


@pytest.mark.parametrize("one", ALL, ids=by_name)
def test_every_calculation_is_whole(one: Calculation) -> None:
    assert one.name == one.name.lower()
    assert all((one.title, one.group, one.formula, one.source))
    assert all(typed.words for typed in one.inputs)
    assert {typed.name for typed in one.inputs if typed.required} <= set(one.example)
    assert set(one.example) <= {typed.name for typed in one.inputs}
    for typed in one.inputs:
        if typed.form in ("quantity", "row"):
            assert typed.kind in units.kinds(), typed.name
            assert typed.kind in units.table()[typed.unit].kinds, typed.name
    for out in one.outputs:
        if out.kind != "text":
            assert out.kind in units.table()[out.unit].kinds, out.name


def test_most_calculations_carry_a_caution() -> None:
    assert sum(bool(one.cautions) for one in ALL) >= 0.6 * len(ALL)
    assert len(ALL) >= 90


@pytest.mark.parametrize(("name", "texts", "output", "unit", "expected", "tolerance"), PUBLISHED)
def test_published_values_through_the_border(
    name: str, texts: dict[str, str], output: str, unit: str, expected: float, tolerance: float
) -> None:
    value = calculate(name, texts).value(output)
    assert units.from_si(value, unit) == pytest.approx(expected, abs=tolerance)


# ------------------------------------------------------------------ units and elevation


def test_answers_do_not_depend_on_the_units_of_the_inputs() -> None:
    metric = calculate(
        "total-head", {"suction_pressure": "0.2 barg", "discharge_pressure": "5 barg"}
    )
    customary = calculate(
        "total-head",
        {"suction_pressure": "2.9007548 psig", "discharge_pressure": "72.518869 psig",
         "temperature": "68 degF"},
    )  # fmt: skip
    assert customary.value("head") == pytest.approx(metric.value("head"), rel=1e-6)


def test_answers_come_in_the_units_of_the_person() -> None:
    answer = calculate("hydraulic-power", {"flow": "440 gpm", "head": "300 ft"})
    assert answer.values[0].unit == "kW"
    scaled = calculate("affinity", {"speed": "1750 rpm", "new_speed": "1450 rpm",
                                    "flow": "440 gpm", "head": "300 ft"})  # fmt: skip
    assert [value.text.split()[-1] for value in scaled.values] == ["gpm", "ft"]


def test_a_bare_number_is_echoed_with_the_unit_it_was_taken_in() -> None:
    answer = calculate("torque", {"shaft_power": "18.5", "speed": "2940"})
    assert answer.inputs == {"shaft_power": "18.5 kW", "speed": "2940 rpm"}


def test_elevation_counts_for_a_gauge_against_vapor_pressure() -> None:
    texts = {"temperature": "60 degC", "suction_pressure": "0 barg"}
    low, high = (
        calculate("npsh-from-gauge", texts, barometric=p).value("npsh_available")
        for p in (101_325.0, 84_560.0)
    )
    assert low - high == pytest.approx((101_325 - 84_560) / (983.2 * 9.80665), rel=1e-3)


def test_a_solution_takes_its_share_from_the_name() -> None:
    thin, thick = (
        calculate(
            "liquid-properties", {"liquid": f"ethylene glycol {p} %", "temperature": "20 degC"}
        ).value("density")
        for p in (20, 50)
    )
    assert 1000 < thin < thick < 1100


# ------------------------------------------------------------------ uncertainty


def test_uncertainty_by_hand() -> None:
    # H = (p2 - p1)/(rho g): two gauges of 0.05 bar give sqrt(2) * 0.05 bar of water.
    answer = calculate(
        "total-head",
        {"suction_pressure": "0.2 ± 0.05 barg", "discharge_pressure": "5.0 +- 0.05 barg"},
    )
    rho = answer.value("density")
    assert answer.values[0].uncertainty == pytest.approx(
        math.sqrt(2) * 5e3 / (rho * 9.80665), rel=1e-6
    )
    assert answer.values[0].text == "49.04 ± 0.72 m"
    assert any("one standard uncertainty" in sentence for sentence in answer.assumptions)


@pytest.mark.parametrize(
    ("text", "uncertainty"),
    [
        ("5 ± 0.1 bar", 1e4), ("5 bar ± 10 kPa", 1e4), ("5 bar ± 2 %", 1e4),
        ("5 bar +/- 0.1", 1e4), ("4.9 to 5.1 bar", 1e4 / math.sqrt(3)),
    ],
)  # fmt: skip
def test_ways_to_write_an_uncertainty(text: str, uncertainty: float) -> None:
    answer = calculate("head-of-pressure", {"pressure_difference": text, "density": "1000 kg/m3"})
    assert answer.values[0].uncertainty == pytest.approx(uncertainty / 9806.65, rel=1e-6)


def test_temperature_takes_a_difference() -> None:
    kelvin, fahrenheit = (
        calculate("vapor-pressure", {"liquid": "water", "temperature": text}).values[0].uncertainty
        for text in ("60 degC ± 1 K", "140 degF ± 1.8")
    )
    assert kelvin == pytest.approx(fahrenheit, rel=1e-6)


def test_first_order_and_trials_agree_where_it_is_straight() -> None:
    texts = {"flow": "100 ± 2 m3/h", "head": "50 ± 1 m", "power": "18 ± 0.3 kW"}
    first = calculate("pump-efficiency", texts).values[0]
    trials = calculate("pump-efficiency", texts, monte_carlo=True).values[0]
    assert first.uncertainty is not None
    assert trials.uncertainty == pytest.approx(first.uncertainty, rel=0.08)
    assert trials.low is not None
    assert trials.high is not None
    assert trials.high - trials.low == pytest.approx(2 * 1.96 * first.uncertainty, rel=0.1)
    assert " to " in trials.interval


def test_no_uncertainty_in_none_out() -> None:
    answer = calculate("torque", {"shaft_power": "18.5 kW", "speed": "2940 rpm"})
    assert answer.values[0].uncertainty is None


# ------------------------------------------------------------------ errors


@pytest.mark.parametrize(
    ("name", "texts", "words"),
    [
        ("total-haed", {}, r"No calculation 'total-haed'. Did you mean 'total-head'\?"),
        ("total-head", {"suction": "1"}, r"no input 'suction'.*Did you mean 'suction_pressure'\?"),
        ("total-head", {"suction_pressure": "0"}, r"also needs discharge_pressure .* such as '5.0"),
        ("total-head", {"suction_pressure": "0.2 bar", "discharge_pressure": "5 barg"},
         r"suction_pressure = '0.2 bar': gauge or absolute\? Write '0.2 barg'"),
        ("total-head", {"suction_pressure": "3 m", "discharge_pressure": "5 barg"},
         r"suction_pressure = '3 m': m is a length"),
        ("total-head", {"suction_pressure": "-2 barg", "discharge_pressure": "5 barg"},
         r"suction_pressure = '-2 barg': below a perfect vacuum"),
        ("torque", {"shaft_power": "1 kW", "speed": "0 rpm"}, r"torque: speed = 0 must be above"),
        ("vapor-pressure", {"liquid": "water", "temperature": "500 degC"},
         r"temperature = 500 °C is outside 0 °C to 374 °C"),
        ("vapor-pressure", {"liquid": "watr", "temperature": "20"}, r"liquid = 'watr'.*'water'"),
        ("npsh-margin", {"npsh_available": "5", "npsh_required": "3", "service": "wter"},
         r"service = 'wter': expected one of hydrocarbon; .* Did you mean 'water'\?"),
        ("synchronous-speed", {"frequency": "50", "poles": "four"},
         r"poles = 'four': expected a whole number"),
        ("npsh-available", {"temperature": "20", "level": "1", "boiling": "maybe"},
         r"boiling = 'maybe': expected yes or no"),
        ("duty-point", {"flows": "0; 50; 40 m3/h", "heads": "60; 50; 40 m", "head": "50"},
         r"duty-point: flow must rise from point to point"),
        ("duty-point", {"flows": "0; 50 m3/h", "heads": "60; 50 m", "head": "70"},
         r"head lies above the curve"),
        ("duty-point", {"flows": "a lot", "heads": "60; 50 m", "head": "70"},
         r"flows = 'a lot': expected numbers parted by"),
        ("film", {"speed": "1", "bore": "45", "outside_diameter": "100", "temperature": "70"},
         r"film: the oil is not known; expected grade"),
        ("vibration-convert", {"frequency": "25 Hz"}, "expected one of velocity, displacement"),
        ("seal-flush", {"heat": "1000 W"}, "expected either flow or rise"),
        ("torque", {"shaft_power": "1 ± 0.1 ± 0.2 kW", "speed": "1500"}, "one ± at most"),
        ("torque", {"shaft_power": "1 to 2 ± 0.2 kW", "speed": "1500"}, "a swing or a ±, not both"),
        ("torque", {"shaft_power": "1 ± x kW", "speed": "1500"}, "expected a number after ±"),
        ("total-head", {"suction_pressure": "1", "suction-pressure": "2"}, "given twice"),
        ("cooler-conductance", {"oil_in": "58", "oil_out": "60", "water_in": "28",
         "water_out": "30", "oil_flow": "30"}, "expected oil_in above oil_out"),
        ("convert", {"value": "3.1 barg", "to": "furlong"}, "furlong"),
    ],
)  # fmt: skip
def test_errors_name_key_given_and_expected(name: str, texts: dict[str, str], words: str) -> None:
    with pytest.raises((ArgumentError, NotFoundError), match=words):
        calculate(name, texts)


odd = st.one_of(
    st.text(max_size=12),
    st.sampled_from(["0", "-1", "1e400", "nan", "inf", "--", "±", "1 ± ", "50 %", "1,480", "∞"]),
    st.floats(-1e6, 1e6).map(str),
)


@settings(max_examples=150)
@given(st.data())
def test_nothing_typed_gives_a_traceback(data: st.DataObject) -> None:
    one = data.draw(st.sampled_from(ALL))
    texts = dict(one.example)
    for typed in data.draw(st.lists(st.sampled_from(one.inputs), max_size=2)):
        texts[typed.name] = data.draw(odd)
    try:
        answer = calculate(one.name, texts)
    except GaugewalkError:
        return  # any other kind of error fails the test
    json.dumps(answer.to_json(), allow_nan=False)


# ------------------------------------------------------------------ names, charts, a pump's data


@pytest.mark.parametrize("spelled", ["total-head", "total_head", " Total  Head "])
def test_names_in_every_spelling(spelled: str) -> None:
    assert find(spelled).name == "total-head"


@pytest.mark.parametrize("one", [c for c in ALL if c.draw], ids=by_name)
def test_charts_of_calculations(one: Calculation) -> None:
    svg = draw(one.name, one.example, on_paper=True)
    assert svg.startswith("<svg")
    assert "<desc>" in svg


def test_a_calculation_without_chart_says_which_have_one() -> None:
    with pytest.raises(ArgumentError, match="torque has no chart; expected one of duty-point"):
        draw("torque", find("torque").example)


PUMP = Pump(
    tag="P-1",
    name="Press water",
    liquid=PlantLiquid(name="water"),
    source=Source(line_loss=0.5, boiling=False, bell_diameter=0.4, bell_level=-2.0),
    curve=PlantCurve(
        speed=49.0, flow=(0.0, 0.01, 0.02, 0.04), head=(60.0, 58.0, 55.0, 40.0),
        power=(1e4, 1.3e4, 1.6e4, 2e4), npshr=(1.5, 1.6, 2.0, 4.0),
    ),
    rated=Rated(flow=0.03, head=48.0, npshr=3.0, speed=49.0, minimum_flow=0.01,
                best_efficiency_flow=0.03, vanes=6),
    suction_diameter=0.1,
    discharge_diameter=0.08,
    seal=ShaftSeal(kind="packing", shaft_diameter=0.05, chamber_pressure=3e5),
    bearings=(Bearing(place="de", bore=0.045, outside_diameter=0.1, width=0.025, balls=8,
                      ball_diameter=0.017),),
    lubrication=Lubrication(
        kind="oil ring", iso_vg=46, viscosity_index=98.0, grease_interval=7.2e6, grease_mass=0.0125,
        system=OilSystem(oil_flow=5e-4, water_flow=3e-4, supply_temperature_low=313.15,
                         supply_temperature_high=323.15),
    ),
    suction_strainer=Strainer(clean_dp=5e3, clean_flow=0.03, limit_dp=4e4),
    driver=Driver(power=18.5e3, speed=29.2, voltage=400.0, current=34.0, power_factor=0.86,
                  efficiency=0.92, poles=2, frequency=50.0, idle_current=12.0),
)  # fmt: skip


@pytest.mark.parametrize("one", ALL, ids=by_name)
def test_a_pump_fills_in_what_it_knows(one: Calculation) -> None:
    filled = fill(one, PUMP, {}, barometric=101_325.0)
    calculate(one.name, {**one.example, **filled})


def test_fill_paths_exist() -> None:
    roots = {field.name for field in fields(PUMP)}
    for one in ALL:
        for given_input in one.inputs:
            path = given_input.fill
            if path.startswith("point:"):
                assert path.removeprefix("point:") in all_points(), (one.name, path)
            elif path:
                assert path.split(".")[0] in roots, (one.name, path)
                assert _walk(PUMP, path) is not None, (one.name, path)


def _walk(thing: Any, path: str) -> Any:
    for name in path.split("."):
        thing = thing[int(name)] if name.isdigit() else getattr(thing, name)
    return thing


def test_a_curve_is_filled_in_as_a_row() -> None:
    filled = fill(find("duty-point"), PUMP, {}, barometric=101_325.0)
    assert filled["flows"] == "0; 36; 72; 144 m3/h"
    answer = calculate("duty-point", {**filled, "head": "50 m"})
    assert 72 < units.from_si(answer.value("flow"), "m3/h") < 144
    assert np.isfinite(answer.value("npsh_required"))
