"""What every use case works on: the plant, its journal and what is known of causes."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from gaugewalk.errors import ArgumentError, NotFoundError, nearest_word
from gaugewalk.journal.store import Journal
from gaugewalk.plant.points import point_kind
from gaugewalk.plant.pump import Plant, Pump
from gaugewalk.plant.site import barometric
from gaugewalk.watch.boards import Boards
from gaugewalk.watch.changes import Changes, changed
from gaugewalk.watch.procedure import Procedures
from gaugewalk.watch.procedure_file import load_procedures

if TYPE_CHECKING:
    from gaugewalk.diagnose.diagnosis import Diagnosis
    from gaugewalk.diagnose.knowledge import Knowledge
    from gaugewalk.watch.first_help import FirstHelp


@dataclass(frozen=True, kw_only=True)
class Desk:
    """The plant, the journal and the knowledge, with what follows from the plant alone.

    No slots: what follows is worked out once and kept.
    """

    plant: Plant
    journal: Journal
    knowledge: "Knowledge"
    procedures: Procedures = field(default_factory=load_procedures)
    changes: Mapping[str, Changes] = field(default_factory=dict)  # in force, by tag
    boards: Boards = field(default_factory=Boards, compare=False)
    diagnoses: "dict[str, Diagnosis]" = field(default_factory=dict, compare=False)  # by their case
    first_helps: "dict[str, FirstHelp]" = field(default_factory=dict, compare=False)  # by facts

    @cached_property
    def barometric(self) -> float:
        """Pressure of the air at the plant. [Pa]"""
        return barometric(self.plant)

    @cached_property
    def zone(self) -> ZoneInfo:
        """The plant's time zone."""
        return ZoneInfo(self.plant.time_zone)

    @cached_property
    def pumps(self) -> dict[str, Pump]:
        """All pumps in walking order, with what was changed since the plant file was written."""
        ordered = sorted(self.plant.pumps, key=lambda pump: (pump.walk_order, pump.tag))
        return {pump.tag: changed(pump, self.changes.get(pump.tag, {})) for pump in ordered}

    @cached_property
    def filed(self) -> dict[str, Pump]:
        """All pumps as the plant file has them."""
        return {pump.tag: pump for pump in self.plant.pumps}

    @cached_property
    def routes(self) -> dict[str, tuple[Pump, ...]]:
        """The pumps of each round of the plan in walking order: named, of its areas, or all."""
        found: dict[str, list[Pump]] = {plan.name: [] for plan in self.plant.rounds}
        by_tag, by_area, everywhere = self._plans()
        for pump in self.pumps.values():
            names = {*by_tag.get(pump.tag, ()), *by_area.get(pump.area, ()), *everywhere}
            for name in names:
                found[name].append(pump)
        return {name: tuple(pumps) for name, pumps in found.items()}

    def _plans(self) -> tuple[dict[str, list[str]], dict[str, list[str]], list[str]]:
        by_tag: dict[str, list[str]] = {}
        by_area: dict[str, list[str]] = {}
        everywhere = []
        for plan in self.plant.rounds:
            for tag in plan.tags:
                by_tag.setdefault(tag, []).append(plan.name)
            for area in plan.areas:
                by_area.setdefault(area, []).append(plan.name)
            if not plan.tags and not plan.areas:
                everywhere.append(plan.name)
        return by_tag, by_area, everywhere

    def as_filed(self, tag: str) -> Pump:
        """Return a pump as the plant file has it; NotFoundError where it has none."""
        return self.filed[self.pump(tag).tag]

    def pump(self, tag: str) -> Pump:
        """Return the pump with that tag; NotFoundError names the nearest one."""
        pump = self.pumps.get(tag)
        if pump is None:
            near = nearest_word(tag, self.pumps)
            hint = f"Did you mean {near!r}?" if near else "See the plant file for its tags."
            raise NotFoundError(f"No pump {tag[:40]!r} in {self.plant.name}. {hint}")
        return pump

    def local(self, moment: datetime) -> datetime:
        """Return a moment in the plant's own time."""
        return moment.astimezone(self.zone)


def unit_of(pump: Pump, point: str) -> str:
    """Return the unit in which a point of a pump is read and shown.

    Raises
    ------
    NotFoundError
        There is no such observation point.
    """
    entry = pump.point(point)
    return entry.unit if entry else point_kind(point).default_unit


def worded(name: str, text: str, *, longest: int = 2000) -> str:
    """Return a text with something in it.

    Raises
    ------
    ArgumentError
        When it is empty or longer than `longest` characters.
    """
    clean = text.strip()
    if not clean or len(clean) > longest:
        raise ArgumentError(f"{name}: expected 1 to {longest} characters, given {len(clean)}.")
    return clean
