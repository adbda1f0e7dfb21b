"""Oil: printed values, an independent library, then behavior at the edges."""

import numpy as np
import pytest
from chemicals.viscosity import viscosity_index as other_index
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.errors import ArgumentError, OutOfRangeError
from gaugewalk.physics import viscosity_index_table as table
from gaugewalk.physics.oil import (
    GRADES,
    T40,
    T100,
    grade_limits,
    grade_of,
    line_of_grade,
    line_through,
    viscosity_100,
    viscosity_index,
)

# ISO 3448, 18 grades in a public lubricant classification, two further charts agree; exact.
# 2200 and 3200: second edition, from memory, by the 10 % rule.
ISO_3448 = [
    (2, 1.98, 2.2, 2.42), (3, 2.88, 3.2, 3.52), (10, 9, 10, 11), (15, 13.5, 15, 16.5),
    (22, 19.8, 22, 24.2), (32, 28.8, 32, 35.2), (46, 41.4, 46, 50.6), (100, 90, 100, 110),
    (220, 198, 220, 242), (320, 288, 320, 352), (680, 612, 680, 748), (1500, 1350, 1500, 1650),
    (2200, 1980, 2200, 2420), (3200, 2880, 3200, 3520),
]  # fmt: skip

# ASTM D341 short equation: (t1, nu1, t2, nu2, t, expected, tolerance), °C and mm2/s.
D341 = [
    # Public worked example; 0.05 % of the printed digits.
    (40, 404, 100, 28, 60, 132.126, 0.066),
    # Same page, extrapolated; printed to one decimal.
    (40, 68, 80, 14.85, 100, 8.8, 0.05),
    # Public worksheet, which takes T = C + 273; printed to one decimal.
    (40, 32, 100, 5.4, 80, 8.5, 0.05),
    # Back-computed from a public bearing report (kappa 2.08 times 10.4); 0.5 %.
    (40, 120, 100, 12, 80, 21.6, 0.108),
]

# ASTM D2270 appendix: equations fitted to Table 1 by stretches of Y, from memory; they agree with
# the table to 0.12 %, which neither a wrong digit there nor one here would do.
D2270_FIT = [
    (2.0, 3.8, 1.14673, 1.7576, -0.109, 0.84155, 1.5521, -0.077),
    (3.8, 4.4, 3.38095, -15.4952, 33.196, 0.78571, 1.7929, -0.183),
    (4.4, 5.0, 2.5000, -7.2143, 13.812, 0.82143, 1.5679, 0.119),
    (5.0, 6.4, 0.10100, 16.6350, -45.469, 0.04985, 9.1613, -18.557),
    (6.4, 7.0, 3.35714, -23.5643, 78.466, 0.22619, 7.7369, -16.656),
    (7.0, 7.7, 0.01191, 21.4750, -72.870, 0.79762, -0.7321, 14.610),
    (7.7, 9.0, 0.41858, 16.1558, -56.040, 0.05794, 10.5156, -28.240),
    (9.0, 12.0, 0.88779, 7.5527, -16.600, 0.26665, 6.7015, -10.810),
    (12.0, 15.0, 0.76720, 10.7972, -38.180, 0.20073, 8.4658, -22.490),
    (15.0, 18.0, 0.97305, 5.3135, -2.200, 0.28889, 5.9741, -4.930),
    (18.0, 22.0, 0.97256, 5.2500, -0.980, 0.24504, 7.4160, -16.730),
    (22.0, 28.0, 0.91413, 7.4759, -21.820, 0.20323, 9.1267, -34.230),
    (28.0, 40.0, 0.87031, 9.7157, -50.770, 0.18411, 10.1015, -46.750),
    (40.0, 55.0, 0.84703, 12.6752, -133.310, 0.17029, 11.4866, -80.620),
    (55.0, 70.0, 0.85921, 11.1009, -83.19, 0.17130, 11.3680, -76.940),
]


@pytest.mark.parametrize(("grade", "least", "middle", "greatest"), ISO_3448)
def test_grades_of_iso_3448(grade: int, least: float, middle: float, greatest: float) -> None:
    np.testing.assert_allclose(
        np.array(grade_limits(grade)) * 1e6, (least, middle, greatest), rtol=1e-12
    )


@pytest.mark.parametrize(("t1", "nu1", "t2", "nu2", "t", "expected", "tolerance"), D341)
def test_d341(
    t1: float, nu1: float, t2: float, nu2: float, t: float, expected: float, tolerance: float
) -> None:
    line = line_through(t1 + 273.15, nu1 * 1e-6, t2 + 273.15, nu2 * 1e-6)
    assert float(line.viscosity(t + 273.15)) * 1e6 == pytest.approx(expected, abs=tolerance)


