"""The page of a check-list that is being walked: the step in hand, what is done, what follows."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from gaugewalk.plant.pump import Pump
from gaugewalk.units import show, unit_named
from gaugewalk.watch.care_views import DueItem
from gaugewalk.watch.deeds import PLACES, TOPPED_UP
from gaugewalk.watch.procedure_views import RunView, StepView
from gaugewalk.web.fields import REASONS, Field, Typed, field_of
from gaugewalk.web.frame import Frame
from gaugewalk.web.pages_lists import TextStep, grounds, text_step, waiting
from gaugewalk.web.shown import Shown

_NONE: Mapping[str, str] = {}


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceRow:
    """One place of the pump at which the step's deed can be done."""

    place: str
    words: str  # "Drive end"
    wanted: str  # "20 g, 15 strokes", as the program sets it; empty where it sets nothing
    chosen: bool
    amount: str  # as typed


@dataclass(frozen=True, slots=True, kw_only=True)
class StepNow:
    """The step in hand."""

    id: str
    number: int
    text: str
    caution: str
    who: str
    hold: str
    tag: str
    wait: str  # "in 12 min", empty once it is over
    wait_at: str
    wait_iso: str
    wait_words: str
    fields: tuple[Field, ...]
    results: tuple[str, ...]
    places: tuple[PlaceRow, ...]  # empty where nothing is asked about places
    unit: str  # of the amounts; empty where none is counted
    asks_found: bool
    grounds: tuple[str, ...]
    done_word: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DoneStep:
    """A step that has its answer."""

    id: str
    number: int
    text: str
    state: str  # done, skipped
    words: str  # "08:14 by R. Vale: liquid"
    reason: str
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkPage:
    """A check-list being walked, or over."""

    frame: Frame
    id: str
    tag: str
    place: str  # "Step 5 of 14"
    who: str
    caution: str
    step: StepNow | None
    done: tuple[DoneStep, ...]
    coming: tuple[TextStep, ...]
    ended: str
    left_as: str
    passed_holds: tuple[str, ...]
    sources: tuple[str, ...]
    reasons: tuple[str, ...]
    carried: Mapping[str, Any] | None
    typed: Mapping[str, str]
    error: str = ""


def walk_page(
    frame: Frame,
    view: RunView,
    shown: Shown,
    *,
    pump: Pump,
    care: Sequence[DueItem] = (),
    carried: Mapping[str, Any] | None,
    typed: Mapping[str, str] = _NONE,
    at_field: Typed | None = None,
    error: str = "",
) -> WalkPage:
    """Build the page of a check-list under way.

    Parameters
    ----------
    frame, view, shown
        The list as it stands.
    pump : Pump
        At which the step in hand is done; it may be the other one of the pair.
    care : sequence of DueItem
        The program of that pump, for the amounts that it sets.
    carried : mapping, optional
        What the phone judges by; none where the step asks for no reading.
    typed : mapping, optional
        What was typed in a form that could not be taken.
    at_field : Typed, optional
        The same for a reading.
    error : str
        Why it could not be taken.
    """
    following = next((step for step in view.steps if step.is_next), None)
    return WalkPage(
        frame=frame,
        id=view.id,
        tag=view.pump.tag,
        place=f"Step {following.number} of {len(view.steps)}" if following else "",
        who=", ".join(view.who),
        caution=view.caution,
        step=_now(following, (pump, care), shown, typed, at_field) if following else None,
        done=tuple(_done(step, shown) for step in reversed(view.steps) if step.state != "open"),
        coming=tuple(text_step(s) for s in view.steps if s.state == "open" and s is not following),
        ended=f"{view.ended} {shown.clock(view.ended_at)}" if view.ended_at else "",
        left_as=view.left_as,
        passed_holds=view.passed_holds,
        sources=view.sources,
        reasons=REASONS,
        carried=carried,
        typed=typed,
        error=error,
    )


def _now(
    step: StepView,
    at: tuple[Pump, Sequence[DueItem]],
    shown: Shown,
    typed: Mapping[str, str],
    at_field: Typed | None,
) -> StepNow:
    pump, care = at
    wait = waiting(step.ready_at, shown)
    return StepNow(
        id=step.id,
        number=step.number,
        text=step.text,
        caution=step.caution,
        who=step.who,
        hold=step.hold,
        tag=step.tag,
        wait=wait,
        wait_at=shown.clock(step.ready_at) if wait and step.ready_at else "",
        wait_iso=step.ready_at.isoformat() if wait and step.ready_at else "",
        wait_words=step.wait_words,
        fields=tuple(field_of(pump, p, shown, at_field, in_round=True) for p in step.points),
        results=step.results,
        places=_places(step, care, typed),
        unit=unit_named(step.amount_unit).symbol or "turns" if step.amount_unit else "",
        asks_found=step.event == TOPPED_UP,
        grounds=grounds(step),
        done_word="Confirmed" if step.hold else "Looked, go on" if step.look else "Done",
    )


def _places(
    step: StepView, care: Sequence[DueItem], typed: Mapping[str, str]
) -> tuple[PlaceRow, ...]:
    """Return the places to choose from; none where there is one only and nothing is counted."""
    if len(step.places) < 2 and not step.amount_unit:
        return ()
    wanted = {item.place: _wanted(item) for item in care if item.deed == step.event}
    return tuple(
        PlaceRow(
            place=place,
            words=PLACES[place].capitalize() or "Here",
            wanted=wanted.get(place, ""),
            chosen=len(step.places) == 1 or typed.get(f"at {place}") == "yes",
            amount=typed.get(f"amount {place}", ""),
        )
        for place in step.places
    )


def _wanted(item: DueItem) -> str:
    if item.amount is None:
        return ""
    if item.unit == "1":
        return f"{item.amount:g} of a turn"
    strokes = f", {item.strokes} strokes" if item.strokes else ""
    return f"{show(item.amount, item.unit)}{strokes}"


def _done(step: StepView, shown: Shown) -> DoneStep:
    when = f"{shown.clock(step.at)} by {step.who_did}" if step.at else step.who_did
    allowed = f", allowed by {step.allowed_by}" if step.allowed_by else ""
    return DoneStep(
        id=step.id,
        number=step.number,
        text=step.text,
        state="passed" if step.hold and step.state == "skipped" else step.state,
        words=f"{when}{allowed}" + (f": {step.result}" if step.result else ""),
        reason=step.reason,
        warnings=step.warnings,
    )
