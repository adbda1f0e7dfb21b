"""Bearing life: printed values first, then limits and continuity."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.errors import ArgumentError, OutOfRangeError
from gaugewalk.physics.bearing_life import (
    CONTAMINATION,
    contamination_factor,
    fatigue_load_limit,
    hours_factor,
    life_duration,
    life_factor,
    modified_life,
    oil_temperature_window,
    rating_life,
    reference_viscosity,
    reliability_factor,
    speed_factor,
    viscosity_ratio,
)
from gaugewalk.physics.oil import line_of_grade

# ISO 281:2007 reference viscosity, arithmetic from the formula (formula from memory); 0.01 %.
NU1 = [
    (500, 72.5, 30.402), (1000, 72.5, 16.713), (1450, 72.5, 13.879), (1500, 62.5, 14.697),
    (2950, 72.5, 9.7304), (3000, 72.5, 9.649), (3600, 90, 7.9057),
]  # fmt: skip


@pytest.mark.parametrize(("rpm", "pitch_mm", "expected"), NU1)
def test_reference_viscosity(rpm: float, pitch_mm: float, expected: float) -> None:
    found = float(reference_viscosity(rpm / 60, pitch_mm / 1e3)) * 1e6
    assert found == pytest.approx(expected, rel=1e-4)


# Bearing maker's diagram and report (public): 6309 at 3000 and 1800 r/min. The formula reads 18
# and 20 % more; it must not read less, which would call a thin film sufficient.
@pytest.mark.parametrize(("rpm", "diagram"), [(3000, 8.15), (1800, 10.4)])
def test_formula_is_on_the_safe_side_of_the_diagram(rpm: float, diagram: float) -> None:
    found = float(reference_viscosity(rpm / 60, 0.0725)) * 1e6
    assert diagram * 1.15 < found < diagram * 1.22


def test_step_between_the_branches() -> None:
    below, at = reference_viscosity(np.array([999.999999, 1000.0]) / 60, 0.0725)
    assert below / at == pytest.approx(1.0233, abs=1e-4)


def test_catalog_example_1() -> None:
    # SKF Rolling Bearings catalog, calculation example 1 (public copy), printed digits.
    assert float(viscosity_ratio(20e-6, 8.15e-6)) == pytest.approx(2.45, abs=0.01)
    life = rating_life(55.3e3, 10e3)
    assert float(life) / 1e6 == pytest.approx(169, abs=0.2)
    assert float(life_duration(life, 3000 / 60)) / 3600 == pytest.approx(940, abs=1)


def test_bearing_report_2015() -> None:
    # Bearing maker's calculation report (public): C = 55.3 kN, P = 4 kN, 1800 r/min.
    hours = float(life_duration(rating_life(55.3e3, 4e3), 1800 / 60)) / 3600
    assert hours == pytest.approx(24_500, abs=50)


# Bearing maker's speed-factor and life-factor tables (public), last printed digit.
def test_speed_and_life_factors() -> None:
    assert float(speed_factor(600 / 60)) == pytest.approx(0.382, abs=0.0006)
    assert float(speed_factor(1000 / 60)) == pytest.approx(0.322, abs=0.0006)
    assert float(hours_factor(20_000 * 3600)) == pytest.approx(3.42, abs=0.005)
    assert float(hours_factor(28_000 * 3600)) == pytest.approx(3.83, abs=0.005)


# ISO 281:2007 Table 12, from memory, unverified.
@pytest.mark.parametrize(
    ("percent", "factor"), [(90, 1), (95, 0.64), (96, 0.55), (97, 0.47), (98, 0.37), (99, 0.25)]
)
def test_reliability_factor(percent: float, factor: float) -> None:
    assert reliability_factor(percent) == factor


@given(st.floats(1e3, 1e5), st.floats(1.1, 20.0), st.sampled_from(["ball", "roller"]))
def test_halving_the_load(load: float, ratio: float, kind: str) -> None:
    # ISO 281: exponent 3 gives eight times the life of a ball bearing, 10/3 about ten times.
    factor = rating_life(load * ratio, load / 2, kind) / rating_life(load * ratio, load, kind)
    assert factor == pytest.approx({"ball": 8.0, "roller": 2 ** (10 / 3)}[kind], rel=1e-9)


@pytest.mark.parametrize("kind", ["ball", "roller"])
@pytest.mark.parametrize("join", [0.4, 1.0])
def test_life_factor_has_no_step(kind: str, join: float) -> None:
    below, above = life_factor(np.array([join - 1e-9, join]), 0.5, 1340.0, 6000.0, kind)
    assert below == pytest.approx(above, rel=5e-4)  # the constants have five digits


@given(st.floats(0.1, 6.0), st.floats(0.0, 1.0), st.floats(0.01, 1.0))
def test_life_factor_stays_in_its_limits_and_rises(
    kappa: float, clean: float, relative: float
) -> None:
    now = life_factor(kappa, clean, relative * 1e3, 1e3)
    assert 0.1 <= now <= 50
    assert life_factor(kappa * 1.1, clean, relative * 1e3, 1e3) >= now * (1 - 5e-4)
    assert life_factor(kappa, min(clean + 0.05, 1.0), relative * 1e3, 1e3) >= now


def test_dirty_oil_takes_all_the_gain() -> None:
    assert float(life_factor(4.0, 0.0, 1340.0, 4000.0)) == pytest.approx(0.1)


def test_contamination_and_fatigue_limit() -> None:
    # ISO 281:2007 Table 13, from memory: words order the factors, larger bearings are less hurt.
    ranges = [contamination_factor(word, 0.0725) for word in CONTAMINATION]
    assert ranges == sorted(ranges, reverse=True)
    assert contamination_factor("normal cleanliness", 0.15)[1] > ranges[2][1]
    # C0 = 31.5 kN over 22 (simplified method); the catalog of the 6309 prints 1.34 kN.
    assert float(fatigue_load_limit(31.5e3, 0.0725)) == pytest.approx(1340, rel=0.08)
    assert float(modified_life(100.0, 0.64, 2.0)) == pytest.approx(128.0)


@given(st.sampled_from([32, 46, 68, 100]), st.floats(15.0, 60.0), st.floats(0.04, 0.15))
def test_window_bounds_are_where_kappa_says(grade: int, speed: float, pitch: float) -> None:
    line = line_of_grade(grade)
    cold, hot = oil_temperature_window(line, speed, pitch, kappa_low=1.5, kappa_high=4.0)
    nu1 = reference_viscosity(speed, pitch)
    assert cold < hot
    assert float(line.viscosity(cold) / nu1) == pytest.approx(4.0, rel=1e-6)
    assert float(line.viscosity(hot) / nu1) == pytest.approx(1.5, rel=1e-6)


def test_usual_oil_of_a_usual_pump() -> None:
    # Process-pump manual (public): VG 68 ball bearings usually run at 49 to 82 °C; the window of
    # the film must hold that whole range for a 6309 at 2950 r/min, within 5 K.
    cold, hot = oil_temperature_window(line_of_grade(68), 2950 / 60, 0.0725)
    assert cold - 273.15 < 49 + 5
    assert hot - 273.15 > 82


def test_messages() -> None:
    with pytest.raises(ArgumentError, match=r"speed = 0 must be above zero"):
        reference_viscosity(0.0, 0.07)
    with pytest.raises(ArgumentError, match=r"reliability = 94 %: expected one of 90, 95"):
        reliability_factor(94)
    with pytest.raises(OutOfRangeError, match=r"kappa = 0.05 is outside 0.1"):
        life_factor(0.05, 0.5, 1e3, 1e4)
    with pytest.raises(ArgumentError, match="expected ball or roller"):
        rating_life(1e4, 1e3, "sleeve")  # type: ignore[arg-type]
    with pytest.raises(ArgumentError, match="0 < kappa_low < kappa_high"):
        oil_temperature_window(line_of_grade(46), 25.0, 0.07, kappa_low=4, kappa_high=1)
    with pytest.raises(ArgumentError, match="expected one of extreme cleanliness"):
        contamination_factor("clean", 0.07)
