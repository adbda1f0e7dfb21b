"""Estimates from redundant readings, against the forward model that made the readings."""

import numpy as np
import pytest
from scipy import stats

from gaugewalk.judge.estimate import AGREE, estimate
from gaugewalk.judge.reconcile import Measured, chance, solve
from gaugewalk.physics.circuit import solve as drive
from gaugewalk.physics.circuit_parts import Condition
from gaugewalk.plant.circuit import circuit_of
from gaugewalk.plant.pump import (
    Driver,
    LiquidTable,
    Lubrication,
    PlantCurve,
    PlantLiquid,
    Point,
    Pump,
    Rated,
    ShaftSeal,
    Source,
)

AIR = 101325.0
M3H = 1 / 3600
POINTS = ("suction_pressure", "discharge_pressure", "flow", "motor_current")


WATER = PlantLiquid(name="water", temperature=293.15)


def pump_with(**changes):
    fields = {
        "tag": "P-1",
        "name": "p",
        "liquid": WATER,
        "seal": ShaftSeal(kind="packing"),
        "lubrication": Lubrication(kind="oil sump"),
        "source": Source(kind="flooded", level=2.0, line_loss=0.3),
        "suction_diameter": 0.125,
        "discharge_diameter": 0.1,
        "curve": PlantCurve(
            speed=1475 / 60,
            flow=tuple(q * M3H for q in (0, 30, 60, 90, 120)),
            head=(34.0, 33.0, 30.0, 24.5, 17.0),
            power=(3200.0, 5000.0, 6600.0, 7900.0, 8700.0),
            npshr=(1.2, 1.4, 1.9, 2.8, 4.2),
        ),
        "rated": Rated(flow=80 * M3H),
        "driver": Driver(
            power=11e3, voltage=400.0, current=21.5, power_factor=0.84, efficiency=0.9,
            speed=1475 / 60,
        ),
        "points": (
            Point(point="suction_pressure", unit="barg", accuracy=0.02e5, elevation=0.4),
            Point(point="discharge_pressure", unit="barg", accuracy=0.06e5, elevation=1.1),
            Point(point="flow", unit="m3/h", accuracy=1.5 * M3H),
            Point(point="motor_current", unit="A", accuracy=0.4),
        ),
    }  # fmt: skip
    return Pump(**(fields | changes))


PUMP = pump_with()


def readings(points=POINTS, *, pump=PUMP, **condition):
    shown = drive(circuit_of(pump, barometric=AIR), Condition(**condition))
    return {point: float(shown[point]) for point in points}, {k: float(v) for k, v in shown.items()}


def test_chi_square_chance_agrees_with_an_independent_library():
    for chi_square, degrees in [(0.5, 1), (3.84, 1), (9.2, 2), (20.0, 5)]:
        assert chance(chi_square, degrees) == pytest.approx(stats.chi2.sf(chi_square, degrees))


def test_weighted_mean_by_hand():
    """Two gauges on one unknown: weights 1/u^2, chi-square (1.2 - 1.0)^2/(0.1^2 + 0.2^2)."""
    wide, start = np.array([1e6]), np.array([0.5])
    rows = [
        Measured(point="a", value=1.0, uncertainty=0.1),
        Measured(point="b", value=1.2, uncertainty=0.2),
    ]
    fit = solve(lambda x: {"a": x[0], "b": x[0]}, rows, start, wide, free=1)
    assert fit.unknowns[0] == pytest.approx((1.0 * 100 + 1.2 * 25) / 125, rel=1e-6)
    assert np.sqrt(fit.covariance[0, 0]) == pytest.approx(1 / np.sqrt(125), rel=1e-6)
    assert fit.chi_square == pytest.approx(0.04 / 0.05, rel=1e-6)
    assert fit.degrees == 1


@pytest.mark.parametrize("demand", [0.6, 1.0, 2.5])
def test_a_sound_pump_is_found_again(demand):
    given, true = readings(demand=demand)
    found = estimate(PUMP, given, AIR)
    assert found.agree
    assert found.explanations == ()
    assert found.values["flow"].value == pytest.approx(true["flow"], rel=0.01)
    assert abs(found.values["wear"].value) < 2 * found.values["wear"].uncertainty
    assert "agree with each other" in found.sentence


