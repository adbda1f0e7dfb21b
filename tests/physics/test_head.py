"""Head from gauges: published rows stand in check_values; here the behaviour."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.head import (
    differential_head,
    head_of_pressure,
    pressure_of_head,
    velocity_head,
)

pressures = st.floats(1e3, 1e7)
densities = st.floats(300.0, 2000.0)


def test_array_equals_scalar_by_scalar() -> None:
    p2 = np.array([3e5, 4e5, np.nan])
    whole = differential_head(1e5, p2, 998.2)
    assert whole[1] == differential_head(1e5, 4e5, 998.2)
    assert np.isnan(whole[2])


@given(pressures, pressures, densities, st.floats(-20, 20), st.floats(-20, 20))
def test_a_common_datum_does_not_matter(p1, p2, density, z, shift) -> None:
    low = differential_head(p1, p2, density, suction_elevation=0.0, discharge_elevation=z)
    high = differential_head(
        p1, p2, density, suction_elevation=shift, discharge_elevation=z + shift
    )
    assert low == pytest.approx(high, abs=1e-9 * (1 + abs(float(low))))


@given(pressures, pressures, densities, st.floats(0.1, 10.0))
def test_head_is_free_of_the_unit_of_mass(p1, p2, density, scale) -> None:
    # Pressure and density both hold one mass: in another unit of mass the head is the same.
    assert differential_head(p1, p2, density) == pytest.approx(
        differential_head(p1 * scale, p2 * scale, density * scale), rel=1e-9, abs=1e-9
    )


@given(st.floats(-50.0, 300.0), densities)
def test_pressure_and_head_invert(head: float, density: float) -> None:
    assert head_of_pressure(pressure_of_head(head, density), density) == pytest.approx(head)


def test_velocity_head_goes_as_flow_squared_and_diameter_to_the_fourth() -> None:
    one = velocity_head(0.01, 0.1)
    assert velocity_head(0.02, 0.1) == pytest.approx(4 * one)
    assert velocity_head(0.01, 0.05) == pytest.approx(16 * one)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ({"suction_pressure": -5e3}, r"suction_pressure = -5000 Pa .*perfect vacuum"),
        ({"density": 0.0}, "density = 0 must be above zero"),
        ({"discharge_pressure": float("inf")}, "discharge_pressure is infinite"),
        ({"suction_diameter": 0.1}, "belong together"),
        ({"suction_diameter": 0.0, "discharge_diameter": 0.1}, "diameter = 0 must"),
        ({"density": "heavy"}, "density = 'heavy' is not a number"),
    ],
)
def test_refuses(arguments: dict[str, object], message: str) -> None:
    given_ = {"suction_pressure": 1e5, "discharge_pressure": 3e5, "density": 998.2} | arguments
    with pytest.raises(ArgumentError, match=message):
        differential_head(**given_)
