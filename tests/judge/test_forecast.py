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
    assert crossing.low < crossing.when < crossing.high


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
    assert (forecast.low.timestamp() - NOW) / DAY < true < (forecast.high.timestamp() - NOW) / DAY
    for part in ("rose from", "watch limit 0.3 bar", "days (", "80%", "60 readings"):
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
    clean = local_trend(times, values).reach(60.0, 100.0, (0.5,))[0]
    dirty = local_trend(times, wild).reach(60.0, 100.0, (0.5,))[0]
    assert dirty == pytest.approx(clean, rel=0.05)


def crossings(shape, scatter, runs=80):
    """Forecast simulated wear at a random moment; return whether the true crossing was inside."""
    inside = []
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
            inside.append(crossing.low <= true <= crossing.high)
    assert len(inside) > runs // 2
    return float(np.mean(inside))


@pytest.mark.parametrize(("shape", "scatter"), [(1.0, 0.03), (1.0, 0.1), (1.5, 0.03), (1.5, 0.1)])
def test_intervals_hold_what_they_claim(shape, scatter):
    """80 % claimed; straight wear and wear that speeds up, small and large scatter."""
    assert crossings(shape, scatter) >= 0.75
