"""Pages that look over the whole plant: this watch, the pumps in walking order."""

from dataclasses import dataclass

from gaugewalk.plant.pump import Pump
from gaugewalk.watch.procedure_views import RunLine
from gaugewalk.watch.views import FollowUp, RoundDue, TroubleLine, Uneasy, WatchView
from gaugewalk.web.events import EventLine, event_line
from gaugewalk.web.frame import Frame
from gaugewalk.web.pages_lists import RunRow, run_rows
from gaugewalk.web.shown import Shown

MOST_CHANGES = 30  # since the shift began; the handover has them all


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """One line of what needs a hand."""

    severity: str
    tag: str
    name: str
    sentence: str
    since: str
    href: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """A follow-up with its countdown."""

    id: str
    tag: str
    what: str
    due: str  # "in 25 min"
    at: str  # "14:40"
    due_iso: str
    overdue: bool
    href: str
    answer_href: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundLine:
    """A round of the plan."""

    name: str
    due: str
    at: str
    due_iso: str
    overdue: bool
    last: str
    pumps: str
    open_href: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchPage:
    """The page "This watch"."""

    frame: Frame
    needs: tuple[Need, ...]
    running: tuple[RunRow, ...]  # check-lists under way
    follow_ups: tuple[Due, ...]
    rounds: tuple[RoundLine, ...]
    uneasy: tuple[Need, ...]
    changes: tuple[EventLine, ...]
    shift: str
    calm: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PumpLine:
    """One pump of the walking order."""

    tag: str
    name: str
    liquid: str
    severity: str
    href: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """The pumps of one area."""

    name: str
    pumps: tuple[PumpLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PumpsPage:
    """Every pump in walking order."""

    frame: Frame
    areas: tuple[Area, ...]


def watch_page(
    frame: Frame, view: WatchView, shown: Shown, *, running: tuple[RunLine, ...] = ()
) -> WatchPage:
    """Build the page of this watch; `running` are the check-lists under way."""
    rounds = tuple(_round(r, shown) for r in view.rounds)
    return WatchPage(
        frame=frame,
        needs=tuple(need_line(t, shown) for t in view.troubles),
        running=run_rows(running, shown),
        follow_ups=tuple(due_line(f, shown) for f in view.follow_ups),
        rounds=rounds,
        uneasy=tuple(_uneasy(u) for u in view.uneasy),
        changes=tuple(event_line(entry, shown) for entry in view.changes[:MOST_CHANGES]),
        shift=f"Since {shown.clock(view.shift_began_at)}" if view.shift_began_at else "",
        calm=_calm(view, rounds),
    )


def need_line(trouble: TroubleLine, shown: Shown) -> Need:
    """Write a trouble as a line of what needs a hand."""
    return Need(
        severity=trouble.severity.value,
        tag=trouble.tag,
        name=trouble.name,
        sentence=trouble.sentence,
        since=f"since {shown.clock(trouble.opened_at)}, {shown.ago(trouble.opened_at)}",
        href=f"/trouble/{trouble.id}",
    )


def _uneasy(pump: Uneasy) -> Need:
    return Need(
        severity=pump.severity.value,
        tag=pump.tag,
        name=pump.name,
        sentence=pump.sentence,
        since="",
        href=f"/pump/{pump.tag}",
    )


def due_line(follow_up: FollowUp, shown: Shown) -> Due:
    """Write a follow-up with its countdown."""
    anchor = f"#{follow_up.point}" if follow_up.point else ""
    return Due(
        id=follow_up.id,
        tag=follow_up.tag,
        what=follow_up.what,
        due=shown.until(follow_up.due_at),
        at=shown.clock(follow_up.due_at),
        due_iso=follow_up.due_at.isoformat(),
        overdue=follow_up.due_at < shown.now,
        href=f"/pump/{follow_up.tag}{anchor}",
        answer_href=f"/follow-up/{follow_up.id}",
    )


def _round(due: RoundDue, shown: Shown) -> RoundLine:
    return RoundLine(
        name=due.name,
        due=shown.until(due.due_at),
        at=shown.clock(due.due_at),
        due_iso=due.due_at.isoformat(),
        overdue=due.due_at < shown.now,
        last=f"last walked {shown.clock(due.last_at)}" if due.last_at else "never walked yet",
        pumps=f"{due.pumps} pump" + ("" if due.pumps == 1 else "s"),
        open_href=f"/round/{due.open_id}" if due.open_id else "",
    )


def _calm(view: WatchView, rounds: tuple[RoundLine, ...]) -> str:
    """What is said where nothing needs a hand: what we know, and no more than that."""
    if view.troubles or view.uneasy or any(f.due_at < view.now for f in view.follow_ups):
        return ""
    nothing = f"Nothing that was read at the {view.pumps} pumps asks for a hand."
    following = min(view.rounds, key=lambda r: r.due_at, default=None)
    if following is None:
        return nothing
    line = rounds[view.rounds.index(following)]
    return f"{nothing} {line.name} is due {line.due}."


def pumps_page(frame: Frame, pumps: list[tuple[Pump, str]]) -> PumpsPage:
    """Build the list of pumps, each with its severity word, by area in walking order."""
    areas: dict[str, list[PumpLine]] = {}
    for pump, severity in sorted(pumps, key=lambda item: (item[0].walk_order, item[0].tag)):
        areas.setdefault(pump.area or "Elsewhere", []).append(
            PumpLine(
                tag=pump.tag,
                name=pump.name,
                liquid=pump.liquid.name,
                severity=severity,
                href=f"/pump/{pump.tag}",
            )
        )
    return PumpsPage(
        frame=frame, areas=tuple(Area(name=n, pumps=tuple(p)) for n, p in areas.items())
    )
