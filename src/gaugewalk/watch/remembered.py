"""What is remembered of each point: the judge's state, kept as a projection of the readings.

Readings are folded in the order in which they were recorded. One that comes late (seen before the
newest that was folded) is judged but teaches nothing; so the state made reading by reading is the
state made anew from the journal.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any

from gaugewalk.errors import ArgumentError
from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ledger import Ledger
from gaugewalk.judge.expect import accept
from gaugewalk.judge.judge import judge_reading
from gaugewalk.judge.state import PointState, forget
from gaugewalk.judge.verdict import Verdict
from gaugewalk.plant.pump import Pump
from gaugewalk.units import Quantity
from gaugewalk.watch.board import iso
from gaugewalk.watch.changes import Changes, changed, changes_after

BEGINNING = datetime(1970, 1, 1, tzinfo=UTC)
OVERHAULED = "overhauled"  # the event after which a pump's normal is learned anew
ACCEPTED = "accepted"  # the event by which a lasting change becomes the normal of its point


@dataclass(frozen=True, slots=True, kw_only=True)
class Remembered:
    """The judge's state of a point and the time of the newest reading in it."""

    state: PointState = field(default_factory=PointState)
    newest: str = ""

    def to_json(self) -> dict[str, Any]:
        """Return plain values."""
        return {"state": self.state.to_json(), "newest": self.newest}

    @classmethod
    def from_json(cls, data: Mapping[str, Any] | None) -> "Remembered":
        """Return what `to_json` wrote; nothing makes a point that was never read."""
        if not data:
            return cls()
        return cls(state=PointState.from_json(data["state"]), newest=data["newest"])


def point_key(tag: str, point: str) -> str:
    """Return the key under which a point's state is kept."""
    return f"point/{tag}/{point}"


def load_points(ledger: Ledger, tag: str, *, fits_only: bool = False) -> dict[str, Remembered]:
    """Return what is remembered of every point of a pump that was ever read.

    With `fits_only` the single readings are left out: enough to tell what is expected, and much
    quicker; not fit to judge with.
    """
    bare: dict[str, list[object]] = {"samples": [], "recent": []} if fits_only else {}
    prefix = point_key(tag, "")
    rows = ledger.load_states(prefix).items()
    own = {key.removeprefix(prefix): row for key, row in rows}
    # Another pump's tag may begin like this one's and a slash; a point holds none.
    return {
        point: Remembered.from_json({**row, "state": {**row["state"], **bare}})
        for point, row in own.items()
        if "/" not in point
    }


def fold(
    before: Remembered,
    pump: Pump,
    point: str,
    quantity: Quantity,
    *,
    seen_at: datetime,
    context: Mapping[str, float],
    barometric: float,
) -> tuple[Verdict, Remembered]:
    """Judge one more reading; return the verdict and what is remembered from now on."""
    verdict, state = judge_reading(
        pump,
        point,
        quantity,
        seen_at=seen_at,
        state=before.state,
        context=context,
        barometric=barometric,
    )
    if iso(seen_at) < before.newest:
        return verdict, before
    return verdict, Remembered(state=state, newest=iso(seen_at))


def refold(
    ledger: Ledger, pump: Pump, point: str, barometric: float, *, before: int | None = None
) -> Remembered:
    """Make a point's state anew from its readings as they stand, all or those before a sequence.

    `pump` is the one of the plant file; limits changed since are put in force where they were.
    """
    entries = ledger.history(pump.tag, since=BEGINNING, points=[point], kinds=["reading"])
    others = ledger.history(pump.tag, since=BEGINNING, kinds=["event", "limit"])
    entries += [e for e in others if e.kind == "limit" or renews(e, point)]
    changes: Changes = {}
    filed, remembered = pump, Remembered()
    for entry in sorted(entries, key=lambda entry: entry.seq):
        if before is not None and entry.seq >= before:
            break
        if entry.kind == "event":
            remembered = _renewed(remembered, pump, point, entry, barometric)
            continue
        if entry.kind == "limit":
            changes = changes_after(changes, entry)
            pump = changed(filed, changes)
            continue
        _, remembered = fold(
            remembered,
            pump,
            point,
            quantity_of(entry),
            seen_at=entry.seen_at,
            context=entry.body.get("context", {}),
            barometric=barometric,
        )
    return remembered


def renews(entry: Entry, point: str) -> bool:
    """Whether a point's normal is learned anew after this event of its pump."""
    if entry.kind != "event":
        return False
    event = entry.body.get("event")
    accepted = event == ACCEPTED and entry.point == point
    return accepted or event == OVERHAULED or point in entry.body.get("renews", ())


def _renewed(
    before: Remembered, pump: Pump, point: str, entry: Entry, barometric: float
) -> Remembered:
    """Return what is remembered after an event that renews the normal."""
    if entry.body.get("event") != ACCEPTED:
        return Remembered(state=forget(before.state), newest=before.newest)
    try:
        state = accept(before.state, pump, point, barometric=barometric)
    except ArgumentError:
        # A reading that showed the change was corrected since: there is nothing left to accept.
        return before
    return Remembered(state=state, newest=before.newest)


def quantity_of(entry: Entry) -> Quantity:
    """Return what was read, as the judge takes it."""
    return Quantity(
        value=float(entry.value or 0.0),
        low=entry.low,
        high=entry.high,
        kind=entry.quantity or "number",
        unit=entry.unit or "1",
        entered=entry.entered or "",
    )
