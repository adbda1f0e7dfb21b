"""Cooler: published cases, the `ht` library as a second computer, balances and inverses."""

import ht
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.cooler import (
    ARRANGEMENTS,
    Arrangement,
    capacity_rate,
    conductance,
    duty,
    effectiveness,
    heat_carried,
    mean_temperature_difference,
    outlet_temperatures,
    transfer_units,
    water_needed,
)

NAME_IN_HT = {
    "counterflow": "counterflow", "parallel": "parallel", "shell and tube": "S&T",
    "crossflow": "crossflow", "crossflow, larger mixed": "crossflow, mixed Cmax",
    "crossflow, smaller mixed": "crossflow, mixed Cmin",
}  # fmt: skip

# (hot in, hot out, cold in, cold out [°C], arrangement, K, tolerance)
LMTD = [
    # ht 1.2.0 documentation, printed to 4 decimals.
    (100.0, 60.0, 30.0, 40.2, "parallel", 39.7525, 1e-3),
    # The limit of equal ends; must not divide by zero. Exact.
    (100.0, 60.0, 20.0, 60.0, "counterflow", 40.0, 1e-9),
    # Public tool page, default case; printed to one decimal.
    (150.0, 90.0, 25.0, 80.0, "counterflow", 67.5, 0.05),
    (150.0, 90.0, 25.0, 80.0, "parallel", 45.5, 0.05),
    # Public exam problem; answers by ht 1.2.0; 0.1 %.
    (120.0, 60.0, 15.0, 55.0, "counterflow", 54.3885, 0.054),
    (120.0, 60.0, 15.0, 55.0, "parallel", 32.8459, 0.033),
    # Textbook transcription: end differences 22 K and 11 K; value derived, 0.01 %.
    (52.0, 41.0, 30.0, 30.0, "counterflow", 15.8696, 0.0016),
]

# ht 1.2.0 documentation: NTU = 5, ratio 0.7; 1e-5.
EFFECTIVENESS = [
    ("parallel", 0.5881156), ("counterflow", 0.9206704), ("crossflow", 0.8444822),
    ("shell and tube", 0.6834977),
]  # fmt: skip


@pytest.mark.parametrize(("h1", "h2", "c1", "c2", "arrangement", "expected", "tolerance"), LMTD)
def test_lmtd(
    h1: float, h2: float, c1: float, c2: float, arrangement: str, expected: float, tolerance: float
) -> None:
    found = mean_temperature_difference(h1, h2, c1, c2, arrangement)
    assert float(found) == pytest.approx(expected, abs=tolerance)


@given(st.floats(1.0, 100.0), st.floats(1.0, 100.0))
def test_lmtd_lies_between_geometric_and_arithmetic_mean(first: float, second: float) -> None:
    mean = float(mean_temperature_difference(first, second, 0.0, 0.0, "parallel"))
    assert np.sqrt(first * second) * (1 - 1e-9) <= mean <= (first + second) / 2 * (1 + 1e-9)


@pytest.mark.parametrize(("arrangement", "expected"), EFFECTIVENESS)
def test_effectiveness(arrangement: Arrangement, expected: float) -> None:
    assert float(effectiveness(5.0, 0.7, arrangement)) == pytest.approx(expected, rel=1e-5)


@pytest.mark.parametrize("arrangement", ARRANGEMENTS)
@pytest.mark.parametrize("ntu", [0.1, 0.9, 3.0, 12.0])
@pytest.mark.parametrize("ratio", [0.05, 0.6, 1.0])
def test_effectiveness_equals_ht(arrangement: Arrangement, ntu: float, ratio: float) -> None:
    theirs = ht.effectiveness_from_NTU(ntu, ratio, subtype=NAME_IN_HT[arrangement])
    assert float(effectiveness(ntu, ratio, arrangement)) == pytest.approx(theirs, rel=1e-7)


def test_holman_10_9() -> None:
    # Holman, Heat Transfer, 10th ed., Example 10-9 as carried in ht 1.2.0: steam heats oil in
    # crossflow, U = 275, A = 10.82 m2. The steam, the larger stream, is the mixed one.
    mixed: Arrangement = "crossflow, larger mixed"
    steam, oil = 5.2 * 1860.0, 0.725 * 1900.0
    hot, cold = outlet_temperatures(130.0, 15.0, steam, oil, 275 * 10.82, mixed)
    assert float(cold) == pytest.approx(110.59007, abs=0.01)
    assert float(hot) == pytest.approx(116.38593, abs=0.01)
    carried = heat_carried(130.0, 15.0, steam, oil, 275 * 10.82, mixed)
    assert float(carried) == pytest.approx(131_675.33, rel=1e-4)


def test_parallel_conductance_from_duty() -> None:
    # University worksheet (BSL 15.4-2): cold 25 -> 100, C = 5; hot 200 in, C = 7. Answer by ht.
    hot_out = 200 - 5 * 75 / 7
    found = conductance(200.0, hot_out, 25.0, 7.0, 5.0, "parallel")
    assert float(found) == pytest.approx(3.87004, rel=1e-3)


