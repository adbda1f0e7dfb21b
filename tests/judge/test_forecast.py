"""Forecasts: a straight line, honesty without a trend, resets, and the coverage that is claimed."""

from datetime import UTC, datetime

import numpy as np
import pytest

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
    forecast = ahead("suction_strainer_dp", 10e3 + 250.0 * np.arange(60) + 200 * noise(60))
    assert forecast.limit.severity == "watch"
    assert forecast.limit.value == 30e3
    days = (forecast.when.timestamp() - NOW) / DAY
    true = (30e3 - 10e3 - 250 * 59) / 750
    assert days == pytest.approx(true, rel=0.2)
    assert 0 < (forecast.low.timestamp() - NOW) / DAY < true
    for part in ("rose from", "watch limit 0.3 bar", "going on so", "not before", "9 cases of 10",
                 "60 readings"):  # fmt: skip
        assert part in forecast.sentence


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


def first_moments(shape, scatter, runs=80):
    """Forecast simulated wear at a random moment; return how often it held, and how near it was.

    Nearness is the share of the true way that the earliest moment allows.
    """
    held, share = [], []
    for seed in range(runs):
        random = np.random.default_rng(seed)
        steps = np.arange(400) * DAY / 3
        rate = 1.0 / (random.uniform(15, 60) * DAY)
        level = (rate * steps) ** shape
        values = level + scatter * random.standard_normal(400)
        true = steps[np.argmax(level > 1.0)]
        now = int(np.argmax(level > 1.0) * random.uniform(0.4, 0.9))
        crossing = time_to_limit(steps[:now], values[:now], 1.0) if now >= 12 else None
        if crossing:
            held.append(crossing.low <= true)
            share.append((crossing.low - steps[now - 1]) / (true - steps[now - 1]))
    assert len(held) > runs // 2
    return float(np.mean(held)), float(np.median(share))


@pytest.mark.parametrize(
    ("shape", "scatter", "least"), [(1.0, 0.03, 0.5), (1.0, 0.1, 0.2), (1.5, 0.03, 0.5),
                                    (1.5, 0.1, 0.2), (0.6, 0.03, 0.3)]
)  # fmt: skip
def test_the_earliest_moment_holds_what_it_claims_and_is_worth_telling(shape, scatter, least):
    """Nine of ten claimed; wear that is even, speeds up or slows down, small and large scatter."""
    held, share = first_moments(shape, scatter)
    assert held >= 0.9
    assert share >= least


def test_no_limit_is_forecast_where_there_is_no_trend():
    """Mann-Kendall at 1 % two-sided, half of it towards this limit: at most 2 % of 300 rows."""
    told = sum(time_to_limit(np.arange(60) * DAY, noise(60, seed), 2.0) is not None
               for seed in range(300))  # fmt: skip
    assert told <= 6
