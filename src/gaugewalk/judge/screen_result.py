"""What screening a record gives: judged rows, episodes, and what was found in the record itself."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from gaugewalk.judge.display import span
from gaugewalk.judge.screen_point import Motion
from gaugewalk.judge.severity import Severity
from gaugewalk.plant.points import point_kind
from gaugewalk.units import STANDARD_PRESSURE, show


@dataclass(frozen=True, slots=True, kw_only=True)
class PointColumn:
    """Which column is which observation point, in which unit."""

    column: str
    point: str
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """What one point does now: low, high, swinging or frozen; [SI]."""

    point: str
    unit: str
    motion: Motion
    usual: float
    now: float
    low: float
    high: float

    def words(self, barometric: float = STANDARD_PRESSURE) -> str:
        """Say it with numbers: "flow low: 28.6 L/min, usual 32.1 L/min"."""
        label = point_kind(self.point).label.lower()
        usual = show(self.usual, self.unit, barometric=barometric)
        if self.motion == "swinging":
            reach = span(self.low, self.high, self.unit, barometric=barometric)
            return f"{label} swinging: {reach}, usual {usual}"
        now = show(self.now, self.unit, barometric=barometric)
        return f"{label} {self.motion}: {now}, usual {usual}"


Signature = tuple[Move, ...]
NameCause = Callable[[Signature, Mapping[str, float]], str]
"""Names the cause of a signature; the second argument holds the usual values, [SI], of the points
fine enough to show that they did not move."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One judged row of the input."""

    time: str
    flagged: bool
    score: float
    verdict: Severity
    cause: str
    moves: Signature


@dataclass(slots=True, kw_only=True)
class Episode:
    """A time in which something was off: when, which points, how, what it may have been."""

    start: str
    end: str
    rows: int = 0
    score: float = 0.0
    severity: Severity = Severity.NORMAL
    moves: dict[str, Move] = field(default_factory=dict)  # per point, at its farthest
    causes: dict[str, int] = field(default_factory=dict)  # as named, with rows

    @property
    def cause(self) -> str:
        """The cause that was named for most of its rows."""
        return max(self.causes, key=lambda name: self.causes[name], default="")


@dataclass(slots=True, kw_only=True)
class Report:
    """What was found in the record itself, apart from the pump."""

    rows: int = 0
    learned: int = 0
    judged: int = 0
    unreadable: int = 0  # rows whose time or columns could not be read; left out
    doubled: int = 0  # the same time and values as the row before; not judged
    same_time: list[str] = field(default_factory=list)  # the time before, other values; judged
    late: list[str] = field(default_factory=list)  # out of order; not judged
    gaps: list[str] = field(default_factory=list)  # the means begin anew after each
    clock_set_back: list[str] = field(default_factory=list)
    # An hour ahead: a clock put forward, or an hour without rows; the means begin anew.
    clock_set_forward: list[str] = field(default_factory=list)
    missing: dict[str, int] = field(default_factory=dict)  # rows without a value, per column
    frozen: dict[str, str] = field(default_factory=dict)  # column: since
    never_moved: list[str] = field(default_factory=list)  # one value in all rows learned from
    unit_changed: dict[str, str] = field(default_factory=dict)  # column: what it looks like
    silent: list[str] = field(default_factory=list)  # columns with too few values to learn from


@dataclass(frozen=True, slots=True, kw_only=True)
class ScreenResult:
    """Every judged row, the episodes, and what was found in the record."""

    rows: tuple[Row, ...]
    episodes: tuple[Episode, ...]
    report: Report
