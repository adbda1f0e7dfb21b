"""What is handed on: the handover with its signatures, work requests, how the rounds went."""

from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from typing import Annotated
from uuid import UUID

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, JSONResponse, PlainTextResponse, Response
from starlette.concurrency import run_in_threadpool

from gaugewalk.errors import ArgumentError, GaugewalkError, NotFoundError
from gaugewalk.watch.handover_pdf import trouble_charts
from gaugewalk.watch.handover_text import handover_text
from gaugewalk.watch.trend_chart import trend_picture
from gaugewalk.watch.wall import read_time, stamp_of
from gaugewalk.web.door import Door, back_to, door_of, page, who_of
from gaugewalk.web.forms import Rejected, Sent, fields_of
from gaugewalk.web.frame import UNNAMED
from gaugewalk.web.pages_handover import handover_page
from gaugewalk.web.pages_papers import rounds_page, work_request_page
from gaugewalk.web.problems import status_of

router = APIRouter(include_in_schema=False)
ROUND_DAYS = 3  # of rounds on one page
Shift = Annotated[str | None, Query(max_length=40)]

# ------------------------------------------------------------------ handover


@router.get("/handover", response_class=HTMLResponse)
def show(request: Request, shift: Shift = None) -> HTMLResponse:
    """What the next watch must know."""
    door = door_of(request)
    return _handover(request, door, _moment(door, shift), None)


@router.get("/handover.txt", response_class=PlainTextResponse)
def as_text(request: Request, shift: Shift = None) -> PlainTextResponse:
    """The same as plain text."""
    door = door_of(request)
    told = door.watch.papers.handover(door.now(), shift=_moment(door, shift))
    return PlainTextResponse(handover_text(told))


@router.get("/handover.pdf")
def as_pdf(request: Request, shift: Shift = None) -> Response:
    """The same as PDF."""
    door = door_of(request)
    made = door.watch.papers.handover_pdf(door.now(), shift=_moment(door, shift))
    return _file(made, "application/pdf", "handover.pdf")


@router.post("/handover")
async def write(request: Request) -> Response:
    """Take a remark, a remedy taken back, or a signature."""
    door, fields = door_of(request), await fields_of(request)
    rejected = await run_in_threadpool(_take, request, door, fields)
    if rejected is None:
        shift = fields.get("shift", "")
        return back_to(f"/handover?shift={shift.replace('+', '%2B')}" if shift else "/handover")
    moment = _moment(door, fields.get("shift") or None)
    said = fields.get("text", "")
    return await run_in_threadpool(_handover, request, door, moment, rejected, said)


def _take(request: Request, door: Door, fields: Mapping[str, str]) -> Rejected | None:
    taker = _TAKERS.get(fields.get("what", ""))
    try:
        if taker is None:
            raise ArgumentError(f"what: expected one of {', '.join(_TAKERS)}.")
        who = who_of(request, fields.get("who", "").strip() or None)
        signs = fields["what"] in ("sign", "take")
        if signs and (who == UNNAMED or fields.get("who", who).strip() == ""):
            raise ArgumentError("Give your name: a handover is signed with it.")
        sent = Sent(fields=fields, who=who, now=door.now(), tag="")
        taker(door, sent, _moment(door, fields.get("shift") or None))
    except GaugewalkError as error:
        return Rejected(error=error)
    return None


def _remark(door: Door, sent: Sent, shift: datetime | None) -> None:
    section, text = sent.text("section"), sent.text("text")
    door.watch.papers.write_remark(section, text, who=sent.who, now=sent.now, shift=shift)


def _sign(door: Door, sent: Sent, shift: datetime | None) -> None:
    door.watch.papers.sign(who=sent.who, now=sent.now, shift=shift)


def _take_over(door: Door, sent: Sent, shift: datetime | None) -> None:
    read = [name.removeprefix("read ") for name in sent.fields if name.startswith("read ")]
    door.watch.papers.take_over(
        read, who=sent.who, now=sent.now, text=sent.text("text"), shift=shift
    )


