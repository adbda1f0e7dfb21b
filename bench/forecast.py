"""How often forecasts hold what they claim, and how wide they are: `python -m bench.judge`."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from math import isfinite

import numpy as np

from bench.screen import data_folder, recordings
from bench.wear import FEWEST, KINDS, Array, Case, case
from gaugewalk.drill.history import records
from gaugewalk.drill.larkmoor import larkmoor
from gaugewalk.judge.forecast import CLAIM, LEVEL, Crossing, time_to_limit
from gaugewalk.judge.trend import trend_of
from gaugewalk.plant.points import point_kind
from gaugewalk.plant.site import barometric
from gaugewalk.units import parse

START = datetime(2026, 1, 1, tzinfo=UTC)
EVERY = 5  # readings between two forecasts
FAR = (0.1, 0.3, 0.7)  # of the time looked back, at which marks are set ahead


@dataclass(slots=True, kw_only=True)
class Held:
    """How often what forecasts said came true, of those that the record lets be checked.

    Whether a forecast is counted depends on what it said and where its record ends, never on what
    came.
    """

    told: int = 0
    early: int = 0  # forecasts whose early end lies inside the record
    before: int = 0  # of these, reached before it
    middle: int = 0  # forecasts whose likeliest moment lies inside the record
    by: int = 0  # of these, reached by then
    closed: int = 0  # forecasts with a late end
    late: int = 0  # of these, with the late end inside the record
    after: int = 0  # of these, not reached by then
    inside: int = 0  # of these, reached between both ends
    lows: list[float] = field(default_factory=list)  # early end over the likeliest
    highs: list[float] = field(default_factory=list)  # late end over the likeliest, where closed
    widths: list[float] = field(default_factory=list)  # late end over early end, where closed

    def count(self, crossing: Crossing, true: float, end: float) -> None:
        """Add one forecast, when its limit was reached, and when the record ends."""
        self.told += 1
        self.early += crossing.low < end
        self.before += crossing.low < end and true < crossing.low
        self.middle += crossing.when <= end
        self.by += crossing.when <= end and true <= crossing.when
        low, when, high = (x - crossing.last for x in (crossing.low, crossing.when, crossing.high))
        self.lows.append(low / max(when, 1.0))
        if isfinite(high):
            self.closed += 1
            self.highs.append(high / max(when, 1.0))
            self.widths.append(high / max(low, 1e-3 * high))
            self._count_closed(crossing, true, end)

    def _count_closed(self, crossing: Crossing, true: float, end: float) -> None:
        if crossing.high <= end:
            self.late += 1
            self.after += true > crossing.high
            self.inside += crossing.low <= true <= crossing.high

    def add(self, other: "Held") -> None:
        """Pool with another count."""
        for name in self.__slots__:
            setattr(self, name, getattr(self, name) + getattr(other, name))

    @property
    def not_before(self) -> float:
        """Share that was not reached before the early end."""
        return 1.0 - self.before / max(self.early, 1)

    @property
    def coverage(self) -> float:
        """Share of the closed intervals that held the true moment."""
        return self.inside / max(self.late, 1)

    def line(self, what: str) -> str:
        """Say in one line what held, and how wide it was."""
        mid = {n: float(np.median(getattr(self, n) or [np.nan])) for n in ("lows", "highs")}
        return (
            f"  {what:<22}{self.told:5d}  {self.not_before:5.0%} of {self.early:<4d}"
            f"{self.by / max(self.middle, 1):5.0%} of {self.middle:<4d}"
            f"{self.closed / max(self.told, 1):6.0%}  {self.coverage:5.0%} of {self.late:<4d}"
            f"{self.after / max(self.late, 1):5.0%}{mid['lows']:9.2f}{mid['highs']:6.2f}"
            f"{float(np.median(self.widths or [np.nan])):8.1f}"
        )


def backtest(cases: Iterable[Case]) -> Held:
    """Forecast each case and look what came."""
    held = Held()
    for one in cases:
        crossing = time_to_limit(one.times, one.values, one.limit)
        if crossing is not None:
            held.count(crossing, one.reached, one.end)
    return held


def simulated(kind: str, seeds: Iterable[int]) -> Held:
    """Forecast one kind of invented wear."""
    return backtest(one for seed in seeds if (one := case(kind, seed)) is not None)


def marks(times: Array, values: Array, deeds: Array) -> Iterator[Case]:
    """Yield cases of one recorded history, at many moments of its past.

    Few recorded points ever reach a limit, so the mark to be reached is set where the trend would
    be after another 0.1, 0.3 or 0.7 of the time looked back. Reached it is once three readings in a
    row are past it. A forecast speaks of how it goes on if nothing is done: it is checked up to the
    next deed.
    """
    for now in range(FEWEST, len(times) - 3, EVERY):
        trend = trend_of(times[:now], values[:now])
        if trend is None:
            continue
        later = deeds[deeds > times[now - 1]]
        end = min(times[-4], later[0]) if len(later) else times[-4]
        for far in FAR:
            mark = trend.at(times[now - 1]) + trend.slope * far * trend.span
            true = _reached(np.sign(trend.slope), mark, times, values, now)
            yield Case(
                times=times[:now],
                values=values[:now],
                limit=mark,
                reached=true if true <= end else float("inf"),
                end=float(end),
            )


def _reached(side: float, limit: float, times: Array, values: Array, now: int) -> float:
    past = side * (values - limit) > 0.0
    run = past[now:-2] & past[now + 1 : -1] & past[now + 2 :]
    return float(times[now + np.argmax(run)]) if run.any() else float("inf")


def demo_cases(days: int = 60, seed: int = 7) -> Iterator[Case]:
    """Yield cases of every point's recorded readings of the demo plant."""
    plant, now = larkmoor(), START + timedelta(days=days)
    air = barometric(plant)
    taken, deeds = defaultdict(list), defaultdict(list)
    for record in records(plant, now=now, days=days, seed=seed):
        pump, at = plant.pump(record.tag or ""), record.seen_at.timestamp()
        if pump and record.kind in ("care", "action", "event"):
            deeds[pump.tag].append(at)
        entry = pump.point(record.point) if pump and record.point else None
        if entry is not None and record.kind == "reading":
            kinds = point_kind(entry.point).kinds
            quantity = parse(record.text, kinds, default_unit=entry.unit, barometric=air)
            taken[record.tag, entry.point].append((at, quantity.value))
    for (tag, _), readings in taken.items():
        times, values = np.array(readings).T
        yield from marks(times, values, np.array(sorted(deeds[tag])))


