"""The care of one pump on its page: run hours, what is due, deeds, changed limits."""

from collections.abc import Iterator
from dataclasses import dataclass
from uuid import UUID

from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ids import new_id
from gaugewalk.plant.pump import Pump
from gaugewalk.units import show, unit_named
from gaugewalk.watch.care_views import CareView
from gaugewalk.watch.deed_places import places_at
from gaugewalk.watch.deeds import DEEDS, PLACES
from gaugewalk.watch.due_basis import moment
from gaugewalk.watch.limit_views import LimitsView
from gaugewalk.watch.pair_hours import Hours
from gaugewalk.watch.procedure_views import RunLine
from gaugewalk.web.pages_due import DueLine, Written, due_item_line, written_line
from gaugewalk.web.pages_lists import RunRow, run_rows
from gaugewalk.web.shown import Shown

_FEW = 8  # deeds shown; the rest stands in what happened


@dataclass(frozen=True, slots=True, kw_only=True)
class DoneLine:
    """One thing that was done."""

    id: str
    when: str
    told: str
    who: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DeedChoice:
    """One thing that can be written down as done: at which place, what is counted."""

    value: str  # "greased|de"
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangedLimit:
    """A limit that is not as the plant file has it."""

    title: str
    shown: str
    filed: str
    words: str  # "14 Nov 09:10 by R. Vale"
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Care:
    """Everything of a pump's care."""

    running: tuple[RunRow, ...]  # check-lists under way here
    hours: tuple[str, ...]  # sentences
    proposal: str
    due: tuple[DueLine, ...]
    later: tuple[DueLine, ...]
    told: tuple[str, ...]  # of oil and strainers
    done: tuple[DoneLine, ...]
    choices: tuple[DeedChoice, ...]
    changed: tuple[ChangedLimit, ...]
    written: Written | None
    new_id: UUID


def care_part(
    view: CareView,
    limits: LimitsView,
    running: tuple[RunLine, ...],
    shown: Shown,
    *,
    written: Entry | None = None,
) -> Care:
    """Build the care of one pump."""
    lines = [(item.state, due_item_line(item, shown)) for item in view.items]
    return Care(
        running=run_rows(running, shown),
        hours=tuple(_hours(view, shown)),
        proposal=view.proposal,
        due=tuple(line for state, line in lines if state != "later"),
        later=tuple(line for state, line in lines if state == "later"),
        told=tuple(_told(view)),
        done=tuple(
            DoneLine(id=one.id, when=shown.clock(one.at), told=one.told, who=one.who)
            for one in view.done[:_FEW]
        ),
        choices=tuple(_choices(view.pump)),
        changed=tuple(_changed(limits, shown)),
        written=written_line(written) if written else None,
        new_id=new_id(shown.now),
    )


def _hours(view: CareView, shown: Shown) -> Iterator[str]:
    for hours in (view.hours, view.partner):
        if hours is not None:
            yield _hours_words(hours, shown)


def _hours_words(hours: Hours, shown: Shown) -> str:
    """Say how long a pump ran, since when, and what that rests on."""
    if hours.first is None:
        return f"{hours.tag}: run hours not known; nobody wrote down whether it runs."
    state = {True: "has run", False: "has stood", None: "may run or stand"}[hours.running]
    since = f" since {shown.clock(moment(hours.since))}" if hours.since is not None else ""
    first = shown.day(moment(hours.first))
    isolated = ", isolated for maintenance" if hours.isolated else ""
    starts = "1 start" if hours.starts == 1 else f"{hours.starts} starts"
    return (
        f"{hours.tag} {state}{since}{isolated}. In all {show(hours.ran, 'h')} of running since "
        f"{first}, {starts} ({hours.source})."
    )


def _told(view: CareView) -> Iterator[str]:
    for oil in view.oil:
        yield f"Oil, {PLACES[oil.place]}: {oil.use.sentence}"
    for clean in view.clean:
        if clean.cleaned_at is not None:
            yield f"{clean.label}: {clean.sentence}"


def _choices(pump: Pump) -> Iterator[DeedChoice]:
    """Yield what can be written down as done at this pump, each with its place."""
    for name, kind in DEEDS.items():
        unit = f", {unit_named(kind.unit).symbol or 'turns'}" if kind.unit else ""
        for place in places_at(pump, name):
            where = f", {PLACES[place]}" if PLACES[place] else ""
            yield DeedChoice(value=f"{name}|{place}", words=f"{kind.words}{where}{unit}")


def _changed(limits: LimitsView, shown: Shown) -> Iterator[ChangedLimit]:
    for line in limits.lines:
        if line.changed_at is not None:
            yield ChangedLimit(
                title=line.title,
                shown=line.shown,
                filed=line.filed_shown,
                words=f"{shown.clock(line.changed_at)} by {line.changed_by}",
                why=line.why,
            )
