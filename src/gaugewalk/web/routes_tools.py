"""The tools at a pump."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from gaugewalk.watch.views import PumpView
from gaugewalk.web.door import Door, door_of, page
from gaugewalk.web.pages_tools import tools_page

router = APIRouter(include_in_schema=False)


@router.get("/pump/{tag}/tools", response_class=HTMLResponse)
def tools(request: Request, tag: str) -> HTMLResponse:
    """Counting drops, adjusting a packing, watching a needle, looking again."""
    door = door_of(request)
    return tools_answer(request, door, door.watch.pump_page(tag, door.now()))


def tools_answer(request: Request, door: Door, view: PumpView) -> HTMLResponse:
    """Return the page of tools at a pump."""
    pump = view.pump
    shown = door.shown(door.now())
    framed = door.frame(request, f"Tools at {pump.tag}", under=pump.name, place="/pumps")
    carried = door.watch.carried(pump.tag)
    built = tools_page(framed, pump, view.points, shown, door.watch.procedures, carried)
    return page(request, "tools.html", framed, built)
