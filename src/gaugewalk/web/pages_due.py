"""What is due, by walking order: lubrication, strainers, standby pumps, samples; ticked as done."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from uuid import UUID

from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ids import new_id
from gaugewalk.units import unit_named
from gaugewalk.watch.care_views import DueItem, DueView, State
from gaugewalk.watch.deeds import GREASED
from gaugewalk.web.frame import Frame
from gaugewalk.web.shown import Shown

_WORDS: Mapping[State, str] = {
    "overdue": "overdue",
    "due": "due",
    "soon": "due soon",
    "not known": "not known since when",
}
_TOO_SOON = "It is not due yet, and too soon is too much grease."


@dataclass(frozen=True, slots=True, kw_only=True)
class DueLine:
    """One thing that is due at a pump."""

    title: str
    sentence: str
    state: str
    at: str  # "12 Dec"
    severity: str  # how the line is colored
    caution: str
    deed: str  # what is recorded; empty where only a list is walked
    place: str
    unit: str  # of the amount; empty where none is counted
    warning: str  # before it is done
    list_href: str
    grounds: tuple[str, ...]
    id: UUID


@dataclass(frozen=True, slots=True, kw_only=True)
class DuePump:
    """What one pump asks for."""

    tag: str
    name: str
    lines: tuple[DueLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DueArea:
    """The pumps of one area, in walking order."""

    name: str
    pumps: tuple[DuePump, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """A deed that was just written down, with what to mind about it."""

    id: str
    tag: str
    told: str
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DuePage:
    """Everything due in walking order, and what comes later."""

    frame: Frame
    counts: str  # "9 overdue, 2 due."
    pressing: tuple[DueArea, ...]
    later: tuple[DueArea, ...]
    count_later: int
    remarks: tuple[str, ...]
    written: Written | None
    error: str = ""


def due_page(
    frame: Frame, view: DueView, shown: Shown, *, written: Entry | None, error: str = ""
) -> DuePage:
    """Build the page of what is due; what comes later stands below."""
    pressing = [item for item in view.items if item.state != "later"]
    later = [item for item in view.items if item.state == "later"]
    return DuePage(
        frame=frame,
        counts=_counts(pressing),
        pressing=_areas(pressing, shown),
        later=_areas(later, shown),
        count_later=len(later),
        remarks=view.remarks,
        written=written_line(written) if written else None,
        error=error,
    )


def _counts(pressing: Iterable[DueItem]) -> str:
    states = [item.state for item in pressing]
    said = [f"{states.count(state)} {words}" for state, words in _WORDS.items() if state in states]
    return f"{', '.join(said)}." if said else "Nothing of the program is due or due soon."


def _areas(items: Iterable[DueItem], shown: Shown) -> tuple[DueArea, ...]:
    areas: dict[str, dict[str, list[DueItem]]] = {}
    for item in items:
        areas.setdefault(item.area or "Elsewhere", {}).setdefault(item.tag, []).append(item)
    return tuple(
        DueArea(
            name=area,
            pumps=tuple(
                DuePump(
                    tag=tag,
                    name=rows[0].name,
                    lines=tuple(due_item_line(row, shown) for row in rows),
                )
                for tag, rows in pumps.items()
            ),
        )
        for area, pumps in areas.items()
    )


def due_item_line(item: DueItem, shown: Shown) -> DueLine:
    """Write one thing that is due."""
    early = item.deed == GREASED and item.state == "later"
    return DueLine(
        title=item.title,
        sentence=item.sentence,
        state=item.state,
        at=shown.day(item.due_at) if item.due_at and item.state != "due" else "",
        severity="watch" if item.state == "overdue" else "",
        caution=item.caution,
        deed=item.deed,
        place=item.place,
        unit=_unit(item),
        warning=_TOO_SOON if early else "",
        list_href=f"/pump/{item.tag}/check-lists/{item.procedure}" if item.procedure else "",
        grounds=_grounds(item),
        id=new_id(shown.now),
    )


def _unit(item: DueItem) -> str:
    return (unit_named(item.unit).symbol or "turns") if item.unit and item.deed else ""


def _grounds(item: DueItem) -> tuple[str, ...]:
    """Say where the figures are from, and what else is found."""
    said = [f"From: {item.source}."] if item.source else []
    said += [f"Beside it: {item.beside.rstrip('.')}."] if item.beside else []
    return (*said, *item.remarks)


def written_line(entry: Entry) -> Written:
    """Write what was just recorded."""
    return Written(
        id=str(entry.id),
        tag=str(entry.tag),
        told=str(entry.body.get("text", "")),
        warnings=tuple(entry.body.get("warnings", ())),
    )
