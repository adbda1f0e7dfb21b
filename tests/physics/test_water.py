"""Water: the verification tables of the releases, an independent computer, and the edges."""

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st
from iapws._iapws import _Viscosity
from iapws.iapws97 import _PSat_T, _Region1, _TSat_P

from gaugewalk.errors import ArgumentError, OutOfRangeError
from gaugewalk.physics import water

# IAPWS R7-97(2012), Table 5: T [K], p [Pa], specific volume [m3/kg], c_p [J/(kg K)].
TABLE_5 = [
    (300.0, 3e6, 0.100215168e-2, 0.417301218e4),
    (300.0, 80e6, 0.971180894e-3, 0.401008987e4),
    (500.0, 3e6, 0.120241800e-2, 0.465580682e4),
]
# IAPWS R7-97(2012), Table 35 [K, Pa] and Table 36 [Pa, K].
TABLE_35 = [(300.0, 0.353658941e4), (500.0, 0.263889776e7), (600.0, 0.123443146e8)]
TABLE_36 = [(0.1e6, 0.372755919e3), (1e6, 0.453035632e3), (10e6, 0.584149488e3)]
# IAPWS R12-08, Table 4: T [K], density [kg/m3], viscosity [µPa s].
VISCOSITY = [
    (298.15, 998.0, 889.735100),
    (298.15, 1200.0, 1437.649467),
    (373.15, 1000.0, 307.883622),
]
temperatures = st.floats(water.LOW, water.HIGH - 1.0)


@pytest.mark.parametrize(("temperature", "pressure", "volume", "heat"), TABLE_5)
def test_table_5(temperature: float, pressure: float, volume: float, heat: float) -> None:
    assert 1 / water.density(temperature, pressure) == pytest.approx(volume, rel=5e-9)
    assert water.specific_heat(temperature, pressure) == pytest.approx(heat, rel=5e-9)


@pytest.mark.parametrize(("temperature", "pressure"), TABLE_35)
def test_table_35(temperature: float, pressure: float) -> None:
    assert water.vapor_pressure(temperature) == pytest.approx(pressure, rel=5e-9)


@pytest.mark.parametrize(("pressure", "temperature"), TABLE_36)
def test_table_36(pressure: float, temperature: float) -> None:
    assert water.boiling_temperature(pressure) == pytest.approx(temperature, rel=5e-9)


@pytest.mark.parametrize(("temperature", "density", "micro"), VISCOSITY)
def test_viscosity_table_4(temperature: float, density: float, micro: float) -> None:
    answer = water.viscosity_at_density(np.array(temperature), np.array(density))
    assert float(answer) * 1e6 == pytest.approx(micro, rel=2e-9)  # printed to 1e-6 µPa s


def test_independent_computer_agrees_over_the_range() -> None:
    temps = np.linspace(274.0, 620.0, 40)
    pressures = water.vapor_pressure(temps)
    for t, p in zip(temps, pressures, strict=True):
        other = _Region1(t, p / 1e6)
        assert p == pytest.approx(_PSat_T(t) * 1e6, rel=1e-12)
        assert water.boiling_temperature(p) == pytest.approx(_TSat_P(p / 1e6), rel=1e-12)
        assert water.density(t) == pytest.approx(1 / other["v"], rel=1e-12)
        assert water.specific_heat(t) == pytest.approx(other["cp"] * 1e3, rel=1e-12)
        assert water.dynamic_viscosity(t) == pytest.approx(_Viscosity(1 / other["v"], t), rel=1e-9)


def test_scientific_formulation_agrees_within_the_stated_difference() -> None:
    # Module docstring: at most 0.018 % in pressure and 0.0015 % in density from 1 to 200 °C;
    # the industrial backend of the same library must agree to rounding.
    temps = np.linspace(274.15, 473.15, 60)
    pressure = PropsSI("P", "T", temps, "Q", 0, "Water")
    assert np.abs(water.vapor_pressure(temps) / pressure - 1).max() < 1.8e-4
    assert np.abs(water.density(temps) / PropsSI("D", "T", temps, "Q", 0, "Water") - 1).max() < 2e-5
    industrial = PropsSI("P", "T", temps, "Q", 0, "IF97::Water")
    np.testing.assert_allclose(water.vapor_pressure(temps), industrial, rtol=1e-6)


@pytest.mark.parametrize(
    "function",
    [water.vapor_pressure, water.density, water.specific_heat, water.dynamic_viscosity],
)
def test_array_equals_scalar_by_scalar_also_over_blocks(function) -> None:
    temps = np.linspace(274.0, 620.0, 20_001).reshape(3, -1)
    whole = function(temps)
    assert whole.shape == temps.shape
    for at in ((0, 0), (1, 1234), (2, -1)):
        assert whole[at] == pytest.approx(float(function(float(temps[at]))), rel=1e-14)


def test_a_gap_stays_a_gap() -> None:
    for function in (water.vapor_pressure, water.density, water.dynamic_viscosity):
        answer = function([300.0, np.nan])
        assert np.isnan(answer[1])
        assert np.isfinite(answer[0])


@given(temperatures)
def test_rises_and_falls_as_physics_wants(temperature: float) -> None:
    warmer = temperature + 1.0
    assert water.vapor_pressure(temperature) < water.vapor_pressure(warmer)
    assert water.dynamic_viscosity(temperature) > water.dynamic_viscosity(warmer)
    if temperature > 278:  # densest at 4 °C
        assert water.density(temperature) > water.density(warmer)


@given(temperatures)
def test_boiling_inverts_vapor_pressure(temperature: float) -> None:
    back = water.boiling_temperature(water.vapor_pressure(temperature))
    assert back == pytest.approx(temperature, abs=1e-6)


def test_celsius_slip_is_named() -> None:
    with pytest.raises(OutOfRangeError, match=r"82 is outside .* enter 355.15 K"):
        water.vapor_pressure(82.0)


def test_too_hot_is_refused_without_a_celsius_hint() -> None:
    with pytest.raises(OutOfRangeError) as caught:
        water.vapor_pressure(700.0)
    assert "°C" not in str(caught.value)


def test_steam_is_no_liquid() -> None:
    with pytest.raises(OutOfRangeError, match=r"pressure = 1000 .* the water is steam"):
        water.density(300.0, 1000.0)


def test_gauge_pressure_below_vacuum_is_explained() -> None:
    with pytest.raises(ArgumentError, match=r"pressure = -20000 Pa .* add the barometric"):
        water.boiling_temperature(-20e3)
