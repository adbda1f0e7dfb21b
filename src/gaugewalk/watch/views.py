"""What the doors show: plain frozen values, SI inside, no text made for one door only.

The use cases fill these; a web page, the terminal and the JSON interface read them. A door formats
(units, times, shapes); it decides nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from gaugewalk.diagnose.diagnosis import Diagnosis
    from gaugewalk.errors import Problem
    from gaugewalk.journal.entry import Entry
    from gaugewalk.judge.estimate import Estimate
    from gaugewalk.judge.forecast import Forecast
    from gaugewalk.judge.severity import Severity
    from gaugewalk.judge.verdict import Band, Verdict
    from gaugewalk.plant.pump import Pump


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """One reading of a trend, in SI; low and high where the needle swung."""

    seen_at: datetime
    value: float
    low: float | None = None
    high: float | None = None
    severity: Severity | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ExtraCheck:
    """A check worth making now because something is off."""

    finding: str
    title: str
    how: str
    minutes: float | None = None
    caution: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """What became of a reading: the record, the word, the trouble it belongs to, what to check."""

    entry: Entry
    verdict: Verdict
    trouble_id: str | None = None
    extra_checks: tuple[ExtraCheck, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Observed:
    """What became of an observation: the record, the trouble at the pump, what to check next."""

    entry: Entry
    trouble_id: str | None = None
    extra_checks: tuple[ExtraCheck, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Imported:
    """What became of a file of readings."""

    stored: int
    known: int
    problems: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PointView:
    """One observation point of one pump with its last reading."""

    point: str
    label: str
    group: str
    how: str
    unit: str  # in which it is shown and, unless another is typed, read
    units: tuple[str, ...]  # that may be chosen instead
    place: str = ""
    last: Entry | None = None
    verdict: Verdict | None = None  # of the last reading
    expected: Band | None = None  # before it is taken
    skipped: str = ""  # why it was not taken, in this round
    taken: bool = False  # in this round
    history: tuple[Sample, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FollowUp:
    """Something that must come back to what it should be, by a time."""

    id: str
    tag: str
    what: str
    due_at: datetime
    trouble_id: str | None = None
    point: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TroubleLine:
    """One trouble as a line: where, how bad, what, since when; and how it ended, once closed."""

    id: str
    tag: str
    name: str
    severity: Severity
    sentence: str
    opened_at: datetime
    walk_order: float = 0.0
    points: tuple[str, ...] = ()  # at which it showed
    closed_at: datetime | None = None
    cause: str = ""  # as found
    cure: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Uneasy:
    """A pump with a reading that is not normal but, so far, no trouble."""

    tag: str
    name: str
    severity: Severity
    sentence: str
    walk_order: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundDue:
    """A round of the plan: when it is due, when it was last walked, whether it is being walked."""

    name: str
    due_at: datetime
    last_at: datetime | None
    pumps: int
    open_id: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchView:
    """This watch: what needs a hand now, sorted by urgency and then by walking order."""

    plant: str
    now: datetime
    troubles: tuple[TroubleLine, ...] = ()
    follow_ups: tuple[FollowUp, ...] = ()
    rounds: tuple[RoundDue, ...] = ()
    pumps: int = 0
    uneasy: tuple[Uneasy, ...] = ()
    shift_began_at: datetime | None = None
    shift_ends_at: datetime | None = None
    changes: tuple[Entry, ...] = ()  # the newest of this shift first; no plain readings


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundStop:
    """One pump of a round with its points and the checks worth making."""

    pump: Pump
    severity: Severity
    points: tuple[PointView, ...]
    extra_checks: tuple[ExtraCheck, ...] = ()
    trouble_id: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundView:
    """A round being walked, pump by pump in walking order."""

    id: str
    name: str
    who: str
    started_at: datetime
    stops: tuple[RoundStop, ...]
    finished_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PumpView:
    """One pump: its points, its estimate, what happened, what comes."""

    pump: Pump
    severity: Severity
    sentence: str
    running: bool | None
    points: tuple[PointView, ...]
    estimate: Estimate | None = None  # of the last visit to the running pump
    troubles: tuple[TroubleLine, ...] = ()
    follow_ups: tuple[FollowUp, ...] = ()
    events: tuple[Entry, ...] = ()  # notes, actions, observations, skips; newest first
    coming: tuple[Forecast, ...] = ()  # what reaches a limit, the soonest first

    @property
    def forecasts(self) -> tuple[str, ...]:
        """What comes, each in one sentence."""
        return tuple(one.sentence for one in self.coming)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """An observation already answered in a trouble."""

    finding: str
    title: str
    present: bool | None  # none: could not look
    who: str
    seen_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class TroubleView:
    """A trouble: what is off, the ranking, what was looked at, what was done."""

    id: str
    pump: Pump
    severity: Severity
    sentence: str
    opened_at: datetime
    closed_at: datetime | None
    diagnosis: Diagnosis
    titles: Mapping[str, str]  # of findings and causes, by id
    answered: tuple[Answered, ...] = ()
    done: tuple[Entry, ...] = ()
    follow_ups: tuple[FollowUp, ...] = ()
    timeline: tuple[Entry, ...] = ()  # all that was seen and done at the pump meanwhile
    remedies: Mapping[str, str] = field(default_factory=dict)  # temporary ones in force, by id
    cause: str = ""  # as found, once closed
    cure: str = ""
    earlier: tuple[TroubleLine, ...] = ()  # closed troubles of the same pump, newest first
    alike: tuple[TroubleLine, ...] = ()  # those of them that the recurrence rests on
    recurrence: str = ""  # that the same has come back, how often, what was found before
