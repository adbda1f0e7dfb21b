"""The forward model against its own laws, the other rooms of physics, and a second library."""

from dataclasses import replace

import ht
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.errors import ArgumentError, NotFoundError
from gaugewalk.physics import head, npsh, strainer
from gaugewalk.physics.circuit import at_rest, operate, solve
from gaugewalk.physics.circuit_effects import EXTENT, NEUTRAL, settings
from gaugewalk.physics.circuit_flow import gas_share_held, npsh_share
from gaugewalk.physics.circuit_parts import Circuit, Condition, LiquidTable

from .circuits import AIR, COLD, DUTY, lone, oiled, packed

PACKED, OILED = packed(), oiled()
SPREAD = np.linspace(0.0, 1.0, 21)

# Cause, circuit, point, and which way it goes with the severity: the trade's pairs of readings
# (TRADE: discharge, suction, flow and current read together) and the plain sense of each fault.
SIGNS = [
    ("suction-strainer-plugged", PACKED, "suction_pressure", -1),
    ("suction-strainer-plugged", PACKED, "suction_strainer_dp", +1),
    ("suction-strainer-plugged", PACKED, "flow", -1),
    ("suction-valve-throttled", PACKED, "suction_pressure", -1),
    ("suction-valve-throttled", PACKED, "discharge_pressure", -1),
    ("source-level-too-low", PACKED, "suction_pressure", -1),
    ("source-level-too-low", PACKED, "source_level", -1),
    ("vapor-from-hot-liquid", PACKED, "liquid_temperature", +1),
    ("vapor-from-low-suction-pressure", PACKED, "suction_pressure", -1),
    ("air-through-packing", PACKED, "discharge_pressure", -1),
    ("air-through-suction-joint", PACKED, "flow", -1),
    ("air-trapped", PACKED, "motor_current", -1),
    ("wear-rings-worn", PACKED, "discharge_pressure", -1),
    ("wear-rings-worn", PACKED, "motor_current", +1),
    ("wear-rings-worn", PACKED, "flow", -1),
    ("impeller-plugged", PACKED, "flow", -1),
    ("impeller-plugged", PACKED, "suction_pressure", +1),
    ("impeller-damaged", PACKED, "discharge_pressure", -1),
    ("rotation-reversed", PACKED, "discharge_pressure", -1),
    ("speed-too-low", PACKED, "motor_current", -1),
    ("speed-too-high", PACKED, "discharge_pressure", +1),
    ("runout", PACKED, "flow", +1),
    ("runout", PACKED, "discharge_pressure", -1),
    ("runout", PACKED, "motor_current", +1),
    ("back-pressure-too-high", PACKED, "discharge_pressure", +1),
    ("back-pressure-too-high", PACKED, "motor_current", -1),
    ("pushed-back-by-parallel-pump", PACKED, "flow", -1),
    ("deadheaded", PACKED, "discharge_pressure", +1),
    ("deadheaded", PACKED, "casing_temperature", +1),
    ("discharge-strainer-plugged", PACKED, "discharge_strainer_dp", +1),
    ("discharge-strainer-plugged", PACKED, "discharge_pressure", +1),
    ("density-too-high", PACKED, "motor_current", +1),
    ("density-too-low", PACKED, "discharge_pressure", -1),
    ("viscosity-too-high", PACKED, "motor_current", +1),
    ("viscosity-too-high", PACKED, "flow", -1),
    ("min-flow-valve-passing", PACKED, "flow", -1),
    ("check-valve-leaking-back", PACKED, "motor_current", +1),
    ("internal-rub", PACKED, "motor_current", +1),
    ("motor-cooling-blocked", PACKED, "motor_temperature", +1),
    ("bearing-overgreased", PACKED, "bearing_temperature_de", +1),
    ("bearing-oil-low", PACKED, "oil_level", -1),
    ("driver-bearing-worn", PACKED, "driver_bearing_temperature_de", +1),
    ("misalignment", PACKED, "vibration_de_axial", +1),
    ("packing-too-tight", PACKED, "gland_temperature", +1),
    ("packing-too-tight", PACKED, "leak_off", -1),
    ("packing-worn", PACKED, "leak_off", +1),
    ("seal-water-lost", PACKED, "seal_water_flow", -1),
    ("lantern-ring-displaced", PACKED, "seal_water_pressure", +1),
    ("lantern-ring-displaced", PACKED, "seal_water_flow", -1),
    ("gauge-faulty", PACKED, "discharge_pressure", -1),
    ("mechanical-seal-damaged", OILED, "seal_leakage", +1),
    ("seal-flush-lost", OILED, "gland_temperature", +1),
    ("barrier-pressure-lost", OILED, "seal_pot_pressure", -1),
    ("oil-cooler-fouled", OILED, "oil_supply_temperature", +1),
    ("cooling-water-too-little", OILED, "oil_supply_temperature", +1),
    ("cooling-water-too-little", OILED, "cooling_water_temperature_out", +1),
    ("cooling-water-too-much", OILED, "oil_supply_temperature", -1),
    ("cooling-water-too-much", OILED, "cooling_water_temperature_out", -1),
    ("cooling-water-too-warm", OILED, "oil_supply_temperature", +1),
    ("oil-heater-stuck-on", OILED, "oil_reservoir_temperature", +1),
    ("oil-pump-failing", OILED, "oil_supply_pressure", -1),
    ("oil-relief-stuck-open", OILED, "oil_supply_pressure", -1),
    ("oil-relief-stuck-shut", OILED, "oil_supply_pressure", +1),
    ("oil-filter-plugged", OILED, "oil_filter_dp", +1),
    ("oil-filter-plugged", OILED, "oil_supply_pressure", -1),
    ("oil-system-leaking", OILED, "oil_reservoir_level", -1),
    ("oil-cooler-leaking", OILED, "oil_reservoir_level", +1),
]