def _remedy(door: Door, sent: Sent, _shift: datetime | None) -> None:
    """Take a temporary remedy back, in its trouble or outside any."""
    id = sent.uuid("ends")
    if id is None:
        raise ArgumentError("ends: expected the id of the remedy.")
    entry = door.watch.journal.get(id)
    if entry.tag is None:
        raise NotFoundError(f"There is no temporary remedy {id}.")
    trouble = entry.body.get("trouble")
    open_ones = {line.id for line in door.watch.troubles(sent.now)}
    door.watch.act(
        entry.tag,
        trouble if trouble in open_ones else None,
        f"Taken back: {entry.body.get('do', '')}"[:500],
        who=sent.who,
        now=sent.now,
        ends=id,
    )


_TAKERS: Mapping[str, Callable[[Door, Sent, datetime | None], None]] = {
    "remark": _remark,
    "sign": _sign,
    "take": _take_over,
    "remedy": _remedy,
}


def _moment(door: Door, text: str | None) -> datetime | None:
    return read_time(text, door.watch.desk.zone) if text else None


def _handover(
    request: Request,
    door: Door,
    shift: datetime | None,
    rejected: Rejected | None,
    said: str = "",
) -> HTMLResponse:
    now = door.now()
    told = door.watch.papers.handover(now, shift=shift)
    zone = door.watch.desk.zone
    under = f"Shift {stamp_of(told.began_at, zone)} to {door.shown(now).clock(told.ends_at)}"
    framed = door.frame(request, "Handover", under=under, place="/handover")
    charts = trouble_charts(door.watch.desk, told, now, on_paper=False)
    error = str(rejected.error) if rejected else ""
    built = handover_page(framed, told, door.shown(now), charts, error=error, said=said)
    status = status_of(rejected.error) if rejected else 200
    return page(request, "handover.html", framed, built, status=status)


# ------------------------------------------------------------------ work request


@router.get("/trouble/{trouble_id}/work-request", response_class=HTMLResponse)
def work_request(request: Request, trouble_id: UUID) -> HTMLResponse:
    """One page for a mechanic and a planner, fit to be printed."""
    door = door_of(request)
    now, desk = door.now(), door.watch.desk
    made = door.watch.papers.work_request(str(trouble_id), now)
    framed = door.frame(
        request, f"Work request: {made.tag} {made.name}", under=f"Written {made.written_at}"
    )
    charts = [
        trend_picture(course, desk.zone, barometric=desk.barometric, on_paper=False)
        for course in made.courses
    ]
    is_open = {line.id for line in door.watch.troubles(now)}
    built = work_request_page(framed, made, charts, closed=made.id not in is_open)
    return page(request, "work_request.html", framed, built)


@router.post("/trouble/{trouble_id}/work-request")
def hand_in(request: Request, trouble_id: UUID) -> Response:
    """Write down that it went to maintenance."""
    door = door_of(request)
    door.watch.papers.hand_in(str(trouble_id), who=who_of(request), now=door.now())
    return back_to(f"/trouble/{trouble_id}/work-request")


@router.get("/trouble/{trouble_id}/work-request.pdf")
def work_request_pdf(request: Request, trouble_id: UUID) -> Response:
    """The same as one page of PDF."""
    door = door_of(request)
    made = door.watch.papers.work_request_pdf(str(trouble_id), door.now())
    return _file(made, "application/pdf", "work-request.pdf")


@router.get("/trouble/{trouble_id}/work-request.json")
def work_request_json(request: Request, trouble_id: UUID) -> JSONResponse:
    """The same for a program that plans work."""
    door = door_of(request)
    return JSONResponse(door.watch.papers.work_request_json(str(trouble_id), door.now()))


# ------------------------------------------------------------------ rounds


@router.get("/rounds/quality", response_class=HTMLResponse)
def rounds(request: Request) -> HTMLResponse:
    """How well the last rounds tell of their pumps."""
    door = door_of(request)
    now = door.now()
    found = door.watch.papers.round_qualities(now - timedelta(days=ROUND_DAYS), now)
    framed = door.frame(request, "Rounds", under="How well they tell of the pumps", place="/more")
    built = rounds_page(framed, found, door.shown(now), days=ROUND_DAYS)
    return page(request, "rounds.html", framed, built)


def _file(content: bytes, kind: str, name: str) -> Response:
    return Response(
        content, media_type=kind, headers={"Content-Disposition": f'inline; filename="{name}"'}
    )
