"""Duty points: there and back on measured curves, intervals, flat and drooping curves, systems."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.curve import PumpCurve, head_at, power_at
from gaugewalk.physics.duty import (
    all_flows_at_head,
    duty_from_power,
    duty_point,
    intersect,
    require_flow,
    resistance_through,
    system_head,
)

from . import real_curves

measured = pytest.mark.parametrize("curve", real_curves.CURVES.values(), ids=real_curves.NAMES)
STEEP = PumpCurve(
    speed=49.0, flow=[0.0, 0.01, 0.02], head=[40.0, 36.0, 25.0], power=[2e3, 5e3, 7e3]
)
DROOPING = PumpCurve(speed=49.0, flow=[0.0, 0.01, 0.02], head=[38.0, 40.0, 25.0])
FLAT = PumpCurve(speed=49.0, flow=[0.0, 0.01, 0.02, 0.03], head=[40.0, 39.8, 39.0, 30.0])


def falling_side(curve: PumpCurve) -> np.ndarray:
    start = float(curve.flow[np.argmax(curve.head)])
    return np.linspace(start, float(curve.flow[-1]), 200)


@measured
def test_head_there_and_back(curve: PumpCurve) -> None:
    flows = falling_side(curve)
    heads = head_at(curve, flows)
    duty = duty_point(curve, heads)
    # Compared by head: at the top of the curve the flow is not sharp.
    np.testing.assert_allclose(head_at(curve, duty.flow), heads, rtol=1e-12)
    np.testing.assert_allclose(duty.flow[20:], flows[20:], rtol=1e-7)


@measured
def test_interval_holds_every_flow_that_fits_and_no_other(curve: PumpCurve) -> None:
    truth, spread = float(falling_side(curve)[120]), 0.02 * float(curve.head.max())
    head = float(head_at(curve, truth))
    duty = duty_point(curve, head, spread)
    fine = np.linspace(curve.flow[0], curve.flow[-1], 20_001)
    fits = fine[np.abs(head_at(curve, fine) - head) <= spread]
    step = fine[1] - fine[0]
    assert duty.flow_low == pytest.approx(fits.min(), abs=1.01 * step)
    assert duty.flow_high == pytest.approx(fits.max(), abs=1.01 * step)
    assert duty.flow_low <= truth <= duty.flow_high


@settings(max_examples=30)
@given(st.floats(0.0, 0.02), st.floats(0.0, 3.0), st.floats(0.0, 3.0))
def test_a_worse_gauge_never_narrows_the_interval(flow, one, more) -> None:
    head = head_at(STEEP, flow)
    narrow, wide = duty_point(STEEP, head, one), duty_point(STEEP, head, one + more)
    assert wide.flow_low <= narrow.flow_low + 1e-12
    assert wide.flow_high >= narrow.flow_high - 1e-12


def test_array_equals_scalar_and_gaps_stay() -> None:
    heads = np.array([[39.0, 36.0], [np.nan, 26.0]])
    whole = duty_point(STEEP, heads, 0.5)
    assert whole.flow.shape == heads.shape
    assert whole.flow[1, 1] == duty_point(STEEP, 26.0, 0.5).flow
    assert np.isnan(whole.flow[1, 0])
    assert not whole.above[1, 0]
    assert not whole.beyond[1, 0]


def test_drooping_curve_gives_both_flows_and_no_false_sharpness() -> None:
    duty = duty_point(DROOPING, 39.0, 0.1)
    first, last = all_flows_at_head(DROOPING, 39.0)
    assert first < 0.01 < last
    assert duty.crossings == 2
    assert duty.flat
    assert duty.flow == pytest.approx(last)  # the side on which a pump runs steadily
    assert duty.flow_low < first < last < duty.flow_high


def test_flat_curve_is_answered_by_an_interval() -> None:
    duty = duty_point(FLAT, 39.5, 0.5)
    assert duty.flat
    assert duty.flow_low == 0.0
    assert duty.flow_high == pytest.approx(0.02)
    steep = duty_point(FLAT, 33.0, 0.5)
    assert not steep.flat


def test_a_point_of_the_curve_counts_once() -> None:
    assert duty_point(STEEP, 36.0).crossings == 1
    assert all_flows_at_head(STEEP, 36.0) == pytest.approx((0.01,))


def test_off_the_curve_is_said() -> None:
    above, beyond = duty_point(STEEP, 45.0, 1.0), duty_point(STEEP, 10.0, 1.0)
    assert above.above
    assert not above.beyond
    assert beyond.beyond
    assert np.isnan(above.flow)
    for duty, side in ((above, "above"), (beyond, "below")):
        with pytest.raises(ArgumentError, match=f"head lies {side}"):
            require_flow(duty)


def test_just_off_the_curve_but_within_the_gauge_is_its_end() -> None:
    assert duty_point(STEEP, 40.4, 0.5).flow == 0.0
    assert duty_point(STEEP, 24.6, 0.5).flow == 0.02
    assert require_flow(duty_point(STEEP, 24.6, 0.5)) == 0.02
    assert duty_point(DROOPING, 40.1, 0.5).flow == 0.01  # the top is in the middle


@measured
def test_power_there_and_back(curve: PumpCurve) -> None:
    rising = float(curve.flow[np.argmax(curve.power)])
    flows = np.linspace(float(curve.flow[0]), rising, 50)[1:-1]
    duty = duty_from_power(curve, 0.8 * power_at(curve, flows), density=0.8 * curve.density)
    np.testing.assert_allclose(power_at(curve, duty.flow), power_at(curve, flows), rtol=1e-9)


def test_power_that_bends_over_is_flat() -> None:
    bent = PumpCurve(
        speed=49.0, flow=[0.0, 0.01, 0.02], head=[40.0, 36.0, 25.0], power=[2e3, 6e3, 5e3]
    )
    duty = duty_from_power(bent, 5.5e3, 50.0)
    assert duty.crossings == 2
    assert duty.flat


@measured
@pytest.mark.parametrize("lift", [0.0, 0.3, 0.7])
def test_system_against_another_solver(curve: PumpCurve, lift: float) -> None:
    end, static = float(curve.flow[-1]), lift * float(curve.head[0])
    for share in (0.3, 0.6, 0.9):
        target = share * end
        if float(head_at(curve, target)) <= static:
            continue
        resistance = float(resistance_through(static, head_at(curve, target), target))
        duty = intersect(curve, static, resistance)
        other = brentq(
            lambda q, s=static, r=resistance: head_at(curve, q) - system_head(s, r, q),
            0.02 * end + float(curve.flow[0]), end,
        )  # fmt: skip
        assert duty.flow == pytest.approx(other, rel=1e-9)
        assert head_at(curve, duty.flow) == pytest.approx(
            float(system_head(static, resistance, duty.flow)), rel=1e-9
        )


def test_system_meeting_a_drooping_curve_twice() -> None:
    duty = intersect(DROOPING, 38.5, 2e3)
    assert duty.crossings == 2
    assert duty.flat
    assert 0 < duty.flow_low < 0.01 < duty.flow


def test_systems_off_the_curve() -> None:
    duty = intersect(STEEP, [50.0, 0.0, 10.0], [1e3, 1e3, 6e4])
    assert list(duty.beyond) == [True, False, False]
    assert list(duty.above) == [False, True, False]
    assert np.isfinite(duty.flow[2])


@settings(max_examples=30)
@given(st.floats(1e4, 1e6), st.floats(1.01, 3.0))
def test_more_resistance_means_less_flow(resistance: float, times: float) -> None:
    wide, tight = (
        intersect(STEEP, 5.0, resistance * 6),
        intersect(STEEP, 5.0, resistance * 6 * times),
    )
    assert tight.flow < wide.flow


@pytest.mark.parametrize(
    ("function", "message"),
    [
        (lambda: duty_point(STEEP, 36.0, -0.1), "head_uncertainty = -0.1"),
        (lambda: duty_from_power(DROOPING, 1e3), "power is not given"),
        (lambda: duty_from_power(STEEP, 1e3, density=0.0), "density = 0"),
        (lambda: intersect(STEEP, 10.0, -1.0), "resistance = -1"),
        (lambda: resistance_through(10.0, 20.0, 0.0), "flow = 0"),
    ],
)
def test_refuses(function, message: str) -> None:
    with pytest.raises(ArgumentError, match=message):
        function()
