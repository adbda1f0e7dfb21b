"""Bearing frequencies: published bearing data, then the sum rule."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.bearing_frequencies import bearing_frequencies, vane_pass_frequency

INCH = 0.0254
# Geometry: balls, ball diameter, pitch diameter [m]. 6205 and 6203: bearing data of the Case
# Western Reserve University test rig as quoted in public code (geometry from memory of that page);
# ER-16K: Curtin University data set readme (CC BY 4.0).
B6205 = (9, 0.3126 * INCH, 1.537 * INCH)
B6203 = (8, 0.2656 * INCH, 1.122 * INCH)
ER16K = (9, 7.9375e-3, 38.50e-3)

# (bearing, which, multiple of shaft speed, relative tolerance from the printed digits)
PRINTED = [
    (B6205, "inner_race", 5.4152, 1e-4),
    (B6205, "outer_race", 3.5848, 1e-4),
    (B6205, "cage", 0.39828, 1e-4),
    (B6203, "outer_race", 3.053, 2e-4),
    (B6203, "cage", 0.3817, 2e-4),
    (ER16K, "cage", 0.3969, 2e-3),
    (ER16K, "outer_race", 3.572, 2e-3),
    (ER16K, "inner_race", 5.428, 2e-3),
    # The readme of the ER-16K prints the single spin frequency.
    (ER16K, "ball_spin", 2.32, 2e-3),
]


@pytest.mark.parametrize(("bearing", "which", "multiple", "tolerance"), PRINTED)
def test_published_multiples(
    bearing: tuple[int, float, float], which: str, multiple: float, tolerance: float
) -> None:
    found = getattr(bearing_frequencies(1.0, *bearing), which)
    assert found == pytest.approx(multiple, rel=tolerance)


# That data page calls twice the spin frequency "rolling element".
@pytest.mark.parametrize(("bearing", "twice"), [(B6205, 4.7135), (B6203, 3.9874)])
def test_twice_the_spin(bearing: tuple[int, float, float], twice: float) -> None:
    assert 2 * bearing_frequencies(1.0, *bearing).ball_spin == pytest.approx(twice, rel=2e-4)


def test_in_hertz() -> None:
    # Derived: 6205 at 1797 r/min.
    assert bearing_frequencies(1797 / 60, *B6205).outer_race == pytest.approx(107.364, rel=1e-4)


@given(st.floats(0.5, 100), st.integers(3, 30), st.floats(0.05, 0.4), st.floats(0.0, 0.7))
def test_races_add_up(speed: float, balls: int, ratio: float, angle: float) -> None:
    found = bearing_frequencies(speed, balls, ratio * 0.1, 0.1, angle)
    assert found.outer_race + found.inner_race == pytest.approx(balls * speed)
    assert found.outer_race == pytest.approx(balls * found.cage)
    assert found.outer_race < found.inner_race


def test_vane_pass() -> None:
    assert vane_pass_frequency(2970 / 60, 6) == pytest.approx(297.0)


def test_messages() -> None:
    with pytest.raises(ArgumentError, match="below the pitch diameter"):
        bearing_frequencies(25.0, 9, 0.04, 0.03)
    with pytest.raises(ArgumentError, match="balls = 1"):
        bearing_frequencies(25.0, 1, 0.01, 0.03)
    with pytest.raises(ArgumentError, match=r"speed = 0 must be above zero"):
        vane_pass_frequency(0.0, 6)
    with pytest.raises(ArgumentError, match="vanes = 0"):
        vane_pass_frequency(25.0, 0)