# ------------------------------------------------------------------ published definitions


def test_three_percent_of_head_are_lost_where_available_equals_required() -> None:
    # ISO 17769-1, required NPSH: the NPSH at which the head is down by 3 %.
    assert npsh_share(np.asarray(4.2), np.asarray(4.2)) == pytest.approx(0.97, abs=1e-12)


def test_gas_is_fine_at_half_a_percent_and_disastrous_at_six() -> None:
    # "About 0.5 % by volume fine, 6 % disastrous": trade articles on air entrainment.
    assert gas_share_held(np.asarray(0.005)) > 0.99
    assert gas_share_held(np.asarray(0.06)) < 0.5


@pytest.mark.parametrize("cause", ["suction-strainer-plugged", "air-trapped", "runout"])
def test_the_cooler_agrees_with_a_second_library(cause: str) -> None:
    # ht.effectiveness_from_NTU (an independent implementation), counterflow.
    oil = OILED.oil
    assert oil is not None
    values = solve(OILED, Condition(severities={cause: 0.4}))
    oil_rate = oil.flow * oil.density * oil.specific_heat
    water_rate = oil.water_flow * 4.18e6
    ratio = oil_rate / water_rate
    share = ht.effectiveness_from_NTU(oil.conductance / oil_rate, ratio, subtype="counterflow")
    hot, cold = values["oil_reservoir_temperature"], values["cooling_water_temperature_in"]
    carried = oil_rate * (hot - values["oil_supply_temperature"])
    assert carried == pytest.approx(share * oil_rate * (hot - cold), rel=1e-9)


# ------------------------------------------------------------------ balances


@pytest.mark.parametrize("cause", sorted(EXTENT))
def test_a_cause_that_is_not_there_changes_nothing(cause: str) -> None:
    circuit = OILED if "oil" in cause or "seal" in cause else PACKED
    healthy, absent = solve(circuit, Condition()), solve(circuit, Condition(severities={cause: 0}))
    assert absent.keys() == healthy.keys()
    for point, value in absent.items():
        assert value == pytest.approx(healthy[point], rel=1e-12), point


def test_in_order_the_pump_runs_at_its_duty() -> None:
    operation = operate(PACKED, Condition())
    assert operation.values["flow"] == pytest.approx(DUTY, rel=1e-6)
    assert operation.inner["head"] == pytest.approx(38.0, rel=1e-3)  # its 3 % curve, hardly touched


