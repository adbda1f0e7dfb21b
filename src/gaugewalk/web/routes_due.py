"""What is due by walking order, and writing down what was done."""

from typing import Annotated
from uuid import UUID

from fastapi import APIRouter, Form, Query, Request
from fastapi.responses import HTMLResponse, Response

from gaugewalk.errors import GaugewalkError
from gaugewalk.journal.entry import Entry
from gaugewalk.web.door import Door, back_to, door_of, page, who_of
from gaugewalk.web.forms import Rejected
from gaugewalk.web.pages_due import due_page
from gaugewalk.web.problems import status_of
from gaugewalk.web.routes_pump import deed_written, pump_answer

router = APIRouter(include_in_schema=False)
Text = Annotated[str, Form(max_length=300)]


@router.get("/due", response_class=HTMLResponse)
def due(request: Request, written: Annotated[UUID | None, Query()] = None) -> HTMLResponse:
    """Lubrication, strainers, standby pumps, samples: what is due in walking order."""
    door = door_of(request)
    return _due(request, door, written=deed_written(door, written))


@router.post("/due/{tag}")
def did(
    request: Request,
    tag: str,
    deed: Text = "",
    place: Text = "",
    amount: Text = "",
    found: Text = "",
    back: Text = "/due",
    id: Annotated[UUID | None, Form()] = None,
) -> Response:
    """Write down that something was done to a pump; with what to mind about it."""
    door, who = door_of(request), who_of(request)
    deed, _, at = deed.partition("|")  # a choice of the pump's page names both
    place = place or at
    try:
        kept = door.watch.program.did(
            tag, deed, who=who, now=door.now(), place=place, amount=amount, found=found, id=id
        )
    except GaugewalkError as error:
        if back == "/due":
            return _due(request, door, error=error)
        view = door.watch.pump_page(tag, door.now())
        return pump_answer(request, door, view, Rejected(error=error))
    return back_to(f"{back}?written={kept.entry.id}#written")


@router.post("/deed/{entry_id}")
def take_back(request: Request, entry_id: UUID, why: Text = "", back: Text = "/due") -> Response:
    """Take back a deed that was written down by mistake; it stays in the journal."""
    door, who = door_of(request), who_of(request)
    door.watch.program.take_back(entry_id, why=why, who=who, now=door.now())
    return back_to(back)


def _due(
    request: Request,
    door: Door,
    *,
    written: Entry | None = None,
    error: GaugewalkError | None = None,
) -> HTMLResponse:
    now = door.now()
    framed = door.frame(request, "Due", under="In walking order", place="/due")
    view = door.watch.program.due(now)
    told = str(error) if error else ""
    built = due_page(framed, view, door.shown(now), written=written, error=told)
    return page(request, "due.html", framed, built, status=status_of(error) if error else 200)
