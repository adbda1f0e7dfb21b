"""Strainers: scaling there and back, blocked area, and the time to the limit."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.errors import ArgumentError, OutOfRangeError
from gaugewalk.physics.strainer import (
    blocked_share,
    drop_from_kv,
    fouling_ratio,
    kv_from_drop,
    npsh_lost,
    scaled_drop,
    time_to_drop,
)

drops, flows = st.floats(1.0, 1e6), st.floats(1e-4, 1.0)


@given(drops, flows, flows, st.floats(1.0, 2.0), st.floats(0.1, 10.0))
def test_scaling_inverts(drop, one, other, exponent, thicker) -> None:
    there = scaled_drop(drop, one, other, exponent=exponent, viscosity_ratio=thicker)
    back = scaled_drop(there, other, one, exponent=exponent, viscosity_ratio=1 / thicker)
    assert back == pytest.approx(drop)


@given(drops, flows, st.floats(0.2, 5.0), st.floats(1.0, 2.0))
def test_dimensions_agree(drop, flow, k, exponent) -> None:
    # Similar flow (same Reynolds number): Q k times, ν k times; the drop goes as ρ Q².
    answer = scaled_drop(drop, flow, k * flow, exponent=exponent, viscosity_ratio=k)
    assert answer == pytest.approx(drop * k**2)


@given(st.floats(0.0, 0.95), st.floats(1.0, 2.0))
def test_blocking_an_area_is_found_again(blocked: float, exponent: float) -> None:
    ratio = (1 - blocked) ** -exponent
    assert blocked_share(ratio, exponent=exponent) == pytest.approx(blocked, abs=1e-12)


def test_clean_or_torn_counts_as_clean() -> None:
    np.testing.assert_array_equal(blocked_share([1.0, 0.4]), [0.0, 0.0])
    assert fouling_ratio(0.4e4, 0.01, 1e4, 0.01) == pytest.approx(0.4)


@given(flows, st.floats(0.5, 5000.0), st.floats(500.0, 1500.0))
def test_kv_inverts(flow, kv, density) -> None:
    assert kv_from_drop(flow, drop_from_kv(flow, kv, density), density) == pytest.approx(kv)


def test_npsh_lost_is_the_column_of_the_drop() -> None:
    assert npsh_lost(9.80665e3, 1000.0) == pytest.approx(1.0)


HOURS = np.arange(40.0) * 3600
CLEAN, LIMIT = 8e3, 40e3


def clogging(per_hour: float, *, noise: float = 0.0) -> np.ndarray:
    opening = 1 - per_hour * HOURS / 3600
    random = np.random.default_rng(7)
    return CLEAN / opening**2 * (1 + noise * random.standard_normal(HOURS.size))


def test_time_to_limit_of_an_even_clogging() -> None:
    truth = (1 - (CLEAN / LIMIT) ** 0.5) / 0.01  # hours
    when, early, late = time_to_drop(HOURS, clogging(0.01), LIMIT)
    assert when / 3600 == pytest.approx(truth)
    assert early / 3600 == pytest.approx(truth)
    assert late / 3600 == pytest.approx(truth)


def test_interval_holds_the_truth_and_odd_readings_do_not_bend_it() -> None:
    truth = (1 - (CLEAN / LIMIT) ** 0.5) / 0.01
    noisy = clogging(0.01, noise=0.03)
    when, early, late = time_to_drop(HOURS, noisy, LIMIT)
    assert early <= truth * 3600 <= late
    noisy[[3, 20, 33]] *= 8  # misread by a digit
    bent, _, _ = time_to_drop(HOURS, noisy, LIMIT)
    assert bent == pytest.approx(when, rel=0.05)


def test_no_trend_never_gets_there() -> None:
    when, early, late = time_to_drop(HOURS, clogging(0.0, noise=0.01), LIMIT)
    assert np.isinf(late)
    assert early > HOURS[-1]
    assert when > HOURS[-1]


@pytest.mark.parametrize(
    ("function", "message"),
    [
        (lambda: scaled_drop(1e4, 0.0, 0.1), "flow = 0 must be above zero"),
        (lambda: scaled_drop(-1.0, 0.1, 0.1), "drop = -1"),
        (lambda: fouling_ratio(1e4, 0.1, 0.0, 0.1), "clean_drop = 0"),
        (lambda: time_to_drop([0.0, 1.0, 2.0], [1.0, 2.0, 3.0], 9.0), "four readings"),
        (lambda: time_to_drop([5.0] * 4, [1.0] * 4, 9.0), "at different times"),
        (lambda: time_to_drop(range(4), [1.0, 0.0, 2.0, 3.0], 9.0), "drops = 0"),
    ],
)
def test_refuses(function, message: str) -> None:
    with pytest.raises(ArgumentError, match=message):
        function()


def test_exponent_outside_laminar_to_turbulent() -> None:
    with pytest.raises(OutOfRangeError, match=r"exponent = 2.5"):
        blocked_share(2.0, exponent=2.5)