@given(st.sampled_from([c for c, *_ in SIGNS if c != "gauge-faulty"]), st.floats(0.0, 1.0))
def test_the_two_gauges_show_the_head(cause: str, severity: float) -> None:
    operation = operate(PACKED, Condition(severities={cause: severity}))
    values, inner = operation.values, operation.inner
    if min(values["suction_pressure"], values["discharge_pressure"]) < 1.0:
        return  # a gauge at a perfect vacuum tells no head
    gas = 1.0 - inner["gas_share"]
    full = settings({cause: severity})["density"]
    density = PACKED.liquid.density_at(values["liquid_temperature"]) * gas * full
    measured = head.differential_head(
        values["suction_pressure"],
        values["discharge_pressure"],
        density,
        suction_elevation=0.2,
        discharge_elevation=0.5,
        flow=inner["pump_flow"],
        suction_diameter=0.1,
        discharge_diameter=0.08,
    )
    assert measured == pytest.approx(float(inner["head"]), abs=1e-6)


def test_the_suction_gauge_shows_the_npsh() -> None:
    condition = Condition(severities={"suction-strainer-plugged": SPREAD * 0.7})
    operation = operate(PACKED, condition)
    shown = npsh.npsh_from_gauge(
        operation.values["suction_pressure"],
        PACKED.liquid.vapor_pressure_at(COLD),
        PACKED.liquid.density_at(COLD),
        gauge_elevation=0.2,
        flow=operation.inner["pump_flow"],
        diameter=0.1,
    )
    np.testing.assert_allclose(operation.inner["npsh_available"], shown, atol=1e-6)


def test_the_strainer_follows_the_strainer_room() -> None:
    values = solve(PACKED, Condition(demand=np.array([0.5, 1.0, 2.0])))
    scaled = strainer.scaled_drop(values["suction_strainer_dp"], values["flow"], DUTY)
    np.testing.assert_allclose(scaled, 3e3, rtol=1e-9)


@pytest.mark.parametrize("cause", ["deadheaded", "runout", "wear-rings-worn", "internal-rub"])
def test_power_that_is_not_head_warms_liquid_and_air(cause: str) -> None:
    operation = operate(PACKED, Condition(severities={cause: SPREAD}))
    values, inner = operation.values, operation.inner
    density = PACKED.liquid.density_at(COLD)
    lost = inner["power"] - density * 9.80665 * inner["pump_flow"] * inner["head"]
    stream = inner["pump_flow"] * density * PACKED.liquid.specific_heat
    into_liquid = stream * (values["casing_temperature"] - COLD)
    into_air = PACKED.casing_conductance * (values["casing_temperature"] - COLD)
    boiling = PACKED.liquid.boiling_at(values["discharge_pressure"])
    settled = values["casing_temperature"] < boiling - 1.0
    np.testing.assert_allclose((into_liquid + into_air)[settled], lost[settled], rtol=1e-6)
    assert settled.any()


def test_efficiency_never_passes_what_the_curve_has() -> None:
    for cause in EXTENT:
        share = operate(PACKED, Condition(severities={cause: SPREAD})).inner["efficiency"]
        assert np.all((share >= 0.0) & (share < 0.75)), cause


def test_bearing_heat_goes_to_air_and_liquid() -> None:
    values = solve(PACKED, Condition(ambient=283.15, severities={"bearing-overgreased": 1.0}))
    rise = values["bearing_temperature_de"]
    given_off = 2.5 * (rise - 283.15) + 0.3 * (rise - values["liquid_temperature"])
    assert given_off == pytest.approx(60.0 * 2.8, rel=1e-9)


def test_all_heat_of_the_oil_ends_in_the_water() -> None:
    for severity in (0.0, 0.5, 1.0):
        values = solve(OILED, Condition(severities={"oil-cooler-fouled": severity}))
        warmed = values["cooling_water_temperature_out"] - values["cooling_water_temperature_in"]
        water_heat = values["cooling_water_flow"] * 4.18e6 * warmed
        assert water_heat == pytest.approx(400.0 + 300.0 + 5000.0, rel=1e-9)


# ------------------------------------------------------------------ which way, how far


