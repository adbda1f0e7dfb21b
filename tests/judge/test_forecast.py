"""Forecasts: a straight line, honesty without a trend, resets, and the coverage that is claimed."""

from datetime import UTC, datetime

import numpy as np
import pytest
from bench.forecast import Held, simulated
from bench.wear import KINDS

from gaugewalk.judge.drivers import drivers_of
from gaugewalk.judge.forecast import Past, look_ahead, time_to_limit
from gaugewalk.judge.local_trend import local_trend
from gaugewalk.judge.normal import Sample, fit
from gaugewalk.plant.pump import Lubrication, PlantLiquid, Point, Pump, ShaftSeal, Strainer

DAY = 86400.0
NOW = 1.75e9
PUMP = Pump(
    tag="P-1",
    name="p",
    liquid=PlantLiquid(name="water"),
    seal=ShaftSeal(kind="packing"),
    lubrication=Lubrication(kind="oil sump"),
    suction_strainer=Strainer(clean_dp=5e3, clean_flow=0.01, limit_dp=40e3),
    points=(
        Point(point="suction_strainer_dp", unit="bar", watch_high=30e3),
        Point(point="bearing_temperature_de", unit="degC", act_high=343.15),
        Point(point="oil_level", unit="mm"),
    ),
)


def noise(count, seed=0):
    return np.random.default_rng(seed).standard_normal(count)


def past_of(values, step=DAY / 3, contexts=None):
    times = NOW - step * np.arange(len(values))[::-1]
    contexts = contexts or [{}] * len(values)
    return [
        Past(at=float(t), value=float(v), context=c)
        for t, v, c in zip(times, values, contexts, strict=True)
    ]


def ahead(point, values, **how):
    return look_ahead(
        PUMP, point, past_of(values, **how), now=datetime.fromtimestamp(NOW, UTC), barometric=1e5
    )


def test_a_straight_line_is_continued():
    crossing = time_to_limit(np.arange(30) * DAY, 2.0 * np.arange(30) + 0.1 * noise(30), 80.0)
    assert crossing.when == pytest.approx(40 * DAY, rel=0.01)
    assert 30 * DAY < crossing.low < crossing.when


def test_a_limit_that_is_passed_or_lies_the_other_way_is_not_forecast():
    times, values = np.arange(30) * DAY, 2.0 * np.arange(30) + 0.1 * noise(30)
    assert time_to_limit(times, values, 20.0) is None
    assert time_to_limit(times, values, -20.0) is None
    assert time_to_limit(times, values, 1000.0) is None  # too far ahead


def test_the_sentence_has_every_number():
    forecast = ahead("suction_strainer_dp", 10e3 + 250.0 * np.arange(60) + 200 * noise(60, 1))
    assert forecast.limit.severity == "watch"
    assert forecast.limit.value == 30e3
    true = (30e3 - 10e3 - 250 * 59) / 750
    ends = (forecast.low, forecast.when, forecast.high)
    low, when, high = ((end.timestamp() - NOW) / DAY for end in ends)
    assert 0 < low < true < high < 2 * true
    assert low < when < high
    assert when == pytest.approx(true, rel=0.2)
    assert forecast.last.timestamp() == NOW
    assert forecast.level == pytest.approx(10e3 + 250 * 59, abs=200)
    for part in ("rose from", "watch limit 0.3 bar is reached in", "8 cases of 10", "likeliest in",
                 "60 readings"):  # fmt: skip
        assert part in forecast.sentence
    assert "level off" not in forecast.sentence


def test_what_settles_has_no_late_end_and_that_is_said():
    """Warming up towards a temperature just past its limit: it may as well stay short of it."""
    forecast = ahead(
        "bearing_temperature_de", 345.0 - 25 * np.exp(-np.arange(24) / 15) + 0.3 * noise(24)
    )
    assert forecast.when is not None
    assert forecast.high is None
    assert "not before" in forecast.sentence
    assert "9 cases of 10" in forecast.sentence
    assert "it may also level off" in forecast.sentence


def test_spans_count_from_now_and_what_lies_behind_is_said_so():
    past = past_of(10e3 + 250.0 * np.arange(60) + 200 * noise(60, 1))

    def said(days):
        now = datetime.fromtimestamp(NOW + days * DAY, UTC)
        return look_ahead(PUMP, "suction_strainer_dp", past, now=now, barometric=1e5).sentence

    assert "is reached within" in said(7.0)
    assert "likeliest by now" in said(7.2)
    assert "is reached by now, going by the readings so far" in said(30)


def test_a_trend_whose_limit_is_far_is_not_called_none():
    forecast = ahead("suction_strainer_dp", 10e3 + 50.0 * np.arange(60) + 100 * noise(60))
    assert forecast.when is None
    assert "rose from" in forecast.sentence
    assert "no limit is reached in as long again" in forecast.sentence
    beyond = ahead("bearing_temperature_de", 340.0 + 0.2 * np.arange(40) + 0.1 * noise(40))
    assert "no further limit is reached" in beyond.sentence


