"""Limits of a pump as they stand; changing one, or accepting a new normal, with its reason."""

from collections.abc import Mapping

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from starlette.concurrency import run_in_threadpool

from gaugewalk.errors import GaugewalkError
from gaugewalk.people.rights import Right
from gaugewalk.web.door import Door, back_to, door_of, member_of, page, who_of
from gaugewalk.web.forms import fields_of
from gaugewalk.web.pages_limits import limits_page
from gaugewalk.web.problems import status_of

router = APIRouter(include_in_schema=False)


@router.get("/pump/{tag}/limits", response_class=HTMLResponse)
def limits(request: Request, tag: str, point: str = "", field: str = "") -> HTMLResponse:
    """The limits of a pump, what the plant file says, and every change."""
    return _limits(request, door_of(request), tag, {"point": point, "field": field})


@router.post("/pump/{tag}/limits")
async def change(request: Request, tag: str) -> Response:
    """Change a limit, put the plant file's in force again, or accept a new normal; with why."""
    door, fields = door_of(request), await fields_of(request)
    error = await run_in_threadpool(_change, door, tag, fields, who_of(request))
    if error is None:
        return back_to(f"/pump/{tag}/limits#past")
    return await run_in_threadpool(_limits, request, door, tag, fields, error)


def _change(door: Door, tag: str, fields: Mapping[str, str], who: str) -> GaugewalkError | None:
    program, now = door.watch.program, door.now()
    sent = {name: value.strip() for name, value in fields.items()}
    field, why, point = sent.get("field", ""), sent.get("why", ""), sent.get("point") or None
    try:
        if sent.get("what") == "accept":
            program.accept_normal(tag, sent.get("point", ""), why=why, who=who, now=now)
        elif sent.get("what") == "restore":
            program.restore_limit(tag, field, why=why, who=who, now=now, point=point)
        else:
            text = sent.get("text", "")
            program.change_limit(tag, field, text, why=why, who=who, now=now, point=point)
    except GaugewalkError as error:
        return error
    return None


def _limits(
    request: Request,
    door: Door,
    tag: str,
    typed: Mapping[str, str],
    error: GaugewalkError | None = None,
) -> HTMLResponse:
    now = door.now()
    view = door.watch.program.limits(tag, now)
    framed = door.frame(
        request, "Limits and normal", under=f"{tag} {view.pump.name}", place="/pumps"
    )
    member = member_of(request)
    built = limits_page(
        framed,
        view,
        door.shown(now),
        may=member.may(Right.LIMITS) if member else not framed.signs_in,
        typed=typed,
        error=str(error) if error else "",
    )
    return page(request, "limits.html", framed, built, status=status_of(error) if error else 200)
