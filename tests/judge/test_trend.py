"""Theil-Sen and Mann-Kendall: values of an independent library, then what they promise."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from gaugewalk.judge.trend import FEWEST, mann_kendall, normal_chance, theil_sen, trend_of

# x = 0..9; slope, intercept, tau and both probabilities with scipy 1.17.1 (theilslopes and
# kendalltau).
ROW = [1, 3, 2, 5, 4, 6, 8, 7, 9, 30]


def test_theil_sen_is_proof_against_one_outlier():
    assert theil_sen(range(10), ROW) == (1.0, 1.0)
    assert np.polyfit(range(10), ROW, 1)[0] == pytest.approx(2.054545, abs=1e-6)


def test_mann_kendall_exact_and_normal():
    s, chance = mann_kendall(ROW)
    assert s / 45 == pytest.approx(0.8666666667)
    assert chance == pytest.approx(0.00011519, abs=1e-8)
    assert normal_chance(39, 10 * 9 * 25 / 18) == pytest.approx(0.000676764, abs=1e-9)


@given(st.permutations(range(12)))
def test_exact_chance_agrees_with_an_independent_library(order):
    _, chance = mann_kendall(order)
    other = stats.kendalltau(range(12), order, method="exact").pvalue
    assert chance == pytest.approx(other, rel=1e-9)


def test_ties_take_away_from_the_variance():
    tied = [1, 1, 2, 2, 3, 3, 3, 4, 5, 5, 6, 6]
    s, chance = mann_kendall(tied)
    assert s == 12 * 11 / 2 - (1 + 1 + 3 + 1 + 1)  # every pair rises but the tied ones
    assert 0 < chance < 1e-3
    assert mann_kendall([4.0] * 20) == (0, 1.0)


def test_a_trend_needs_enough_readings_and_some_time():
    assert trend_of(range(FEWEST - 1), range(FEWEST - 1)) is None
    assert trend_of([0.0] * 10, range(10)) is None


def test_line_and_its_errors():
    noise = np.random.default_rng(0).standard_normal(60)
    trend = trend_of(range(60), 5 + 0.3 * np.arange(60) + noise)
    assert trend.slope == pytest.approx(0.3, abs=3 * trend.slope_error)
    # Least squares would be sure to 1/sqrt(sum (t - mean)2) = 0.0075; Theil-Sen nearly as sure.
    assert 0.006 < trend.slope_error < 0.010
    assert trend.scatter == pytest.approx(1.0, abs=0.3)
    assert trend.at(trend.center) == pytest.approx(5 + 0.3 * 29.5, abs=0.5)
