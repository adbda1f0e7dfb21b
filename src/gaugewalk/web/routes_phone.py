"""What makes a phone do without a network: its service worker, and what it takes along."""

import json
from functools import cache
from uuid import UUID

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, JSONResponse, Response

from gaugewalk.web import static_files
from gaugewalk.web.door import HERE, door_of, page
from gaugewalk.web.pages_more import PlainPage
from gaugewalk.web.security import HEADERS
from gaugewalk.web.take_along import book_along, round_along

router = APIRouter(include_in_schema=False)
KEPT_PAGES = ("/no-network", "/waiting")  # the same for everybody, kept with the app's own files


@router.get("/worker.js")
def worker() -> Response:
    """The service worker of this version; it stands at the root because it serves every page."""
    return Response(worker_source(), media_type="text/javascript")


@cache
def worker_source() -> str:
    """Return the worker's text with what belongs to this version put before it."""
    source = (HERE / "worker.js").read_text(encoding="utf-8")
    shell = [*static_files.shell(), "/api/v1/units", *KEPT_PAGES]
    policy = HEADERS["Content-Security-Policy"]
    known = {"version": static_files.version(), "shell": shell, "policy": policy}
    return f"const OWN = {json.dumps(known)};\n{source}"


@router.get("/manifest.webmanifest")
def manifest() -> JSONResponse:
    """What lets a phone put the app among its own."""
    mark = {"src": f"{static_files.root()}/mark.svg", "sizes": "any", "type": "image/svg+xml"}
    said = {
        "name": "Gaugewalk",
        "short_name": "Gaugewalk",
        "start_url": "/",
        "scope": "/",
        "display": "standalone",
        "background_color": "#eef1ea",
        "theme_color": "#14433a",
        "icons": [mark],
    }
    return JSONResponse(said, media_type="application/manifest+json")


@router.get("/take-along/book")
def book(request: Request) -> JSONResponse:
    """The book of causes and the signs, for any round."""
    return JSONResponse(book_along(request))


@router.get("/take-along/{round_id}")
def along(request: Request, round_id: UUID) -> JSONResponse:
    """Every page of a round at once."""
    return JSONResponse(round_along(request, str(round_id)))


@router.get("/waiting", response_class=HTMLResponse)
def waiting(request: Request) -> HTMLResponse:
    """What was written on this phone and is not sent yet."""
    framed = door_of(request).frame(request, "Not sent yet", under="Kept on this phone")
    return page(request, "waiting.html", framed, PlainPage(frame=framed))


@router.get("/no-network", response_class=HTMLResponse)
def no_network(request: Request) -> HTMLResponse:
    """What is shown in place of a page that is not on this phone."""
    framed = door_of(request).frame(request, "No network")
    return page(request, "no_network.html", framed, PlainPage(frame=framed))
