"""What stands on the board of one pump: a fold over its entries, and nothing else.

The board is what "this watch" shows at a glance. It is kept as a projection and follows from the
journal alone: `after` is pure, so the board made entry by entry is the board made anew.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import cached_property
from typing import Any

from gaugewalk.journal.entry import Entry
from gaugewalk.judge.severity import Severity, worst


@dataclass(frozen=True, slots=True, kw_only=True)
class Last:
    """The last reading of a point and the word about it."""

    id: str
    seen_at: str  # ISO 8601, UTC
    value: float  # SI
    severity: str
    sentence: str
    plausible: bool = True
    uneasy: int = 0  # readings in a row that were not normal, this one included


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenTrouble:
    """The trouble that is open at a pump; one at a time, however many readings belong to it."""

    id: str
    opened_at: str
    severity: str
    sentence: str
    opened_by: str = ""  # id of the entry that opened it
    points: tuple[str, ...] = ()
    remedies: Mapping[str, str] = field(default_factory=dict)  # temporary ones in force
    steps: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """Something to look at again by a time."""

    id: str
    what: str
    due_at: str
    trouble: str | None = None
    point: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Skip:
    """When and why a point was last not taken."""

    seen_at: str
    reason: str


@dataclass(frozen=True, kw_only=True)
class Board:
    """One pump at a glance.

    No slots: the most urgent word is worked out once and kept.
    """

    last: Mapping[str, Last] = field(default_factory=dict)
    running: bool | None = None  # as last said by a person; none: nobody said
    running_at: str | None = None
    trouble: OpenTrouble | None = None
    due: Mapping[str, Due] = field(default_factory=dict)
    remedies: Mapping[str, str] = field(default_factory=dict)  # temporary, outside any trouble
    skipped: Mapping[str, Skip] = field(default_factory=dict)  # by point

    @property
    def in_force(self) -> dict[str, str]:
        """Every temporary remedy in force, by the id of its action."""
        return {**self.remedies, **(self.trouble.remedies if self.trouble else {})}

    @cached_property
    def severity(self) -> Severity:
        """The most urgent word about this pump."""
        words = [Severity(last.severity) for last in self.last.values()]
        return worst(*words, *([Severity(self.trouble.severity)] if self.trouble else []))

    @property
    def sentence(self) -> str:
        """The sentence that goes with it; empty where all is normal."""
        if self.trouble and Severity(self.trouble.severity) is self.severity:
            return self.trouble.sentence
        uneasy = [x for x in self.last.values() if x.severity == self.severity and x.uneasy]
        return max(uneasy, key=lambda x: x.seen_at).sentence if uneasy else ""

    def to_json(self) -> dict[str, Any]:
        """Return plain values."""
        trouble, open_one = None, self.trouble
        if open_one is not None:
            trouble = {**_row(open_one), "points": list(open_one.points)}
            trouble["remedies"] = dict(open_one.remedies)
        return {
            "last": {point: _row(last) for point, last in self.last.items()},
            "running": self.running,
            "running_at": self.running_at,
            "trouble": trouble,
            "due": {key: _row(due) for key, due in self.due.items()},
            "remedies": dict(self.remedies),
            "skipped": {point: _row(skip) for point, skip in self.skipped.items()},
        }

    @classmethod
    def from_json(cls, data: Mapping[str, Any] | None) -> "Board":
        """Return the board that `to_json` wrote; nothing makes an empty one."""
        if not data:
            return cls()
        trouble = data["trouble"]
        return cls(
            last={point: Last(**row) for point, row in data["last"].items()},
            running=data["running"],
            running_at=data["running_at"],
            trouble=(
                OpenTrouble(**{**trouble, "points": tuple(trouble["points"])}) if trouble else None
            ),
            due={key: Due(**row) for key, row in data["due"].items()},
            remedies=data.get("remedies", {}),
            skipped={point: Skip(**row) for point, row in data.get("skipped", {}).items()},
        )


def board_key(tag: str) -> str:
    """Return the key under which a pump's board is kept."""
    return f"pump/{tag}"


def _row(one: Last | OpenTrouble | Due | Skip) -> dict[str, Any]:
    """Return the fields of a flat part; `asdict` spends ten times as long on it."""
    return {name: getattr(one, name) for name in one.__slots__}


def iso(moment: datetime) -> str:
    """Write a moment so that text order is time order."""
    return moment.isoformat(timespec="microseconds")


def after(board: Board, entry: Entry) -> Board:
    """Return the board as it stands after one more entry of its pump."""
    step = _STEPS.get(entry.kind)
    return step(board, entry) if step else board


