"""From the plant's words to the physics floor's liquids and curves."""

from pathlib import Path

import pytest

from gaugewalk.errors import ArgumentError, NotFoundError
from gaugewalk.physics.curve import power_at
from gaugewalk.physics.liquids import density, vapor_pressure
from gaugewalk.plant.liquid import known_liquid, physics_curve, physics_liquid
from gaugewalk.plant.plant_file import load_plant
from gaugewalk.plant.pump import LiquidTable, PlantCurve, PlantLiquid

PUMPS = {p.tag: p for p in load_plant(Path(__file__).with_name("works.toml")).pumps}


# Saturated water: IAPWS-IF97 region 1, 983.2 at 60 °C, 954.7 at 105 °C; 35 % ethylene glycol at
# 2 °C about 1055 (all from memory, unverified, hence 1 %); the dye bath by its own table.
DENSITIES = [("WW-7", 983.2), ("BF-1A", 954.7), ("CH-4", 1055.0), ("EF-2", 1023.5)]


@pytest.mark.parametrize(("tag", "expected"), DENSITIES)
def test_liquids_of_the_works(tag: str, expected: float) -> None:
    liquid = physics_liquid(PUMPS[tag].liquid)
    assert liquid is not None
    temperature = PUMPS[tag].liquid.temperature
    assert temperature is not None
    assert density(liquid, temperature) == pytest.approx(expected, rel=0.01)


def test_water_at_60_degrees() -> None:
    liquid = physics_liquid(PUMPS["WW-7"].liquid)
    assert liquid is not None
    # IAPWS-IF97 Eq. 30 at 60 °C: 0.019 947 MPa (from memory, unverified).
    assert float(vapor_pressure(liquid, 333.15)) == pytest.approx(19_947, rel=1e-3)


def test_own_table_is_used_and_ends_where_it_ends() -> None:
    liquid = physics_liquid(PUMPS["EF-2"].liquid)
    assert liquid is not None
    assert float(vapor_pressure(liquid, 313.15)) == pytest.approx(7300, rel=1e-9)
    assert float(density(liquid, 353.15)) == pytest.approx(1000.0)


def test_unknown_liquid_is_none_and_says_why() -> None:
    wort = PlantLiquid(name="hexan")
    assert physics_liquid(wort) is None
    with pytest.raises(NotFoundError, match="hexane"):
        known_liquid(wort)


def test_table_that_makes_no_sense_is_refused() -> None:
    table = LiquidTable(
        temperature=(300.0, 310.0), vapor_pressure=(2000.0, 1000.0), density=(1.0, 1.0)
    )
    with pytest.raises(ArgumentError):
        physics_liquid(PlantLiquid(name="odd", table=table))


def test_power_from_efficiency_is_that_of_the_hydraulic_power() -> None:
    curve = PUMPS["WW-7"].curve
    assert curve is not None
    # P = rho g Q H / eta by hand, at 60 m3/h, 28 m, 70 %.
    by_hand = 998.2 * 9.80665 * (60 / 3600) * 28 / 0.70
    assert float(power_at(physics_curve(curve), 60 / 3600)) == pytest.approx(by_hand, rel=1e-9)


def test_power_given_is_kept_and_missing_rows_stay_missing() -> None:
    curve = PlantCurve(
        speed=25.0, flow=(0.0, 0.1, 0.2), head=(9.0, 8.0, 5.0), power=(1.0, 2.0, 3.0)
    )
    found = physics_curve(curve)
    assert found.power is not None
    assert list(found.power) == [1.0, 2.0, 3.0]
    assert found.npshr is None
