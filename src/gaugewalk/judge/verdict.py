"""What is said about one reading, and the band it was expected in."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Literal

from gaugewalk.judge.severity import Severity

Change = Literal["steady", "step", "drift", "swing", "frozen"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Where a reading is expected, and what that expectation rests on.

    `low` and `high` are [SI]; either is infinite where only one side is known. `source` is
    `own normal`, `limits` (of the plant file), `usual value` or `standard`.
    """

    low: float
    high: float
    middle: float
    readings: int
    source: str
    sentence: str
    scale: float = 0.0  # one standard deviation of the usual scatter, [SI]; 0 where unknown

    def to_json(self) -> dict[str, object]:
        """Return plain values; an open side is None."""
        return {
            "low": _finite(self.low),
            "high": _finite(self.high),
            "middle": _finite(self.middle),
            "readings": self.readings,
            "source": self.source,
            "sentence": self.sentence,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """One reading judged: the word, why in one sentence, and what it was compared to.

    `plausible` is false where the gauge could not show the value or the pump could not make it;
    the severity still stands, because a doubtful reading may be a true one. `suspicion` says which
    slip of the pen would explain it. `alert` is true only for the first reading of an episode.
    """

    severity: Severity
    sentence: str
    point: str
    value: float
    plausible: bool = True
    suspicion: str | None = None
    band: tuple[float, float] | None = None
    rests_on: int = 0
    change: Change = "steady"
    alert: bool = False
    since: datetime | None = None
    learned: bool = False
    deviation: float | None = None  # from what was expected, in usual scatters
    reasons: tuple[str, ...] = field(default_factory=tuple)

    def to_json(self) -> Mapping[str, object]:
        """Return plain values for a journal entry or a page."""
        return {
            "severity": self.severity.value,
            "sentence": self.sentence,
            "point": self.point,
            "value": self.value,
            "plausible": self.plausible,
            "suspicion": self.suspicion,
            "band": [_finite(side) for side in self.band] if self.band else None,
            "rests_on": self.rests_on,
            "change": self.change,
            "alert": self.alert,
            "since": self.since.isoformat() if self.since else None,
            "deviation": self.deviation,
            "reasons": list(self.reasons),
        }


def _finite(value: float) -> float | None:
    return value if abs(value) != float("inf") and value == value else None
