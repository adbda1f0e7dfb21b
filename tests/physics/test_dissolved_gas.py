"""Gas that comes out of the liquid: a printed table, another computer, a published rule."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from iapws._iapws import _Henry

from gaugewalk.errors import ArgumentError, OutOfRangeError
from gaugewalk.physics import water
from gaugewalk.physics.dissolved_gas import (
    air_in_water,
    free_gas_share,
    gas_evolution_pressure,
)

# Absorbed air volume over water volume at 1 atm in all: tank maker's bulletin (1985), reprinted by
# two public pages; 0.0006 by the reprints' rounding. The volume is that at 0 °C and 1 atm.
PRINTED = [(40.0, 0.0258), (60.0, 0.0197), (100.0, 0.0136), (140.0, 0.0098), (200.0, 0.0024)]


@pytest.mark.parametrize(("fahrenheit", "printed"), PRINTED)
def test_printed_table(fahrenheit: float, printed: float) -> None:
    t = (fahrenheit - 32) / 1.8 + 273.15
    air = 1 - float(water.vapor_pressure(t)) / 101_325.0  # what the vapor leaves of one atm
    at_zero = float(air_in_water(t)) * 273.15 / t * air
    assert at_zero == pytest.approx(printed, abs=0.0006)


def test_henry_under_pressure() -> None:
    # Same bulletin: 60 °F at 40 psig 0.0742; 2 % because it rounds and the vapor hardly counts.
    vapor = 0.256
    ratio = (14.696 + 40 - vapor) / (14.696 - vapor)
    assert 0.0197 * ratio == pytest.approx(0.0742, rel=0.02)


def test_another_computer_of_the_same_source() -> None:
    for t in (280.0, 300.0, 330.0, 370.0):
        shares = {"N2": 0.79, "O2": 0.21}
        per_pascal = sum(y / (_Henry(t, gas) * 1e6) for gas, y in shares.items())
        other = float(water.density(t)) / 0.018015268 * 8.314462618 * t * per_pascal
        assert air_in_water(t) == pytest.approx(other, rel=2e-3)  # its own saturation equation


def test_rule_of_the_mean() -> None:
    # Pumps & Systems, Understanding NPSH, third article, citing Chan: for water saturated with air
    # in an open tank the effective vapor pressure is the mean of the two. A rule of thumb: 5 % at
    # 20 °C, 12 % from 10 to 30 °C.
    for t in (283.15, 293.15, 303.15):
        vapor = float(water.vapor_pressure(t))
        ours = gas_evolution_pressure(101_325.0, vapor, air_in_water(t))
        assert ours == pytest.approx((101_325.0 + vapor) / 2, rel=0.12)
    at_20 = float(water.vapor_pressure(293.15))
    ours = gas_evolution_pressure(101_325.0, at_20, air_in_water(293.15))
    assert ours == pytest.approx((101_325.0 + at_20) / 2, rel=0.05)


@given(st.floats(1e4, 1e6), st.floats(0.0, 0.9), st.floats(0.005, 0.5), st.floats(0.005, 0.4))
def test_share_at_the_evolution_pressure_is_the_tolerated_one(surface, part, solubility, share):
    vapor = part * surface
    p = gas_evolution_pressure(surface, vapor, solubility, gas_share=share)
    assert vapor < p < surface
    assert free_gas_share(p, surface, vapor, solubility) == pytest.approx(share, rel=1e-6)


def test_ends_and_gaps() -> None:
    answer = free_gas_share([2e5, 1e5, 2e3, 1e3, np.nan], 1e5, 2e3, 0.02)
    np.testing.assert_array_equal(answer[:4], [0.0, 0.0, 1.0, 1.0])
    assert np.isnan(answer[4])


def test_refuses() -> None:
    with pytest.raises(OutOfRangeError, match=r"enter 293.15 K"):
        air_in_water(20.0)
    with pytest.raises(ArgumentError, match="solubility = 0"):
        gas_evolution_pressure(1e5, 2e3, 0.0)
    with pytest.raises(OutOfRangeError, match="gas_share"):
        gas_evolution_pressure(1e5, 2e3, 0.02, gas_share=0.9)
