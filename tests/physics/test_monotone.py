"""Our monotone interpolation against scipy's, and its inverse."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.monotone import monotone_through

from . import real_curves

rows = st.lists(st.tuples(st.floats(0.01, 10.0), st.floats(-10.0, 10.0)), min_size=2, max_size=12)


@given(rows)
def test_equals_scipy(points: list[tuple[float, float]]) -> None:
    x = np.cumsum([step for step, _ in points])
    y = np.array([height for _, height in points])
    fine = np.linspace(x[0], x[-1], 101)
    ours, other = monotone_through(x, y)(fine), PchipInterpolator(x, y)(fine)
    np.testing.assert_allclose(ours, other, rtol=1e-9, atol=1e-9)


@pytest.mark.parametrize("name", real_curves.NAMES)
def test_equals_scipy_on_measured_curves(name: str) -> None:
    curve = real_curves.CURVES[name]
    fine = np.linspace(curve.flow[0], curve.flow[-1], 301)
    for row in (curve.head, curve.power):
        ours = monotone_through(curve.flow, row)(fine)
        np.testing.assert_allclose(ours, PchipInterpolator(curve.flow, row)(fine), rtol=1e-12)


@given(st.lists(st.floats(1e-3, 5.0), min_size=2, max_size=10), st.booleans())
def test_inverse_inverts(steps: list[float], falling: bool) -> None:
    y = np.cumsum(steps) * (-1 if falling else 1)
    line = monotone_through(np.arange(len(y), dtype=float), y)
    x = np.linspace(0.0, len(y) - 1.0, 57)
    np.testing.assert_allclose(line(line.inverse(line(x))), line(x), rtol=1e-9, atol=1e-12)


def test_no_inverse_where_it_turns() -> None:
    with pytest.raises(ArgumentError, match="rises or falls throughout"):
        monotone_through(np.arange(3.0), np.array([0.0, 1.0, 0.5])).inverse(np.array(0.7))


@pytest.mark.parametrize(
    ("x", "y", "message"),
    [
        ([0.0], [1.0], "two points"),
        ([0.0, 1.0], [1.0], "as many"),
        ([0.0, 0.0], [1.0, 2.0], "x must rise"),
        ([0.0, float("nan")], [1.0, 2.0], "x has a gap"),
    ],
)
def test_refuses(x: list[float], y: list[float], message: str) -> None:
    with pytest.raises(ArgumentError, match=message):
        monotone_through(np.array(x), np.array(y))
