"""Paper: round sheets and tags to print, and a filled sheet typed in afterwards."""

from collections.abc import Mapping
from datetime import datetime
from typing import Annotated, TypedDict
from urllib.parse import quote
from uuid import UUID

from fastapi import APIRouter, Form, Query, Request
from fastapi.responses import HTMLResponse, Response
from starlette.concurrency import run_in_threadpool

from gaugewalk.errors import ArgumentError, GaugewalkError, NotFoundError
from gaugewalk.watch.round_plan import plan_named, pumps_of
from gaugewalk.watch.views import RoundView
from gaugewalk.watch.wall import read_time
from gaugewalk.web.door import Door, back_to, door_of, page, person_of
from gaugewalk.web.pages_round import first_open
from gaugewalk.web.pages_sheet import (
    PaperBeginPage,
    PaperForm,
    PaperTyped,
    TagsPage,
    local_text,
    paper_page,
    plate_of,
    sheet_page,
)

router = APIRouter(include_in_schema=False)
MOST_ROWS = 80


class Signed(TypedDict):
    """Who wrote it, when it was seen, and in which round."""

    who: str
    seen_at: datetime
    now: datetime
    id: UUID | None
    round_id: str


_PARTS = ("text", "unit", "reason", "id")


@router.get("/round-sheet/{name}", response_class=HTMLResponse)
def sheet(request: Request, name: str) -> HTMLResponse:
    """The paper of a round, to be printed."""
    door = door_of(request)
    now = door.now()
    pumps = pumps_of(door.watch.desk, plan_named(door.watch.desk, name))
    views = tuple(door.watch.pump_page(pump.tag, now) for pump in pumps)
    shown = door.shown(now)
    framed = door.frame(request, f"Round sheet: {name}", under="To be printed and filled by hand")
    built = sheet_page(framed, name, door.watch.plant.name, views, shown)
    return page(request, "sheet.html", framed, built)


@router.get("/tags", response_class=HTMLResponse)
def tags(request: Request, tag: Annotated[str, Query(max_length=80)] = "") -> HTMLResponse:
    """Plates with codes that open the pumps' pages: of one pump, or of all in walking order."""
    door = door_of(request)
    desk = door.watch.desk
    pumps = [desk.pump(tag)] if tag else list(desk.pumps.values())
    base = str(request.base_url).rstrip("/")
    plates = tuple(plate_of(pump, f"{base}/pump/{quote(pump.tag, safe='')}") for pump in pumps)
    framed = door.frame(request, "Tags for the pumps", under="To be printed and cut out")
    return page(request, "tags.html", framed, TagsPage(frame=framed, plates=plates))


# ------------------------------------------------------------------ typing in


@router.get("/type-in", response_class=HTMLResponse)
def begin(request: Request, name: Annotated[str, Query(max_length=100)] = "") -> HTMLResponse:
    """Say which sheet is typed in, and when its round was begun."""
    return _begin(request, door_of(request), name, "", "")


@router.post("/type-in")
def begun(
    request: Request,
    name: Annotated[str, Form(max_length=100)],
    began: Annotated[str, Form(max_length=40)] = "",
) -> Response:
    """Begin the round as of the time on the sheet, or go on with it where it is being walked."""
    door = door_of(request)
    who = person_of(request).who
    try:
        at = _moment(door, began)
        view = door.watch.start_round(name, who=who, now=door.now(), seen_at=at)
        if at < view.started_at:
            began_at = door.shown(door.now()).clock(view.started_at)
            raise ArgumentError(
                f"This round is being walked since {began_at}, which is after the time on the "
                "sheet. Finish that one first."
            )
    except GaugewalkError as error:
        return _begin(request, door, name, began, str(error))
    start = f"{local_text(at, door.shown(door.now()))}"
    return back_to(f"/type-in/{view.id}/{first_open(view)}?seen={start}")


@router.get("/type-in/{round_id}/{tag}", response_class=HTMLResponse)
def type_in(
    request: Request, round_id: UUID, tag: str, seen: Annotated[str, Query(max_length=40)] = ""
) -> HTMLResponse:
    """Type in one pump of a sheet."""
    form = PaperForm(seen=seen, who=person_of(request).name, rows={})
    return _type_in(request, door_of(request), str(round_id), tag, form)


