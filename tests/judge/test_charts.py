"""Average run lengths: tables, then simulation, then what the house states about its own limits."""

import numpy as np
import pytest

from gaugewalk.errors import ArgumentError
from gaugewalk.judge.charts import (
    ALLOWANCE,
    CUSUM_LIMIT,
    EWMA_LIMIT,
    FALSE_ALERT_ARL,
    WEIGHT,
    Charts,
    cusum_arl,
    ewma_arl,
    ewma_half_width,
)

# Montgomery, Introduction to Statistical Quality Control, ARL tables of the EWMA and of the
# two-sided CUSUM; NIST/SEMATECH e-Handbook for the one-sided CUSUM (table values from memory,
# recomputed with an independent integral-equation program). Printed digits give the tolerance.
EWMA = [
    (0.4, 3.054, 0.0, 500.0, 0.002),
    (0.25, 2.998, 0.0, 500.0, 0.002),
    (0.2, 2.962, 0.0, 500.0, 0.002),
    (0.1, 2.814, 0.0, 500.0, 0.002),
    (0.2, 2.962, 1.0, 10.5, 0.01),
    (0.1, 2.814, 1.0, 10.3, 0.01),
    (0.05, 2.615, 1.0, 11.4, 0.01),
    (0.2, 2.962, 2.0, 3.7, 0.015),
]
ONE_SIDED = [(4.0, 336.0, 0.003), (5.0, 930.0, 0.003)]
TWO_SIDED = [
    (4.0, 0.0, 168.0, 0.003),
    (4.0, 0.5, 26.6, 0.005),
    (4.0, 1.0, 8.38, 0.005),
    (4.0, 2.0, 3.34, 0.005),
    (5.0, 0.25, 139.0, 0.005),
    (5.0, 0.5, 38.0, 0.005),
    (5.0, 1.0, 10.4, 0.005),
    (5.0, 1.5, 5.75, 0.005),
    (5.0, 2.0, 4.01, 0.005),
]


@pytest.mark.parametrize(("weight", "limit", "shift", "printed", "tolerance"), EWMA)
def test_ewma_table(weight, limit, shift, printed, tolerance):
    assert ewma_arl(weight, limit, shift) == pytest.approx(printed, rel=tolerance)


@pytest.mark.parametrize(("limit", "printed", "tolerance"), ONE_SIDED)
def test_cusum_one_sided_table(limit, printed, tolerance):
    assert cusum_arl(0.5, limit) == pytest.approx(printed, rel=tolerance)


@pytest.mark.parametrize(("limit", "shift", "printed", "tolerance"), TWO_SIDED)
def test_cusum_two_sided_table(limit, shift, printed, tolerance):
    both = 1.0 / (1.0 / cusum_arl(0.5, limit, shift) + 1.0 / cusum_arl(0.5, limit, -shift))
    assert both == pytest.approx(printed, rel=tolerance)


def test_handbook_ewma_limit_and_value():
    """NIST/SEMATECH e-Handbook 6.3.2.4: mean 50, s = 2.0539, weight 0.3, k = 3 (s from memory)."""
    data = [52.0, 47.0, 53.0, 49.3, 50.1, 47.0]
    assert 50.0 + 2.0539 * ewma_half_width(0.3, 3.0) == pytest.approx(52.5884, abs=1e-4)
    ewma = 50.0
    for value in data:
        ewma += 0.3 * (value - ewma)
    assert ewma == pytest.approx(49.21, abs=0.01)  # remembered as 49.12: a digit swap somewhere


def run_lengths(ewma_limit, cusum_limit, shift=0.0, runs=3000, seed=1):
    """Simulate both charts side by side, all runs at once."""
    noise = np.random.default_rng(seed)
    ewma, up, down = np.zeros(runs), np.zeros(runs), np.zeros(runs)
    lengths, alive = [], 0
    half = ewma_half_width(WEIGHT, ewma_limit)
    while len(ewma):
        alive += 1
        z = np.clip(noise.standard_normal(len(ewma)) + shift, -4.5, 4.5)
        ewma = (1 - WEIGHT) * ewma + WEIGHT * z
        up = np.maximum(0.0, up + z - ALLOWANCE)
        down = np.maximum(0.0, down - z - ALLOWANCE)
        out = (np.abs(ewma) > half) | (up > cusum_limit) | (down > cusum_limit)
        lengths += [alive] * int(out.sum())
        ewma, up, down = ewma[~out], up[~out], down[~out]
    return np.array(lengths)


@pytest.mark.parametrize(
    ("ewma_limit", "cusum_limit", "printed"), [(2.814, np.inf, 500.0), (np.inf, 5.0, 465.0)]
)
def test_simulation_agrees_with_the_published_run_lengths(ewma_limit, cusum_limit, printed):
    lengths = run_lengths(ewma_limit, cusum_limit)
    error = lengths.std() / np.sqrt(len(lengths))
    assert lengths.mean() == pytest.approx(printed, abs=3 * error)


def test_the_stated_rate_of_false_alerts_is_what_both_charts_together_do():
    lengths = run_lengths(EWMA_LIMIT, CUSUM_LIMIT)
    error = lengths.std() / np.sqrt(len(lengths))
    assert lengths.mean() == pytest.approx(FALSE_ALERT_ARL, abs=3 * error)
    assert run_lengths(EWMA_LIMIT, CUSUM_LIMIT, shift=1.0).mean() < 15.0


def test_one_wild_reading_is_not_a_drift():
    assert not Charts().add(1000.0).alert
    charts = Charts()
    for _ in range(12):
        charts = charts.add(1.5)
    assert charts.alert


def test_running_charts_equal_the_simulated_ones():
    charts, z = Charts(), [0.3, -1.2, 2.0, 7.0, -0.4]
    ewma = up = down = 0.0
    for value in z:
        charts = charts.add(value)
        clipped = np.clip(value, -4.5, 4.5)
        ewma = 0.9 * ewma + 0.1 * clipped
        up, down = max(0.0, up + clipped - 0.5), max(0.0, down - clipped - 0.5)
    assert (charts.ewma, charts.up, charts.down) == pytest.approx((ewma, up, down))


def test_a_weight_of_nothing_is_refused():
    with pytest.raises(ArgumentError, match="weight = 0; expected"):
        ewma_arl(0.0, 3.0)