def test_oil_cooler() -> None:
    # Derived: 30 L/min of oil, 860 kg/m3, 2.0 kJ/(kg K), 58 -> 45 °C: 11.18 kW, 0.1 %.
    oil = capacity_rate(30 / 60e3, 860.0, 2000.0)
    heat = float(duty(oil, 331.15, 318.15))
    assert heat == pytest.approx(11_180, rel=1e-3)
    # That heat in water that warms by 6 K: 26.88 L/min, 0.5 %.
    assert heat / 6 / (995 * 4180) * 60e3 == pytest.approx(26.88, rel=5e-3)
    # With water at 28 °C and UA = 600 W/K, then 30 % less surface at the same water: oil leaves
    # at 47.729 °C (ht 1.2.0), 0.05 K.
    water = water_needed(331.15, 318.15, 301.15, float(oil), 600.0)
    hot_out, _ = outlet_temperatures(331.15, 301.15, oil, water, 420.0)
    assert float(hot_out) - 273.15 == pytest.approx(47.729, abs=0.05)
    # Oil is the smaller stream there: effectiveness (58 - 45)/(58 - 28).
    assert float(effectiveness(600 / float(oil), float(oil) / water)) == pytest.approx(13 / 30)


positive = st.floats(50.0, 5e4)


@given(positive, positive, positive, st.sampled_from(ARRANGEMENTS))
def test_energy_balance_and_second_law(
    hot: float, cold: float, surface: float, arrangement: Arrangement
) -> None:
    hot_out, cold_out = outlet_temperatures(350.0, 300.0, hot, cold, surface, arrangement)
    assert hot * (350.0 - hot_out) == pytest.approx(cold * (cold_out - 300.0), rel=1e-9)
    assert 300 * (1 - 1e-12) <= hot_out <= 350
    assert 300 <= cold_out <= 350 * (1 + 1e-12)


@given(st.floats(0.05, 4.0), st.floats(0.0, 1.0), st.sampled_from(ARRANGEMENTS))
def test_ntu_inverts(ntu: float, ratio: float, arrangement: Arrangement) -> None:
    reached = effectiveness(ntu, ratio, arrangement)
    assert effectiveness(ntu * 1.01, ratio, arrangement) > reached
    back = float(transfer_units(reached, ratio, arrangement))
    assert float(effectiveness(back, ratio, arrangement)) == pytest.approx(float(reached))


@given(st.floats(0.05, 6.0), st.floats(0.01, 1.0))
def test_counterflow_is_best_and_parallel_worst(ntu: float, ratio: float) -> None:
    best, worst = effectiveness(ntu, ratio), effectiveness(ntu, ratio, "parallel")
    for between in ("crossflow", "shell and tube"):
        assert worst * (1 - 1e-9) <= effectiveness(ntu, ratio, between) <= best * (1 + 1e-9)


@given(st.floats(0.2, 3.0), st.sampled_from(ARRANGEMENTS))
def test_water_needed_holds_the_oil(ntu: float, arrangement: Arrangement) -> None:
    oil = 1000.0
    coldest = 340.0 - 30 * float(effectiveness(ntu, 0.0, arrangement))
    wanted = coldest + 0.5 * (340.0 - coldest)
    water = water_needed(340.0, wanted, 310.0, oil, ntu * oil, arrangement)
    hot_out, _ = outlet_temperatures(340.0, 310.0, oil, water, ntu * oil, arrangement)
    assert float(hot_out) == pytest.approx(wanted, abs=1e-4)


def test_arrays_equal_scalars() -> None:
    ntu = np.array([0.2, 1.0, 5.0])
    for arrangement in ARRANGEMENTS:
        np.testing.assert_allclose(
            effectiveness(ntu, 0.6, arrangement),
            [float(effectiveness(n, 0.6, arrangement)) for n in ntu],
            rtol=1e-12,
        )


def test_impossible_surface_is_a_gap() -> None:
    assert np.isnan(transfer_units(0.95, 1.0, "parallel"))


def test_messages() -> None:
    with pytest.raises(ArgumentError, match="the temperatures cross"):
        mean_temperature_difference(50.0, 40.0, 45.0, 60.0)
    with pytest.raises(ArgumentError, match=r"no amount of water reaches it.* coldest is"):
        water_needed(331.15, 302.0, 301.15, 860.0, 600.0)
    with pytest.raises(ArgumentError, match="expected between water_in"):
        water_needed(331.15, 340.0, 301.15, 860.0, 600.0)
    with pytest.raises(ArgumentError, match=r"capacity_ratio = 2: expected smaller over larger"):
        effectiveness(1.0, 2.0)
    with pytest.raises(ArgumentError, match="expected one of counterflow"):
        effectiveness(1.0, 0.5, "spiral")  # type: ignore[arg-type]
    with pytest.raises(ArgumentError, match=r"conductance = -1 must not be below zero"):
        heat_carried(350.0, 300.0, 1e3, 1e3, -1.0)
    with pytest.raises(ArgumentError, match="are equal"):
        conductance(300.0, 300.0, 300.0, 1e3, 1e3)
