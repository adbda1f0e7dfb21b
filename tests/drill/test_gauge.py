"""How a person reads: to the nearest mark, inside the range, a swing as low to high."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk import units
from gaugewalk.drill.gauge import reading, step_of
from gaugewalk.drill.seen import slip
from gaugewalk.plant.pump import Point

AIR = 1e5
GAUGE = Point(point="discharge_pressure", unit="barg", range_low=1e5, range_high=7e5)


@given(st.floats(0.2e5, 9e5))
def test_what_is_written_is_read_back_to_half_a_mark_within_the_range(pressure: float) -> None:
    step = step_of(GAUGE)
    text = reading(pressure, None, GAUGE, step=step, barometric=AIR)
    value = units.parse(text, "pressure", barometric=AIR).value
    inside = min(max(pressure, 1e5), 7e5)
    assert abs(value - inside) <= (step / 2 + 1e-9) * 1e5


def test_a_swing_is_written_as_low_to_high_and_read_back() -> None:
    text = reading(4e5, (3.5e5, 4.5e5), GAUGE, step=0.1, barometric=AIR)
    quantity = units.parse(text, "pressure", barometric=AIR)
    assert quantity.low == pytest.approx(3.5e5)
    assert quantity.high == pytest.approx(4.5e5)


def test_a_swing_finer_than_the_marks_is_not_seen() -> None:
    assert reading(4e5, (3.97e5, 4.03e5), GAUGE, step=0.1, barometric=AIR) == "3.0 barg"


def test_a_wide_range_has_coarse_marks() -> None:
    fine = Point(point="suction_pressure", unit="barg", range_low=0.0, range_high=2.5e5)
    coarse = Point(point="discharge_pressure", unit="barg", range_low=1e5, range_high=101e5)
    assert step_of(fine) == pytest.approx(0.02)
    assert step_of(coarse) == pytest.approx(1.0)


@pytest.mark.parametrize("text", ["0 drops/min", "0.00 bar", "2.8 to 4.1 barg"])
def test_some_readings_cannot_slip(text: str) -> None:
    assert slip(text) == text
