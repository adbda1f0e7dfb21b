"""Readings, troubles and rounds as files, for a spreadsheet or another program."""

import tempfile
from datetime import datetime, timedelta
from pathlib import Path
from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import FileResponse, HTMLResponse, Response
from starlette.background import BackgroundTask

from gaugewalk.errors import ArgumentError
from gaugewalk.watch.export import TABLES, Span, table
from gaugewalk.watch.export_file import WRITERS, Heading, write_table
from gaugewalk.watch.wall import read_time
from gaugewalk.web.door import Door, door_of, page
from gaugewalk.web.pages_papers import export_page

router = APIRouter(include_in_schema=False)
KINDS = {
    "csv": "text/csv; charset=utf-8",
    "json": "application/json",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "parquet": "application/vnd.apache.parquet",
}
DAYS = 30  # shown first
Text = Annotated[str, Query(max_length=40)]


@router.get("/export", response_class=HTMLResponse)
def show(request: Request) -> HTMLResponse:
    """What can be taken along, in which form."""
    door = door_of(request)
    now = door.now()
    framed = door.frame(request, "Tables", under="For other programs", place="/more")
    since = (now - timedelta(days=DAYS)).astimezone(door.watch.desk.zone)
    tags = [(pump.tag, f"{pump.tag} {pump.name}") for pump in door.watch.desk.pumps.values()]
    return page(request, "export.html", framed, export_page(framed, f"{since:%Y-%m-%d}", tags))


@router.get("/export/file")
def file(
    request: Request,
    what: Text = TABLES[0],
    form: Text = "csv",
    since: Text = "",
    until: Text = "",
    tag: Text = "",
) -> Response:
    """One table as a file."""
    door = door_of(request)
    for name, given, known in (("what", what, TABLES), ("form", form, WRITERS)):
        if given not in known:  # it becomes part of a file's name
            raise ArgumentError(f"{name} = {given!r}; expected one of {', '.join(known)}.")
    now = door.now()
    span = Span(
        since=_moment(door, since) or now - timedelta(days=DAYS),
        until=_moment(door, until) or now,
        tags=(tag,) if tag else (),
    )
    made = Path(tempfile.mkdtemp()) / f"{what}.{form}"
    cleanup = BackgroundTask(_remove, made)
    try:
        _write(door, what, span, made, now)
    except BaseException:
        _remove(made)
        raise
    return FileResponse(made, media_type=KINDS[form], filename=made.name, background=cleanup)


def _write(door: Door, what: str, span: Span, made: Path, now: datetime) -> None:
    desk = door.watch.desk
    heading = Heading(plant=desk.plant.name, zone=desk.zone, written_at=now)
    with door.watch.journal.reading() as ledger:
        write_table(table(desk, ledger, what, span), made, heading)


def _remove(made: Path) -> None:
    made.unlink(missing_ok=True)
    made.parent.rmdir()


def _moment(door: Door, text: str) -> datetime | None:
    return read_time(text, door.watch.desk.zone) if text.strip() else None
