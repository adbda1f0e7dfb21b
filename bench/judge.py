"""What a verdict, a forecast and an estimate cost; and how often forecasts hold what they claim."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray
from scipy import optimize, stats

from bench.common import Row, measure, show
from bench.screen import data_folder, recordings
from gaugewalk.drill.history import records
from gaugewalk.drill.larkmoor import larkmoor
from gaugewalk.judge.estimate import estimate
from gaugewalk.judge.forecast import LEVEL, time_to_limit
from gaugewalk.judge.judge import judge_reading
from gaugewalk.judge.screen import Screener
from gaugewalk.judge.screen_result import PointColumn
from gaugewalk.judge.state import PointState
from gaugewalk.judge.trend import trend_of
from gaugewalk.judge.verdict import Verdict
from gaugewalk.physics.circuit import solve
from gaugewalk.physics.circuit_parts import Condition
from gaugewalk.plant.circuit import circuit_of
from gaugewalk.plant.points import point_kind
from gaugewalk.plant.pump import Plant
from gaugewalk.plant.site import barometric
from gaugewalk.units import Quantity, parse

START = datetime(2026, 1, 1, tzinfo=UTC)
FEW, MANY = 100, 5_000
Array = NDArray[np.float64]
FEWEST, EVERY = 15, 5  # readings before the first forecast, and between two


def rows() -> list[Row]:
    """Time the judge's parts."""
    return [_verdicts(), _forecast(), _estimate(), _screening()]


def _quantity(bar: float) -> Quantity:
    return Quantity(value=bar * 1e5 + 101325, kind="pressure", unit="barg", entered=f"{bar:.2f}")


def _judge(plant: Plant, state: PointState, at: datetime, bar: float) -> tuple[Verdict, PointState]:
    pump = plant.pump("W21A")
    assert pump is not None
    return judge_reading(
        pump,
        "discharge_pressure",
        _quantity(bar),
        seen_at=at,
        state=state,
        context={"running": 1.0},
        barometric=101325,
    )


def _verdicts() -> Row:
    """One verdict after many readings, against one after few: the state is bounded."""
    plant, noise = larkmoor(), np.random.default_rng(0).standard_normal(MANY)
    states: dict[int, PointState] = {}
    state = PointState()
    for i, z in enumerate(noise, 1):
        _, state = _judge(plant, state, START + timedelta(hours=8 * i), 3.13 + 0.02 * z)
        if i in (FEW, MANY):
            states[i] = state
    after = START + timedelta(hours=8 * MANY + 8)
    return measure(
        f"a verdict after {MANY:,} readings",
        lambda: _judge(plant, states[MANY], after, 3.14),
        f"after {FEW}",
        lambda: _judge(plant, states[FEW], START + timedelta(hours=8 * FEW + 8), 3.14),
        repeat=200,
        note="same bounded state, so the same after any number",
    )


def _forecast() -> Row:
    times = np.arange(96) * 28800.0
    values = 1.0 + np.arange(96) / 100 + 0.02 * np.random.default_rng(1).standard_normal(96)
    return measure(
        "a forecast with interval from 96 readings",
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
class Ends:
    """How often each end of the intervals failed, of those that the record lets be checked."""

    early: int = 0  # forecasts whose early end lies inside the record
    before: int = 0  # of these, reached before it
    late: int = 0  # forecasts whose late end lies inside the record
    after: int = 0  # of these, not reached by then

    def line(self, what: str) -> str:
        claimed = (1.0 - LEVEL) / 2.0
        return (
            f"  {what}: {self.before} of {self.early} reached before the early end "
            f"({self.before / max(self.early, 1):.0%}), {self.after} of {self.late} not by the "
            f"late end ({self.after / max(self.late, 1):.0%}); {claimed:.0%} claimed for each"
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


def backtest(histories: Iterable[tuple[Array, Array]]) -> Ends:
    """Forecast at many moments of the past, then look what came.

    Few recorded points ever reach a limit, so the mark to be reached is set where the trend would
    be after another 0.3 or 0.7 of the time looked back. Whether a forecast is counted depends only
    on the forecast, never on what came.
    """
    ends = Ends()
    for times, values in histories:
        for now in range(FEWEST, len(times) - 3, EVERY):
            for far in (0.3, 0.7):
                _check(ends, times, values, now, far)
    return ends


def _check(ends: Ends, times: Array, values: Array, now: int, far: float) -> None:
    trend = trend_of(times[:now], values[:now])
    if trend is None:
        return
    mark = trend.at(times[now - 1]) + trend.slope * far * trend.span
    crossing = time_to_limit(times[:now], values[:now], mark)
    if crossing is None:
        return
    true = _reached(np.sign(crossing.trend.slope), mark, times, values, now)
    end = times[-4]
    ends.early += int(crossing.low < end)
    ends.before += int(true < crossing.low)
    ends.late += int(crossing.high <= end)
    ends.after += int(crossing.high <= end and true > crossing.high)


def simulated(shape: float, scatter: float, runs: int = 300) -> tuple[float, int]:
    """Return the share of intervals that hold on simulated wear ~ time^shape, and their number."""
    inside = []
    for seed in range(runs):
        random = np.random.default_rng(seed)
        steps = np.arange(400) * 28800.0
        level = (steps / (random.uniform(15, 60) * 86400.0)) ** shape
        values = level + scatter * random.standard_normal(400)
        now = int(np.argmax(level > 1.0) * random.uniform(0.4, 0.9))
        crossing = time_to_limit(steps[:now], values[:now], 1.0) if now >= FEWEST else None
        if crossing:
            inside.append(crossing.low <= steps[np.argmax(level > 1.0)] <= crossing.high)
    return float(np.mean(inside)), len(inside)


def main() -> None:
    """Print the times and the coverage."""
    show(rows())
    print(f"\nForecast intervals: {LEVEL:.0%} claimed")
    for shape, scatter in ((1.0, 0.03), (1.0, 0.1), (1.5, 0.03), (1.5, 0.1)):
        share, count = simulated(shape, scatter)
        print(f"  simulated wear ~ time^{shape:g}, scatter {scatter:g}: {share:.0%} of {count}")
    print(backtest(demo_histories()).line("recorded rounds of the demo plant"))
    real = backtest(bench_histories())
    print(real.line("open test-bench recordings") if real.early else "  no open recordings here")


if __name__ == "__main__":
    main()
