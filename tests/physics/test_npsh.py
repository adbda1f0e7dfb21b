"""NPSH: identities between its two forms, the boiling vessel, altitude, and refusals."""

import numpy as np
import pytest
from fluids.atmosphere import ATMOSPHERE_1976
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.errors import ArgumentError, OutOfRangeError
from gaugewalk.physics import liquids, water
from gaugewalk.physics.head import velocity_head
from gaugewalk.physics.npsh import (
    barometric_pressure,
    boiling_margin,
    npsh_available,
    npsh_from_gauge,
    npsh_margin_ratio,
)

WATER = liquids.find_liquid("water")
levels = st.floats(-9.0, 30.0)
# Altitude, atmospheric pressure as feet of cold water: barometer table of a public pump catalogue,
# rounded to 0.1 ft.
FEET_OF_WATER = [(0.0, 33.9), (2000.0, 31.5), (5000.0, 28.2), (7000.0, 26.2)]


@pytest.mark.parametrize(("altitude_ft", "column_ft"), FEET_OF_WATER)
def test_barometer_as_feet_of_water(altitude_ft: float, column_ft: float) -> None:
    head = npsh_available(barometric_pressure(altitude_ft * 0.3048), 0.0, 999.0, 0.0)
    assert head / 0.3048 == pytest.approx(column_ft, abs=0.1)


def test_standard_atmosphere_against_another_computer() -> None:
    heights = np.linspace(-400.0, 10_900.0, 30)
    other = [ATMOSPHERE_1976(z).P for z in heights]
    np.testing.assert_allclose(barometric_pressure(heights), other, rtol=1e-6)


@given(st.floats(0.01, 3e6), st.floats(300.0, 1500.0), levels, st.floats(0.0, 5.0))
def test_boiling_vessel_leaves_only_level_less_loss(vapor, density, level, loss) -> None:
    answer = npsh_available(vapor, vapor, density, level, loss)
    assert answer == pytest.approx(level - loss, abs=1e-9)


@given(st.floats(275.0, 380.0), levels, st.floats(0.0, 3.0), st.floats(0.0, 0.05))
def test_gauge_at_the_pump_and_level_in_the_tank_agree(temperature, level, loss, flow) -> None:
    density, vapor = water.density(temperature), water.vapor_pressure(temperature)
    surface, bore = 2e5, 0.15
    static = level - loss - float(velocity_head(flow, bore))
    at_gauge = surface + float(density) * 9.80665 * (static - 0.4)  # gauge 0.4 m above datum
    if at_gauge < 0:
        return
    from_gauge = npsh_from_gauge(
        at_gauge, vapor, density, gauge_elevation=0.4, flow=flow, diameter=bore
    )
    assert from_gauge == pytest.approx(
        float(npsh_available(surface, vapor, density, level, loss)), abs=1e-9
    )


def test_hot_water_has_less() -> None:
    temps = np.linspace(280.0, 370.0, 10)
    answer = npsh_available(101_325.0, water.vapor_pressure(temps), water.density(temps), 2.0)
    assert (np.diff(answer) < 0).all()


def test_boiling_margin_is_zero_at_boiling_and_falls_kelvin_by_kelvin() -> None:
    boiling = float(water.boiling_temperature(2e5))
    assert boiling_margin(WATER, boiling, 2e5) == pytest.approx(0.0, abs=1e-9)
    assert boiling_margin(WATER, boiling - 7.0, 2e5) == pytest.approx(7.0)
    assert boiling_margin(WATER, boiling + 3.0, 2e5) == pytest.approx(-3.0)


def test_boiling_margin_of_another_liquid() -> None:
    hexane = liquids.find_liquid("n-hexane")  # boils at 68.7 °C under one atmosphere
    assert boiling_margin(hexane, 333.15, 101_325.0) == pytest.approx(8.7, abs=0.3)


def test_margin_ratio() -> None:
    np.testing.assert_allclose(npsh_margin_ratio([3.0, 6.0], 3.0), [1.0, 2.0])


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ({"surface_pressure": -1.0}, "surface_pressure = -1 Pa"),
        ({"vapor_pressure": -1.0}, "vapor_pressure = -1 Pa"),
        ({"density": -1.0}, "density = -1"),
        ({"friction_head": -0.1}, "friction_head = -0.1 must not be below zero"),
    ],
)
def test_refuses(arguments: dict[str, float], message: str) -> None:
    given_ = {
        "surface_pressure": 1e5, "vapor_pressure": 2e3, "density": 998.0, "static_head": 1.0,
    } | arguments  # fmt: skip
    with pytest.raises(ArgumentError, match=message):
        npsh_available(**given_)


def test_no_margin_over_nothing() -> None:
    with pytest.raises(ArgumentError, match="required = 0 must be above zero"):
        npsh_margin_ratio(3.0, 0.0)


def test_elevation_outside_the_troposphere() -> None:
    with pytest.raises(OutOfRangeError, match="elevation = 12000"):
        barometric_pressure(12_000.0)
