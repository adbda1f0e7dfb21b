"""What the doors show of limits: as they stand, as the plant file has them, what was changed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from gaugewalk.plant.pump import Pump


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitLine:
    """One limit or datum in force; value and filed in SI, shown as text in the point's unit."""

    point: str | None
    field: str
    title: str
    value: float | None
    shown: str
    filed: float | None  # what the plant file says
    filed_shown: str
    changed_by: str = ""
    changed_at: datetime | None = None
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitChange:
    """One change: old and new stand in the text."""

    id: str
    who: str
    at: datetime
    text: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitsView:
    """The limits of a pump and every change of them, newest first."""

    pump: Pump
    lines: tuple[LimitLine, ...]
    history: tuple[LimitChange, ...]