def test_d341_slope() -> None:
    # Worksheet prints 3.7449 with T = C + 273; with 273.15 it is 3.7466 (both to the 4th decimal).
    assert line_through(313.0, 32e-6, 373.0, 5.4e-6).b == pytest.approx(3.7449, abs=1e-4)
    assert line_through(313.15, 32e-6, 373.15, 5.4e-6).b == pytest.approx(3.7466, abs=1e-4)


def test_d341_inverse() -> None:
    # Derived: 46 at 40, 6.8 at 100 -> 13 mm2/s at 74.424 °C, 0.1 K.
    line = line_through(313.15, 46e-6, 373.15, 6.8e-6)
    assert float(line.temperature(13e-6)) - 273.15 == pytest.approx(74.424, abs=0.1)


def test_d2270_table_against_the_appendix() -> None:
    for low, high, *c in D2270_FIT:
        inside = (low <= table.Y) & (high >= table.Y)
        y = table.Y[inside]
        np.testing.assert_allclose(table.L[inside], np.polyval(c[:3], y), rtol=1.2e-3)
        np.testing.assert_allclose(table.H[inside], np.polyval(c[3:], y), rtol=1.2e-3)


def test_d2270_example() -> None:
    # ASTM D2270 calculation example (public copies 1993 to 2016): L, H to 0.01, index 92.
    assert np.interp(8.86, table.Y, table.L) == pytest.approx(119.94, abs=0.01)
    assert np.interp(8.86, table.Y, table.H) == pytest.approx(69.48, abs=0.01)
    assert round(float(viscosity_index(73.30e-6, 8.86e-6))) == 92
    # Example of procedure B, from memory; an independent library agrees below.
    assert round(float(viscosity_index(22.83e-6, 5.05e-6))) == 156
    # Same public page as the first row of D341: index rounds to 102.
    assert round(float(viscosity_index(68e-6, 8.8e-6))) == 102


@given(st.floats(2.1, 200.0), st.floats(1.8, 20.0))
def test_index_equals_the_chemicals_library(nu_100: float, ratio: float) -> None:
    ours = float(viscosity_index(nu_100 * ratio * 1e-6, nu_100 * 1e-6))
    theirs = other_index(nu_100 * ratio * 1e-6, nu_100 * 1e-6)
    assert ours == pytest.approx(theirs, rel=1e-9, abs=1e-9)


@given(st.floats(10.0, 1000.0), st.floats(50.0, 200.0))
def test_index_inverts(nu_40: float, index: float) -> None:
    nu_100 = viscosity_100(nu_40 * 1e-6, index)
    assert float(viscosity_index(nu_40 * 1e-6, nu_100)) == pytest.approx(index, abs=1e-5)


@given(st.sampled_from([g for g in GRADES if g >= 15]), st.floats(283.15, 363.15))
def test_line_inverts_and_falls_with_temperature(grade: int, temperature: float) -> None:
    line = line_of_grade(grade)
    nu = line.viscosity(temperature)
    assert float(line.temperature(nu)) == pytest.approx(temperature, rel=1e-9)
    assert line.viscosity(temperature + 1.0) < nu


@given(st.sampled_from(GRADES))
def test_a_grade_lies_in_itself(grade: int) -> None:
    assert all(grade_of(v) == grade for v in grade_limits(grade)[1:2])


def test_arrays_equal_scalars() -> None:
    line = line_of_grade(46)
    t = np.array([300.0, 320.0, 350.0])
    np.testing.assert_array_equal(line.viscosity(t), [line.viscosity(x) for x in t])


def test_gap_stays_a_gap() -> None:
    assert np.isnan(line_of_grade(46).viscosity(np.nan))


def test_messages() -> None:
    with pytest.raises(ArgumentError, match=r"grade = 45: .* nearest is 46"):
        grade_limits(45)
    with pytest.raises(OutOfRangeError, match=r"temperature = 60 .* enter 333.15 K"):
        line_of_grade(46).viscosity(60.0)
    with pytest.raises(ArgumentError, match="lower viscosity at the higher temperature"):
        line_through(T40, 10e-6, T100, 20e-6)
    with pytest.raises(OutOfRangeError, match=r"1.5 is outside 2"):
        line_through(T40, 10e-6, T100, 1.5e-6)
    with pytest.raises(ArgumentError, match="below 2 mm2/s at 100"):
        viscosity_100(3e-6, 95.0)
    with pytest.raises(ArgumentError, match="above the viscosity at 100"):
        viscosity_index(8e-6, 9e-6)