def _reading(board: Board, entry: Entry) -> Board:
    old = board.last.get(entry.point or "")
    if entry.point is None or entry.value is None or (old and old.seen_at > iso(entry.seen_at)):
        return board
    return _put(board, entry, str(entry.id), entry.seen_at, old.uneasy if old else 0)


def _put(board: Board, entry: Entry, id: str, seen_at: datetime, before: int) -> Board:
    verdict = entry.body.get("verdict", {})
    severity = verdict.get("severity", Severity.NORMAL.value)
    last = Last(
        id=id,
        seen_at=iso(seen_at),
        value=float(entry.value or 0.0),
        severity=severity,
        sentence=verdict.get("sentence", ""),
        plausible=verdict.get("plausible", True),
        uneasy=0 if severity == Severity.NORMAL else before + 1,
    )
    return replace(board, last={**board.last, str(entry.point): last})


def _correction(board: Board, entry: Entry) -> Board:
    """Put a corrected value, or what was there before a withdrawn one, in place."""
    old = board.last.get(entry.point or "")
    if old is None or old.id != str(entry.corrects):
        return board
    if not entry.body.get("withdrawn"):
        seen = datetime.fromisoformat(old.seen_at)
        return _put(board, entry, old.id, seen, max(old.uneasy - 1, 0))
    rest = {point: last for point, last in board.last.items() if point != entry.point}
    before = entry.body.get("before")
    return replace(board, last={**rest, str(entry.point): Last(**before)} if before else rest)


def _skipped(board: Board, entry: Entry) -> Board:
    old, at = board.skipped.get(entry.point or ""), iso(entry.seen_at)
    if entry.point is None or (old and old.seen_at > at):
        return board
    skip = Skip(seen_at=at, reason=str(entry.body.get("reason", "")))
    return replace(board, skipped={**board.skipped, entry.point: skip})


def _event(board: Board, entry: Entry) -> Board:
    running = {"started": True, "stopped": False}.get(str(entry.body.get("event")))
    if running is None or (board.running_at or "") > iso(entry.seen_at):
        return board
    return replace(board, running=running, running_at=iso(entry.seen_at))


def _trouble(board: Board, entry: Entry) -> Board:
    body, step = entry.body, entry.body.get("step")
    if step == "opened":
        opened = OpenTrouble(
            id=str(body["trouble"]),
            opened_at=iso(entry.seen_at),
            severity=str(body["severity"]),
            sentence=str(body["sentence"]),
            opened_by=str(body.get("by", "")),
            points=(entry.point,) if entry.point else (),
        )
        return replace(board, trouble=opened)
    open_one = board.trouble
    if open_one is None or open_one.id != body.get("trouble"):
        return board
    if step == "closed":  # what was asked for, and a remedy, stay until somebody answers
        return replace(board, trouble=None, remedies=board.in_force)
    points = (*open_one.points, *([entry.point] if entry.point else []))
    grown = replace(
        open_one,
        severity=str(body.get("severity", open_one.severity)),
        sentence=str(body.get("sentence", open_one.sentence)),
        points=tuple(dict.fromkeys(points)),
        steps=open_one.steps + 1,
    )
    return replace(board, trouble=grown)


def _action(board: Board, entry: Entry) -> Board:
    """Put a temporary remedy in force, or take one back; keep it with its trouble or without."""
    ended = str(entry.body.get("ends"))
    temporary = entry.body.get("action") == "temporary"
    made = {str(entry.id): str(entry.body["do"])} if temporary else {}
    loose = {key: do for key, do in board.remedies.items() if key != ended}
    open_one = board.trouble
    if open_one is None or open_one.id != entry.body.get("trouble"):
        loose |= made
        made = {}
    if open_one is not None:
        kept = {key: do for key, do in open_one.remedies.items() if key != ended}
        touched = open_one.id == entry.body.get("trouble") or len(kept) < len(open_one.remedies)
        steps = open_one.steps + int(touched)
        open_one = replace(open_one, remedies={**kept, **made}, steps=steps)
    return replace(board, remedies=loose, trouble=open_one)


def _follow_up(board: Board, entry: Entry) -> Board:
    body = entry.body
    key = str(body["follow_up"])
    if body.get("step") == "opened":
        due = Due(
            id=key,
            what=str(body["what"]),
            due_at=str(body["due_at"]),
            trouble=body.get("trouble"),
            point=entry.point,
        )
        return replace(board, due={**board.due, key: due})
    return replace(board, due={k: row for k, row in board.due.items() if k != key})


_STEPS: Mapping[str, Callable[[Board, Entry], Board]] = {
    "reading": _reading,
    "correction": _correction,
    "event": _event,
    "trouble": _trouble,
    "action": _action,
    "follow_up": _follow_up,
    "skipped": _skipped,
}
