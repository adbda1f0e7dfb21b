"""What a verdict, a forecast and an estimate cost; and how often forecasts hold what they claim."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray
from scipy import optimize, stats

from bench import past
from bench.common import Row, measure, show
from bench.screen import data_folder, recordings
from gaugewalk.drill.history import records
from gaugewalk.drill.larkmoor import larkmoor
from gaugewalk.judge.estimate import estimate
from gaugewalk.judge.forecast import CLAIM, Crossing, time_to_limit
from gaugewalk.judge.screen import Screener
from gaugewalk.judge.screen_result import PointColumn
from gaugewalk.judge.trend import trend_of
from gaugewalk.physics.circuit import solve
from gaugewalk.physics.circuit_parts import Condition
from gaugewalk.plant.circuit import circuit_of
from gaugewalk.plant.points import point_kind
from gaugewalk.plant.site import barometric
from gaugewalk.units import parse

START = datetime(2026, 1, 1, tzinfo=UTC)
Array = NDArray[np.float64]
FEWEST, EVERY = 15, 5  # readings before the first forecast, and between two


def rows() -> list[Row]:
    """Time the judge's parts."""
    return [*past.rows(), _forecast(), _estimate(), _screening()]


def _forecast() -> Row:
    times = np.arange(96) * 28800.0
    values = 1.0 + np.arange(96) / 100 + 0.02 * np.random.default_rng(1).standard_normal(96)
    return measure(
        "a forecast with its earliest moment from 96 readings",
        lambda: time_to_limit(times, values, 2.5),
        "scipy theilslopes + kendalltau",
        lambda: (stats.theilslopes(values, times), stats.kendalltau(times, values)),
        repeat=30,
        note="ours also gives the time to the limit",
    )


def _estimate() -> Row:
    plant = larkmoor()
    pump, air = plant.pump("W21A"), barometric(plant)
    assert pump is not None
    shown = solve(circuit_of(pump, barometric=air), Condition())
    points = ("suction_pressure", "discharge_pressure", "flow", "motor_current")
    given = {point: float(shown[point]) for point in points}
    return measure(
        "an estimate from four gauges",
        lambda: estimate(pump, given, air),
        "scipy least_squares, 4 equations",
        lambda: optimize.least_squares(lambda x: np.array([*x, x.sum() - 2.0]) - 1.0, np.zeros(3)),
        repeat=20,
        note="ours with faults, suspects and seven quantities",
    )


def _screening() -> Row:
    from sklearn.ensemble import IsolationForest

    values = 50.0 + np.random.default_rng(2).standard_normal((4000, 8))
    kinds = [f"vibration_{end}" for end in ("de", "nde", "de_axial", "nde_axial")]
    kinds += [f"driver_vibration_{end}" for end in ("de", "nde")] + ["motor_current", "motor_power"]
    points = [
        PointColumn(column=kind, point=kind, unit=point_kind(kind).default_unit) for kind in kinds
    ]

    def ours() -> None:
        screener = Screener(points=points, learn_rows=400)
        for i, row in enumerate(values):
            screener.add(str(i), float(i), row)

    def peer() -> None:
        model = IsolationForest(random_state=0).fit(values[:400])
        for row in values[400:440]:  # row by row, as a live feed comes; a hundredth of the rows
            model.predict(row[None])

    return measure(
        "screening 4,000 rows of 8 channels, row by row",
        ours,
        "isolation forest, 40 rows",
        peer,
        repeat=3,
    )


# ------------------------------------------------------------------ do forecasts hold?


@dataclass(slots=True, kw_only=True)
class Held:
    """How often what forecasts said came true, of those that the record lets be checked."""

    early: int = 0  # forecasts whose earliest moment lies inside the record
    before: int = 0  # of these, reached before it
    middle: int = 0  # forecasts whose "going on so" lies inside the record
    by: int = 0  # of these, reached by then

    def count(self, crossing: Crossing, true: float, end: float) -> None:
        """Add one forecast, when its limit was reached, and when the record ends."""
        self.early += int(crossing.low < end)
        self.before += int(crossing.low < end and true < crossing.low)
        self.middle += int(crossing.when <= end)
        self.by += int(crossing.when <= end and true <= crossing.when)

    def line(self, what: str) -> str:
        share = 1.0 - self.before / max(self.early, 1)
        word = "holds" if share >= CLAIM else "FAILS"
        return (
            f"  {what:<48} {share:4.0%} of {self.early:3d}: {word}; "
            f"going on so, {self.by / max(self.middle, 1):4.0%} of {self.middle:3d} were there"
        )


def demo_histories(days: int = 60) -> Iterator[tuple[Array, Array]]:
    """Yield every point's recorded readings of the demo plant."""
    plant, now = larkmoor(), START + timedelta(days=days)
    taken = defaultdict(list)
    for record in records(plant, now=now, days=days):
        pump = plant.pump(record.tag) if record.kind == "reading" and record.tag else None
        entry = pump.point(record.point) if pump and record.point else None
        if entry is not None:
            kinds = point_kind(entry.point).kinds
            air = barometric(plant)
            quantity = parse(record.text, kinds, default_unit=entry.unit, barometric=air)
            taken[record.tag, entry.point].append((record.seen_at.timestamp(), quantity.value))
    for readings in taken.values():
        times, values = np.array(readings).T
        yield times, values


