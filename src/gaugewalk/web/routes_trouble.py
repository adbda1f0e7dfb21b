"""A trouble: its ranking, its checks, its actions."""

from collections.abc import Callable, Mapping
from typing import Any
from uuid import UUID

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from starlette.concurrency import run_in_threadpool

from gaugewalk.errors import ArgumentError, GaugewalkError
from gaugewalk.people.rights import Right
from gaugewalk.web.door import Door, back_to, door_of, member_of, page, person_of
from gaugewalk.web.forms import Rejected, Sent, fields_of, take
from gaugewalk.web.pages_trouble import trouble_page
from gaugewalk.web.problems import status_of

router = APIRouter(include_in_schema=False)


@router.get("/trouble/{trouble_id}", response_class=HTMLResponse)
def show(request: Request, trouble_id: UUID) -> Response:
    """The page of a trouble."""
    return trouble_answer(request, door_of(request), str(trouble_id))


@router.post("/trouble/{trouble_id}")
async def write(request: Request, trouble_id: UUID) -> Response:
    """Take the answer to a check, or an action that was done."""
    door = door_of(request)
    fields = await fields_of(request)
    who = person_of(request).who
    rejected = await run_in_threadpool(_take, door, str(trouble_id), fields, who)
    if rejected is None:
        return back_to(f"/trouble/{trouble_id}")
    return await run_in_threadpool(trouble_answer, request, door, str(trouble_id), rejected, fields)


def _take(door: Door, trouble_id: str, fields: dict[str, str], who: str) -> Rejected | None:
    now = door.now()
    tag = door.watch.trouble(trouble_id, now).pump.tag
    sent = Sent(fields=fields, who=who, now=now, tag=tag)
    taker = _TAKERS.get(sent.text("what"))
    if taker is None:
        return take(door.watch, sent)
    try:
        taker(door, trouble_id, sent)
    except GaugewalkError as error:
        return Rejected(error=error)
    return None


def _act(door: Door, trouble_id: str, sent: Sent) -> None:
    door.watch.act(
        sent.tag,
        trouble_id,
        sent.text("do"),
        who=sent.who,
        seen_at=sent.now,
        now=sent.now,
        result=sent.text("result"),
        ends=sent.uuid("ends"),
    )


def _close(door: Door, trouble_id: str, sent: Sent) -> None:
    proof = sent.uuid("proof")
    if proof is None:
        raise ArgumentError("Choose the reading that shows it is normal again.")
    door.watch.close_trouble(
        trouble_id,
        cause=sent.text("cause") or sent.text("other"),
        cure=sent.text("cure"),
        proof=proof,
        who=sent.who,
        now=sent.now,
    )


def _name_cause(door: Door, trouble_id: str, sent: Sent) -> None:
    cause = sent.text("cause") or sent.text("other")
    door.watch.name_cause(trouble_id, cause, who=sent.who, now=sent.now)


_TAKERS: Mapping[str, Callable[[Door, str, Sent], None]] = {
    "action": _act,
    "close": _close,
    "name cause": _name_cause,
}


def trouble_answer(
    request: Request,
    door: Door,
    trouble_id: str,
    rejected: Rejected | None = None,
    typed: Mapping[str, str] | None = None,
) -> HTMLResponse:
    """Return the page of a trouble."""
    now = door.now()
    view = door.watch.trouble(trouble_id, now)
    framed = door.frame(request, f"Trouble at {view.pump.tag}", under=view.pump.name)
    error = rejected.message if rejected else ""
    answer: Mapping[str, Any] = view.diagnosis.to_json()
    actions = [(str(one["do"]), str(one["kind"])) for one in answer["actions"]]
    member = member_of(request)
    built = trouble_page(
        framed,
        view,
        door.shown(now),
        lists=door.watch.program.lists_for(view.pump.tag, actions),
        book={cause.title: cause.id for cause in door.watch.knowledge.causes.values()},
        may_close=member.may(Right.CLOSE) if member else not framed.signs_in,
        typed=typed or {},
        error=error,
    )
    status = status_of(rejected.error) if rejected else 200
    return page(request, "trouble.html", framed, built, status=status)
