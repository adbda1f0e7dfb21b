"""Liquids by name: what a name stands for, independent values, tables, mixtures, and refusals."""

import chemicals
import numpy as np
import pytest
from chemicals.vapor_pressure import load_vapor_pressure_dfs
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.errors import ArgumentError, NotFoundError, OutOfRangeError
from gaugewalk.physics import liquids, water
from gaugewalk.physics.liquid_names import PURE, SOLUTIONS, WATER
from gaugewalk.physics.liquids import find_liquid, mixture, table_liquid

PROPERTIES = (
    liquids.vapor_pressure,
    liquids.density,
    liquids.dynamic_viscosity,
    liquids.kinematic_viscosity,
    liquids.specific_heat,
)
HEXANE = find_liquid("hexane")
GLYCOL = find_liquid("ethylene glycol", 0.3)


# Perry's Handbook, 8th ed., Table 2-8, as the library chemicals holds it; tolerance: the spread of
# independent correlations, 0.1 to 0.5 % for hydrocarbons, up to 1.2 % for methanol.
@pytest.mark.parametrize(
    ("name", "cas", "temperature", "tolerance"),
    [
        ("hexane", "110-54-3", 320.0, 0.006),
        ("n-heptane", "142-82-5", 330.0, 0.005),
        ("toluene", "108-88-3", 350.0, 0.005),
        ("benzene", "71-43-2", 330.0, 0.005),
        ("cyclohexane", "110-82-7", 330.0, 0.005),
        ("methanol", "67-56-1", 320.0, 0.012),
        ("ethanol", "64-17-5", 320.0, 0.010),
        ("acetone", "67-64-1", 310.0, 0.010),
        ("propane", "74-98-6", 300.0, 0.003),
        ("isobutane", "75-28-5", 300.0, 0.003),
        ("ammonia", "7664-41-7", 290.0, 0.009),
    ],
)
def test_vapor_pressure_against_another_source(name, cas, temperature, tolerance) -> None:
    load_vapor_pressure_dfs()
    columns = ["C1", "C2", "C3", "C4", "C5"]
    row = chemicals.vapor_pressure.Psat_data_Perrys2_8.loc[cas, columns]
    other = chemicals.EQ101(temperature, *row)
    assert liquids.vapor_pressure(find_liquid(name), temperature) == pytest.approx(
        other, rel=tolerance
    )


@pytest.mark.parametrize("percent", [20.0, 35.0, 50.0])
@pytest.mark.parametrize("celsius", [5.0, 30.0, 60.0])
def test_glycol_against_measured_vapor_pressure(percent: float, celsius: float) -> None:
    # T. Fujita and S. Kikuchi, Trans. JSRAE 6 (1989) 183-186, measured -10 to 60 °C, 20 to
    # 50 wt%; printed with a wrong sign before the quotient (pure water shows it). They find
    # Raoult's law followed at low concentration: 3 % at 20 and 35 %, 6 % at 50 %.
    exponent = (
        5.351 - 6.4e-4 * percent - (1817 + 0.008 * percent * (percent + 10)) / (celsius + 240)
    )
    measured = 101_325.0 * 10**exponent
    ours = liquids.vapor_pressure(find_liquid("ethylene glycol", percent / 100), celsius + 273.15)
    assert ours == pytest.approx(measured, rel=0.03 if percent < 40 else 0.06)


def test_strong_brine_is_on_the_cautious_side() -> None:
    # 6 mol NaCl per kg of water (26 % would be saturated): water activity 0.760, Robinson and
    # Stokes (1965) as quoted in an instrument manual. Raoult gives more, by less than a tenth.
    activity = 0.760
    share = 55.508 / (55.508 + 2 * 6)  # mole share of water, ions counted
    assert activity < share < 1.1 * activity
    brine = find_liquid("brine", 0.23)
    assert brine.water_share == pytest.approx(1 / (1 + 2 * 0.23 / 0.77 * 18.01528 / 58.443))


def test_sea_water_against_its_own_correlation() -> None:
    # M. H. Sharqawy et al., Desalin. Water Treat. 16 (2010) 354-380: p_w/p = 1 + 0.57357 S/(1-S).
    lowered = 1 / (1 + 0.57357 * 0.035 / 0.965)
    sea = find_liquid("sea water")
    assert "0.035 by mass assumed" in sea.assumption
    assert liquids.vapor_pressure(sea, 300.0) == pytest.approx(
        lowered * water.vapor_pressure(300.0), rel=1e-3
    )
    # Density 1024.8 kg/m3 at 20 °C and 35 g/kg: UNESCO 1981 (EOS-80), to 0.1 %.
    assert liquids.density(sea, 293.15) == pytest.approx(1024.76, rel=1e-3)


def test_supercooled_water_under_solutions() -> None:
    # D. M. Murphy and T. Koop, Q. J. R. Meteorol. Soc. 131 (2005) 1539-1565, Eq. 10.
    t = np.array([243.15, 253.15, 263.15, 273.15])
    tail = 53.878 - 1331.22 / t - 9.44523 * np.log(t) + 0.014025 * t
    log = 54.842763 - 6763.22 / t - 4.210 * np.log(t) + 0.000367 * t
    other = np.exp(log + np.tanh(0.0415 * (t - 218.8)) * tail)
    np.testing.assert_allclose(water.saturation_pressure_extended(t), other, rtol=5e-3)


