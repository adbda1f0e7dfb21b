"""This watch, the pumps, the answers to follow-ups."""

from typing import Annotated
from uuid import UUID

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, Response

from gaugewalk.web.door import back_to, door_of, page, person_of
from gaugewalk.web.pages_watch import pumps_page, watch_page

router = APIRouter(include_in_schema=False)


@router.get("/", response_class=HTMLResponse)
def this_watch(request: Request) -> HTMLResponse:
    """What needs a hand now, what is to be looked at again, the rounds due."""
    door = door_of(request)
    now = door.now()
    shown = door.shown(now)
    under = f"{shown.clock(now)} · {now.astimezone(shown.zone):%A %-d %B}"
    framed = door.frame(request, "This watch", under=under, place="/")
    running = door.watch.program.under_way()
    built = watch_page(framed, door.watch.this_watch(now), shown, running=running)
    return page(request, "watch.html", framed, built)


@router.post("/follow-up/{follow_up_id}")
def answer_follow_up(
    request: Request,
    follow_up_id: UUID,
    result: Annotated[str, Form(max_length=500)] = "",
    back: Annotated[str, Form(max_length=300)] = "/",
) -> Response:
    """Say what was found when something was looked at again."""
    door = door_of(request)
    who = person_of(request).who
    door.watch.answer_follow_up(str(follow_up_id), result, who=who, now=door.now())
    return back_to(back)


@router.get("/pumps", response_class=HTMLResponse)
def pumps(request: Request) -> HTMLResponse:
    """Every pump in walking order with its severity."""
    door = door_of(request)
    framed = door.frame(request, "Pumps", under="In walking order", place="/pumps")
    severities = door.watch.severities()
    listed = [(pump, severities[pump.tag].value) for pump in door.watch.plant.pumps]
    return page(request, "pumps.html", framed, pumps_page(framed, listed))
