"""One recorded column judged row by row: is its level, or its swing, far from its own usual one?

*Level*: means over the last 5, 15 and 45 rows against the level learned; a large change is seen in
5 rows, a small one in 45. What counts as far is the larger of the smallest change that matters for
this kind of quantity (`matters`) and a few scatters of such means while learning.
*Swing*: the to and fro inside the last 15 rows against the widest seen while learning.

The level learned follows slow warming-up while nothing is off, never while something is. After an
episode the way back is often slow: what is left of the deviation is then the new mark, and a change
counts from the best recovery so far.
"""

import itertools
import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

from gaugewalk.judge.change import frozen

Motion = Literal["low", "high", "swinging", "frozen"]

WINDOWS = (5, 15, 45)  # rows
_SWING_ROWS = 15
_BACK_ROWS = 10  # rows whose mean tells that it is over
_FROZEN_ROWS = 60  # rows without any movement, of a column that moved while learning
_TO_AND_FRO = 3.0  # times the scatter of changes that a swing's own scatter may be
_NINE_TENTHS = 3.29  # span of the middle 90 % of a normal distribution, in standard deviations


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """How far is far; one setting for every pump. Common practice, no source.

    `bench/screen.py` measures them: near these values F1 hardly depends on any of them.
    """

    matters: float = 1.0  # times the smallest change that matters
    scatters: float = 4.5  # of the window means while learning
    swing: float = 3.0  # times the widest scatter while learning
    leave: float = 0.5  # of the threshold, below which an episode is over
    recovered: float = 0.25  # of the episode's largest deviation, below which it is over
    follow: float = 350.0  # rows in which the reference follows a slow drift


STANDARD = Settings()

# Smallest change that matters, by kind of quantity: a share of the usual value, or a difference
# in SI. Common practice, no source. A gauge pressure is a share of its gauge value.
_SHARES = {
    "flow": 0.012,
    "velocity": 0.10,
    "acceleration": 0.10,
    "displacement": 0.10,
    "current": 0.10,
    "power": 0.05,
    "voltage": 0.05,
    "speed": 0.01,
    "pressure": 0.03,
    "pressure_difference": 0.10,
    "leakage": 0.25,
}
_DIFFERENCES = {"temperature": 5.0, "length": 0.02, "fraction": 0.02}
_LIQUID_DEGREES = 2.0  # of the liquid pumped: vapor pressure and viscosity move with it
_LEAST_PRESSURE = 2000.0
_OTHER_SHARE = 0.05


def matters(point: str, kind: str, level: float, barometric: float) -> float:
    """Return the smallest change of this point that is worth a word, [SI].

    Examples
    --------
    >>> round(matters("flow", "flow", 50 / 3600, 101325.0) * 3600, 2)  # m3/h
    0.6
    """
    if point == "liquid_temperature":
        return _LIQUID_DEGREES
    if kind in _DIFFERENCES:
        return _DIFFERENCES[kind]
    usual = level - barometric if kind == "pressure" else level
    least = _LEAST_PRESSURE if kind == "pressure" else 1e-9
    return max(_SHARES.get(kind, _OTHER_SHARE) * abs(usual), least)


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """What one column usually shows: its level, what is far from it, its widest scatter."""

    level: float
    thresholds: tuple[float, ...]  # per window of WINDOWS
    swing: float  # scatter inside 15 rows that counts as a swing
    pairs: int  # successive pairs seen while learning, and how many were equal
    equal: int
    longest: int  # longest row of equal values


