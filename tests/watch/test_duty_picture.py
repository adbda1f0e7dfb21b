"""The region and the NPSH beside a curve follow from the curve and the estimate."""

from importlib.resources import files

import pytest

from gaugewalk.judge.estimate import estimate
from gaugewalk.physics.curve import best_efficiency_flow, npshr_at
from gaugewalk.plant.liquid import physics_curve
from gaugewalk.plant.plant_file import load_plant
from gaugewalk.units import to_si
from gaugewalk.watch.duty_picture import duty_picture

BARO = 101325.0


@pytest.fixture(scope="module")
def pump():
    return load_plant(files("gaugewalk.drill") / "larkmoor.toml").pump("W21A")


def test_without_readings_the_region_alone_is_shown(pump):
    curve = physics_curve(pump.curve)
    picture = duty_picture(curve, None)
    best = best_efficiency_flow(curve)
    # ANSI/HI 9.6.3 and API 610 as quoted publicly: 70 to 120 % of best efficiency flow.
    assert picture.preferred == pytest.approx((0.7 * best, 1.2 * best))
    assert picture.duty is None
    assert picture.npsh_available is None


def test_npsh_available_stands_its_margin_above_what_is_required(pump):
    curve = physics_curve(pump.curve)
    readings = {
        "suction_pressure": to_si(pump.point("suction_pressure").usual, "Pa"),
        "discharge_pressure": to_si(pump.point("discharge_pressure").usual, "Pa"),
        "flow": pump.point("flow").usual,
        "liquid_temperature": 298.15,
    }
    together = estimate(pump, readings, BARO)
    picture = duty_picture(curve, together)
    assert picture.duty_low < picture.duty < picture.duty_high
    required = float(npshr_at(curve, picture.duty))
    margin = together.values["npsh_margin"].value
    assert picture.npsh_available == pytest.approx(required + margin)
