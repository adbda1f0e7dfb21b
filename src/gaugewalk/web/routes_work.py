"""Work it out: the handbook's calculations on a page."""

from collections.abc import Mapping
from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse

from gaugewalk.errors import GaugewalkError
from gaugewalk.plant.site import barometric
from gaugewalk.watch.handbook import calculate, calculations, draw, find
from gaugewalk.watch.handbook_fill import fill
from gaugewalk.web.door import Door, door_of, page
from gaugewalk.web.pages_work import work_list_page, work_page

router = APIRouter(include_in_schema=False)
TagQuery = Annotated[str, Query(max_length=80)]
LONGEST = 300  # characters of one input, a row of numbers included


@router.get("/work-it-out", response_class=HTMLResponse)
def work_list(request: Request, tag: TagQuery = "") -> HTMLResponse:
    """Every calculation by topic."""
    door = door_of(request)
    framed = door.frame(request, "Work it out", under=_for(tag), place="/work-it-out")
    built = work_list_page(framed, calculations(), _tags(door), tag)
    return page(request, "work_list.html", framed, built)


@router.get("/work-it-out/{name}", response_class=HTMLResponse)
def work(request: Request, name: str, tag: TagQuery = "") -> HTMLResponse:
    """One calculation, worked out as soon as its inputs were typed or are known of the pump."""
    door = door_of(request)
    one = find(name)
    known = {given.name for given in one.inputs}
    typed = {k: v[:LONGEST] for k, v in request.query_params.items() if k in known}
    filled = _filled(door, tag, name) if tag else {}
    answer, error, chart = None, "", ""
    texts = typed or filled
    if typed or (filled and all(given.name in filled for given in one.inputs if given.required)):
        air = barometric(door.watch.plant)
        try:
            answer = calculate(one.name, texts, barometric=air)
            chart = draw(one.name, texts, barometric=air) if one.draw else ""
        except GaugewalkError as problem:
            error = str(problem)
    framed = door.frame(request, one.title, under=_for(tag), place="/work-it-out")
    built = work_page(
        framed, one, tags=_tags(door), tag=tag, typed=typed, filled=filled, answer=answer,
        error=error, chart=chart,
    )  # fmt: skip
    return page(request, "work.html", framed, built, status=422 if error else 200)


def _for(tag: str) -> str:
    return f"With the data of {tag}" if tag else ""


def _tags(door: Door) -> tuple[tuple[str, str], ...]:
    ordered = sorted(door.watch.plant.pumps, key=lambda pump: (pump.walk_order, pump.tag))
    return tuple((pump.tag, f"{pump.tag} {pump.name}") for pump in ordered)


def _filled(door: Door, tag: str, name: str) -> Mapping[str, str]:
    view = door.watch.pump_page(tag, door.now())
    last = {point.point: point.last for point in view.points if point.last is not None}
    return fill(find(name), view.pump, last, barometric=barometric(door.watch.plant))
