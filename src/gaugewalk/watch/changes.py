"""Limits and plant data changed since the plant file was written, laid over it.

The plant file on disk stays the base. A change is an entry of the journal; what stands in force is
a fold over those entries, kept as a projection.
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any

from gaugewalk.journal.entry import Entry
from gaugewalk.plant.points import point_kind
from gaugewalk.plant.pump import Point, Pump

# What may be changed at an observation point.
POINT_FIELDS = (
    "usual", "watch_low", "watch_high", "act_low", "act_high", "stop_low", "stop_high",
)  # fmt: skip
Changes = Mapping[str, Mapping[str, Any]]
"""Changes in force at one pump by what they change; each with value [SI], entry, who, at, why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """What is changed: a field of an observation point, or a path of the plant file's keys."""

    field: str
    point: str | None = None

    @property
    def key(self) -> str:
        """Under which the change in force is kept."""
        return f"{self.point}/{self.field}" if self.point else self.field

    @classmethod
    def of(cls, key: str) -> "Target":
        """Return the target of a key.

        Examples
        --------
        >>> Target.of("flow/act_low").point, Target.of("lubrication.grease_mass").field
        ('flow', 'lubrication.grease_mass')
        """
        point, _, field = key.rpartition("/")
        return cls(field=field, point=point or None)


def change_key(tag: str) -> str:
    """Return the key under which a pump's changes are kept."""
    return f"changes/{tag}"


def changes_after(changes: Changes, entry: Entry) -> Changes:
    """Return the changes in force after one more `limit` entry of a pump."""
    key = Target(field=str(entry.body["field"]), point=entry.point).key
    if entry.body.get("restored"):
        return {other: row for other, row in changes.items() if other != key}
    row = {
        "value": entry.value,
        "entry": str(entry.id),
        "who": entry.who,
        "at": entry.seen_at.isoformat(),
        "why": str(entry.body["why"]),
    }
    return {**changes, key: row}


def changed(pump: Pump, changes: Changes) -> Pump:
    """Return the pump with its changes laid over the plant file."""
    for key, row in changes.items():
        pump = with_value(pump, Target.of(key), row["value"])
    return pump


def with_value(pump: Pump, target: Target, value: float | None) -> Pump:
    """Return the pump with one value in the place of the plant file's; none takes a limit away.

    Where the plant file no longer has the table that holds it, the change is without effect.
    """
    if target.point is None:
        made: Pump = _replaced(pump, target.field.split("."), value)
        return made
    point = pump.point(target.point) or _new_point(target.point)
    new: Point = _replaced(point, [target.field], value)
    new = replace(new, source="changed since the plant file")
    others = tuple(old for old in pump.points if old.point != target.point)
    places = [old.point for old in pump.points]
    at = places.index(target.point) if target.point in places else len(others)
    return replace(pump, points=(*others[:at], new, *others[at:]))


def value_of(pump: Pump, target: Target) -> float | None:
    """Return what stands now; none where nothing does."""
    if target.point is not None:
        point = pump.point(target.point)
        return getattr(point, target.field) if point else None
    here: Any = pump
    for name in target.field.split("."):
        here = getattr(here, name, None)
    return here if isinstance(here, int | float) else None


def _new_point(name: str) -> Point:
    return Point(point=name, unit=point_kind(name).default_unit)


def _replaced(here: Any, path: list[str], value: float | None) -> Any:
    name, *rest = path
    if not is_dataclass(here) or name not in {f.name for f in fields(here)}:
        return here
    inner = _replaced(getattr(here, name), rest, value) if rest else value
    return replace(here, **{name: inner})  # type: ignore[type-var]  # an instance, not a class
