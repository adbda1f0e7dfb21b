"""Photos with an observation."""

from datetime import datetime
from typing import Annotated
from uuid import UUID

from fastapi import APIRouter, Query, Request
from fastapi.responses import FileResponse, Response
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile

from gaugewalk.errors import ArgumentError, NotFoundError
from gaugewalk.journal.entry import Entry
from gaugewalk.watch.photos import Photos
from gaugewalk.web import api
from gaugewalk.web.api_models import KeptOut, Moment, Short
from gaugewalk.web.door import Door, back_to, door_of, person_of

router = APIRouter()
NO_WORDS = "Photo"


@router.get("/photo/{name}.jpg", include_in_schema=False)
def photo(request: Request, name: str) -> FileResponse:
    """A photo, by the SHA-256 that stands in its entry."""
    return FileResponse(_photos(door_of(request)).path(name), media_type="image/jpeg")


@router.post("/pump/{tag}/photo", include_in_schema=False)
async def keep(request: Request, tag: str) -> Response:
    """Keep a photo that a form sent."""
    door = door_of(request)
    who = person_of(request).who
    async with request.form(max_files=1, max_fields=10, max_part_size=20_000) as form:
        sent, text, back = form.get("photo"), form.get("text"), str(form.get("back", ""))
        data = await sent.read() if isinstance(sent, UploadFile) else b""
    words = text.strip() if isinstance(text, str) else ""
    now = door.now()
    await run_in_threadpool(_keep, door, tag, words, data, who=who, seen_at=now, now=now)
    return back_to(back, f"/pump/{tag}")


@router.post("/api/v1/photos", responses=api.ANSWERS, tags=["v1"])
async def take_photo(
    request: Request,
    tag: Annotated[Short, Query()],
    id: Annotated[UUID | None, Query()] = None,
    text: Annotated[str, Query(max_length=2000)] = "",
    who: Annotated[Short | None, Query()] = None,
    seen_at: Annotated[Moment | None, Query()] = None,
) -> KeptOut:
    """Keep a photo sent as it is; the same id with the same photo twice is one record."""
    door = door_of(request)
    data = await request.body()
    now = door.now()
    signed = who or person_of(request).who
    seen: datetime = seen_at or now
    entry = await run_in_threadpool(
        _keep, door, tag, text, data, who=signed, seen_at=seen, now=now, id=id
    )
    return api.kept(entry)


def _keep(
    door: Door,
    tag: str,
    text: str,
    data: bytes,
    *,
    who: str,
    seen_at: datetime,
    now: datetime,
    id: UUID | None = None,
) -> Entry:
    if not data:
        raise ArgumentError("No photo was sent; choose one, or write a note without it.")
    door.watch.desk.pump(tag)
    name = _photos(door).keep(data)
    words = text.strip() or NO_WORDS
    return door.watch.note(tag, words, who=who, seen_at=seen_at, now=now, id=id, photo=name)


def _photos(door: Door) -> Photos:
    if door.photos is None:
        raise NotFoundError("This server keeps no photos: it was given no folder for them.")
    return door.photos
