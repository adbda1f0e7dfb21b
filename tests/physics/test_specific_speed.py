"""Specific speed: the factors between the customs, an independent computer, invariance."""

import fluids
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.specific_speed import (
    US_OF_METRIC,
    specific_speed,
    specific_speed_metric,
    specific_speed_us,
    suction_specific_speed,
)

speeds, flows, heads = st.floats(1.0, 100.0), st.floats(1e-4, 5.0), st.floats(0.5, 500.0)


def test_factors_between_the_customs() -> None:
    # B-S-3: 51.6452 (texts print 51.64, 51.65, 51.6); 0.05.
    assert pytest.approx(51.6452, abs=0.001) == US_OF_METRIC
    one = (29.0, 0.05, 40.0)
    # B-S-4: n_q over the radian-based number 52.919 (texts 52.9); B-S-5: 2733 (texts 2733, 2734).
    assert specific_speed_metric(*one) / specific_speed(*one) == pytest.approx(52.919, abs=0.001)
    assert specific_speed_us(*one) / specific_speed(*one) == pytest.approx(2733.0, abs=0.2)
    # B-S-6: US over the m3/h form 0.8608 (a public reference prints 0.861).
    in_m3h = specific_speed_metric(29.0, 0.05 * 3600, 40.0)
    assert specific_speed_us(*one) / in_m3h == pytest.approx(0.8608, abs=0.0001)


@given(speeds, flows, heads)
def test_against_another_computer(speed, flow, head) -> None:
    other = fluids.specific_speed(flow, head, speed * 60)
    assert specific_speed_metric(speed, flow, head) == pytest.approx(other, rel=1e-12)


@given(speeds, flows, heads, st.floats(0.2, 5.0))
def test_the_same_pump_at_any_speed(speed, flow, head, ratio) -> None:
    # Affinity: Q ~ n, H ~ n²; the specific speed is that of the pump, not of its speed.
    assert specific_speed(speed * ratio, flow * ratio, head * ratio**2) == pytest.approx(
        float(specific_speed(speed, flow, head))
    )


@given(speeds, flows, heads, st.floats(0.2, 5.0))
def test_the_same_pump_at_any_size(speed, flow, head, scale) -> None:
    # Geometric similarity at one speed: Q ~ D³, H ~ D².
    assert specific_speed(speed, flow * scale**3, head * scale**2) == pytest.approx(
        float(specific_speed(speed, flow, head))
    )


def test_double_suction_counts_half_the_flow() -> None:
    one, two = (suction_specific_speed(49.0, 0.1, 4.0, eyes=eyes) for eyes in (1, 2))
    assert two == pytest.approx(one / 2**0.5)


@pytest.mark.parametrize(
    ("arguments", "name"),
    [((0.0, 0.1, 30.0), "speed"), ((49.0, 0.0, 30.0), "flow"), ((49.0, 0.1, -1.0), "head")],
)
def test_refuses(arguments: tuple[float, float, float], name: str) -> None:
    with pytest.raises(ArgumentError, match=f"{name} = .* must be above zero"):
        specific_speed(*arguments)
