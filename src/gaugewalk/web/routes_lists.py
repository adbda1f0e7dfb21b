"""Check-lists: to read, to begin at a pump, to walk step by step."""

from collections.abc import Callable, Mapping
from uuid import UUID

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from starlette.concurrency import run_in_threadpool

from gaugewalk.errors import GaugewalkError
from gaugewalk.watch.procedure_views import RunView
from gaugewalk.watch.service import Watch
from gaugewalk.web.door import Door, back_to, door_of, page, who_of
from gaugewalk.web.forms import Rejected, Sent, fields_of, take
from gaugewalk.web.pages_lists import list_page, lists_page
from gaugewalk.web.pages_walk import walk_page
from gaugewalk.web.problems import status_of

router = APIRouter(include_in_schema=False)


@router.get("/check-lists", response_class=HTMLResponse)
def lists(request: Request) -> HTMLResponse:
    """Every check-list, and those under way."""
    door = door_of(request)
    program = door.watch.program
    framed = door.frame(request, "Check-lists", under="For every pump", place="/more")
    shown = door.shown(door.now())
    built = lists_page(framed, program.procedures(), program.under_way(), shown)
    return page(request, "lists.html", framed, built)


@router.get("/check-lists/{procedure}", response_class=HTMLResponse)
def read(request: Request, procedure: str) -> HTMLResponse:
    """One check-list as text, with the pumps that it fits."""
    door = door_of(request)
    program = door.watch.program
    view = program.procedure(procedure)
    tags = [pump.tag for pump in door.watch.plant.pumps]
    fits = [tag for tag in tags if procedure in {one.id for one in program.procedures(tag)}]
    framed = door.frame(request, view.title, under="Check-list", place="/more")
    built = list_page(framed, view, door.shown(door.now()), pumps=fits)
    return page(request, "list.html", framed, built)


@router.get("/pump/{tag}/check-lists", response_class=HTMLResponse)
def lists_of(request: Request, tag: str) -> HTMLResponse:
    """The check-lists that fit a pump."""
    door = door_of(request)
    program = door.watch.program
    pump = door.watch.desk.pump(tag)
    under = f"{pump.tag} {pump.name}"
    framed = door.frame(request, "Check-lists", under=under, place="/pumps")
    lines, running = program.procedures(tag), program.under_way(tag)
    built = lists_page(framed, lines, running, door.shown(door.now()), tag=tag)
    return page(request, "lists.html", framed, built)


@router.get("/pump/{tag}/check-lists/{procedure}", response_class=HTMLResponse)
def read_at(request: Request, tag: str, procedure: str) -> HTMLResponse:
    """One check-list as it fits a pump, to be begun."""
    door = door_of(request)
    view = door.watch.program.procedure(procedure, tag)
    name = view.pump.name if view.pump else ""
    framed = door.frame(request, view.title, under=f"{tag} {name}", place="/pumps")
    return page(request, "list.html", framed, list_page(framed, view, door.shown(door.now())))


@router.post("/pump/{tag}/check-lists/{procedure}")
def begin(request: Request, tag: str, procedure: str) -> Response:
    """Begin a check-list, or go on with it where it is under way."""
    door = door_of(request)
    run = door.watch.program.begin(procedure, tag, who=who_of(request), now=door.now())
    return back_to(f"/check-list/{run.id}#now")


@router.get("/check-list/{run_id}", response_class=HTMLResponse)
def walk(request: Request, run_id: UUID) -> HTMLResponse:
    """A check-list under way, or over."""
    return _walk(request, door_of(request), str(run_id))


@router.post("/check-list/{run_id}")
async def answer(request: Request, run_id: UUID) -> Response:
    """Take the answer to a step, a reading in it, or the end of the list."""
    door = door_of(request)
    fields, who = await fields_of(request), who_of(request)
    rejected = await run_in_threadpool(_take, door, str(run_id), fields, who)
    if rejected is None:
        at = fields.get("point", "") if fields.get("what") in ("reading", "skip") else "now"
        return back_to(f"/check-list/{run_id}#{at}")
    return await run_in_threadpool(_walk, request, door, str(run_id), rejected, fields)


def _walk(
    request: Request,
    door: Door,
    run_id: str,
    rejected: Rejected | None = None,
    typed: Mapping[str, str] | None = None,
) -> HTMLResponse:
    now = door.now()
    view = door.watch.program.run(run_id, now)
    framed = door.frame(
        request, view.title, under=f"{view.pump.tag} {view.pump.name}", place="/pumps"
    )
    following = next((step for step in view.steps if step.is_next), None)
    tag = following.tag if following else view.pump.tag
    built = walk_page(
        framed,
        view,
        door.shown(now),
        pump=door.watch.desk.pump(tag),
        care=door.watch.program.care(tag, now).items if following and following.places else (),
        carried=door.watch.carried(tag) if following and following.points else None,
        typed=typed or {},
        at_field=rejected.typed if rejected else None,
        error=rejected.message if rejected else "",
    )
    status = status_of(rejected.error) if rejected else 200
    return page(request, "walk.html", framed, built, status=status)


def _take(door: Door, run_id: str, fields: dict[str, str], who: str) -> Rejected | None:
    now = door.now()
    view = door.watch.program.run(run_id, now)
    following = next((step for step in view.steps if step.is_next), None)
    tag = following.tag if following else view.pump.tag
    sent = Sent(fields=fields, who=who, now=now, tag=tag)
    taker = _TAKERS.get(sent.text("what"))
    if taker is None:
        return take(door.watch, sent)
    try:
        taker(door.watch, view, sent)
    except GaugewalkError as error:
        return Rejected(error=error)
    return None


def _tick(watch: Watch, view: RunView, sent: Sent) -> None:
    step = sent.text("step")
    places = next((one.places for one in view.steps if one.id == step), ())
    chosen = [place for place in places if sent.text(f"at {place}") == "yes"]
    watch.program.tick(
        view.id,
        step,
        who=sent.who,
        now=sent.now,
        amounts={place: sent.text(f"amount {place}") for place in chosen},
        result=sent.text("result"),
        reason=sent.text("reason"),
        found=sent.text("found"),
        id=sent.uuid("id"),
    )


def _skip_step(watch: Watch, view: RunView, sent: Sent) -> None:
    watch.program.skip_step(
        view.id,
        sent.text("step"),
        reason=sent.text("why"),
        allowed_by=sent.text("allowed_by"),
        who=sent.who,
        now=sent.now,
    )


def _reopen(watch: Watch, view: RunView, sent: Sent) -> None:
    step, reason = sent.text("step"), sent.text("why")
    watch.program.reopen_step(view.id, step, reason=reason, who=sent.who, now=sent.now)


def _finish(watch: Watch, view: RunView, sent: Sent) -> None:
    watch.program.finish(view.id, who=sent.who, now=sent.now, reason=sent.text("why"))


def _break_off(watch: Watch, view: RunView, sent: Sent) -> None:
    watch.program.break_off(
        view.id,
        reason=sent.text("why"),
        left_as=sent.text("left_as"),
        who=sent.who,
        now=sent.now,
    )


_TAKERS: Mapping[str, Callable[[Watch, RunView, Sent], None]] = {
    "tick": _tick,
    "skip step": _skip_step,
    "reopen": _reopen,
    "finish": _finish,
    "break off": _break_off,
}