def bench_cases() -> Iterator[Case]:
    """Yield cases of the open test-bench recordings: vibration, temperatures, ten rows a reading.

    What was done at the bench is not recorded.
    """
    folder = data_folder()
    for recording in recordings(folder) if folder else []:
        for column in (0, 1, 4, 5):
            count = len(recording.values) // 10
            values = recording.values[: 10 * count, column].reshape(count, 10).mean(axis=1)
            yield from marks(10.0 * np.arange(count), values, np.zeros(0))


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


def report(runs: int = 300) -> None:
    """Print how forecasts held, kind by kind."""
    print(
        f"\nForecasts: {CLAIM:.0%} claimed not before the early end, {LEVEL:.0%} between both ends"
    )
    print(f"  {'':<22} told  not before    by likeliest  closed inside       after"
          "  early  late  late/early")  # fmt: skip
    pooled = Held()
    for kind in KINDS:
        held = simulated(kind, range(runs))
        print(held.line(kind))
        pooled.add(held)
    print(pooled.line("simulated, all"))
    print(backtest(demo_cases()).line("demo plant's rounds"))
    real = backtest(bench_cases())
    print(real.line("test-bench recordings") if real.told else "  no open recordings here")
    for memory in (0.0, 0.6):
        share = trendless(memory)
        print(f"  no trend, neighbors alike by {memory:g}: a limit is forecast in {share:.1%}")
