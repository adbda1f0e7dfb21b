"""Limits: the plant file before what it implies, and that before a standard."""

import pytest

from gaugewalk.judge.limits import limits_of, watch_band, worst_beyond
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
    Strainer,
)

PUMP = Pump(
    tag="P-1",
    name="p",
    service="critical",
    liquid=PlantLiquid(name="water"),
    seal=ShaftSeal(kind="packing", leak_off_low=1e-8, leak_off_high=8e-8),
    lubrication=Lubrication(
        kind="forced feed",
        system=OilSystem(supply_pressure_low=2e5, supply_pressure_trip=1.5e5, filter_dp_limit=1e5),
    ),
    source=Source(lowest_level=0.5),
    suction_strainer=Strainer(limit_dp=3e4),
    driver=Driver(power=15e3, current=28.0, service_factor=1.1),
    rated=Rated(minimum_flow=0.004),
    points=(
        Point(point="vibration_de", unit="mm/s"),
        Point(point="vibration_nde", unit="g"),
        Point(point="bearing_temperature_de", unit="degC", act_high=348.15),
        Point(point="motor_current", unit="A", watch_high=27.0),
    ),
)


def sides(point):
    return {(x.severity.value, x.side): x.value for x in limits_of(PUMP, point)}


@pytest.mark.parametrize(
    ("point", "expected"),
    [
        ("leak_off", {("watch", "low"): 1e-8, ("watch", "high"): 8e-8}),
        ("suction_strainer_dp", {("act", "high"): 3e4}),
        ("flow", {("act", "low"): 0.004}),
        ("source_level", {("act", "low"): 0.5}),
        ("oil_supply_pressure", {("act", "low"): 2e5, ("stop", "low"): 1.5e5}),
        ("oil_filter_dp", {("act", "high"): 1e5}),
        ("discharge_pressure", {}),
    ],
)
def test_what_the_plant_file_implies(point, expected):
    assert sides(point) == expected


def test_the_points_own_limit_comes_first():
    assert sides("bearing_temperature_de") == {("act", "high"): 348.15}
    assert sides("motor_current") == {
        ("watch", "high"): 27.0,
        ("act", "high"): pytest.approx(30.8),
    }


def test_vibration_by_the_standard_in_velocity_only():
    """ISO 10816-7:2009 category I up to 200 kW: B/C 4.0, alarm 5.0, trip 8.3 mm/s (one-page
    public summary of Table A.1)."""
    assert sides("vibration_de") == {
        ("watch", "high"): pytest.approx(4.0e-3),
        ("act", "high"): pytest.approx(5.0e-3),
        ("stop", "high"): pytest.approx(8.3e-3),
    }
    assert sides("vibration_nde") == {}
    assert "ISO 10816-7" in limits_of(PUMP, "vibration_de")[0].source


def test_the_most_urgent_limit_beyond_counts_either_end_of_a_swing():
    limits = limits_of(PUMP, "oil_supply_pressure")
    assert worst_beyond(limits, 1.8e5, 3e5).severity == "act"
    assert worst_beyond(limits, 1.2e5, 3e5).severity == "stop"
    assert worst_beyond(limits, 1.2e5, 3e5, sides=("high",)) is None
    assert watch_band(PUMP, "oil_supply_pressure") == (2e5, float("inf"))
    assert watch_band(PUMP, "discharge_pressure") is None