@pytest.mark.parametrize(("cause", "circuit", "point", "sign"), SIGNS)
def test_readings_move_the_way_the_fault_pulls(
    cause: str, circuit: Circuit, point: str, sign: int
) -> None:
    values = solve(circuit, Condition(severities={cause: SPREAD * 0.6}))[point]
    steps = np.diff(values) * sign
    scale = np.max(np.abs(values - values[0]))
    assert scale > 0.0
    # A liquid barely thicker loses a little flow in the line before its pump feels it.
    assert np.all(steps >= -0.01 * scale)
    assert sign * (values[-1] - values[0]) > 0.0


def test_a_plugged_strainer_eats_the_npsh_margin() -> None:
    inner = operate(PACKED, Condition(severities={"suction-strainer-plugged": SPREAD})).inner
    margin = inner["npsh_available"] - inner["npsh_required"]
    assert np.all(np.diff(margin) < 0.0)
    assert margin[0] > 5.0
    assert margin[-1] < 0.5


@given(st.floats(0.5, 1.3))
def test_the_affinity_laws_hold_where_friction_is_all(ratio: float) -> None:
    circuit = lone(PACKED)
    plenty = Condition(source_pressure=10e5, speed_ratio=ratio)
    full = operate(circuit, Condition(source_pressure=10e5))
    other = operate(circuit, plenty)
    # Destination and source differ by the head that was put on the source.
    gained = (10e5 - AIR) / (PACKED.liquid.density_at(COLD) * 9.80665)
    asked = full.inner["head"] + gained
    share = (other.inner["head"] + gained) / asked
    flow = other.values["flow"] / full.values["flow"]
    assert share == pytest.approx(float(flow) ** 2, rel=1e-6)


def test_a_pump_that_is_partly_bound_swings_and_a_bound_one_is_quiet() -> None:
    gas = np.array([0.0, 0.4, 1.0])
    operation = operate(PACKED, Condition(severities={"air-through-packing": gas}))
    swing = operation.swings["discharge_pressure"]
    width = swing.high - swing.low
    rise = operation.values["discharge_pressure"] - operation.values["suction_pressure"]
    assert width[0] == 0.0
    assert width[1] > 0.1 * rise[1]
    assert operation.values["flow"][2] == 0.0
    assert operation.values["motor_current"][2] < operation.values["motor_current"][1]


def test_hunting_swings_speed_and_current_around_a_steady_mean() -> None:
    operation = operate(PACKED, Condition(severities={"speed-control-hunting": 1.0}))
    speed = operation.swings["speed"]
    assert (speed.low + speed.high) / 2 == pytest.approx(49.0)
    assert speed.high - speed.low == pytest.approx(2 * 0.08 * 49.0)
    assert operation.swings["motor_current"].low < operation.values["motor_current"]


def test_a_deadheaded_pump_stands_at_shut_off_and_boils_in_the_end() -> None:
    operation = operate(
        replace(PACKED, casing_conductance=2.0), Condition(severities={"deadheaded": 1.0})
    )
    assert operation.inner["head"] == pytest.approx(38.0 * 1.2, rel=1e-3)
    assert operation.values["casing_temperature"] > 373.15


def test_a_pump_too_weak_for_its_check_valve_gives_no_flow() -> None:
    values = solve(PACKED, Condition(severities={"pushed-back-by-parallel-pump": 1.0}))
    assert values["flow"] == 0.0
    assert values["discharge_pressure"] > solve(PACKED, Condition())["discharge_pressure"]


def test_a_boiling_source_leaves_only_its_level() -> None:
    suction = replace(
        PACKED.suction,
        boiling=True,
        surface_pressure=float(PACKED.liquid.vapor_pressure_at(373.15)),
        level=6.0,
        strainer=None,
    )
    circuit = replace(PACKED, suction=suction, liquid_temperature=373.15)
    hotter = Condition(liquid_temperature=np.array([368.15, 373.15, 378.15]), demand=1.0)
    inner = operate(circuit, hotter).inner
    left = 6.0 - 0.5 * (inner["pump_flow"] / DUTY) ** 2 * _thicker(circuit, hotter)
    np.testing.assert_allclose(inner["npsh_available"], left, rtol=1e-3)


def _thicker(circuit: Circuit, condition: Condition) -> np.ndarray:
    now = circuit.liquid.viscosity_at(np.asarray(condition.liquid_temperature))
    return (now / circuit.liquid.viscosity_at(circuit.liquid_temperature)) ** 0.25


