"""Walking a round, pump by pump."""

from typing import Annotated
from uuid import UUID

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, Response
from starlette.concurrency import run_in_threadpool

from gaugewalk.errors import NotFoundError
from gaugewalk.watch.states import answered
from gaugewalk.watch.views import RoundView
from gaugewalk.web.door import Door, back_to, door_of, page, person_of
from gaugewalk.web.forms import Rejected, Sent, fields_of, take
from gaugewalk.web.pages_looks import look_lines
from gaugewalk.web.pages_round import first_open, round_page
from gaugewalk.web.problems import status_of

router = APIRouter(include_in_schema=False)


@router.post("/rounds")
def start(request: Request, name: Annotated[str, Form(max_length=100)]) -> Response:
    """Start a round of the plan, or go on with it where it is being walked."""
    door = door_of(request)
    who = person_of(request).who
    view = door.watch.start_round(name, who=who, now=door.now(), at="")
    return back_to(f"/round/{view.id}/{first_open(view)}")


@router.get("/round/{round_id}")
def go_on(request: Request, round_id: UUID) -> Response:
    """Go to the first pump of a round with something left to take."""
    door = door_of(request)
    view = door.watch.round_view(str(round_id), door.now(), at="")
    return back_to(f"/round/{view.id}/{first_open(view)}")


@router.get("/round/{round_id}/{tag}", response_class=HTMLResponse)
def stop(request: Request, round_id: UUID, tag: str) -> Response:
    """Stand at one pump of a round."""
    return _stop(request, door_of(request), str(round_id), tag, None)


@router.post("/round/{round_id}/finish")
def finish(
    request: Request, round_id: UUID, reason: Annotated[str, Form(max_length=200)] = ""
) -> Response:
    """Finish a round; points left open need a reason, which is written down for each."""
    door = door_of(request)
    who = person_of(request).who
    door.watch.finish_round(str(round_id), who=who, now=door.now(), reason=reason)
    return back_to("/")


@router.post("/round/{round_id}/{tag}")
async def write(request: Request, round_id: UUID, tag: str) -> Response:
    """Take what a form sent; go back to the field, or show beside it what was wrong."""
    door = door_of(request)
    sent = Sent(
        fields=await fields_of(request),
        who=person_of(request).who,
        now=door.now(),
        tag=tag,
        round_id=str(round_id),
    )
    rejected = await run_in_threadpool(take, door.watch, sent)
    if rejected is None:
        anchor = sent.text("point") or {"note": "note"}.get(sent.text("what"), "checks")
        return back_to(f"/round/{round_id}/{tag}#{anchor}")
    return await run_in_threadpool(_stop, request, door, str(round_id), tag, rejected)


def _stop(
    request: Request, door: Door, round_id: str, tag: str, rejected: Rejected | None
) -> HTMLResponse:
    view: RoundView = door.watch.round_view(round_id, door.now(), at=tag)
    return stop_page(request, door, view, tag, rejected)


def stop_page(
    request: Request, door: Door, view: RoundView, tag: str, rejected: Rejected | None = None
) -> HTMLResponse:
    """Return the page of one pump of a round."""
    if tag not in [one.pump.tag for one in view.stops]:
        raise NotFoundError(f"Pump {tag[:40]!r} is not in the round {view.name}.")
    shown = door.shown(door.now())
    pump = next(one.pump for one in view.stops if one.pump.tag == tag)
    framed = door.frame(
        request, f"{tag} {pump.name}", under=f"{view.name}, begun {shown.clock(view.started_at)}"
    )
    built = round_page(
        framed,
        view,
        tag,
        shown,
        carried=door.watch.carried(tag),
        doubles=door.watch.read_twice(view.id, tag),
        looks=look_lines(pump, answered(door.watch.desk, pump, view.started_at)),
        typed=rejected.typed if rejected else None,
        error=rejected.message if rejected else "",
    )
    status = status_of(rejected.error) if rejected else 200
    return page(request, "round.html", framed, built, status=status)
