"""What the doors show of a pump's care: what is due, what was done, run hours. SI inside."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from gaugewalk.journal.entry import Entry
    from gaugewalk.plant.pump import Pump
    from gaugewalk.watch.oil_use import OilUse
    from gaugewalk.watch.pair_hours import Hours

State = Literal["overdue", "due", "soon", "later", "not known"]
STATES: tuple[State, ...] = ("overdue", "due", "soon", "not known", "later")  # most urgent first


@dataclass(frozen=True, slots=True, kw_only=True)
class DueItem:
    """One thing that is due at a pump, or will be.

    `deed` with `place` is what is recorded when it is done (`Watch.did`); `procedure` is the list
    for doing it; `amount` is the set amount in SI, of which `unit` is how it is entered.
    """

    tag: str
    name: str
    area: str
    walk_order: float
    kind: str
    title: str
    sentence: str  # why, with the numbers that it rests on
    state: State
    due_at: datetime | None = None
    place: str = ""
    deed: str = ""
    procedure: str = ""
    amount: float | None = None
    unit: str = ""
    strokes: int | None = None
    caution: str = ""
    source: str = ""
    beside: str = ""  # what another source says
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class DueView:
    """Everything due in walking order; remarks say what the plant file lacks for it."""

    plant: str
    now: datetime
    items: tuple[DueItem, ...]
    remarks: tuple[str, ...] = ()

    def pressing(self) -> tuple[DueItem, ...]:
        """Return what is overdue, due or due soon, in walking order."""
        return tuple(item for item in self.items if item.state in ("overdue", "due", "soon"))


@dataclass(frozen=True, slots=True, kw_only=True)
class CleanView:
    """What a strainer or filter showed after its last cleaning, beside the time before; [Pa]."""

    point: str
    label: str
    cleaned_at: datetime | None
    clean: float | None
    readings: int
    before: float | None
    before_source: str
    scaled_to: float | None  # flow to which both are scaled, [m3/s]
    worse: bool
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OilView:
    """The use of oil at one place of a pump."""

    place: str
    use: OilUse


@dataclass(frozen=True, slots=True, kw_only=True)
class DeedView:
    """One thing that was done."""

    id: str
    at: datetime
    who: str
    told: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CareView:
    """The care of one pump on one page."""

    pump: Pump
    hours: Hours
    partner: Hours | None
    proposal: str  # a changeover that run hours ask for; empty where none
    items: tuple[DueItem, ...]
    oil: tuple[OilView, ...]
    clean: tuple[CleanView, ...]
    done: tuple[DeedView, ...]  # newest first


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What became of a deed: the record, what to mind, what must be looked at again."""

    entry: Entry
    warnings: tuple[str, ...] = ()
    follow_ups: tuple[str, ...] = ()
    trouble_id: str | None = None
