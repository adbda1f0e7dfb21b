"""Pages of the check-lists as text: all of them, those of one pump, one list step by step."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from gaugewalk.watch.procedure_views import ProcedureLine, ProcedureView, RunLine, StepView
from gaugewalk.watch.telling import label_of
from gaugewalk.web.frame import Frame
from gaugewalk.web.shown import Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class ListLine:
    """One check-list among others."""

    title: str
    href: str
    when: str
    words: str  # "operator, 14 steps"


@dataclass(frozen=True, slots=True, kw_only=True)
class ListGroup:
    """Check-lists of one kind."""

    name: str
    lines: tuple[ListLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RunRow:
    """A check-list under way, as a line."""

    title: str
    tag: str
    name: str
    href: str
    words: str  # "4 of 14 done; begun 08:10 by R. Vale"
    following: str
    wait_iso: str  # until when the next step waits; empty where it does not
    wait: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ListsPage:
    """All check-lists, or those of one pump."""

    frame: Frame
    tag: str
    running: tuple[RunRow, ...]
    groups: tuple[ListGroup, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TextStep:
    """One step as it is read."""

    number: int
    text: str
    caution: str
    who: str
    hold: str
    notes: tuple[str, ...]  # waiting, readings, where it applies
    grounds: tuple[str, ...]  # defaults with their source, and the sources of the step


@dataclass(frozen=True, slots=True, kw_only=True)
class ListPage:
    """One check-list as text; at a pump it can be begun."""

    frame: Frame
    tag: str
    when: str
    who: str
    caution: str
    own: bool
    sources: tuple[str, ...]
    steps: tuple[TextStep, ...]
    running: tuple[RunRow, ...]
    pumps: tuple[tuple[str, str], ...]  # tag and address, where no pump is named


def lists_page(
    frame: Frame,
    lines: Iterable[ProcedureLine],
    running: Iterable[RunLine],
    shown: Shown,
    *,
    tag: str = "",
) -> ListsPage:
    """Build the list of check-lists; what is under way stands first."""
    base = f"/pump/{tag}/check-lists" if tag else "/check-lists"
    groups: dict[str, list[ListLine]] = {}
    for one in lines:
        groups.setdefault(one.group, []).append(
            ListLine(
                title=one.title,
                href=f"{base}/{one.id}",
                when=one.when,
                words=f"{one.who}, {one.steps} steps" + (", this plant's own" if one.own else ""),
            )
        )
    return ListsPage(
        frame=frame,
        tag=tag,
        running=run_rows(running, shown),
        groups=tuple(ListGroup(name=name, lines=tuple(rows)) for name, rows in groups.items()),
    )


def run_rows(running: Iterable[RunLine], shown: Shown) -> tuple[RunRow, ...]:
    """Write the lists under way as lines."""
    return tuple(_run_row(line, shown) for line in running)


def _run_row(line: RunLine, shown: Shown) -> RunRow:
    waits = waiting(line.waiting_until, shown)
    return RunRow(
        title=line.title,
        tag=line.tag,
        name=line.name,
        href=f"/check-list/{line.id}",
        words=f"{line.done} of {line.of} done; begun {shown.clock(line.started_at)} by {line.who}",
        following=line.next_text,
        wait_iso=line.waiting_until.isoformat() if waits and line.waiting_until else "",
        wait=waits,
    )


def waiting(until: datetime | None, shown: Shown) -> str:
    """Write the time that a step still waits; empty where it does not."""
    return shown.until(until) if until is not None and until > shown.now else ""


def list_page(
    frame: Frame, view: ProcedureView, shown: Shown, *, pumps: Iterable[str] = ()
) -> ListPage:
    """Build one check-list as text; `pumps` are those that it fits, where none is named."""
    return ListPage(
        frame=frame,
        tag=view.pump.tag if view.pump else "",
        when=view.when,
        who=view.who,
        caution=view.caution,
        own=view.own,
        sources=view.sources,
        steps=tuple(text_step(step) for step in view.steps),
        running=run_rows(view.running, shown),
        pumps=tuple((tag, f"/pump/{tag}/check-lists/{view.id}") for tag in pumps),
    )


def text_step(step: StepView) -> TextStep:
    """Write a step as it is read before it is done."""
    notes = []
    if step.wait_words:
        notes.append(f"Not before {step.wait_words} after the step before.")
    if step.readings:
        notes.append(f"To read: {readings_words(step.readings)}.")
    if step.only:
        notes.append(f"Only {step.only}.")
    return TextStep(
        number=step.number,
        text=step.text,
        caution=step.caution,
        who=step.who,
        hold=step.hold,
        notes=tuple(notes),
        grounds=grounds(step),
    )


def readings_words(points: Iterable[str]) -> str:
    """Name observation points in a row.

    Examples
    --------
    >>> readings_words(("flow", "motor_current", "vibration_*"))
    'flow; motor current; vibration at every point'
    """
    return "; ".join(_point_words(point) for point in points)


def _point_words(point: str) -> str:
    if not point.endswith("*"):
        return label_of(point).lower()
    return f"{point.rstrip('_*').replace('_', ' ')} at every point"


def grounds(step: StepView) -> tuple[str, ...]:
    """Return every default of a step with its source, then where the step itself is from."""
    return (
        (*step.settings, f"The step: {'; '.join(step.sources)}.")
        if step.sources
        else (step.settings)
    )
