"""What a phone takes along, so that a round can be walked without a network.

Every page of a round is made at once and sent as one answer: its stops, its pumps, the open
troubles there. The book of causes and the signs to pick from are the same for all rounds and are
taken once.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from fastapi import Request
from fastapi.responses import HTMLResponse

from gaugewalk.watch.views import PumpView, RoundStop, RoundView
from gaugewalk.web import routes_more, routes_pump, routes_round, routes_tools, routes_trouble
from gaugewalk.web.door import Door, door_of
from gaugewalk.web.pages_round import first_open

_SEAM = re.compile(r"(?<=>)(?=<)|(?<=\n)")
ANY_TAG = "__TAG__"  # stands for any pump's tag in the one page of signs that is kept for all


def round_along(request: Request, round_id: str) -> dict[str, Any]:
    """Return every page of a round, by address, and where its own address leads.

    Raises
    ------
    NotFoundError
        There is no such round.
    """
    door = door_of(request)
    now = door.now()
    view = door.watch.round_view(round_id, now)
    return {
        "id": round_id,
        "name": view.name,
        "made": now.isoformat(),
        "leads": {f"/round/{round_id}": f"/round/{round_id}/{first_open(view)}"},
        **_in_parts(dict(_round_pages(request, door, view))),
    }


def _round_pages(request: Request, door: Door, view: RoundView) -> Iterator[tuple[str, str]]:
    now = door.now()
    checked = tuple(_with_checks(door, stop) for stop in view.stops)
    view = replace(view, stops=checked)
    for stop in view.stops:
        tag = stop.pump.tag
        at = f"/round/{view.id}/{tag}"
        yield at, _text(routes_round.stop_page(_at(request, at), door, view, tag))
        at = f"/pump/{tag}"
        pump = _without_trends(door.watch.pump_page(tag, now))
        yield at, _text(routes_pump.pump_answer(_at(request, at), door, pump))
        at = f"/pump/{tag}/tools"
        yield at, _text(routes_tools.tools_answer(_at(request, at), door, pump))
        if stop.trouble_id:
            at = f"/trouble/{stop.trouble_id}"
            yield at, _text(routes_trouble.trouble_answer(_at(request, at), door, stop.trouble_id))


def book_along(request: Request) -> dict[str, Any]:
    """Return the pages that every round may need: causes, signs, cautions, by address."""
    door = door_of(request)
    pages = {"/causes": _text(routes_more.causes(_at(request, "/causes")))}
    for cause in door.watch.knowledge.causes:
        at = f"/causes/{cause}"
        pages[at] = _text(routes_more.cause(_at(request, at), cause))
    signs = f"/pump/{ANY_TAG}/signs"
    pages[signs] = _text(routes_pump.signs_answer(_at(request, signs), door, ANY_TAG, ""))
    pages["/about"] = _text(routes_more.about(_at(request, "/about")))
    return {"id": "book", "made": door.now().isoformat(), "leads": {}, **_in_parts(pages)}


def _in_parts(pages: Mapping[str, str]) -> dict[str, Any]:
    """Write pages as the parts they are made of, each once: most of a page stands on others too.

    Compression alone does not see that, because it looks back no farther than 32 kB.

    Examples
    --------
    >>> _in_parts({"/a": "<p><b>", "/b": "<p>x<b>"})
    {'parts': ['<p>', '<b>', '<p>x<b>'], 'pages': {'/a': [0, 1], '/b': [2]}}
    """
    known: dict[str, int] = {}
    made = {
        path: [known.setdefault(part, len(known)) for part in _SEAM.split(text)]
        for path, text in pages.items()
    }
    return {"parts": list(known), "pages": made}


def _with_checks(door: Door, stop: RoundStop) -> RoundStop:
    return replace(stop, extra_checks=door.watch.checks(stop.pump.tag, door.now()))


def _without_trends(view: PumpView) -> PumpView:
    """Weeks of readings are heavy, and are looked at where there is a network."""
    return replace(view, points=tuple(replace(point, history=()) for point in view.points))


def _at(request: Request, path: str) -> Request:
    """Return the same request as if it asked for another page; who is reading stays."""
    scope = {**request.scope, "path": path, "raw_path": path.encode(), "query_string": b""}
    return Request(scope)


def _text(answer: HTMLResponse) -> str:
    return bytes(answer.body).decode()
