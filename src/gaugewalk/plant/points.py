"""The closed registry of observation points, `points.toml`: what can be read at a pump, and how."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from gaugewalk.errors import NotFoundError, nearest_word

GROUPS = ("hydraulics", "seal", "bearings", "oil", "utilities", "driver", "context")
"""Where a point stands on the pump's page, in walking order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PointKind:
    """One thing that can be read at a pump."""

    id: str
    label: str  # plain words of the trade, for the screen
    kinds: tuple[str, ...]  # kinds of quantity that may be entered
    default_unit: str  # where the plant file names none
    group: str  # one of GROUPS
    how: str  # how it is read at the pump
    family: str  # id without direction: "vibration_de" for "vibration_de_axial"


def _kinds_of_row(row: Mapping[str, Any]) -> list[PointKind]:
    names = {row["id"]: row["label"]}
    for suffix in row.get("suffixes", ()):
        names[f"{row['id']}_{suffix}"] = f"{row['label']}, {suffix}"
    return [
        PointKind(
            id=name,
            label=label,
            kinds=tuple(row["kinds"]),
            default_unit=row["unit"],
            group=row["group"],
            how=row["how"],
            family=row["id"],
        )
        for name, label in names.items()
    ]


@cache
def all_points() -> Mapping[str, PointKind]:
    """Return every observation point by its id, directions of vibration included.

    Examples
    --------
    >>> all_points()["leak_off"].default_unit
    'drops/min'
    """
    text = files("gaugewalk.plant").joinpath("points.toml").read_text(encoding="utf-8")
    rows = tomllib.loads(text)["point"]
    return MappingProxyType({kind.id: kind for row in rows for kind in _kinds_of_row(row)})


def point_kind(id: str) -> PointKind:
    """Return the observation point of that id.

    Raises
    ------
    NotFoundError
        Names the nearest known point.

    Examples
    --------
    >>> point_kind("vibration_de_axial").label
    'Pump vibration, drive end, axial'
    >>> point_kind("leakoff")
    Traceback (most recent call last):
    gaugewalk.errors.NotFoundError: No observation point 'leakoff'. Did you mean 'leak_off'?
    """
    known = all_points()
    if (kind := known.get(id)) is not None:
        return kind
    near = nearest_word(id, known)
    hint = f"Did you mean {near!r}?" if near else f"Known are {', '.join(list(known)[:6])}, ..."
    raise NotFoundError(f"No observation point {id[:40]!r}. {hint}")
