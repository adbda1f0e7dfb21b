"""Uncertainty: published examples, first order against Monte Carlo, and refusals."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.errors import ArgumentError
from gaugewalk.physics import water
from gaugewalk.physics.curve import PumpCurve
from gaugewalk.physics.duty import duty_point
from gaugewalk.physics.head import differential_head
from gaugewalk.physics.npsh import npsh_available, npsh_from_gauge
from gaugewalk.physics.power import pump_efficiency
from gaugewalk.physics.uncertainty import (
    Measured,
    gauge_uncertainty,
    monte_carlo,
    propagate,
)


def measured(value: float, uncertainty: float, shape: str = "normal") -> Measured:
    return Measured(value=value, uncertainty=uncertainty, shape=shape)


# Our calculations with the gauges of an ordinary round.
HEAD = (
    differential_head,
    {
        "suction_pressure": measured(1.46e5, gauge_uncertainty(2e5, 1.6)),
        "discharge_pressure": measured(7.21e5, gauge_uncertainty(10e5, 1.6)),
        "density": measured(998.2, 1.0),
    },
)
NPSH = (
    npsh_from_gauge,
    {
        "suction_pressure": measured(0.66e5, 2e3),
        "vapor_pressure": measured(2339.0, 70.0),
        "density": 998.2,
        "flow": measured(0.0167, 5e-4),
        "diameter": 0.125,
    },
)
EFFICIENCY = (
    pump_efficiency,
    {
        "flow": measured(0.0278, 4e-4),
        "head": measured(50.0, 0.6),
        "density": 998.2,
        "power": measured(18.5e3, 300.0),
    },
)


@pytest.mark.parametrize(("calculation", "inputs"), [HEAD, NPSH, EFFICIENCY])
def test_first_order_and_monte_carlo_agree(calculation, inputs) -> None:
    first, trials = propagate(calculation, inputs), monte_carlo(calculation, inputs)
    assert trials.lost == 0
    assert trials.value == pytest.approx(first.value, abs=0.02 * first.uncertainty)
    assert trials.uncertainty == pytest.approx(first.uncertainty, rel=0.02)
    half = (trials.high - trials.low) / 2
    assert half == pytest.approx(1.96 * first.uncertainty, rel=0.03)


def test_by_hand() -> None:
    # A product: relative uncertainties add in squares (JCGM 100:2008, 5.1.6).
    result = propagate(*EFFICIENCY)
    relative = math.hypot(4e-4 / 0.0278, 0.6 / 50.0, 300.0 / 18.5e3)
    assert result.uncertainty / result.value == pytest.approx(relative, rel=1e-3)
    assert max(result.parts, key=lambda name: abs(result.parts[name])) == "power"


def test_gum_example_h2_with_correlations() -> None:
    # JCGM 100:2008, H.2, Tables H.2 to H.4: V = 4.9990 V, I = 19.6610 mA, phi = 1.044 46 rad with
    # standard uncertainties 0.0032 V, 0.0095 mA, 0.000 75 rad and correlations -0.36, 0.86, -0.65;
    # printed R = 127.732 ± 0.071, X = 219.847 ± 0.295, Z = 254.260 ± 0.236 ohm. (From memory.)
    inputs = {
        "v": measured(4.9990, 0.0032),
        "i": measured(19.6610e-3, 0.0095e-3),
        "phi": measured(1.04446, 0.00075),
    }
    correlations = {("v", "i"): -0.36, ("v", "phi"): 0.86, ("i", "phi"): -0.65}
    printed = [
        (lambda v, i, phi: v / i * np.cos(phi), 127.732, 0.071),
        (lambda v, i, phi: v / i * np.sin(phi), 219.847, 0.295),
        (lambda v, i, phi: v / i + 0 * phi, 254.260, 0.236),
    ]
    for calculation, value, uncertainty in printed:
        result = propagate(calculation, inputs, correlations=correlations)
        assert result.value == pytest.approx(value, abs=0.002)
        assert result.uncertainty == pytest.approx(uncertainty, abs=0.002)


def test_one_barometer_for_two_gauges_cancels() -> None:
    inputs = {name: measured(3e5, 1e3) for name in ("suction_pressure", "discharge_pressure")}
    apart = propagate(differential_head, {**inputs, "density": 998.2})
    together = propagate(
        differential_head, {**inputs, "density": 998.2},
        correlations={("suction_pressure", "discharge_pressure"): 1.0},
    )  # fmt: skip
    assert apart.uncertainty > 0.1
    assert together.uncertainty == pytest.approx(0.0, abs=1e-9)


def test_where_the_curve_bends_only_monte_carlo_is_right() -> None:
    # The vapor pressure of hot water over an uncertain temperature is skewed upwards.
    spread = {"temperature": measured(353.15, 12.0)}
    first, trials = (
        propagate(water.vapor_pressure, spread),
        monte_carlo(water.vapor_pressure, spread),
    )
    assert trials.value > first.value * 1.05
    assert trials.high - trials.value > trials.value - trials.low


def test_uniform_and_triangular_have_the_stated_uncertainty() -> None:
    for shape in ("uniform", "triangular"):
        result = monte_carlo(lambda a: a, {"a": measured(5.0, 0.2, shape)}, coverage=0.999_99)
        assert result.uncertainty == pytest.approx(0.2, rel=0.02)
        half = 0.2 * math.sqrt(3 if shape == "uniform" else 6)
        assert result.high <= 5.0 + half
        assert result.high == pytest.approx(5.0 + half, rel=0.01)


def test_same_seed_same_answer() -> None:
    one, two = (monte_carlo(*HEAD, trials=500, seed=4) for _ in range(2))
    assert one == two
    assert one != monte_carlo(*HEAD, trials=500, seed=5)


def test_trials_without_an_answer_are_counted_and_not_hidden() -> None:
    curve = PumpCurve(speed=49.0, flow=[0.0, 0.01, 0.02], head=[40.0, 36.0, 25.0])
    result = monte_carlo(
        lambda head: duty_point(curve, head).flow, {"head": measured(40.0, 0.5)}, trials=4000
    )
    assert result.lost == pytest.approx(0.5, abs=0.05)  # half of the trials lie above the curve


def test_exact_inputs_have_no_uncertainty() -> None:
    result = propagate(npsh_available, dict(
        surface_pressure=1e5, vapor_pressure=2e3, density=998.0, static_head=1.0,
    ))  # fmt: skip
    assert result.uncertainty == 0.0
    assert result.parts == {}


@given(st.floats(-1e3, 1e3), st.floats(0.0, 10.0), st.floats(-50.0, 50.0))
def test_a_straight_line_is_exact(value: float, uncertainty: float, slope: float) -> None:
    result = propagate(lambda a: slope * a + 3, {"a": measured(value, uncertainty)})
    assert result.uncertainty == pytest.approx(abs(slope) * uncertainty, rel=1e-6, abs=1e-7)


@pytest.mark.parametrize(
    ("function", "message"),
    [
        (lambda: Measured(value=1.0, uncertainty=-0.1), "uncertainty = -0.1"),
        (lambda: Measured(value=float("nan"), uncertainty=0.1), "value has a gap"),
        (lambda: propagate(lambda a: [a, a], {"a": measured(1.0, 0.1)}), "gave 2 numbers"),
        (
            lambda: propagate(
                lambda a, b: a + b, {"a": measured(1.0, 0.1), "b": 2.0},
                correlations={("a", "b"): 0.5},
            ),
            "of two measured inputs",
        ),
        (lambda: monte_carlo(lambda a: a, {"a": 1.0}, trials=10), "100 or more"),
        (
            lambda: monte_carlo(lambda a: a * np.nan, {"a": measured(1.0, 0.1)}, trials=100),
            "no answer in any trial",
        ),
        (
            lambda: monte_carlo(lambda a: a[:5], {"a": measured(1.0, 0.1)}, trials=100),
            "gave the shape",
        ),
    ],
)  # fmt: skip
def test_refuses(function, message: str) -> None:
    with pytest.raises(ArgumentError, match=message):
        function()
