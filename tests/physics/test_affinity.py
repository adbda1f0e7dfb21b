"""Affinity laws: there and back, efficiency kept, and the trim's limits."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.errors import ArgumentError, OutOfRangeError
from gaugewalk.physics.affinity import flow_at_speed, head_at_speed, power_at_speed, trimmed
from gaugewalk.physics.curve import PumpCurve, efficiency_at
from gaugewalk.physics.power import hydraulic_power

from . import real_curves

speeds = st.floats(5.0, 100.0)
LAWS = (flow_at_speed, head_at_speed, power_at_speed)


@given(st.floats(0.001, 1e5), speeds, speeds)
@pytest.mark.parametrize("law", LAWS)
def test_there_and_back(law, value: float, one: float, other: float) -> None:
    assert law(law(value, one, other), other, one) == pytest.approx(value)


@given(st.floats(1e-3, 1.0), st.floats(1.0, 200.0), speeds, speeds)
def test_hydraulic_power_goes_as_the_shaft_power(flow, head, one, other) -> None:
    before = float(hydraulic_power(flow, head, 998.2))
    after = hydraulic_power(flow_at_speed(flow, one, other), head_at_speed(head, one, other), 998.2)
    assert after == pytest.approx(float(power_at_speed(before, one, other)))


@given(st.floats(0.5, 2.0))
def test_only_the_ratio_of_speeds_counts(ratio: float) -> None:
    assert flow_at_speed(0.01, 10.0, 10.0 * ratio) == pytest.approx(
        float(flow_at_speed(0.01, 3000.0, 3000.0 * ratio))
    )


def test_zero_speed_is_refused() -> None:
    for law in LAWS:
        with pytest.raises(ArgumentError, match="speed = 0 must be above zero"):
            law(1.0, 0.0, 10.0)
        with pytest.raises(ArgumentError, match="new_speed = 0"):
            law(1.0, 10.0, 0.0)


@pytest.mark.parametrize("name", real_curves.NAMES[:6])
def test_trim_keeps_the_efficiency_of_corresponding_points(name: str) -> None:
    curve = real_curves.CURVES[name]
    cut = trimmed(curve, 0.9)
    middle = float(curve.flow[-1]) / 2
    assert efficiency_at(cut, 0.9 * middle) == pytest.approx(float(efficiency_at(curve, middle)))
    assert cut.head[0] == pytest.approx(0.81 * curve.head[0])


def test_trim_leaves_the_eye_alone() -> None:
    curve = PumpCurve(
        speed=49.0, flow=[0.0, 0.01, 0.02], head=[40.0, 36.0, 25.0], npshr=[1.0, 2.0, 4.0]
    )
    np.testing.assert_allclose(trimmed(curve, 0.9).npshr, [1.0, 1.9, 3.6])


@pytest.mark.parametrize("ratio", [0.79, 1.01])
def test_trim_limits(ratio: float) -> None:
    with pytest.raises(OutOfRangeError, match="diameter_ratio"):
        trimmed(real_curves.CURVES["curve-02"], ratio)
