"""Grease: published rules, their disagreements, and the corrections."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.errors import ArgumentError, OutOfRangeError
from gaugewalk.physics.grease import (
    GreaseService,
    charge_mass,
    cup_mass_per_turn,
    cup_turns,
    cup_turns_per_round,
    regrease_interval,
)

OUNCE, INCH = 0.028349523, 0.0254


# 0.005 D B (g, mm): corporate relubrication standard, trade magazines; exact.
@pytest.mark.parametrize(("d_mm", "b_mm", "grams"), [(100, 25, 12.5), (140, 33, 23.1)])
def test_charge(d_mm: float, b_mm: float, grams: float) -> None:
    assert float(charge_mass(d_mm / 1e3, b_mm / 1e3)) * 1e3 == pytest.approx(grams, rel=1e-12)


def test_charge_in_inches() -> None:
    # 0.114 D B (oz, in) agrees within 0.5 %; the constant 0.1 of one standard gives 12 % less.
    ours = float(charge_mass(3.937 * INCH, 0.9843 * INCH))
    assert ours / OUNCE == pytest.approx(0.4418, rel=5e-3)
    assert ours / (INCH**2 * 3.937 * 0.9843) * INCH**2 / OUNCE == pytest.approx(0.11379, rel=1e-4)
    assert 10.99e-3 / ours == pytest.approx(0.88, abs=0.005)


# Arithmetic of the "classical empirical formula" of a public guide; 0.1 %. As engineering truth
# good to a factor of two.
@pytest.mark.parametrize(
    ("rpm", "bore_mm", "kind", "hours"),
    [
        (1500, 45, "ball", 12113.3),
        (1480, 50, "ball", 11377.7),
        (2970, 65, "cylindrical roller", 1623.38),
    ],
)
def test_interval(rpm: float, bore_mm: float, kind: str, hours: float) -> None:
    found = regrease_interval(rpm / 60, bore_mm / 1e3, kind)
    assert float(found) / 3600 == pytest.approx(hours, rel=1e-3)


# Bearing maker's adjustment table (public): halves for every 15 K above 70 °C; half when vertical.
def test_corrections() -> None:
    base = float(regrease_interval(25.0, 0.045))
    at = [GreaseService(temperature=273.15 + c) for c in (60.0, 70.0, 85.0, 100.0)]
    found = [float(regrease_interval(25.0, 0.045, "ball", s)) / base for s in at]
    np.testing.assert_allclose(found, [1, 1, 0.5, 0.25], rtol=1e-12)
    upright = regrease_interval(25.0, 0.045, "ball", GreaseService(vertical=True))
    assert float(upright) / base == 0.5


@given(st.floats(5.0, 45.0), st.floats(0.02, 0.08))
def test_faster_or_larger_is_sooner(speed: float, bore: float) -> None:
    assert regrease_interval(speed * 1.05, bore) < regrease_interval(speed, bore)
    assert regrease_interval(speed, bore * 1.05) < regrease_interval(speed, bore)


def test_cup() -> None:
    # Volume of a cylinder 30 mm by 1.5 mm, grease at 0.9 g/mL.
    per_turn = float(cup_mass_per_turn(0.030, 0.0015))
    assert per_turn * 1e3 == pytest.approx(np.pi / 4 * 9 * 0.15 * 0.9, rel=1e-12)
    assert float(cup_turns(0.0125, per_turn)) * per_turn == pytest.approx(0.0125)
    each = float(cup_turns_per_round(0.0125, 2400 * 3600.0, 8 * 3600.0, per_turn))
    assert each * per_turn * 300 == pytest.approx(0.0125)  # 300 rounds in the interval


def test_messages() -> None:
    with pytest.raises(OutOfRangeError, match=r"speed in r/min = 60000 is outside 0 to"):
        regrease_interval(1000.0, 0.05)
    with pytest.raises(OutOfRangeError, match="high-temperature grease"):
        regrease_interval(25.0, 0.05, "ball", GreaseService(temperature=420.0))
    with pytest.raises(ArgumentError, match="moisture = 'wet': expected one of dry"):
        regrease_interval(25.0, 0.05, "ball", GreaseService(moisture="wet"))
    with pytest.raises(ArgumentError, match="expected one of ball"):
        regrease_interval(25.0, 0.05, "sleeve")  # type: ignore[arg-type]
    with pytest.raises(ArgumentError, match=r"width = 0 must be above zero"):
        charge_mass(0.1, 0.0)
