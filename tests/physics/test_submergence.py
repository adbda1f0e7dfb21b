"""Submergence: both unit customs, proportions, and refusals."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.submergence import (
    bell_froude_number,
    minimum_submergence,
    submergence_margin,
)

GPM, INCH = 231 * 0.0254**3 / 60, 0.0254


@given(st.floats(50.0, 50_000.0), st.floats(4.0, 90.0))
def test_the_us_form_agrees(gpm: float, inches: float) -> None:
    # S = D + 0.574 Q/D^1.5 in inches and gpm, as public texts print it; 0.574 is rounded: 0.2 %.
    us = inches + 0.574 * gpm / inches**1.5
    assert minimum_submergence(gpm * GPM, inches * INCH) / INCH == pytest.approx(us, rel=0.002)


@given(st.floats(0.001, 5.0), st.floats(0.1, 3.0), st.floats(0.3, 3.0))
def test_a_model_of_equal_froude_number_scales_with_its_length(flow, bell, scale) -> None:
    model = (flow * scale**2.5, bell * scale)
    assert bell_froude_number(*model) == pytest.approx(float(bell_froude_number(flow, bell)))
    assert minimum_submergence(*model) == pytest.approx(
        scale * float(minimum_submergence(flow, bell))
    )


def test_margin_has_a_sign() -> None:
    need = float(minimum_submergence(0.1, 0.4))
    assert submergence_margin(0.0, -need - 0.2, 0.1, 0.4) == pytest.approx(0.2)
    assert submergence_margin(-0.5, -need, 0.1, 0.4) == pytest.approx(-0.5)


def test_refuses() -> None:
    with pytest.raises(ArgumentError, match="bell_diameter = 0"):
        minimum_submergence(0.1, 0.0)
    with pytest.raises(ArgumentError, match="flow = -1"):
        minimum_submergence(-1.0, 0.4)