def test_no_trend_is_said():
    forecast = ahead("suction_strainer_dp", 10e3 + 200 * noise(60))
    assert forecast.when is None
    assert "shows no trend towards a limit: 60 readings" in forecast.sentence
    assert "has no limit" in ahead("oil_level", [1.0] * 20).sentence
    assert "too few" in ahead("suction_strainer_dp", [1.0] * 5).sentence


def test_only_what_came_after_the_last_cleaning_counts():
    tooth = 5e3 + 500.0 * np.arange(40)
    values = np.concatenate([tooth, tooth, tooth[:32]]) + 100 * noise(112)
    forecast = ahead("suction_strainer_dp", values)
    assert forecast.readings == 32
    days = (forecast.when.timestamp() - NOW) / DAY
    assert days == pytest.approx((30e3 - 5e3 - 500 * 31) / 1500, rel=0.15)


def test_a_warm_spring_is_not_a_dying_bearing():
    """The air gets warmer by a third of a kelvin a reading, the bearing with it: no forecast."""
    air = 278.0 + 0.3 * np.arange(60)
    values = 318.0 + 0.8 * (air - 278.0) + 0.3 * noise(60)
    contexts = [{"ambient_temperature": float(a)} for a in air]
    past = past_of(values, contexts=contexts)
    drivers = drivers_of("bearing_temperature_de")
    samples = [
        Sample(at=p.at, value=p.value, drivers=tuple(d.value(p.context) for d in drivers))
        for p in past
    ]
    own = fit(samples, drivers, floor=0.1, prior=None)
    how = {"now": datetime.fromtimestamp(NOW, UTC), "barometric": 1e5}
    assert look_ahead(PUMP, "bearing_temperature_de", past, **how).when is not None
    assert look_ahead(PUMP, "bearing_temperature_de", past, fit=own, **how).when is None


def test_wild_readings_move_the_local_trend_little():
    values = np.arange(40.0) + 0.1 * noise(40)
    wild = values.copy()
    wild[[10, 20, 30]] += 50.0
    times = np.arange(40.0)
    clean = local_trend(times, values).reach(60.0, 100.0, 0.5)
    dirty = local_trend(times, wild).reach(60.0, 100.0, 0.5)
    assert dirty == pytest.approx(clean, rel=0.05)


def test_what_the_level_has_passed_already_is_not_forecast():
    """The last readings rose faster than the line through all: what lies behind is not ahead."""
    values = np.concatenate([0.1 * np.arange(30), 3.0 + np.arange(10)]) + 0.02 * noise(40)
    assert time_to_limit(np.arange(40) * DAY, values, 9.0) is None


def test_readings_that_ran_ahead_of_their_forecasts_are_given_less_time():
    """`stretch` from rows whose answer is known: even, slowing down and speeding up."""
    times, small = np.arange(80.0), 0.3 * noise(80, 1)
    even = local_trend(times, times + small)
    assert even.stretch(0.5, 1.0) < 0.9
    slowing = local_trend(times, 20 * np.sqrt(times) + small)
    assert slowing.stretch(0.5, 1.0) < 0.9
    jumps = local_trend(times, times + 40.0 * (times > 60) + small)
    assert jumps.stretch(0.5, 1.0) > 1.5
    assert jumps.stretch(0.5, -1.0) < jumps.stretch(0.5, 1.0)


def test_too_few_readings_leave_the_models_own_spread():
    assert local_trend(np.arange(9.0), np.arange(9.0) + 0.1 * noise(9)).stretch(1.0, 1.0) == 1.0


@pytest.fixture(scope="module")
def simulated_wear():
    """Forecasts of eight kinds of wear, from even to such as stops short of its limit."""
    return {kind: simulated(kind, range(80)) for kind in KINDS}


@pytest.mark.parametrize("kind", KINDS)
def test_the_early_end_holds_what_it_claims_whatever_the_wear(simulated_wear, kind):
    """Nine of ten claimed; about 50 of each kind are told, so that 0.85 is 1.2 errors off."""
    held = simulated_wear[kind]
    assert held.early >= 20
    assert held.not_before >= 0.85


def test_both_ends_hold_what_they_claim(simulated_wear):
    """80 % claimed; all kinds together, whose mix is the plant's for all we know.

    What stops somewhere cannot be told from even wear before it does, and fails the late end half
    of the time: it stands in the pool, and would fail alone.
    """
    pooled = Held()
    for held in simulated_wear.values():
        pooled.add(held)
    assert pooled.late >= 80
    assert 0.75 <= pooled.coverage <= 0.92
    assert pooled.after / pooled.late <= 0.2
    assert pooled.not_before >= 0.9


def test_the_ends_are_worth_telling(simulated_wear):
    """Of even wear, half have a late end, less than four times as far off as the early one."""
    even = simulated_wear["even"]
    assert even.closed >= 0.4 * even.told
    assert float(np.median(even.lows)) > 0.35
    assert float(np.median(even.highs)) < 2.0
    assert float(np.median(even.widths)) < 4.0


def test_no_limit_is_forecast_where_there_is_no_trend():
    """Mann-Kendall at 1 % two-sided, half of it towards this limit: at most 2 % of 300 rows."""
    told = sum(time_to_limit(np.arange(60) * DAY, noise(60, seed), 2.0) is not None
               for seed in range(300))  # fmt: skip
    assert told <= 6
