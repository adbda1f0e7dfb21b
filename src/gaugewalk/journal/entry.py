"""One entry of the journal: what was seen, by whom, when, and how it was typed."""

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from types import MappingProxyType
from typing import Any
from uuid import UUID

from gaugewalk.errors import ArgumentError, ConflictError

KINDS = (
    "reading",  # a number at an observation point
    "observation",  # a finding seen or not seen; `point` holds the finding's id
    "skipped",  # a point of a round not taken, with its reason
    "note",
    "action",  # something done at a pump
    "correction",  # supersedes the entry named in `corrects`; both stay
    "event",  # started, stopped, changed over
    "trouble",  # one step in the life of a trouble
    "follow_up",  # what must come back to what, by when
    "round",  # begun, finished
    "handover",
    "limit",  # a limit or a plant datum changed
    "procedure",  # one step in the running of a check-list
)

_EMPTY: Mapping[str, Any] = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One thing that was seen or done. Numbers are SI; the text as typed stays beside them.

    `recorded_at` and `seq` are set by the journal when it stores the entry; they are no part of
    the content, so that the same entry sent twice is the same entry.

    Raises
    ------
    ArgumentError
        For a kind that is none of `KINDS`, a time without zone, a number that is not finite, or a
        body that cannot be written as JSON.

    Examples
    --------
    >>> from gaugewalk.journal.ids import new_id
    >>> seen = datetime(2025, 11, 3, 6, 40, tzinfo=UTC)
    >>> Entry(id=new_id(seen), kind="reading", tag="P-1", point="motor_current", value=31.0,
    ...       quantity="current", unit="A", entered="31 A", who="r. vale", seen_at=seen).value
    31.0
    """

    id: UUID
    kind: str
    who: str
    seen_at: datetime
    tag: str | None = None
    point: str | None = None
    value: float | None = None
    low: float | None = None
    high: float | None = None
    quantity: str | None = None
    unit: str | None = None
    entered: str | None = None
    corrects: UUID | None = None
    body: Mapping[str, Any] = field(default_factory=lambda: _EMPTY)
    recorded_at: datetime | None = field(default=None, compare=False)
    seq: int = field(default=0, compare=False)

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise ArgumentError(f"kind = {self.kind!r}; expected one of {', '.join(KINDS)}.")
        object.__setattr__(self, "seen_at", _in_utc("seen_at", self.seen_at))
        if self.recorded_at is not None:
            object.__setattr__(self, "recorded_at", _in_utc("recorded_at", self.recorded_at))
        for name in ("value", "low", "high"):
            number = getattr(self, name)
            if number is not None and not math.isfinite(number):
                raise ArgumentError(f"{name} = {number}; expected a finite number or none.")
        if self.kind == "correction" and self.corrects is None:
            raise ArgumentError("A correction names the entry that it corrects.")

    def content(self) -> dict[str, Any]:
        """Return what makes this entry this entry, as plain JSON values."""
        return {
            "id": str(self.id),
            "kind": self.kind,
            "tag": self.tag,
            "point": self.point,
            "value": _number(self.value),
            "low": _number(self.low),
            "high": _number(self.high),
            "quantity": self.quantity,
            "unit": self.unit,
            "entered": self.entered,
            "who": self.who,
            "seen_at": self.seen_at.isoformat(timespec="microseconds"),
            "corrects": str(self.corrects) if self.corrects else None,
            "body": dict(self.body),
        }

    def same_as(self, other: "Entry") -> bool:
        """Whether both hold the same content, however their bodies are kept in memory."""
        return canonical(self.content()) == canonical(other.content())


@dataclass(frozen=True, slots=True, kw_only=True)
class Appended:
    """What became of a batch: stored now, already known, or at odds with what is known.

    `set_back` is how far the clock stood behind the entry stored last before these.
    """

    stored: tuple[UUID, ...] = ()
    known: tuple[UUID, ...] = ()
    conflicts: tuple[UUID, ...] = ()
    set_back: timedelta = timedelta(0)


class BatchConflictError(ConflictError):
    """An id came again with other content; the rest of its batch *is* stored (`appended`)."""

    def __init__(self, appended: Appended) -> None:
        self.appended = appended
        names = ", ".join(str(i) for i in appended.conflicts)
        super().__init__(
            f"Already in the journal with other content: {names}. The first record stays as it is "
            f"and the other {len(appended.stored) + len(appended.known)} of this batch are stored. "
            "Send the new content under a new id, or as a correction."
        )


def canonical(value: object) -> str:
    """Write JSON in the one form that is hashed: keys sorted, no spaces, no NaN.

    Raises
    ------
    ArgumentError
        When the value cannot be written as JSON.

    Examples
    --------
    >>> canonical({"b": 1.5, "a": ["é"]})
    '{"a":["é"],"b":1.5}'
    """
    try:
        text = json.dumps(
            value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False
        )
        text.encode("utf-8")
    except (TypeError, ValueError) as error:
        raise ArgumentError(f"An entry must be plain JSON in UTF-8: {error}.") from error
    if "\\u0000" in text:
        raise ArgumentError("An entry holds a NUL character, which no journal can keep.")
    return text


def _in_utc(name: str, moment: datetime) -> datetime:
    if moment.tzinfo is None:
        raise ArgumentError(
            f"{name} = {moment.isoformat()} has no time zone; give an aware datetime, "
            "for example the plant's local time with its zone."
        )
    try:
        return moment.astimezone(UTC)
    except OverflowError as error:
        raise ArgumentError(f"{name} = {moment.isoformat()} is no date in UTC.") from error


def _number(value: float | None) -> float | None:
    # SQLite keeps no sign of a zero, so that its hash must not have one either.
    return None if value is None else float(value) + 0.0
