"""The page of one pump: its drawing, its points, its curve, its past, what comes."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from gaugewalk.judge.limits import Limit, limits_of
from gaugewalk.judge.severity import Severity
from gaugewalk.plant.pump import Pump
from gaugewalk.watch.views import PointView, PumpView
from gaugewalk.web.curve import Duty
from gaugewalk.web.drawing import describe
from gaugewalk.web.events import EventLine, event_line
from gaugewalk.web.fields import REASONS, Field, Typed, drawing_of, field_of
from gaugewalk.web.frame import Frame
from gaugewalk.web.pages_care import Care
from gaugewalk.web.pages_looks import LookLine, look_lines
from gaugewalk.web.pages_watch import Due, Need, due_line, need_line
from gaugewalk.web.shown import Shown
from gaugewalk.web.trend import trend_drawing


@dataclass(frozen=True, slots=True, kw_only=True)
class Trend:
    """One point over time."""

    point: str
    label: str
    drawing: Markup
    readings: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitLine:
    """The limits of one point, by severity: "under 2.9, over 3.35 barg"."""

    label: str
    watch: str
    act: str
    stop: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PumpPage:
    """One pump."""

    frame: Frame
    tag: str
    severity: str
    sentence: str
    running: str
    described: str
    drawing: Markup
    fields: tuple[Field, ...]
    reasons: tuple[str, ...]
    troubles: tuple[Need, ...]
    follow_ups: tuple[Due, ...]
    duty: Duty
    trends: tuple[Trend, ...]
    limits: tuple[LimitLine, ...]
    events: tuple[EventLine, ...]
    forecasts: tuple[str, ...]
    notes: str
    partner: str
    care: Care
    carried: Mapping[str, Any]  # what the phone judges by
    looks: tuple[LookLine, ...]
    error: str = ""


def pump_page(
    frame: Frame,
    view: PumpView,
    shown: Shown,
    *,
    duty: Duty,
    care: Care,
    carried: Mapping[str, Any],
    typed: Typed | None = None,
    error: str = "",
) -> PumpPage:
    """Build the page of one pump."""
    pump = view.pump
    fields = tuple(field_of(pump, point, shown, typed) for point in view.points)
    return PumpPage(
        frame=frame,
        tag=pump.tag,
        severity=view.severity.value,
        sentence=view.sentence,
        running=_running(view.running),
        described=describe(pump),
        drawing=drawing_of(pump, {field.point: field for field in fields}),
        fields=fields,
        reasons=REASONS,
        troubles=tuple(need_line(t, shown) for t in view.troubles),
        follow_ups=tuple(due_line(f, shown) for f in view.follow_ups),
        duty=duty,
        trends=tuple(_trends(view, shown)),
        limits=_limits(pump, view.points, shown),
        events=tuple(event_line(entry, shown) for entry in view.events),
        forecasts=view.forecasts,
        notes=pump.notes,
        partner=pump.partner or "",
        care=care,
        carried=carried,
        looks=look_lines(pump, {}),
        error=error,
    )


def _running(running: bool | None) -> str:
    if running is None:
        return "Nobody said lately whether it runs"
    return "It runs" if running else "It stands still"


def _trends(page: PumpView, shown: Shown) -> list[Trend]:
    made = []
    coming = {one.point: one for one in page.coming}
    deeds = [entry.seen_at for entry in page.events if entry.kind in ("action", "event")]
    for view in page.points:
        band = view.expected
        drawing = trend_drawing(
            view.history,
            band=(band.low, band.high) if band and band.source == "own normal" else None,
            limits=[limit.value for limit in limits_of(page.pump, view.point)],
            unit=view.unit,
            shown=shown,
            label=view.label,
            coming=coming.get(view.point),
            deeds=deeds,
        )
        if drawing:
            count = f"{len(view.history)} readings"
            made.append(Trend(point=view.point, label=view.label, drawing=drawing, readings=count))
    return made


def _limits(pump: Pump, points: tuple[PointView, ...], shown: Shown) -> tuple[LimitLine, ...]:
    made = []
    for view in points:
        limits = limits_of(pump, view.point)
        if limits:
            said = {severity: _said(limits, severity, view.unit, shown) for severity in Severity}
            made.append(
                LimitLine(
                    label=view.label,
                    watch=said[Severity.WATCH],
                    act=said[Severity.ACT],
                    stop=said[Severity.STOP],
                    source="; ".join(dict.fromkeys(limit.source for limit in limits)),
                )
            )
    return tuple(made)


def _said(limits: tuple[Limit, ...], severity: Severity, unit: str, shown: Shown) -> str:
    mine = sorted((x for x in limits if x.severity is severity), key=lambda x: x.side == "high")
    sides = {"low": "under", "high": "over"}
    return ", ".join(f"{sides[x.side]} {shown.value(x.value, unit)}" for x in mine)
