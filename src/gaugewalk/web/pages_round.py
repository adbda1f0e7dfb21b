"""Pages of a round: one pump at a time, with what is expected beside each field."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from gaugewalk.journal.entry import Entry
from gaugewalk.watch.views import ExtraCheck, RoundStop, RoundView
from gaugewalk.web.fields import REASONS, Field, Typed, drawing_of, field_of
from gaugewalk.web.frame import Frame
from gaugewalk.web.pages_looks import LookLine
from gaugewalk.web.shown import Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One pump in the row of steps."""

    tag: str
    name: str
    href: str
    here: bool
    done: bool
    severity: str
    words: str  # "4 of 7 points"
    open: tuple[str, ...]  # points neither taken nor skipped


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """A check worth making, as a question with buttons."""

    finding: str
    title: str
    how: str
    minutes: str
    caution: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundPage:
    """A round, standing at one pump."""

    frame: Frame
    id: str
    tag: str
    name: str
    liquid: str
    steps: tuple[Step, ...]
    place: str  # "Pump 3 of 12"
    fields: tuple[Field, ...]
    reasons: tuple[str, ...]
    checks: tuple[Check, ...]
    trouble_href: str
    drawing: Markup
    before: Step | None
    after: Step | None
    open_points: int  # in the whole round, neither taken nor skipped
    carried: Mapping[str, Any]  # what the phone judges by
    looks: tuple[LookLine, ...]
    finished: bool
    error: str = ""


def round_page(
    frame: Frame,
    view: RoundView,
    tag: str,
    shown: Shown,
    *,
    carried: Mapping[str, Any],
    doubles: Mapping[str, tuple[Entry, ...]],
    looks: tuple[LookLine, ...],
    typed: Typed | None = None,
    error: str = "",
) -> RoundPage:
    """Build the page of a round at the pump `tag`."""
    places = [stop.pump.tag for stop in view.stops]
    at = places.index(tag)
    stop = view.stops[at]
    fields = tuple(
        field_of(
            stop.pump,
            point,
            shown,
            typed,
            in_round=True,
            also=doubles.get(point.point, ()),
            round_id=view.id,
        )
        for point in stop.points
    )
    steps = tuple(_step(view.id, other, here=other is stop) for other in view.stops)
    return RoundPage(
        frame=frame,
        id=view.id,
        tag=tag,
        name=stop.pump.name,
        liquid=stop.pump.liquid.name,
        steps=steps,
        place=f"Pump {at + 1} of {len(places)}",
        fields=fields,
        reasons=REASONS,
        checks=tuple(check_of(check) for check in stop.extra_checks),
        trouble_href=f"/trouble/{stop.trouble_id}" if stop.trouble_id else "",
        drawing=drawing_of(stop.pump, {field.point: field for field in fields}),
        before=steps[at - 1] if at else None,
        after=steps[at + 1] if at + 1 < len(steps) else None,
        open_points=sum(len(_open(s)) for s in view.stops),
        carried=carried,
        looks=looks,
        finished=view.finished_at is not None,
        error=error,
    )


def first_open(view: RoundView) -> str:
    """Return the tag of the first pump with a point neither taken nor skipped, else the first."""
    for stop in view.stops:
        if _open(stop):
            return stop.pump.tag
    return view.stops[0].pump.tag


def _open(stop: RoundStop) -> tuple[str, ...]:
    return tuple(p.point for p in stop.points if not (p.taken or p.skipped))


def _step(round_id: str, stop: RoundStop, *, here: bool) -> Step:
    left = _open(stop)
    return Step(
        tag=stop.pump.tag,
        name=stop.pump.name,
        href=f"/round/{round_id}/{stop.pump.tag}",
        here=here,
        done=not left,
        severity=stop.severity.value,
        words=f"{len(stop.points) - len(left)} of {len(stop.points)} points",
        open=left,
    )


def check_of(check: ExtraCheck) -> Check:
    """Write a check with its time."""
    return Check(
        finding=check.finding,
        title=check.title,
        how=check.how,
        minutes=f"about {check.minutes:g} min" if check.minutes else "",
        caution=check.caution,
        why=check.why,
    )
