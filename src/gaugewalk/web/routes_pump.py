"""One pump: its page, the signs to pick from, what is written down at it."""

from typing import Annotated
from uuid import UUID

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, Response
from starlette.concurrency import run_in_threadpool

from gaugewalk.errors import NotFoundError
from gaugewalk.journal.entry import Entry
from gaugewalk.watch.views import PumpView
from gaugewalk.web.curve import duty_of
from gaugewalk.web.door import Door, back_to, door_of, page, person_of
from gaugewalk.web.forms import Rejected, Sent, fields_of, take
from gaugewalk.web.pages_care import care_part
from gaugewalk.web.pages_more import signs_page
from gaugewalk.web.pages_pump import pump_page
from gaugewalk.web.problems import status_of

router = APIRouter(include_in_schema=False)


@router.get("/pump/{tag}", response_class=HTMLResponse)
def show(request: Request, tag: str, written: Annotated[UUID | None, Query()] = None) -> Response:
    """The page of a pump; with what was just written down as done."""
    door = door_of(request)
    view = door.watch.pump_page(tag, door.now())
    return pump_answer(request, door, view, written=deed_written(door, written))


@router.post("/pump/{tag}")
async def write(request: Request, tag: str) -> Response:
    """Take what a form sent at a pump's page."""
    door = door_of(request)
    sent = Sent(
        fields=await fields_of(request), who=person_of(request).who, now=door.now(), tag=tag
    )
    rejected = await run_in_threadpool(take, door.watch, sent)
    if rejected is None:
        return back_to(f"/pump/{tag}#{sent.text('point') or 'events'}")
    return await run_in_threadpool(_show, request, door, tag, rejected)


@router.get("/pump/{tag}/signs", response_class=HTMLResponse)
def signs(request: Request, tag: str) -> Response:
    """The signs that can be seen, heard, smelled or felt at a pump."""
    return _signs(request, door_of(request), tag, None)


@router.post("/pump/{tag}/signs")
async def write_sign(request: Request, tag: str) -> Response:
    """Take a sign that was seen or looked for."""
    door = door_of(request)
    sent = Sent(
        fields=await fields_of(request), who=person_of(request).who, now=door.now(), tag=tag
    )
    rejected = await run_in_threadpool(take, door.watch, sent)
    if rejected is None:
        return back_to(f"/pump/{tag}/signs")
    return await run_in_threadpool(_signs, request, door, tag, rejected)


def _show(request: Request, door: Door, tag: str, rejected: Rejected | None) -> HTMLResponse:
    view = door.watch.pump_page(tag, door.now())
    return pump_answer(request, door, view, rejected)


def pump_answer(
    request: Request,
    door: Door,
    view: PumpView,
    rejected: Rejected | None = None,
    *,
    written: Entry | None = None,
) -> HTMLResponse:
    """Return the page of a pump."""
    now = door.now()
    shown = door.shown(now)
    pump, program = view.pump, door.watch.program
    care = care_part(
        program.care(pump.tag, now),
        program.limits(pump.tag, now),
        program.under_way(pump.tag),
        shown,
        written=written,
    )
    under = " · ".join(part for part in (pump.area, pump.liquid.name) if part)
    framed = door.frame(request, f"{pump.tag} {pump.name}", under=under, place="/pumps")
    built = pump_page(
        framed,
        view,
        shown,
        duty=duty_of(pump, view.estimate, shown),
        care=care,
        carried=door.watch.carried(pump.tag),
        typed=rejected.typed if rejected else None,
        error=rejected.message if rejected else "",
    )
    status = status_of(rejected.error) if rejected else 200
    return page(request, "pump.html", framed, built, status=status)


def deed_written(door: Door, written: UUID | None) -> Entry | None:
    """Return the deed that was just written down, to be shown; none where it is no such thing."""
    if written is None:
        return None
    try:
        entry = door.watch.journal.get(written)
    except NotFoundError:
        return None
    return entry if entry.kind == "event" else None


def _signs(request: Request, door: Door, tag: str, rejected: Rejected | None) -> HTMLResponse:
    pump = door.watch.pump_page(tag, door.now()).pump
    return signs_answer(request, door, tag, pump.name, rejected)


def signs_answer(
    request: Request, door: Door, tag: str, name: str, rejected: Rejected | None = None
) -> HTMLResponse:
    """Return the page of the signs that can be told of a pump."""
    framed = door.frame(request, f"Signs at {tag}", under=name, place="/pumps")
    error = rejected.message if rejected else ""
    built = signs_page(framed, tag, door.watch.knowledge, error=error)
    status = status_of(rejected.error) if rejected else 200
    return page(request, "signs.html", framed, built, status=status)