@router.post("/type-in/{round_id}/{tag}")
async def typed_in(request: Request, round_id: UUID, tag: str) -> Response:
    """Take what was typed; rows that cannot be taken come back with what is wrong."""
    door = door_of(request)
    async with request.form(max_files=0, max_fields=MOST_ROWS * len(_PARTS)) as sent:
        fields = {name: value for name, value in sent.items() if isinstance(value, str)}
    who = fields.get("who", "").strip() or person_of(request).who
    return await run_in_threadpool(_take, request, door, str(round_id), tag, fields, who)


def _take(
    request: Request, door: Door, round_id: str, tag: str, fields: Mapping[str, str], who: str
) -> Response:
    seen = fields.get("seen", "")
    rows = _rows_of(fields)
    try:
        at = _moment(door, seen)
        view = door.watch.round_view(round_id, door.now())
        if at < view.started_at:
            raise ArgumentError(f"Seen {seen} is before the round was begun; check the time.")
        left = {p: _tried(door, round_id, tag, p, row, who, at) for p, row in rows.items()}
    except GaugewalkError as error:
        form = PaperForm(seen=seen, who=who, rows=rows, error=str(error))
        return _type_in(request, door, round_id, tag, form, status=422)
    wrong = {point: row for point, row in left.items() if row is not None}
    if wrong:
        form = PaperForm(seen=seen, who=who, rows=wrong, error=_count(len(wrong)))
        return _type_in(request, door, round_id, tag, form, status=422)
    onward = fields.get("onward", "")
    return back_to(f"{onward}?seen={quote(seen)}" if onward else f"/round/{round_id}/{tag}#finish")


def _count(wrong: int) -> str:
    lines = "One line" if wrong == 1 else f"{wrong} lines"
    return f"{lines} could not be taken; the others are written down."


def _tried(
    door: Door, round_id: str, tag: str, point: str, row: PaperTyped, who: str, at: datetime
) -> PaperTyped | None:
    """Write one row down; return it with what was wrong."""
    given = Signed(who=who, seen_at=at, now=door.now(), id=row.id, round_id=round_id)
    try:
        if row.text.strip():
            door.watch.take_reading(tag, point, row.text, unit=row.unit or None, **given)
        elif row.reason:
            door.watch.skip(tag, point, row.reason, **given)
    except GaugewalkError as error:
        return PaperTyped(
            text=row.text, unit=row.unit, reason=row.reason, id=row.id, message=str(error)
        )
    return None


def _rows_of(fields: Mapping[str, str]) -> dict[str, PaperTyped]:
    points = [name.removeprefix("text:") for name in fields if name.startswith("text:")]
    return {point: _row_of(fields, point) for point in points}


def _row_of(fields: Mapping[str, str], point: str) -> PaperTyped:
    text, unit, reason, id = (fields.get(f"{part}:{point}", "") for part in _PARTS)
    try:
        made = UUID(id) if id else None
    except ValueError as error:
        raise ArgumentError(f"id = {id[:40]!r}; expected a UUID.") from error
    return PaperTyped(text=text, unit=unit, reason=reason, id=made)


def _moment(door: Door, text: str) -> datetime:
    if not text.strip():
        raise ArgumentError("Give the time on the sheet, as in 2025-11-20T09:30.")
    at = read_time(text, door.shown(door.now()).zone)
    if at > door.now():
        raise ArgumentError(f"{text[:40]} has not been yet; check the date and the time.")
    return at


def _begin(request: Request, door: Door, name: str, began: str, error: str) -> HTMLResponse:
    rounds = tuple(plan.name for plan in door.watch.plant.rounds)
    shown = door.shown(door.now())
    framed = door.frame(request, "Type in a sheet", under="A round that was walked on paper")
    built = PaperBeginPage(
        frame=framed,
        rounds=rounds,
        chosen=name,
        began=began or local_text(door.now(), shown),
        error=error,
    )
    return page(request, "type_in_begin.html", framed, built, status=422 if error else 200)


def _type_in(
    request: Request, door: Door, round_id: str, tag: str, form: PaperForm, *, status: int = 200
) -> HTMLResponse:
    view: RoundView = door.watch.round_view(round_id, door.now())
    stop = next((stop for stop in view.stops if stop.pump.tag == tag), None)
    if stop is None:
        raise NotFoundError(f"Pump {tag[:40]!r} is not in the round {view.name}.")
    framed = door.frame(request, f"{tag} {stop.pump.name}", under=f"From paper: {view.name}")
    built = paper_page(framed, view.id, view.stops, tag, form, door.shown(door.now()))
    return page(request, "type_in.html", framed, built, status=status)