def test_flow_without_a_flow_meter():
    given, true = readings(("suction_pressure", "discharge_pressure", "motor_current"))
    found = estimate(PUMP, given, AIR)
    flow = found.values["flow"]
    assert abs(flow.value - true["flow"]) < 2 * flow.uncertainty
    assert 0.01 < flow.uncertainty / flow.value < 0.15


def test_flow_from_two_pressures_alone_is_not_checked():
    given, true = readings(("suction_pressure", "discharge_pressure"))
    found = estimate(PUMP, given, AIR)
    assert found.agree is None
    assert found.degrees == 0
    assert "none is redundant" in found.sentence
    assert found.values["flow"].value == pytest.approx(true["flow"], rel=0.05)
    assert "needs a flow or power reading" in found.unobservable["wear"]


@pytest.mark.parametrize(
    ("point", "offset"),
    [("discharge_pressure", -0.8e5), ("flow", 14 * M3H), ("motor_current", 5.0)],
)
def test_the_lying_gauge_is_among_those_that_explain_all(point, offset):
    given, true = readings()
    given[point] += offset
    found = estimate(PUMP, given, AIR)
    assert found.agree is False
    named = {e.point: e for e in found.explanations if e.kind == "gauge"}
    assert point in named
    size = named[point].size
    assert size.value == pytest.approx(offset, abs=2.5 * size.uncertainty)
    assert found.chance < AGREE <= named[point].chance
    assert true[point] == pytest.approx(given[point] - offset)


def test_worn_rings_cost_head_but_no_power():
    given, _ = readings(severities={"wear-rings-worn": 0.8})
    found = estimate(PUMP, given, AIR)
    assert found.agree is False
    assert "wear" in {e.kind for e in found.explanations}
    assert found.values["wear"].value > 2 * found.values["wear"].uncertainty


def test_gas_is_told_from_wear_by_the_power():
    given, _ = readings(severities={"gas-in-liquid": 0.5})
    kinds = [e.kind for e in estimate(PUMP, given, AIR).explanations]
    assert "gas" in kinds
    assert "wear" not in kinds


def test_thick_oil_is_taken_from_its_own_curve():
    oil = PlantLiquid(
        name="test oil",
        temperature=293.15,
        table=LiquidTable(
            temperature=(273.15, 293.15, 333.15),
            vapor_pressure=(1.0, 2.0, 10.0),
            density=(925.0, 912.0, 885.0),
            kinematic_viscosity=(200e-6, 80e-6, 20e-6),
        ),
    )
    thick = pump_with(liquid=oil)
    given, true = readings(pump=thick)
    found = estimate(thick, given, AIR)
    assert found.agree
    assert found.values["flow"].value == pytest.approx(true["flow"], rel=0.02)
    # On the curve for water the same readings do not agree.
    assert estimate(PUMP, given, AIR).agree is False


def test_what_is_missing_is_said():
    given, _ = readings()
    assert "no curve" in estimate(pump_with(curve=None), given, AIR).sentence
    unknown = pump_with(liquid=PlantLiquid(name="wort of the third kettle"))
    assert "wort of the third kettle" in estimate(unknown, given, AIR).unobservable["flow"]
    assert "fewer than two" in estimate(PUMP, {"flow": given["flow"]}, AIR).sentence


def test_intervals_hold():
    """Flow without a meter, gauges scattered by their accuracy: two uncertainties hold 95 %."""
    given, true = readings(("suction_pressure", "discharge_pressure", "motor_current"))
    random, inside = np.random.default_rng(0), []
    for _ in range(25):
        shown = {
            point: value + random.uniform(-1, 1) * (PUMP.point(point).accuracy or 0.0)
            for point, value in given.items()
        }
        flow = estimate(PUMP, shown, AIR).values["flow"]
        inside.append(abs(flow.value - true["flow"]) < 2 * flow.uncertainty)
    assert np.mean(inside) >= 0.9
