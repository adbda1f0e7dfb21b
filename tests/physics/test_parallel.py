"""Pumps together: against the single pump, another solver, and who is pushed back."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.curve import PumpCurve, head_at
from gaugewalk.physics.duty import intersect, system_head
from gaugewalk.physics.parallel import flow_against, parallel_duty, pushed_back, series_duty

from . import real_curves

STRONG = PumpCurve(speed=49.0, flow=[0.0, 0.01, 0.02], head=[40.0, 36.0, 25.0])
WEAK = STRONG.at_speed(46.0)


def test_one_pump_is_the_single_pump() -> None:
    static, resistance = np.array([5.0, 15.0, 25.0]), np.array([9e4, 9e4, 2e5])
    alone = intersect(STRONG, static, resistance)
    np.testing.assert_allclose(parallel_duty([STRONG], static, resistance).flow, alone.flow)
    np.testing.assert_allclose(series_duty([STRONG], static, resistance).flow, alone.flow)


@settings(max_examples=25)
@given(st.floats(0.0, 30.0), st.floats(3e4, 1e6))
def test_two_like_pumps_give_more_than_one_and_less_than_twice(static, resistance) -> None:
    one = float(parallel_duty([STRONG], static, resistance).flow)
    two = parallel_duty([STRONG, STRONG], static, resistance)
    assert one <= two.flow <= 2 * one + 1e-12
    assert two.flows[0] == two.flows[1]


@pytest.mark.parametrize("names", [("curve-02", "curve-18"), ("curve-18", "curve-19")])
def test_unlike_measured_pumps_against_another_solver(names: tuple[str, str]) -> None:
    curves = [real_curves.CURVES[name] for name in names]
    lowest, highest = (f(float(c.head.max()) for c in curves) for f in (min, max))
    static = 0.4 * lowest
    ends = sum(float(c.flow[-1]) for c in curves)
    resistance = (0.8 * highest - static) / ends**2
    both = parallel_duty(curves, static, resistance)

    def excess(head: float) -> float:
        total = sum(flow_against(curve, head) for curve in curves)
        return float(system_head(static, resistance, total) - head)

    other = brentq(excess, static, highest)
    assert both.head == pytest.approx(other, rel=1e-9)
    assert both.head == pytest.approx(float(system_head(static, resistance, both.flow)), rel=1e-6)
    assert sum(both.flows) == pytest.approx(float(both.flow))
    for curve, flow in zip(curves, both.flows, strict=True):
        if 0 < flow < curve.flow[-1]:
            assert head_at(curve, flow) == pytest.approx(float(both.head), rel=1e-9)


def test_the_weak_one_is_pushed_back_before_it_is_shut() -> None:
    words = [
        pushed_back([STRONG, WEAK], head, best_flows=[0.014, 0.013], minimum_flows=[0.004, 0.004])[
            1
        ].state
        for head in (30.0, 34.8, 38.0)
    ]
    assert words == ["carrying", "below minimum flow", "held shut"]


def test_shut_valve_adds_nothing() -> None:
    static, resistance = 36.0, 2e4  # near the head at which the weak one cannot open
    both = parallel_duty([STRONG, WEAK], static, resistance)
    assert both.flows[1] == 0.0
    assert both.flow == pytest.approx(float(parallel_duty([STRONG], static, resistance).flow))


def test_no_pump_lifts_it() -> None:
    nothing = parallel_duty([STRONG, WEAK], 50.0, 1e4)
    assert nothing.flow == 0.0
    assert nothing.head == 50.0


def test_series_adds_heads() -> None:
    both = series_duty([STRONG, WEAK], 30.0, 1e5)
    assert both.head == pytest.approx(float(both.heads[0] + both.heads[1]))
    assert both.head == pytest.approx(float(system_head(30.0, 1e5, both.flow)), rel=1e-9)


@pytest.mark.parametrize(
    ("function", "message"),
    [
        (lambda: parallel_duty([], 1.0, 1e4), "one pump or more"),
        (lambda: parallel_duty([STRONG], 1.0, 0.0), "resistance = 0"),
        (
            lambda: pushed_back([STRONG], 30.0, best_flows=[], minimum_flows=[0.0]),
            "equally many",
        ),
    ],
)
def test_refuses(function, message: str) -> None:
    with pytest.raises(ArgumentError, match=message):
        function()
