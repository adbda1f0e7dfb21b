"""Pump curves: measured ones of nineteen real pumps, and what is refused."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.errors import ArgumentError, OutOfRangeError
from gaugewalk.physics.curve import (
    PumpCurve,
    best_efficiency_flow,
    curve_of,
    efficiency_at,
    head_at,
    npshr_at,
    power_at,
    power_from_efficiency,
)

from . import real_curves

ROWS = {"speed": 49.0, "flow": [0.0, 0.01, 0.02], "head": [40.0, 36.0, 25.0]}
PLAIN = PumpCurve(**ROWS, power=[2e3, 5e3, 7e3], npshr=[1.5, 2.0, 4.0])
measured = pytest.mark.parametrize("curve", real_curves.CURVES.values(), ids=real_curves.NAMES)


@measured
def test_gives_its_own_points_back(curve: PumpCurve) -> None:
    np.testing.assert_allclose(head_at(curve, curve.flow), curve.head, rtol=1e-12)
    np.testing.assert_allclose(power_at(curve, curve.flow), curve.power, rtol=1e-12)


@measured
def test_never_leaves_the_span_of_neighboring_points(curve: PumpCurve) -> None:
    for k in range(len(curve.flow) - 1):
        fine = head_at(curve, np.linspace(curve.flow[k], curve.flow[k + 1], 20))
        low, high = sorted((curve.head[k], curve.head[k + 1]))
        assert (fine >= low - 1e-12 * high).all()
        assert (fine <= high * (1 + 1e-12)).all()


@measured
def test_energy_closes_and_the_best_point_is_the_best(curve: PumpCurve) -> None:
    fine = np.linspace(curve.flow[0], curve.flow[-1], 500)[1:]
    eta = efficiency_at(curve, fine)
    assert (eta > 0).all()
    assert (eta < 1).all()
    hydraulic = curve.density * 9.80665 * fine * head_at(curve, fine)
    np.testing.assert_allclose(eta * power_at(curve, fine), hydraulic, rtol=1e-12)
    best = best_efficiency_flow(curve)
    assert float(efficiency_at(curve, best)) >= eta.max() * (1 - 1e-9)


@measured
def test_affinity_there_and_back(curve: PumpCurve) -> None:
    back = curve.at_speed(1.3 * curve.speed).at_speed(curve.speed)
    np.testing.assert_allclose(back.head, curve.head, rtol=1e-12)
    np.testing.assert_allclose(back.power, curve.power, rtol=1e-12)
    faster = curve.at_speed(1.3 * curve.speed)
    assert best_efficiency_flow(faster) == pytest.approx(
        1.3 * best_efficiency_flow(curve), rel=1e-5
    )
    middle = float(curve.flow[-1]) / 2
    assert efficiency_at(faster, 1.3 * middle) == pytest.approx(float(efficiency_at(curve, middle)))


@given(st.floats(0.0, 0.02), st.floats(400.0, 1800.0))
def test_power_goes_with_density(flow: float, density: float) -> None:
    assert power_at(PLAIN, flow, density) == pytest.approx(
        float(power_at(PLAIN, flow)) * density / PLAIN.density
    )


def test_array_equals_scalar_and_gaps_stay() -> None:
    whole = npshr_at(PLAIN, [0.005, np.nan, 0.015])
    assert whole[0] == npshr_at(PLAIN, 0.005)
    assert np.isnan(whole[1])


def test_beyond_the_ends_nothing_is_guessed() -> None:
    for flow in (-0.001, 0.021):
        with pytest.raises(OutOfRangeError, match=r"flow = .* is outside 0 to 0.02"):
            head_at(PLAIN, flow)
    assert head_at(PLAIN, 0.5, clamp=True) == 25.0
    assert head_at(PLAIN, -1.0, clamp=True) == 40.0
    assert power_at(PLAIN, 0.5, clamp=True) == 7e3


def test_power_row_from_efficiency_and_back() -> None:
    flow, head = np.array([0.0, 0.01, 0.02, 0.03]), np.array([40.0, 38.0, 30.0, 20.0])
    eta = np.array([0.0, 0.6, 0.7, 0.55])
    curve = PumpCurve(
        speed=49.0, flow=flow, head=head, power=power_from_efficiency(flow, head, eta, 998.2)
    )
    np.testing.assert_allclose(efficiency_at(curve, flow[1:]), eta[1:], rtol=1e-12)
    assert 0 <= curve.power[0] < curve.power[1]


def test_rows_of_a_plant_file() -> None:
    flow, head = (0.01, 0.02), (36.0, 25.0)
    by_power = curve_of(speed=49.0, flow=flow, head=head, power=(5e3, 7e3), efficiency=(0.1, 0.1))
    np.testing.assert_array_equal(by_power.power, [5e3, 7e3])  # power counts before efficiency
    by_efficiency = curve_of(speed=49.0, flow=flow, head=head, efficiency=(0.7, 0.65))
    np.testing.assert_allclose(efficiency_at(by_efficiency, flow), [0.7, 0.65])
    bare = curve_of(speed=49.0, flow=flow, head=head)
    assert bare.power is None
    assert bare.npshr is None
    with pytest.raises(ArgumentError, match="efficiency has 1 values, but flow has 2"):
        curve_of(speed=49.0, flow=flow, head=head, efficiency=(0.7,))


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"speed": 0.0}, "speed = 0 must be above zero"),
        ({"speed": float("nan")}, "speed has a gap"),
        ({"density": -1.0}, "density = -1"),
        ({"flow": [0.0, 0.02, 0.01]}, r"flow must rise .* point 3 \(0.01\) follows 0.02"),
        ({"flow": [0.0, 0.01, 0.01]}, "flow must rise"),
        ({"flow": [-0.1, 0.0, 0.01]}, "flow = -0.1 must not be below zero"),
        ({"flow": [0.0], "head": [40.0]}, "flow needs two points"),
        ({"head": [40.0, float("nan"), 25.0]}, "head has a gap"),
        ({"head": [40.0, 36.0]}, "head has 2 values, but flow has 3"),
        ({"head": [40.0, 36.0, -1.0]}, "head = -1"),
        ({"power": [1.0, float("inf"), 2.0]}, "power is infinite"),
        ({"npshr": [1.0]}, "npshr has 1 values"),
    ],
)
def test_refuses(change: dict[str, object], message: str) -> None:
    with pytest.raises(ArgumentError, match=message):
        PumpCurve(**(ROWS | change))


def test_a_row_that_is_missing_is_named() -> None:
    bare = PumpCurve(**ROWS)
    for function, name in ((power_at, "power"), (npshr_at, "npshr")):
        with pytest.raises(ArgumentError, match=f"{name} is not given"):
            function(bare, 0.01)
    with pytest.raises(ArgumentError, match="power is not given"):
        best_efficiency_flow(bare)


@pytest.mark.parametrize("eta", [[0.0, 0.0, 0.5], [0.0, 70.0, 60.0], [0.0, -0.1, 0.5]])
def test_efficiency_row_refused(eta: list[float]) -> None:
    with pytest.raises(ArgumentError, match="efficiency must be a share"):
        power_from_efficiency([0.0, 0.01, 0.02], [40.0, 36.0, 25.0], eta, 998.2)
