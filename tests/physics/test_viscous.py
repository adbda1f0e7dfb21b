"""Viscous correction: limits of the method, a worked case, and what must follow from it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.errors import ArgumentError, OutOfRangeError
from gaugewalk.physics.curve import PumpCurve, best_efficiency_flow, efficiency_at, head_at
from gaugewalk.physics.viscous import viscous_curve, viscous_factors, viscous_parameter

from . import real_curves

GPM, FOOT = 231 * 0.0254**3 / 60, 0.3048


def test_chart_case_by_the_newer_method() -> None:
    # B-V-12: 750 gpm, 100 ft, 216 mm2/s, 1750 r/min (speed assumed): C_Q 0.9132; the older chart
    # reads 0.95 for the same case (The Practical Pumping Handbook, Fig. 13.5).
    b = viscous_parameter(216e-6, 750 * GPM, 100 * FOOT, 1750 / 60)
    assert viscous_factors(b).flow == pytest.approx(0.9132, abs=0.001)


def test_constants_of_both_unit_customs_agree() -> None:
    # 26.6 in US units against 16.5 in SI: 0.4 % apart, as published.
    us = 26.6 * 120**0.5 * 300**0.0625 / (440**0.375 * 3550**0.25)
    si = viscous_parameter(120e-6, 440 * GPM, 300 * FOOT, 3550 / 60)
    assert si == pytest.approx(us, rel=0.005)


def test_limits_of_the_method() -> None:
    thin = viscous_factors([0.2, 1.0])
    for factor in (thin.flow, thin.head, thin.efficiency):
        np.testing.assert_array_equal(factor, [1.0, 1.0])
    with pytest.raises(OutOfRangeError, match=r"parameter = 40 .*ask the maker"):
        viscous_factors(40.0)


@given(st.floats(1.0, 38.0), st.floats(1.01, 1.05), st.floats(0.0, 1.2))
def test_thicker_is_worse(b: float, times: float, share: float) -> None:
    thin, thick = viscous_factors(b, share), viscous_factors(b * times, share)
    assert thick.flow <= thin.flow <= 1
    assert thick.head <= thin.head <= 1
    assert thick.efficiency <= thin.efficiency <= 1


def test_at_best_efficiency_head_and_flow_factor_are_one() -> None:
    factors = viscous_factors(8.0)
    assert factors.head == pytest.approx(float(factors.flow))


@pytest.mark.parametrize("name", ["curve-01", "curve-18", "curve-19"])
def test_a_whole_curve(name: str) -> None:
    curve = real_curves.CURVES[name]
    best = best_efficiency_flow(curve)
    thick = viscous_curve(curve, 80e-6, density=900.0)
    b = viscous_parameter(80e-6, best, head_at(curve, best), curve.speed)
    factors = viscous_factors(b, 1.0)
    assert thick.head[0] == curve.head[0]  # shut-off head is kept
    # Off the points both curves are interpolated, so to 1 %.
    assert efficiency_at(thick, best * float(factors.flow)) == pytest.approx(
        float(efficiency_at(curve, best)) * float(factors.efficiency), rel=0.01
    )
    assert thick.density == 900.0
    np.testing.assert_allclose(viscous_curve(curve, 0.5e-6).head, curve.head)


def test_refuses() -> None:
    bare = PumpCurve(speed=49.0, flow=[0.0, 0.01], head=[40.0, 36.0])
    with pytest.raises(ArgumentError, match="power is not given"):
        viscous_curve(bare, 80e-6)
    with pytest.raises(ArgumentError, match="kinematic_viscosity = 0"):
        viscous_curve(bare, 0.0, best_flow=0.01)
