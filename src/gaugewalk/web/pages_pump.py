"""The page of one pump: its drawing, its points, its curve, its past, what comes."""

from dataclasses import dataclass

from markupsafe import Markup

from gaugewalk.journal.entry import Entry
from gaugewalk.judge.limits import limits_of
from gaugewalk.plant.pump import Pump
from gaugewalk.watch.views import PointView, PumpView
from gaugewalk.web.drawing import describe
from gaugewalk.web.fields import REASONS, Field, Typed, drawing_of, field_of
from gaugewalk.web.frame import Frame
from gaugewalk.web.pages_watch import Due, Need, due_line, need_line
from gaugewalk.web.shown import Shown
from gaugewalk.web.trend import trend_drawing

SEVERITY_WORDS = {"watch": "watch", "act": "act this shift", "stop": "stop: make safe now"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Trend:
    """One point over time."""

    point: str
    label: str
    drawing: Markup
    readings: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitLine:
    """One limit of one point."""

    label: str
    words: str
    severity: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EventLine:
    """One thing that happened."""

    when: str
    what: str
    who: str


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
    curve: Markup
    duty: tuple[tuple[str, str], ...]
    trends: tuple[Trend, ...]
    limits: tuple[LimitLine, ...]
    events: tuple[EventLine, ...]
    forecasts: tuple[str, ...]
    notes: str
    partner: str
    error: str = ""


def pump_page(
    frame: Frame,
    view: PumpView,
    shown: Shown,
    *,
    curve: Markup,
    duty: tuple[tuple[str, str], ...] = (),
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
        curve=curve,
        duty=duty,
        trends=tuple(_trends(pump, view.points, shown)),
        limits=_limits(pump, view.points, shown),
        events=tuple(_event(entry, shown) for entry in view.events),
        forecasts=view.forecasts,
        notes=pump.notes,
        partner=pump.partner or "",
        error=error,
    )


def _running(running: bool | None) -> str:
    return {True: "running", False: "standing still", None: "running or standing: nobody said"}[
        running
    ]


def _trends(pump: Pump, points: tuple[PointView, ...], shown: Shown) -> list[Trend]:
    made = []
    for view in points:
        band = view.expected
        drawing = trend_drawing(
            view.history,
            band=(band.low, band.high) if band and band.source == "own normal" else None,
            limits=[limit.value for limit in limits_of(pump, view.point)],
            unit=view.unit,
            shown=shown,
            label=view.label,
        )
        if drawing:
            count = f"{len(view.history)} readings"
            made.append(Trend(point=view.point, label=view.label, drawing=drawing, readings=count))
    return made


def _limits(pump: Pump, points: tuple[PointView, ...], shown: Shown) -> tuple[LimitLine, ...]:
    return tuple(
        LimitLine(
            label=view.label,
            words=f"{'under' if limit.side == 'low' else 'over'} "
            f"{shown.value(limit.value, view.unit)}",
            severity=limit.severity.value,
            source=limit.source,
        )
        for view in points
        for limit in limits_of(pump, view.point)
    )


def _event(entry: Entry, shown: Shown) -> EventLine:
    return EventLine(when=shown.clock(entry.seen_at), what=event_words(entry), who=entry.who)


def event_words(entry: Entry) -> str:
    """Say in a line what an entry of the journal tells.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> from gaugewalk.journal.ids import new_id
    >>> at = datetime(2025, 11, 3, tzinfo=UTC)
    >>> event_words(Entry(id=new_id(at), kind="note", who="r", seen_at=at, body={"text": "Wet."}))
    'Note: Wet.'
    """
    body = entry.body
    said = next(
        (str(body[k]) for k in ("text", "do", "reason", "sentence", "event") if k in body), ""
    )
    if entry.kind == "observation":
        present = body.get("present")
        word = "could not look" if present is None else "seen" if present else "not there"
        return f"{body.get('title') or entry.point}: {word}. {body.get('note', '')}".rstrip()
    if entry.kind == "skipped":
        return f"{entry.point} not taken: {said}"
    names = {"note": "Note", "action": "Done", "event": "", "trouble": "Trouble"}
    name = names.get(entry.kind, entry.kind)
    return f"{name}: {said}" if name else said
