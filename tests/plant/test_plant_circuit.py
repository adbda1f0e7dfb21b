"""From the plant file to the forward model: what is given is used, the rest is usual."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from gaugewalk.errors import ArgumentError, NotFoundError
from gaugewalk.physics.circuit import operate, solve
from gaugewalk.physics.circuit_parts import Condition
from gaugewalk.plant.circuit import circuit_of, liquid_table
from gaugewalk.plant.plant_file import load_plant
from gaugewalk.plant.pump import (
    Driver,
    Lubrication,
    OilSystem,
    PlantLiquid,
    Point,
    Pump,
    Rated,
    ShaftSeal,
    Source,
)

AIR = 101325.0
WORKS = load_plant(Path(__file__).with_name("works.toml"))
CURVED = [pump for pump in WORKS.pumps if pump.curve is not None]


def bare(**more: object) -> Pump:
    """A pump of which nothing is known but its rated duty."""
    fields: dict[str, object] = {
        "tag": "P-1",
        "name": "bare",
        "liquid": PlantLiquid(name="water", temperature=293.15),
        "seal": ShaftSeal(kind="single mechanical seal"),
        "lubrication": Lubrication(kind="grease"),
        "rated": Rated(flow=0.01, head=30.0, speed=49.0),
    }
    return Pump(**{**fields, **more})  # type: ignore[arg-type]


def test_rated_flow_and_head_are_enough() -> None:
    operation = operate(circuit_of(bare(), barometric=AIR), Condition())
    assert operation.values["flow"] == pytest.approx(0.01, rel=1e-4)
    assert operation.inner["head"] == pytest.approx(30.0, rel=1e-3)
    assert {"motor_current", "bearing_temperature_de", "seal_leakage"} <= operation.values.keys()


def test_neither_curve_nor_rated_duty_is_refused() -> None:
    with pytest.raises(ArgumentError, match="P-1: needs a curve, or a rated flow and head"):
        circuit_of(bare(rated=Rated(flow=0.01)), barometric=AIR)


def test_an_unknown_liquid_is_refused_by_name() -> None:
    with pytest.raises(NotFoundError, match="'moon milk' is not known"):
        circuit_of(bare(liquid=PlantLiquid(name="moon milk")), barometric=AIR)


def test_a_static_share_of_one_is_refused() -> None:
    with pytest.raises(ArgumentError, match="static_share = 1; expected 0 to below 1"):
        circuit_of(bare(), barometric=AIR, static_share=1.0)


@pytest.mark.parametrize("pump", CURVED, ids=lambda pump: pump.tag)
def test_every_curve_of_a_plant_file_makes_a_circuit_that_runs(pump: Pump) -> None:
    values = solve(circuit_of(pump, barometric=AIR), Condition())
    assert values["flow"] > 0.0
    assert values["discharge_pressure"] > values["suction_pressure"]


def test_the_usual_flow_reading_is_the_duty() -> None:
    pump = bare(points=(Point(point="flow", unit="m3/h", usual=0.008),))
    assert circuit_of(pump, barometric=AIR).duty_flow == 0.008


def test_without_a_flow_meter_the_two_gauges_give_the_duty() -> None:
    water = 998.2 * 9.80665
    gauges = (
        Point(point="suction_pressure", unit="barg", usual=AIR + 1.0 * water),
        Point(point="discharge_pressure", unit="barg", usual=AIR + 32.0 * water, elevation=1.0),
    )
    circuit = circuit_of(bare(points=gauges), barometric=AIR)
    head = float(np.interp(circuit.duty_flow, circuit.machine.flow, circuit.machine.head))
    assert head == pytest.approx(32.0, rel=1e-3)


def test_without_a_level_the_suction_gauge_gives_it() -> None:
    gauge = Point(point="suction_pressure", unit="barg", usual=AIR + 2.0e4, elevation=0.5)
    pump = bare(points=(gauge,), source=Source(line_loss=0.3))
    values = solve(circuit_of(pump, barometric=AIR), Condition())
    assert values["suction_pressure"] == pytest.approx(AIR + 2.0e4, abs=20.0)


def test_a_turbine_has_no_current() -> None:
    values = solve(circuit_of(bare(driver=Driver(kind="turbine")), barometric=AIR), Condition())
    assert "motor_current" not in values
    assert values["speed"] == 49.0


def test_a_boiling_vessel_stands_under_its_vapor_pressure() -> None:
    pump = bare(
        liquid=PlantLiquid(name="boiler feedwater", temperature=378.15),
        source=Source(kind="vessel", boiling=True, level=8.0, line_loss=0.5),
    )
    inner = operate(circuit_of(pump, barometric=AIR), Condition()).inner
    assert inner["npsh_available"] == pytest.approx(7.5, rel=1e-3)


def test_the_cooler_holds_the_middle_of_the_supply_limits() -> None:
    system = OilSystem(cooler=True, supply_temperature_low=308.15, supply_temperature_high=323.15)
    pump = bare(lubrication=Lubrication(kind="forced feed", system=system))
    values = solve(circuit_of(pump, barometric=AIR), Condition())
    assert values["oil_supply_temperature"] == pytest.approx(315.65, abs=0.1)
    rise = values["bearing_temperature_de"] - values["oil_supply_temperature"]
    assert 5.0 < rise < 30.0  # API 612-2014 10.4 allows 30 K through a bearing (quoted publicly)


def test_a_packed_box_drips_at_its_target_in_order() -> None:
    seal = ShaftSeal(kind="packing", leak_off_target=3e-8)
    pump = bare(seal=seal, source=Source(level=3.0, line_loss=0.2))
    values = solve(circuit_of(pump, barometric=AIR), Condition())
    assert values["leak_off"] == pytest.approx(3e-8, rel=0.1)


def test_the_liquid_table_covers_the_way_to_boiling() -> None:
    table = liquid_table(PlantLiquid(name="hexane", temperature=321.15))
    # n-hexane boils at 341.9 K at one atmosphere (CRC Handbook, normal boiling point 68.7 °C).
    assert table.boiling_at(101325.0) == pytest.approx(341.9, abs=0.3)


def test_a_faster_driver_speeds_the_curve_up() -> None:
    pump = CURVED[0]
    assert pump.curve is not None
    quick = replace(pump, driver=replace(pump.driver, speed=1.02 * pump.curve.speed))
    circuit = circuit_of(quick, barometric=AIR)
    assert circuit.machine.head[0] == pytest.approx(1.02**2 * pump.curve.head[0])