def bench_histories() -> Iterator[tuple[Array, Array]]:
    """Yield vibration and temperatures of the open test-bench recordings, ten rows to a reading."""
    folder = data_folder()
    for recording in recordings(folder) if folder else []:
        for column in (0, 1, 4, 5):
            count = len(recording.values) // 10
            values = recording.values[: 10 * count, column].reshape(count, 10).mean(axis=1)
            yield 10.0 * np.arange(count), values


def _reached(side: float, limit: float, times: Array, values: Array, now: int) -> float:
    """Return when three readings in a row were past the limit after now; infinite if never."""
    past = side * (values - limit) > 0.0
    run = past[now:-2] & past[now + 1 : -1] & past[now + 2 :]
    return float(times[now + np.argmax(run)]) if run.any() else float("inf")


def backtest(histories: Iterable[tuple[Array, Array]]) -> Held:
    """Forecast at many moments of the past, then look what came.

    Few recorded points ever reach a limit, so the mark to be reached is set where the trend would
    be after another 0.3 or 0.7 of the time looked back. Whether a forecast is counted depends only
    on the forecast, never on what came.
    """
    held = Held()
    for times, values in histories:
        for now in range(FEWEST, len(times) - 3, EVERY):
            for far in (0.3, 0.7):
                _check(held, times, values, now, far)
    return held


def _check(held: Held, times: Array, values: Array, now: int, far: float) -> None:
    trend = trend_of(times[:now], values[:now])
    if trend is None:
        return
    mark = trend.at(times[now - 1]) + trend.slope * far * trend.span
    crossing = time_to_limit(times[:now], values[:now], mark)
    if crossing is None:
        return
    true = _reached(np.sign(crossing.trend.slope), mark, times, values, now)
    held.count(crossing, true, times[-4])


def simulated(
    shape: float, scatter: float, *, wild: float = 0.0, step: float = 0.0, runs: int = 300
) -> Held:
    """Forecast simulated wear ~ time^shape; some readings wild, or one lasting step on the way."""
    held = Held()
    for seed in range(runs):
        random = np.random.default_rng(seed)
        times = np.arange(400) * 28800.0
        level = (times / (random.uniform(15, 60) * 86400.0)) ** shape
        now = int(np.argmax(level > 1.0) * random.uniform(0.4, 0.9))
        level = level + step * (np.arange(400) >= now * random.uniform(0.1, 0.9))
        values = level + scatter * random.standard_normal(400)
        values += 0.5 * (random.random(400) < wild)
        crossing = time_to_limit(times[:now], values[:now], 1.0) if now >= FEWEST else None
        if crossing and level[now - 1] < 1.0:
            held.count(crossing, float(times[np.argmax(level > 1.0)]), float("inf"))
    return held


def trendless(memory: float, runs: int = 400) -> float:
    """Return the share of records without a trend for which a limit is forecast all the same.

    Neighboring readings are alike by `memory` (their correlation); the limit is two scatters off.
    """
    told = 0
    for seed in range(runs):
        random = np.random.default_rng(seed)
        values = random.standard_normal(60)
        for i in range(1, 60):
            values[i] = memory * values[i - 1] + (1.0 - memory**2) ** 0.5 * values[i]
        limit = 2.0 if seed % 2 else -2.0
        told += time_to_limit(np.arange(60) * 28800.0, values, limit) is not None
    return told / runs


SIMULATED: tuple[tuple[str, dict[str, float]], ...] = (
    ("even wear, small scatter", {"shape": 1.0, "scatter": 0.03}),
    ("even wear, large scatter", {"shape": 1.0, "scatter": 0.1}),
    ("wear that speeds up, small scatter", {"shape": 1.5, "scatter": 0.03}),
    ("wear that speeds up, large scatter", {"shape": 1.5, "scatter": 0.1}),
    ("wear that slows down, small scatter", {"shape": 0.6, "scatter": 0.03}),
    ("even wear, one reading in 20 wild", {"shape": 1.0, "scatter": 0.05, "wild": 0.05}),
    ("even wear, one step on the way", {"shape": 1.0, "scatter": 0.05, "step": 0.2}),
)


def main() -> None:
    """Print the times, and whether forecasts hold what they claim."""
    show(rows())
    print(f"\nForecasts: not reached before the earliest moment, {CLAIM:.0%} claimed")
    for what, how in SIMULATED:
        print(simulated(**how).line(what))  # type: ignore[arg-type]  # floats by name
    print(backtest(demo_histories()).line("recorded rounds of the demo plant"))
    real = backtest(bench_histories())
    print(real.line("open test-bench recordings") if real.early else "  no open recordings here")
    for memory in (0.0, 0.6):
        share = trendless(memory)
        print(f"  no trend, neighbors alike by {memory:g}: a limit is forecast in {share:.1%}")


if __name__ == "__main__":
    main()
