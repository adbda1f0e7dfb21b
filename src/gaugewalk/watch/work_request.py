"""A work request: one page on which a mechanic and a planner find what they need.

It is made from a trouble as the journal has it. What it asks for is the site's decision; a line on
how long the pump may run is a forecast, never a leave to run it.
"""

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

from gaugewalk.diagnose.diagnosis import Diagnosis
from gaugewalk.journal.ledger import Ledger
from gaugewalk.judge.display import span
from gaugewalk.judge.forecast import Forecast
from gaugewalk.judge.limits import limits_of
from gaugewalk.judge.severity import Severity
from gaugewalk.plant.pump import Pump
from gaugewalk.units import show
from gaugewalk.watch.ahead import forecasts
from gaugewalk.watch.board import Board, board_key
from gaugewalk.watch.care import Care, care_key
from gaugewalk.watch.courses import courses_of
from gaugewalk.watch.desk import Desk, unit_of
from gaugewalk.watch.isolation import SOURCE, isolation_cautions
from gaugewalk.watch.point_views import sample_of
from gaugewalk.watch.pump_page import PAST
from gaugewalk.watch.telling import done_words, label_of, percent
from gaugewalk.watch.trend_chart import Course
from gaugewalk.watch.trouble import trouble_view
from gaugewalk.watch.views import TroubleView
from gaugewalk.watch.wall import clock, exact, stamp_of

