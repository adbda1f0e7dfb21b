"""What is remembered of a pump's care: how long it ran, and what was last done to it.

A fold over the pump's entries, kept as a projection; bounded, so that it never grows.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from gaugewalk.journal.entry import Entry
from gaugewalk.plant.pump import Pump
from gaugewalk.watch.deeds import BACK, DEEDS, ISOLATED
from gaugewalk.watch.run_clock import RunClock

TURNING_SHARE = 0.05  # of the nameplate current or speed, above which a pump turns
KEPT = 12  # last deeds of one kind at one place
_TELLING = ("motor_current", "speed")  # points that tell whether a pump turns
_METER = "run_hours"


@dataclass(frozen=True, slots=True, kw_only=True)
class Deed:
    """One thing done: when [s since 1970], how much [SI], and how long the pump had run [s]."""

    id: str
    at: float
    ran: float
    who: str
    amount: float | None = None
    told: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Care:
    """Running time and last deeds of one pump, by deed and place."""

    clock: RunClock = field(default_factory=RunClock)
    deeds: Mapping[str, tuple[Deed, ...]] = field(default_factory=dict)

    @property
    def isolated(self) -> bool:
        """Whether the pump was isolated for maintenance and is not back in service."""
        out, back = self.last(ISOLATED), self.last(BACK)
        return out is not None and (back is None or back.at < out.at)

    def last(self, name: str, place: str = "") -> Deed | None:
        """Return the last time a deed was done at a place, or none."""
        done = self.done(name, place)
        return done[-1] if done else None

    def done(self, name: str, place: str = "") -> tuple[Deed, ...]:
        """Return the last times a deed was done at a place, oldest first."""
        return self.deeds.get(deed_key(name, place), ())

    def until(self, at: float) -> "Care":
        """Return what was remembered of the deeds at a moment [s since 1970] that is past."""
        deeds = {
            key: tuple(deed for deed in rows if deed.at <= at) for key, rows in self.deeds.items()
        }
        return replace(self, deeds=deeds)

    def to_json(self) -> dict[str, Any]:
        """Return plain values."""
        deeds = {
            key: [[d.id, d.at, d.ran, d.who, d.amount, d.told] for d in rows]
            for key, rows in self.deeds.items()
        }
        return {"clock": self.clock.to_json(), "deeds": deeds}

    @classmethod
    def from_json(cls, data: Mapping[str, Any] | None) -> "Care":
        """Return what `to_json` wrote; nothing makes a pump of which nothing is known."""
        if not data:
            return cls()
        deeds = {
            key: tuple(
                Deed(id=id, at=at, ran=ran, who=who, amount=amount, told=told)
                for id, at, ran, who, amount, told in rows
            )
            for key, rows in data["deeds"].items()
        }
        return cls(clock=RunClock.from_json(data["clock"]), deeds=deeds)


def care_key(tag: str) -> str:
    """Return the key under which a pump's care is kept."""
    return f"care/{tag}"


def deed_key(name: str, place: str) -> str:
    """Return the key of a deed at a place."""
    return f"{name}/{place}" if place else name


def turning(pump: Pump, point: str, value: float) -> bool | None:
    """Tell by a reading whether a pump turns; none where this point does not tell."""
    rated = {"motor_current": pump.driver.current, "speed": pump.driver.speed}
    if point not in rated:
        return None
    return value > TURNING_SHARE * (rated[point] or 1.0)


def concerns(entry: Entry) -> bool:
    """Whether an entry tells anything of a pump's care."""
    return entry.kind in ("event", "correction") or (
        entry.kind == "reading" and entry.point in (*_TELLING, _METER)
    )


def care_after(care: Care, entry: Entry, pump: Pump) -> Care:
    """Return what is remembered after one more entry of a pump; the same object if nothing new."""
    if entry.kind == "event":
        return _event(care, entry)
    if entry.kind == "correction":
        return _correction(care, entry)
    return _reading(care, entry, pump) if entry.kind == "reading" else care


def _reading(care: Care, entry: Entry, pump: Pump) -> Care:
    sound = entry.body.get("verdict", {}).get("plausible", True)
    if entry.value is None or not sound:
        return care
    at = entry.seen_at.timestamp()
    if entry.point == _METER:
        return _with(care, care.clock.read_meter(str(entry.id), at, entry.value))
    running = turning(pump, str(entry.point), entry.value)
    return care if running is None else _with(care, care.clock.see(at, running, exact=False))


def _with(care: Care, clock: RunClock) -> Care:
    return care if clock is care.clock else replace(care, clock=clock)


def _event(care: Care, entry: Entry) -> Care:
    name = str(entry.body.get("event"))
    at = entry.seen_at.timestamp()
    if name in ("started", "stopped"):
        return _with(care, care.clock.see(at, name == "started", exact=True))
    if name not in DEEDS:
        return care
    deed = Deed(
        id=str(entry.id),
        at=at,
        ran=care.clock.ran(at),
        who=entry.who,
        amount=entry.value,
        told=str(entry.body.get("text", "")),
    )
    key = deed_key(name, str(entry.body.get("place", "")))
    rows = sorted([*care.deeds.get(key, ()), deed], key=lambda one: one.at)[-KEPT:]
    return replace(care, deeds={**care.deeds, key: tuple(rows)})


def _correction(care: Care, entry: Entry) -> Care:
    taken_back = bool(entry.body.get("withdrawn"))
    if entry.point == _METER:
        value = None if taken_back else entry.value
        return _with(care, care.clock.correct_meter(str(entry.corrects), value))
    if not taken_back or entry.point is not None:
        return care
    kept = {
        key: tuple(deed for deed in rows if deed.id != str(entry.corrects))
        for key, rows in care.deeds.items()
    }
    return care if kept == care.deeds else replace(care, deeds=kept)