@pytest.mark.parametrize("name", ["cooling water", "Cooling-Water", "  HOT   CONDENSATE ", "water"])
def test_names_of_water(name: str) -> None:
    liquid = find_liquid(name)
    assert liquid.model == "water"
    assert liquids.vapor_pressure(liquid, 300.0) == water.vapor_pressure(300.0)


def test_an_assumption_is_said() -> None:
    assert find_liquid("water").assumption == ""
    assert "pure water" in find_liquid("river water").assumption
    assert "n-hexane" in HEXANE.assumption
    assert find_liquid("n-hexane").assumption == ""
    assert "Raoult" in GLYCOL.assumption


@pytest.mark.parametrize("name", sorted(WATER | PURE))
def test_every_name_is_found_and_boils(name: str) -> None:
    liquid = find_liquid(name)
    if liquid.model == "pure":
        low, high = liquids.temperature_limits(liquid)
        middle = low + 0.6 * (high - low)
        pressure = liquids.vapor_pressure(liquid, middle)
        assert liquids.boiling_temperature(liquid, pressure) == pytest.approx(middle, abs=1e-3)
        assert liquids.density(liquid, middle) > 300


@pytest.mark.parametrize("name", sorted(SOLUTIONS))
def test_every_solution_answers(name: str) -> None:
    liquid = find_liquid(name, 0.1)
    assert liquids.density(liquid, 293.15) == pytest.approx(1030, abs=70)
    assert liquids.vapor_pressure(liquid, 293.15) < water.vapor_pressure(293.15)
    assert 0.8e-3 < liquids.dynamic_viscosity(liquid, 293.15) < 2.5e-3


@pytest.mark.parametrize(
    ("name", "near"),
    [("hexan", "hexane"), ("coolingwater", "cooling water"), ("tolune", "toluene")],
)
def test_an_unknown_name_is_answered_with_the_nearest(name: str, near: str) -> None:
    with pytest.raises(NotFoundError, match=near):
        find_liquid(name)


def test_a_solution_wants_its_share_by_mass() -> None:
    with pytest.raises(ArgumentError, match=r"mass_fraction is needed for 'glycol'.*0 to 0.6"):
        find_liquid("glycol")
    with pytest.raises(OutOfRangeError, match=r"mass_fraction = 30 .*30 % is 0.3"):
        find_liquid("glycol", 30)
    with pytest.raises(ArgumentError, match="no solution"):
        find_liquid("water", 0.3)


def test_propylene_glycol_is_pure_or_a_solution() -> None:
    assert find_liquid("propylene glycol").model == "pure"
    assert find_liquid("propylene glycol", 0.3).model == "solution"


def test_range_is_named() -> None:
    with pytest.raises(OutOfRangeError, match=r"temperature = 25 .*enter 298.15 K"):
        liquids.vapor_pressure(HEXANE, 25.0)
    with pytest.raises(OutOfRangeError, match=r"600 is outside .*507.8"):
        liquids.vapor_pressure(HEXANE, 600.0)
    with pytest.raises(OutOfRangeError, match="pressure = 1e"):
        liquids.boiling_temperature(HEXANE, 1e8)
    with pytest.raises(OutOfRangeError, match="240"):  # 30 % glycol is frozen there
        liquids.density(GLYCOL, 240.0)
    with pytest.raises(OutOfRangeError):
        liquids.boiling_temperature(GLYCOL, 1e8)


def test_a_liquid_without_viscosity_says_so() -> None:
    acetone = find_liquid("acetone")
    with pytest.raises(ArgumentError, match=r"viscosity of Acetone"):
        liquids.dynamic_viscosity(acetone, 300.0)


@pytest.mark.parametrize("liquid", [HEXANE, GLYCOL, find_liquid("water")], ids=lambda q: q.name)
@pytest.mark.parametrize("function", PROPERTIES)
def test_array_equals_scalar_and_gaps_stay(function, liquid) -> None:
    temps = np.array([[290.0, 300.0], [np.nan, 330.0]])
    whole = function(liquid, temps)
    assert whole.shape == temps.shape
    assert np.isnan(whole[1, 0])
    assert whole[1, 1] == pytest.approx(float(function(liquid, 330.0)), rel=1e-12)


@given(st.floats(280.0, 480.0))
def test_boiling_inverts_vapor_pressure(temperature: float) -> None:
    pressure = liquids.vapor_pressure(HEXANE, temperature)
    assert liquids.boiling_temperature(HEXANE, pressure) == pytest.approx(temperature, abs=1e-6)


@given(st.floats(250.0, 460.0))
def test_boiling_inverts_vapor_pressure_of_a_solution(temperature: float) -> None:
    pressure = liquids.vapor_pressure(GLYCOL, temperature)
    assert liquids.boiling_temperature(GLYCOL, pressure) == pytest.approx(temperature, abs=1e-6)