HANDED_IN = "Work request handed to maintenance"  # the action that says so
_CAUSES, _LEAST = 3, 0.05
_EVIDENCE, _SEEN, _TRIED, _PICTURES, _WANTED = 6, 8, 6, 2, 3
_PASSED = 3  # limits that are told as passed
_URGENCY = {
    Severity.STOP: "Now. The pump is to be made safe under local procedure before all else.",
    Severity.ACT: "This shift.",
    Severity.WATCH: "To be planned; it is looked at again at every round.",
    Severity.NORMAL: "To be planned.",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One reading that speaks for the trouble, beside what was expected."""

    label: str
    value: str
    expected: str
    severity: str
    when: str
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """One likely cause."""

    title: str
    percent: str
    because: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """One thing that would remove the cause, with its care and its proof."""

    do: str
    who: str
    caution: str
    verify: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkRequest:
    """Everything on the page, ready to be shown; `courses` are its pictures."""

    id: str  # of the trouble
    plant: str
    written_at: str
    tag: str
    name: str
    area: str
    severity: str
    what: str
    since: str
    recurrence: str
    urgency: str
    facts: tuple[tuple[str, str], ...]
    evidence: tuple[Reading, ...]
    seen: tuple[str, ...]
    not_there: tuple[str, ...]
    causes: tuple[Suspect, ...]
    unexplained: str
    tried: tuple[str, ...]
    remedies: tuple[str, ...]
    wanted: tuple[Wanted, ...]
    isolation: tuple[str, ...]
    isolation_source: str
    run_until: tuple[str, ...]
    stop_when: tuple[str, ...]
    handed_in: str
    courses: tuple[Course, ...] = ()


def work_request(desk: Desk, trouble_id: str, now: datetime) -> WorkRequest:
    """Return the work request of a trouble as it stands.

    Raises
    ------
    NotFoundError
        There is no such trouble.
    """
    view = trouble_view(desk, trouble_id, now)
    pump, found = view.pump, view.diagnosis
    word = max(view.severity, found.verdict, key=lambda severity: severity.rank)
    partner = desk.pumps.get(pump.partner or "")
    with desk.journal.reading() as ledger:
        board = Board.from_json(ledger.load_state(board_key(pump.tag)))
        points = _points(view, board)
        coming = _coming(desk, ledger, pump, points, now)
        courses = courses_of(
            ledger, pump, points, since=view.opened_at, now=view.closed_at or now, most=_PICTURES
        )
        standby = _standby(ledger, partner)
        past = _past(desk, pump, board, points)
    return WorkRequest(
        id=trouble_id,
        plant=desk.plant.name,
        written_at=stamp_of(now, desk.zone),
        tag=pump.tag,
        name=pump.name,
        area=pump.area,
        severity=word.value,
        what=view.sentence,
        since=_since(desk, view, now),
        recurrence=view.recurrence,
        urgency=_URGENCY[word],
        facts=tuple(_facts(pump, standby)),
        evidence=tuple(_evidence(desk, view, points)),
        seen=tuple(a.title for a in view.answered if a.present)[:_SEEN],
        not_there=tuple(a.title for a in view.answered if a.present is False)[:_SEEN],
        causes=tuple(_suspects(found)),
        unexplained=f"Something the book of causes does not explain: {percent(found.unexplained)}.",
        tried=tuple(_tried(desk, view, now)),
        remedies=tuple(view.remedies.values()),
        wanted=tuple(_wanted(found)),
        isolation=isolation_cautions(pump, partner),
        isolation_source=SOURCE,
        run_until=tuple(_run_until(word, past, coming)),
        stop_when=found.stop_when[:3],
        handed_in=_handed_in(desk, view),
        courses=tuple(courses),
    )


def to_json(request: WorkRequest, desk: Desk) -> dict[str, Any]:
    """Return plain values, the courses as numbers in the unit of their point."""
    plain = {**asdict(request), "version": 1, "courses": []}
    for course in request.courses:
        rows = [
            [exact(s.seen_at, desk.zone), show(s.value, course.unit, barometric=desk.barometric)]
            for s in course.samples
        ]
        plain["courses"].append({"title": course.title, "unit": course.unit, "readings": rows})
    return plain


def _points(view: TroubleView, board: Board) -> list[str]:
    """Return the points of the trouble, then others of the pump that are not normal."""
    shown = [str(e.point) for e in view.timeline if e.kind == "trouble" and e.point]
    odd = [p for p, last in board.last.items() if last.severity != Severity.NORMAL]
    return [point for point in dict.fromkeys((*shown, *odd)) if point in board.last]


def _coming(
    desk: Desk, ledger: Ledger, pump: Pump, points: list[str], now: datetime
) -> tuple[Forecast, ...]:
    rows = ledger.glimpses(pump.tag, since=now - PAST, until=now, points=points)
    return forecasts(desk, ledger, pump, rows, now)


def _since(desk: Desk, view: TroubleView, now: datetime) -> str:
    days = (now - view.opened_at).days
    length = f", {days} days" if days > 1 else ""
    return f"{stamp_of(view.opened_at, desk.zone)}{length}"


def _facts(pump: Pump, standby: str) -> Iterator[tuple[str, str]]:
    liquid, driver = pump.liquid, pump.driver
    warm = f", {show(liquid.temperature, 'degC', digits=0)}" if liquid.temperature else ""
    yield "Liquid", f"{liquid.name}{warm}"
    yield "Shaft seal", pump.seal.kind
    product = f", {pump.lubrication.product}" if pump.lubrication.product else ""
    yield "Lubrication", f"{pump.lubrication.kind}{product}"
    power = f", {show(driver.power, 'kW')}" if driver.power else ""
    speed = f", {show(driver.speed, 'rpm', digits=0)}" if driver.speed else ""
    yield "Driver", f"{driver.kind}{power}{speed}"
    yield "Service", pump.service
    yield "Standby", standby


def _standby(ledger: Ledger, partner: Pump | None) -> str:
    if partner is None:
        return "none"
    board = Board.from_json(ledger.load_state(board_key(partner.tag)))
    care = Care.from_json(ledger.load_state(care_key(partner.tag)))
    if care.isolated:
        return f"{partner.tag}, isolated for maintenance"
    if board.trouble:
        return f"{partner.tag}, itself in trouble: {board.trouble.sentence}"
    return f"{partner.tag}, no trouble open there"


def _evidence(desk: Desk, view: TroubleView, points: list[str]) -> Iterator[Reading]:
    """Say the last word about each point, the gravest first."""
    pump = view.pump
    newest = {str(e.point): e for e in view.timeline if e.kind == "reading"}
    rows = [newest[point] for point in points if point in newest]
    rows.sort(key=lambda e: -Severity(e.body["verdict"]["severity"]).rank)
    for entry in rows[:_EVIDENCE]:
        unit, verdict = unit_of(pump, str(entry.point)), entry.body["verdict"]
        sample = sample_of(entry)
        least, most = verdict["band"] or (None, None)
        swings = sample.low is not None and sample.high is not None
        low, high = (sample.low, sample.high) if swings else (sample.value, sample.value)
        yield Reading(
            label=label_of(entry.point),
            value=_written(desk, low, high, unit),
            expected=_written(desk, least, most, unit),
            severity=str(verdict["severity"]),
            when=clock(entry.seen_at, desk.zone, beside=view.closed_at),
            sentence=str(verdict["sentence"]),
        )


def _written(desk: Desk, low: float | None, high: float | None, unit: str) -> str:
    if low is None or high is None:
        side = low if high is None else high
        word = "at least" if high is None else "at most"
        return f"{word} {show(side, unit, barometric=desk.barometric)}" if side is not None else ""
    if low == high:
        return show(low, unit, barometric=desk.barometric)
    return span(low, high, unit, barometric=desk.barometric)


def _suspects(found: Diagnosis) -> Iterator[Suspect]:
    for cause in found.causes[:_CAUSES]:
        if cause.probability >= _LEAST:
            yield Suspect(
                title=cause.title, percent=percent(cause.probability), because=cause.because
            )


def _tried(desk: Desk, view: TroubleView, now: datetime) -> list[str]:
    actions = [entry for entry in view.done if entry.body["do"] != HANDED_IN]
    return list(done_words(actions, lambda at: clock(at, desk.zone, beside=now)))[-_TRIED:]


def _wanted(found: Diagnosis) -> list[Wanted]:
    cures = [one.action for one in found.actions if one.action.kind == "cure"]
    return [
        Wanted(do=one.do, who=one.who, caution=one.caution, verify=one.verify)
        for one in cures[:_WANTED]
    ]


def _run_until(severity: Severity, past: list[str], coming: tuple[Forecast, ...]) -> Iterator[str]:
    if severity is Severity.STOP:
        yield "It is not to be run until whoever decides under local procedure says so."
    yield from past
    yield from (one.sentence for one in coming[:2])
    if not coming:
        yield (
            f"No {'further ' if past else ''}limit is forecast to be reached; that is no promise, "
            "a trend may turn at any time. Who decides weighs it by the site's rules."
        )


def _past(desk: Desk, pump: Pump, board: Board, points: list[str]) -> list[str]:
    """Say which limits have been passed already, of each point the gravest."""
    said = []
    for point in points:
        value, unit = board.last[point].value, unit_of(pump, point)
        passed = [
            limit
            for limit in limits_of(pump, point)
            if limit.beyond(value) and limit.severity.rank >= Severity.ACT.rank
        ]
        if passed:
            worst = max(passed, key=lambda limit: limit.severity.rank)
            shown = show(worst.value, unit, barometric=desk.barometric)
            said.append(
                f"{label_of(point)} is past its {worst.severity.value} limit {shown} already."
            )
    return said[:_PASSED]


def _handed_in(desk: Desk, view: TroubleView) -> str:
    given = [entry for entry in view.done if entry.body["do"] == HANDED_IN]
    return f"{stamp_of(given[-1].seen_at, desk.zone)} by {given[-1].who}" if given else ""
