"""What the doors show of check-lists: the lists, one fitted to a pump, one being run. SI inside."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from gaugewalk.plant.pump import Pump
    from gaugewalk.watch.procedure import Setting
    from gaugewalk.watch.views import PointView

StepState = Literal["open", "done", "skipped"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ProcedureLine:
    """One list in the list of lists."""

    id: str
    title: str
    group: str
    when: str
    who: str
    steps: int
    own: bool  # the plant's own
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StepView:
    """One step as shown and, in a run, as it stands.

    A step with a `hold` stops the list: it is done, or passed with a reason and the name of the one
    who allows it. `points` are to be read; `results` are to be chosen from. With `amount_unit`,
    amounts are asked for at `places`.
    """

    id: str
    number: int
    text: str
    caution: str
    who: str
    look: bool  # nothing is touched
    tag: str  # of the pump at which it is done
    hold: str = ""
    wait: float = 0.0  # at least so long after the step before, [s]
    wait_words: str = ""
    readings: tuple[str, ...] = ()
    points: tuple[PointView, ...] = ()  # of the pump, with band and last value; in a run only
    results: tuple[str, ...] = ()
    event: str = ""
    places: tuple[str, ...] = ()
    amount_unit: str = ""
    only: str = ""  # where it applies, where no pump is named
    sources: tuple[str, ...] = ()
    settings: tuple[str, ...] = ()  # sentences: what, value, source, what else is found
    state: StepState = "open"
    who_did: str = ""
    at: datetime | None = None
    result: str = ""
    reason: str = ""  # why skipped, or why before its time
    allowed_by: str = ""
    warnings: tuple[str, ...] = ()  # what to mind about what was done
    ready_at: datetime | None = None  # not before
    blocked_by: str = ""  # id of the hold that comes first
    is_next: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ProcedureView:
    """One list as text, for any pump or fitted to one."""

    id: str
    title: str
    group: str
    when: str
    who: str
    caution: str
    own: bool
    sources: tuple[str, ...]
    pump: Pump | None
    steps: tuple[StepView, ...]
    settings: tuple[Setting, ...]
    running: tuple[RunLine, ...] = ()  # being run at this pump


@dataclass(frozen=True, slots=True, kw_only=True)
class RunLine:
    """One list being run, as a line."""

    id: str
    procedure: str
    title: str
    tag: str
    name: str
    who: str  # all who took part
    started_at: datetime
    done: int
    of: int
    next_text: str
    waiting_until: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RunView:
    """One list being run, or over, as it was written when it was begun."""

    id: str
    procedure: str
    title: str
    caution: str
    pump: Pump
    who: tuple[str, ...]
    started_at: datetime
    steps: tuple[StepView, ...]
    sources: tuple[str, ...]
    ended_at: datetime | None = None
    ended: str = ""  # finished, broken off
    left_as: str = ""  # how the pump was left when it was broken off
    passed_holds: tuple[str, ...] = ()  # sentences: holds passed without being done