def test_mixture_lies_between_its_parts_and_near_raoult() -> None:
    blend = mixture({"propane": 0.6, "butane": 0.4})
    light, heavy = (liquids.vapor_pressure(find_liquid(n), 300.0) for n in ("propane", "butane"))
    bubble = liquids.vapor_pressure(blend, 300.0)
    assert heavy < bubble < light
    assert bubble == pytest.approx(
        0.6 * light + 0.4 * heavy, rel=0.05
    )  # the vapor is not quite ideal
    assert liquids.boiling_temperature(blend, bubble) == pytest.approx(300.0, abs=1e-3)
    densities = [liquids.density(find_liquid(n), 300.0) for n in ("propane", "butane")]
    assert min(densities) < liquids.density(blend, 300.0) < max(densities)


def test_mixture_by_its_name() -> None:
    named = find_liquid("60 % propane + 40 % butane")
    assert named.fluid == mixture({"propane": 0.6, "butane": 0.4}).fluid
    assert find_liquid(named.name).fluid == named.fluid
    with pytest.raises(ArgumentError, match="'butane' in"):
        find_liquid("0.6 propane + butane")


@pytest.mark.parametrize(
    ("parts", "message"),
    [
        ({"propane": 0.6, "butane": 0.5}, "add up to 1"),
        ({"propane": 1.0}, "two or more"),
        ({"water": 0.5, "hexane": 0.5}, "'water' cannot be a part"),
        ({"propane": 1.5, "butane": -0.5}, "two or more"),
    ],
)
def test_mixture_refuses(parts: dict[str, float], message: str) -> None:
    with pytest.raises(ArgumentError, match=message):
        mixture(parts)


# Water as if it were a customer's table: a row each 20 K.
ROWS = np.linspace(280.0, 460.0, 10)
TABLE = table_liquid(
    "own", ROWS, water.vapor_pressure(ROWS), water.density(ROWS),
    water.dynamic_viscosity(ROWS) / water.density(ROWS), 4200.0,
)  # fmt: skip


def test_table_gives_its_rows_back_and_is_true_between() -> None:
    np.testing.assert_allclose(liquids.vapor_pressure(TABLE, ROWS), water.vapor_pressure(ROWS))
    between = ROWS[:-1] + 10
    np.testing.assert_allclose(
        liquids.vapor_pressure(TABLE, between), water.vapor_pressure(between), rtol=2e-3
    )
    np.testing.assert_allclose(liquids.density(TABLE, between), water.density(between), rtol=5e-4)
    np.testing.assert_allclose(
        liquids.dynamic_viscosity(TABLE, between), water.dynamic_viscosity(between), rtol=2e-2
    )
    assert liquids.specific_heat(TABLE, 300.0) == 4200.0


@given(st.floats(280.0, 460.0))
def test_table_inverts(temperature: float) -> None:
    pressure = liquids.vapor_pressure(TABLE, temperature)
    assert liquids.boiling_temperature(TABLE, pressure) == pytest.approx(temperature, abs=1e-6)


@given(
    st.lists(st.floats(0.01, 3.0), min_size=2, max_size=8),
    st.lists(st.floats(5.0, 40.0), min_size=8, max_size=8),
)
def test_table_is_monotone_between_any_rows(growth: list[float], steps: list[float]) -> None:
    t = 280.0 + np.cumsum(steps[: len(growth)])
    p = 1e3 * np.exp(np.cumsum(growth))
    liquid = table_liquid("any", t, p, np.full(t.shape, 900.0))
    fine = liquids.vapor_pressure(liquid, np.linspace(t[0], t[-1], 200))
    assert (np.diff(fine) >= -1e-9 * fine[:-1]).all()


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"temperature": [300.0, 290.0]}, "temperature needs two rows or more, rising"),
        ({"vapor_pressure": [2000.0, 1000.0]}, "vapor_pressure must rise"),
        ({"density": [900.0]}, "density has 1 rows, but temperature has 2"),
        ({"density": [900.0, float("nan")]}, "density has a gap"),
        ({"vapor_pressure": [0.0, 1000.0]}, "vapor_pressure = 0 must be above zero"),
    ],
)
def test_table_refuses(change: dict[str, list[float]], message: str) -> None:
    rows = {
        "temperature": [290.0, 300.0],
        "vapor_pressure": [1000.0, 2000.0],
        "density": [900.0, 890.0],
    } | change
    with pytest.raises(ArgumentError, match=message):
        table_liquid("own", **rows)


def test_table_says_what_it_has_not() -> None:
    bare = table_liquid("bare", [290.0, 300.0], [1000.0, 2000.0], [900.0, 890.0])
    with pytest.raises(ArgumentError, match="kinematic_viscosity"):
        liquids.dynamic_viscosity(bare, 295.0)
    with pytest.raises(ArgumentError, match="specific_heat"):
        liquids.specific_heat(bare, 295.0)
    with pytest.raises(OutOfRangeError, match=r"310 is outside 290 to 300"):
        liquids.vapor_pressure(bare, 310.0)
    with pytest.raises(OutOfRangeError, match=r"3000 is outside 1000 to 2000"):
        liquids.boiling_temperature(bare, 3000.0)
