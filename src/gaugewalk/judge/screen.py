"""Recorded history of one pump judged row by row: what moved, when, by how much.

Learns from the first rows, then walks the rest in the order given. No look ahead: a row's answer
depends on the rows before it only, and neither its number nor the time since the start is used.
A file and a live feed go through the same `Screener`, so both give the same rows.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from gaugewalk.errors import ArgumentError
from gaugewalk.judge.plausible import confused_with
from gaugewalk.judge.screen_clock import Clock
from gaugewalk.judge.screen_point import STANDARD, Column, Settings, learn_column
from gaugewalk.judge.screen_result import (
    Episode,
    Move,
    NameCause,
    PointColumn,
    Report,
    Row,
    ScreenResult,
    Signature,
)
from gaugewalk.judge.severity import Severity
from gaugewalk.units import STANDARD_PRESSURE, kind_of, to_si

_ACT = 3.0  # times the threshold, from which a deviation is for this shift
_QUIET = 60  # rows without a flag that end an episode
_FINE = 0.1  # of the usual value: what a change must show to count as not there
_UNIT = "A changed unit: check how it is recorded"
_GROWN = 1.5  # a deviation grown by this factor is named anew


@dataclass(slots=True, kw_only=True)
class Screener:
    """Judges one row after another; what it keeps grows only with what it finds."""

    points: Sequence[PointColumn]
    learn_rows: int | None = None
    learn_until: float | None = None
    barometric: float = STANDARD_PRESSURE
    name_cause: NameCause | None = None
    settings: Settings = STANDARD
    report: Report = field(default_factory=Report)
    episodes: list[Episode] = field(default_factory=list)
    _clock: Clock = field(default_factory=Clock)
    _learning: dict[str, list[float]] = field(default_factory=dict)
    _columns: dict[str, Column] | None = None
    _before: tuple[float, ...] = ()
    _quiet: int = 0
    _named: tuple[frozenset[tuple[str, str]], float, str] = (frozenset(), 0.0, "")

    def __post_init__(self) -> None:
        if (self.learn_rows is None) == (self.learn_until is None):
            raise ArgumentError("Give either learn_rows or learn_until: what to learn normal from.")
        self._learning = {entry.column: [] for entry in self.points}

    def add(self, stamp: str, time: float, values: Sequence[float]) -> Row | None:
        """Take the next row of the input; return its judgement, or none while learning.

        Parameters
        ----------
        stamp
            The row's time as written, for what is said about it.
        time
            The same in seconds.
        values
            One per entry of `points`, in their units; NaN where there is none.
        """
        self.report.rows += 1
        here = tuple(map(float, values))
        if not self._in_order(stamp, time, here):
            return None
        self._before = here
        self._count_missing(here)
        if self._still_learning(time):
            self._learn(here)
            return None
        if self._columns is None:
            self._columns = self._begin()
        self._judge_columns(here, stamp)
        self.report.judged += 1
        return self._row(stamp)

    def _in_order(self, stamp: str, time: float, here: tuple[float, ...]) -> bool:
        place = self._clock.place(time)
        if place == "late":
            self.report.late.append(stamp)
            return False
        if place == "same" and here == self._before:
            self.report.doubled += 1
            return False
        noted = {
            "same": self.report.same_time,
            "set back": self.report.clock_set_back,
            "set forward": self.report.clock_set_forward,
            "gap": self.report.gaps,
        }
        if place in noted:
            noted[place].append(stamp)
        if place in ("gap", "set forward"):
            for column in (self._columns or {}).values():
                column.restart()
        return True

    def _count_missing(self, here: tuple[float, ...]) -> None:
        for entry, value in zip(self.points, here, strict=True):
            if not math.isfinite(value):
                count = self.report.missing.get(entry.column, 0)
                self.report.missing[entry.column] = count + 1

    def _still_learning(self, time: float) -> bool:
        if self._columns is not None:
            return False
        if self.learn_rows is not None:
            return self.report.rows <= self.learn_rows
        return time <= (self.learn_until or 0.0)

    def _learn(self, here: tuple[float, ...]) -> None:
        self.report.learned += 1
        for entry, value in zip(self.points, here, strict=True):
            self._learning[entry.column].append(self._si(entry, value))

    def _begin(self) -> dict[str, Column]:
        """Learn every column that has enough values; the others stay silent."""
        columns = {}
        for entry in self.points:
            past = self._learning[entry.column]
            if sum(map(math.isfinite, past)) < 2:
                self.report.silent.append(entry.column)
                continue
            if len({v for v in past if math.isfinite(v)}) == 1:
                self.report.never_moved.append(entry.column)
            kind = kind_of(entry.unit)
            learned = learn_column(past, entry.point, kind, self.barometric, self.settings)
            columns[entry.column] = Column(learned=learned, settings=self.settings)
            columns[entry.column].fill(past)
        if not columns:
            raise ArgumentError(
                "There is nothing to learn from: no column has two values in the rows to learn. "
                "Give more rows to learn from, or check the columns' names."
            )
        self._learning = {}
        return columns

    def _judge_columns(self, here: tuple[float, ...], stamp: str) -> None:
        for entry, value in zip(self.points, here, strict=True):
            if (column := self._open(entry)) is not None:
                column.add(self._si(entry, value))
                self._look_at_sensor(entry, column, stamp)

    def _look_at_sensor(self, entry: PointColumn, column: Column, stamp: str) -> None:
        if column.motion == "frozen":
            self.report.frozen.setdefault(entry.column, stamp)
        # In a smaller unit the numbers scatter more too, which looks like a swing.
        moved = column.motion is not None and column.motion != "frozen"
        if moved and entry.column not in self.report.unit_changed:
            other = column.steady and confused_with(
                column.now, column.level, entry.unit, column.learned.thresholds[-1],
                barometric=self.barometric,
            )  # fmt: skip
            if other:
                words = f"since about {stamp} it reads as if in {other} instead of {entry.unit}"
                self.report.unit_changed[entry.column] = words

    def _row(self, stamp: str) -> Row:
        moves = tuple(self._moves())
        columns = (self._columns or {}).values()
        score = max((c.score for c in columns), default=0.0)
        severity = Severity.NORMAL
        if moves:
            severity = Severity.ACT if score >= _ACT else Severity.WATCH
        cause = self._cause(moves, score) if moves else ""
        self._note_episode(stamp, moves, score, severity, cause)
        words = "; ".join(move.words(self.barometric) for move in moves)
        return Row(
            time=stamp,
            flagged=bool(moves),
            score=score,
            verdict=severity,
            cause=f"{cause} ({words})" if cause else words,
            moves=moves,
        )

    def _moves(self) -> list[Move]:
        found = []
        for entry in self.points:
            column = self._open(entry)
            if column is not None and column.motion is not None:
                low, high = column.reach
                found.append(
                    Move(
                        point=entry.point,
                        unit=entry.unit,
                        motion=column.motion,
                        usual=column.level,
                        now=column.now,
                        low=low,
                        high=high,
                    )
                )
        return found

    def _cause(self, moves: Signature, score: float) -> str:
        """Name the cause; asked again only when other points move or it has grown much."""
        changed = {e.point for e in self.points if e.column in self.report.unit_changed}
        moves = tuple(move for move in moves if move.point not in changed)
        if not moves:
            return _UNIT
        key = frozenset((move.point, move.motion) for move in moves)
        if key != self._named[0] or score > _GROWN * self._named[1]:
            named = self.name_cause(moves, self.usual) if self.name_cause else ""
            self._named = (key, score, named)
        return self._named[2]

    @property
    def usual(self) -> dict[str, float]:
        """Usual values, [SI], of the points fine enough to show a tenth more or less."""
        return {
            entry.point: column.level
            for entry in self.points
            if (column := self._open(entry)) is not None
            and column.learned.thresholds[-1] <= _FINE * self._size(entry, column)
        }

    def _size(self, entry: PointColumn, column: Column) -> float:
        kind = kind_of(entry.unit)
        if kind == "temperature":
            return math.inf
        return abs(column.level - (self.barometric if kind == "pressure" else 0.0))

    def _note_episode(
        self, stamp: str, moves: Signature, score: float, severity: Severity, cause: str
    ) -> None:
        if not moves:
            self._quiet += 1
            return
        if not self.episodes or self._quiet > _QUIET:
            self.episodes.append(Episode(start=stamp, end=stamp))
        self._quiet = 0
        episode = self.episodes[-1]
        episode.end, episode.rows = stamp, episode.rows + 1
        episode.score = max(episode.score, score)
        if severity.rank > episode.severity.rank:
            episode.severity = severity
        episode.causes[cause] = episode.causes.get(cause, 0) + 1
        for move in moves:
            known = episode.moves.get(move.point)
            if known is None or abs(move.now - move.usual) > abs(known.now - known.usual):
                episode.moves[move.point] = move

    def _open(self, entry: PointColumn) -> Column | None:
        return (self._columns or {}).get(entry.column)

    def _si(self, entry: PointColumn, value: float) -> float:
        if not math.isfinite(value):
            return math.nan
        return to_si(value, entry.unit, barometric=self.barometric)


def screen(
    columns: Mapping[str, Sequence[float]],
    time: Sequence[float],
    points: Sequence[PointColumn],
    *,
    learn_rows: int | None = None,
    learn_until: float | None = None,
    stamps: Sequence[str] | None = None,
    barometric: float = STANDARD_PRESSURE,
    name_cause: NameCause | None = None,
    settings: Settings = STANDARD,
) -> ScreenResult:
    """Judge a whole record: the same rows as feeding a `Screener` one by one.

    Parameters
    ----------
    columns
        Values by column name, in the units of `points`; NaN where there is none.
    time
        Of each row, [s].
    points
        Which column is which point.
    learn_rows, learn_until
        What to learn normal from: so many first rows, or all up to a time [s]. One of both.
    stamps
        The times as written; without it the seconds are written.
    barometric
        Pressure of the air at the gauges. [Pa]
    name_cause
        Names the cause of what moves; without it the movement itself is written.

    Examples
    --------
    >>> rows = [50.0] * 100 + [50.2, 49.9] * 50 + [40.0] * 40
    >>> flow = PointColumn(column="F1", point="flow", unit="m3/h")
    >>> result = screen({"F1": rows}, range(240), [flow], learn_rows=100)
    >>> [(e.start, e.end, e.moves["flow"].words()) for e in result.episodes]
    [('200', '239', 'flow low: 40 m3/h, usual 50 m3/h')]
    """
    screener = Screener(
        points=points,
        learn_rows=learn_rows,
        learn_until=learn_until,
        barometric=barometric,
        name_cause=name_cause,
        settings=settings,
    )
    named = stamps if stamps is not None else [f"{t:g}" for t in time]
    table = [columns[entry.column] for entry in points]
    rows = []
    for i, (stamp, at) in enumerate(zip(named, time, strict=True)):
        row = screener.add(stamp, at, [values[i] for values in table])
        if row is not None:
            rows.append(row)
    return ScreenResult(rows=tuple(rows), episodes=tuple(screener.episodes), report=screener.report)