def learn_column(
    values: Sequence[float],
    point: str,
    kind: str,
    barometric: float,
    settings: Settings = STANDARD,
) -> Learned:
    """Learn from the rows of the beginning; NaN is left out, warm-up weighs nothing.

    The level is that of the last half of the rows, the scatters are those of the last three
    quarters: a pump that has just been started is still settling before.
    """
    x = [v for v in values if math.isfinite(v)]
    half, quarter = x[len(x) // 2 :], x[len(x) // 4 :]
    level = statistics.fmean(half)
    floor = settings.matters * matters(point, kind, level, barometric)
    scatters = [_scatter_of_means(quarter, rows) for rows in WINDOWS]
    pairs = len(x) - 1
    equal = sum(a == b for a, b in itertools.pairwise(x))
    rows = range(_SWING_ROWS, len(quarter) + 1)
    widest = max((_swing(quarter[i - _SWING_ROWS : i]) for i in rows), default=0.0)
    return Learned(
        level=level,
        thresholds=tuple(max(floor, settings.scatters * scatter) for scatter in scatters),
        swing=settings.swing * max(widest, floor),
        pairs=pairs,
        equal=equal,
        longest=_longest_run(x),
    )


@dataclass(slots=True, kw_only=True)
class Column:
    """The running judgement of one column; bounded memory, one row at a time."""

    learned: Learned
    settings: Settings = STANDARD
    level: float = field(init=False)  # the reference, which follows slow warming-up
    motion: Motion | None = None
    share: float = 0.0  # deviation from the reference, [SI], of the last `_BACK_ROWS` rows
    score: float = 0.0  # deviation in thresholds: above 1 an episode begins
    _rows: list[float] = field(default_factory=list)  # the last WINDOWS[-1] values
    _peak: float = 0.0
    _left: float = 0.0  # signed deviation that was left when the last episode ended
    _same: int = 1

    def __post_init__(self) -> None:
        self.level = self.learned.level

    def fill(self, past: Sequence[float]) -> None:
        """Put the last rows of the learning time before the first row to judge."""
        self._rows = [v for v in past if math.isfinite(v)][-WINDOWS[-1] :]

    @property
    def now(self) -> float:
        """Mean of the last rows, [SI]."""
        return self.level + self.share

    @property
    def reach(self) -> tuple[float, float]:
        """Least and largest of the last rows, [SI]."""
        last = self._rows[-_SWING_ROWS:] or [self.now]
        return min(last), max(last)

    @property
    def steady(self) -> bool:
        """Tell whether the new level has lasted for the whole of the longest window."""
        if len(self._rows) < WINDOWS[-1]:
            return False
        first = sum(self._rows[:_BACK_ROWS]) / _BACK_ROWS
        return abs(first - self.now) < self.learned.thresholds[0]

    def restart(self) -> None:
        """Forget the last rows after a gap: a mean must not reach across it."""
        self._rows.clear()
        self._same = 1

    def add(self, value: float) -> None:
        """Judge one more value; NaN leaves everything as it was."""
        if not math.isfinite(value):
            return
        self._same = self._same + 1 if self._rows and value == self._rows[-1] else 1
        self._rows.append(value)
        del self._rows[: -WINDOWS[-1]]
        self.share = self._mean(_BACK_ROWS) - self.level
        self._settle()
        level_score, swing_score = self._level_score(), self._swing_score()
        self.score = max(level_score, swing_score)
        if self._stuck():
            self.motion, self.score = "frozen", max(self.score, 1.0)
        elif self.motion is None or self.motion == "frozen":
            self._begin(level_score, swing_score, value)
        else:
            self._go_on(level_score, swing_score)

    def _begin(self, level_score: float, swing_score: float, value: float) -> None:
        self.motion = None
        if max(level_score, swing_score) > 1.0:
            self._peak = 0.0
            self._go_on(level_score, swing_score)
        elif not self._left:
            self.level += (value - self.level) / self.settings.follow

    def _go_on(self, level_score: float, swing_score: float) -> None:
        """Keep the episode, name its motion anew, or end it."""
        if abs(self.share) > abs(self._peak):
            self._peak = self.share
        back = max(
            self.settings.leave * self.learned.thresholds[-1],
            self.settings.recovered * abs(self._peak),
        )
        if swing_score > (1.0 if self.motion != "swinging" else self.settings.leave):
            self.motion = "swinging"
        elif len(self._rows) < _BACK_ROWS or abs(self.share) >= back:
            self.motion = "low" if self.share < 0.0 else "high"
        else:
            self._end(back)

    def _end(self, back: float) -> None:
        """End the episode; only rows that are back themselves count from here on."""
        del self._rows[:-_BACK_ROWS]
        while len(self._rows) > WINDOWS[0] and abs(self._rows[0] - self.level) > back:
            del self._rows[0]
        self.share = self._mean(_BACK_ROWS) - self.level
        self.motion, self._left = None, self.share

    def _settle(self) -> None:
        """Let what is left of the last episode shrink with the recovery, never grow."""
        if self.motion is None and self._left:
            side = math.copysign(1.0, self._left)
            left = max(0.0, min(abs(self._left), side * self.share))
            small = left < self.settings.leave * self.learned.thresholds[-1]
            self._left = 0.0 if small else side * left

    def _level_score(self) -> float:
        settling = self._left if self.motion is None else 0.0
        reference = self.level + settling
        # On the way back the longest mean lags too far behind to be compared.
        longest = WINDOWS[-2] if settling else WINDOWS[-1]
        scores = [
            abs(self._mean(rows) - reference) / threshold
            for rows, threshold in zip(WINDOWS, self.learned.thresholds, strict=True)
            if len(self._rows) >= rows and rows <= longest
        ]
        return max(scores, default=0.0)

    def _swing_score(self) -> float:
        if len(self._rows) < _SWING_ROWS:
            return 0.0
        last = self._rows[-_SWING_ROWS:]
        score = _scatter(last) / self.learned.swing
        # Only a scatter that could count is looked at more closely.
        return score if score < self.settings.leave else _swing(last) / self.learned.swing

    def _stuck(self) -> bool:
        known = self.learned
        longest = max(_FROZEN_ROWS, 5 * known.longest)
        return self._same >= longest and frozen(self._same, known.pairs, known.equal)

    def _mean(self, rows: int) -> float:
        last = self._rows[-rows:]
        return sum(last) / len(last)


def _scatter(values: Sequence[float]) -> float:
    mean = sum(values) / len(values)
    return math.sqrt(sum([(v - mean) ** 2 for v in values]) / len(values))


def _swing(values: Sequence[float]) -> float:
    """Return the scatter, where it comes from moving to and fro and not from one step or a ramp.

    The changes from row to row, without the two largest, scatter little for a step or a ramp; a
    swing with a period of twenty rows and less keeps its full scatter.
    """
    changes = sorted((b - a for a, b in itertools.pairwise(values)), key=abs)
    return min(_scatter(values), _TO_AND_FRO * _scatter(changes[:-2]))


def _scatter_of_means(values: Sequence[float], rows: int) -> float:
    """Return the scatter of window means from the span of their middle nine tenths.

    A coarse gauge makes the median deviation zero or a whole step; the span does not mind.
    """
    means = sorted(sum(values[i - rows : i]) / rows for i in range(rows, len(values) + 1))
    if len(means) < 2 * rows:
        return statistics.pstdev(values) / math.sqrt(rows) if len(values) > 1 else 0.0
    cut = len(means) // 20
    return (means[-1 - cut] - means[cut]) / _NINE_TENTHS


def _longest_run(values: Sequence[float]) -> int:
    longest = run = 1
    for a, b in itertools.pairwise(values):
        run = run + 1 if a == b else 1
        longest = max(longest, run)
    return longest
