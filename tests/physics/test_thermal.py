"""Heat in a pump: energy closes, limits, and the deadheaded pump."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.curve import PumpCurve, head_at, power_at
from gaugewalk.physics.power import shaft_power
from gaugewalk.physics.thermal import (
    heating_rate,
    minimum_thermal_flow,
    minimum_thermal_flow_on_curve,
    temperature_rise,
    temperature_rise_from_power,
    time_to_temperature,
)

from . import real_curves

WATER = {"density": 998.2, "specific_heat": 4184.0}


@given(st.floats(1e-4, 1.0), st.floats(1.0, 500.0), st.floats(0.05, 0.95))
def test_two_forms_agree_and_energy_closes(flow, head, eta) -> None:
    power = shaft_power(flow, head, WATER["density"], eta)
    rise = temperature_rise_from_power(power, flow, head, **WATER)
    assert rise == pytest.approx(float(temperature_rise(head, eta, WATER["specific_heat"])))
    warmed = WATER["density"] * flow * (WATER["specific_heat"] * float(rise) + 9.80665 * head)
    assert warmed == pytest.approx(float(power))


@pytest.mark.parametrize("name", real_curves.NAMES)
def test_minimum_flow_on_a_curve_has_just_the_allowed_rise(name: str) -> None:
    curve = real_curves.CURVES[name]
    allowed = 0.2  # these are efficient little pumps: 8 K would be far below their first point
    flow = minimum_thermal_flow_on_curve(curve, allowed_rise=allowed, **WATER)
    if flow == float(curve.flow[0]):
        return
    power, head = power_at(curve, flow, WATER["density"]), head_at(curve, flow)
    assert temperature_rise_from_power(power, flow, head, **WATER) == pytest.approx(allowed)
    # Taking all power at shut-off as heat and leaving out the head is on the cautious side.
    assert flow <= minimum_thermal_flow(power, allowed_rise=allowed, **WATER)


def test_a_rise_that_no_flow_keeps_is_refused() -> None:
    hot = PumpCurve(speed=49.0, flow=[0.0, 1e-4], head=[40.0, 36.0], power=[2e3, 5e3])
    with pytest.raises(ArgumentError, match="allowed_rise = 1 K is passed at every flow"):
        minimum_thermal_flow_on_curve(hot, allowed_rise=1.0, **WATER)


def test_metal_that_warms_along_slows_it() -> None:
    bare = heating_rate(25e3, 20.0, 4184.0)
    with_metal = heating_rate(25e3, 20.0, 4184.0, metal_mass=150.0)
    assert with_metal == pytest.approx(25e3 / (20 * 4184 + 150 * 460))
    assert with_metal < bare


def test_time_with_loss_against_an_integrator() -> None:
    rate, tau, ambient, start, end = 0.1, 1800.0, 293.15, 333.15, 373.15
    solution = solve_ivp(
        lambda _, t: rate - (t - ambient) / tau, (0, 5000), [start],
        events=lambda _, t: t[0] - end, rtol=1e-10, atol=1e-9,
    )  # fmt: skip
    ours = time_to_temperature(rate, start, end, ambient=ambient, time_constant=tau)
    assert ours == pytest.approx(float(solution.t_events[0][0]), rel=1e-6)


@given(st.floats(1e-3, 1.0), st.floats(280.0, 370.0), st.floats(0.1, 90.0))
def test_loss_only_delays(rate, start, step) -> None:
    without = time_to_temperature(rate, start, start + step)
    with_loss = time_to_temperature(rate, start, start + step, ambient=start, time_constant=3600.0)
    assert with_loss >= without * (1 - 1e-9)
    assert time_to_temperature(
        rate, start, start + step, ambient=start, time_constant=1e9
    ) == pytest.approx(float(without), rel=1e-3)


def test_ends() -> None:
    assert time_to_temperature(0.3, 380.0, 373.0) == 0.0
    assert time_to_temperature(0.3, 380.0, 373.0, ambient=290.0, time_constant=60.0) == 0.0
    assert np.isinf(time_to_temperature(0.01, 300.0, 373.0, ambient=290.0, time_constant=600.0))


@pytest.mark.parametrize(
    ("function", "message"),
    [
        (lambda: temperature_rise(50.0, 0.0, 4184.0), "efficiency = 0"),
        (lambda: temperature_rise_from_power(1e3, 0.0, 50.0, **WATER), "flow = 0"),
        (lambda: heating_rate(1e3, 0.0, 4184.0), "liquid_mass = 0"),
        (lambda: time_to_temperature(0.0, 300.0, 373.0), "rate = 0"),
        (lambda: time_to_temperature(0.1, 300.0, 373.0, ambient=290.0), "belong together"),
        (lambda: minimum_thermal_flow(1e3, allowed_rise=0.0, **WATER), "allowed_rise = 0"),
    ],
)
def test_refuses(function, message: str) -> None:
    with pytest.raises(ArgumentError, match=message):
        function()