def test_one_end_of_the_pump_feels_its_bearing_more_than_the_other() -> None:
    healthy = solve(PACKED, Condition())
    for end, other in (("de", "nde"), ("nde", "de")):
        worn = solve(PACKED, Condition(severities={"pump-bearing-worn": 1.0}, bearing=end))
        own = f"bearing_temperature_{end}"
        far = f"bearing_temperature_{other}"
        assert worn[own] - healthy[own] > 2.0 * (worn[far] - healthy[far]) > 0.0


# ------------------------------------------------------------------ arrays, gauges, rest, messages


@pytest.mark.parametrize("circuit", [PACKED, OILED], ids=["packed", "oiled"])
def test_array_equals_scalar_by_scalar(circuit: Circuit) -> None:
    both = {"suction-strainer-plugged": SPREAD, "wear-rings-worn": SPREAD[::-1]}
    together = solve(circuit, Condition(severities=both))
    for index in (0, 7, 20):
        one = {cause: float(severity[index]) for cause, severity in both.items()}
        alone = solve(circuit, Condition(severities=one))
        for point, value in together.items():
            assert value[index] == pytest.approx(float(alone[point]), rel=1e-6, abs=1e-12), point


def test_every_value_is_finite_at_the_worst_of_every_cause() -> None:
    for circuit in (PACKED, OILED):
        for cause in EXTENT:
            operation = operate(circuit, Condition(severities={cause: np.array([0.5, 1.0, 1.2])}))
            rows = [*operation.values.items(), *operation.inner.items()]
            assert not [name for name, row in rows if not np.all(np.isfinite(row))], cause


def test_a_lying_gauge_moves_nothing_else() -> None:
    healthy = solve(PACKED, Condition())
    lying = solve(PACKED, Condition(offsets={"discharge_pressure": -0.5e5}, stuck={"flow": 0.02}))
    assert lying["discharge_pressure"] == pytest.approx(healthy["discharge_pressure"] - 0.5e5)
    assert lying["flow"] == 0.02
    others = healthy.keys() - {"discharge_pressure", "flow"}
    assert all(lying[point] == healthy[point] for point in others)


def test_a_plugged_gauge_line_shows_what_it_showed_in_order() -> None:
    severities = {"runout": 0.8, "gauge-line-plugged": 1.0}
    values = solve(PACKED, Condition(severities=severities))
    assert values["discharge_pressure"] == pytest.approx(
        float(solve(PACKED, Condition())["discharge_pressure"])
    )
    assert values["flow"] > 1.05 * DUTY


def test_at_rest_the_suction_gauge_shows_the_level() -> None:
    values = at_rest(PACKED, Condition(source_level=np.array([1.0, 2.0])))
    weight = float(PACKED.liquid.density_at(COLD)) * 9.80665
    np.testing.assert_allclose(values["suction_pressure"] - AIR, weight * np.array([0.8, 1.8]))
    assert values["motor_current"] == 0.0


def test_all_settings_of_the_causes_exist() -> None:
    used = {name for effects in EXTENT.values() for name in effects}
    assert used <= NEUTRAL.keys()


def test_an_unknown_cause_is_named() -> None:
    with pytest.raises(NotFoundError, match="'plugged-nose' has no physical model"):
        solve(PACKED, Condition(severities={"plugged-nose": 1.0}))


def test_a_gauge_that_is_not_there_is_named() -> None:
    with pytest.raises(NotFoundError, match="'oil_supply_pressure' is not on this pump"):
        solve(PACKED, Condition(offsets={"oil_supply_pressure": 1.0}))


def test_a_liquid_table_must_rise() -> None:
    table = PACKED.liquid
    with pytest.raises(ArgumentError, match="temperatures must rise"):
        LiquidTable(
            temperature=table.temperature[::-1],
            vapor_pressure=table.vapor_pressure,
            density=table.density,
            kinematic_viscosity=table.kinematic_viscosity,
            specific_heat=4184.0,
        )


def test_a_duty_past_the_curve_is_refused() -> None:
    with pytest.raises(ArgumentError, match="up to the last flow of the curve"):
        replace(PACKED, duty_flow=1.0)
