"""Every kind of page there is, with addresses at which it stands in each of its states."""

import io
from collections.abc import Iterator
from datetime import datetime, timedelta

from fastapi.responses import HTMLResponse
from fastapi.routing import APIRoute
from PIL import Image

from gaugewalk.watch.procedure_views import RunView
from gaugewalk.watch.service import Watch
from gaugewalk.web.app import ROUTES
from tests.web.seeded import TROUBLED, WHO

from .conftest import ABSENT, Site

SIGN_IN = "/sign-in"  # there only where there are accounts
ERRORS = "an address at which there is nothing"
CHARTED = "/work-it-out/oil-temperature-window"


def kinds() -> set[str]:
    """Return every route that answers with a page."""
    routes = [route for part in ROUTES for route in part.router.routes]
    return {
        route.path
        for route in routes
        if isinstance(route, APIRoute)
        and "GET" in route.methods
        and route.response_class is HTMLResponse
    }


def addresses(site: Site) -> dict[str, list[str]]:
    """Return where each kind of page stands, after the watch has lived a little."""
    watch, now = site.watch, site.now()
    open_one = str(watch.troubles(now)[0].id)
    closed = _closed_trouble(watch, now)
    walked = watch.start_round(watch.rounds_due(now)[0].name, who=WHO, now=now).id
    _photo(site, now)
    watch.program.change_limit(
        "W21A", "watch_low", "2.6", why="New impeller", who=WHO, now=now, point="discharge_pressure"
    )
    watch.add_follow_up(TROUBLED, "Bearing, drive end: is it cooler?", now, who=WHO, now=now)
    return {
        "/": ["/"],
        "/pumps": ["/pumps"],
        "/pump/{tag}": [f"/pump/{TROUBLED}", "/pump/W21A", "/pump/B11A"],
        "/pump/{tag}/signs": [f"/pump/{TROUBLED}/signs", f"/pump/{TROUBLED}/signs?words=noise"],
        "/pump/{tag}/tools": [f"/pump/{TROUBLED}/tools", "/pump/B11A/tools"],
        "/pump/{tag}/limits": ["/pump/W21A/limits", f"/pump/{TROUBLED}/limits?point=flow#accept"],
        "/pump/{tag}/check-lists": ["/pump/W21A/check-lists"],
        "/pump/{tag}/check-lists/{procedure}": ["/pump/B11A/check-lists/start-up"],
        "/check-lists": ["/check-lists"],
        "/check-lists/{procedure}": ["/check-lists/changeover"],
        "/check-list/{run_id}": [f"/check-list/{run}" for run in _runs(watch, now)],
        "/due": ["/due"],
        "/round/{round_id}/{tag}": [f"/round/{walked}/{tag}" for tag in ("W21A", TROUBLED)],
        "/trouble/{trouble_id}": [f"/trouble/{open_one}", f"/trouble/{closed}"],
        "/trouble/{trouble_id}/work-request": [f"/trouble/{open_one}/work-request"],
        "/handover": ["/handover", *_handovers(watch, now)],
        "/rounds/quality": ["/rounds/quality"],
        "/round-sheet/{name}": ["/round-sheet/water%20side"],
        "/tags": ["/tags"],
        "/type-in": ["/type-in"],
        "/type-in/{round_id}/{tag}": [f"/type-in/{walked}/W21A"],
        "/export": ["/export"],
        "/work-it-out": ["/work-it-out"],
        "/work-it-out/{name}": [
            CHARTED, f"/work-it-out/total-head?tag={TROUBLED}", "/work-it-out/total-head?flow=lots",
        ],
        "/causes": ["/causes"],
        "/causes/{cause_id}": ["/causes/air-trapped"],
        "/more": ["/more"],
        "/about": ["/about"],
        "/waiting": ["/waiting"],
        "/no-network": ["/no-network"],
        ERRORS: [*ABSENT, "/trouble/none"],
    }  # fmt: skip


def every(site: Site) -> Iterator[str]:
    """Walk over every address of `addresses`."""
    for found in addresses(site).values():
        yield from found


def _closed_trouble(watch: Watch, now: datetime) -> str:
    """Make a trouble that was closed with its cause."""
    ago = now - timedelta(minutes=40)
    bad = watch.take_reading(
        "W21A", "discharge_pressure", "1.5 barg", who=WHO, seen_at=ago, now=ago, with_checks=False
    )
    trouble = str(bad.trouble_id)
    good = watch.take_reading("W21A", "discharge_pressure", "3.2 barg", who=WHO, now=now)
    watch.close_trouble(
        trouble, cause="air-trapped", cure="Vented", proof=good.entry.id, who=WHO, now=now
    )
    return trouble


def _photo(site: Site, now: datetime) -> None:
    if site.photos is None:
        return
    out = io.BytesIO()
    Image.new("RGB", (60, 40), "gray").save(out, "PNG")
    name = site.photos.keep(out.getvalue())
    site.watch.note(TROUBLED, "Weeps at the gland", who=WHO, now=now, photo=name)


def _runs(watch: Watch, now: datetime) -> list[str]:
    """Begin lists so that each state of a step is seen: to look, a hold, amounts, over, broken."""
    program = watch.program
    begun = [program.begin("changeover", "W21A", who=WHO, now=now).id]
    held = program.begin("start-up", "B11A", who=WHO, now=now)
    for key, tag in (("grease", "W21A"), ("strainer-changeover", "B11A")):
        if key in {line.id for line in program.procedures(tag)}:
            begun.append(_to_its_places(watch, program.begin(key, tag, who=WHO, now=now), now))
    over = program.begin("changeover", TROUBLED, who=WHO, now=now)
    program.break_off(over.id, reason="Alarm", left_as="As found", who=WHO, now=now)
    return [*begun, held.id, over.id]


def _to_its_places(watch: Watch, run: RunView, now: datetime) -> str:
    """Go on with a list to the step that asks where something was done; return its id."""
    for _ in run.steps:
        step = next((one for one in run.steps if one.is_next), None)
        if step is None or step.places:
            break
        run = watch.program.skip_step(
            run.id, step.id, reason="Seen before", allowed_by="S. Marsh", who=WHO, now=now
        )
    return run.id


def _handovers(watch: Watch, now: datetime) -> list[str]:
    """Sign the last shift, and let the one before be taken over."""
    papers = watch.papers
    last = papers.handover(now).began_at - timedelta(hours=1)
    before = papers.handover(now, shift=last).began_at - timedelta(hours=1)
    papers.write_remark("general", "Quiet.", who=WHO, now=now, shift=last)
    papers.sign(who=WHO, now=now, shift=last)
    papers.sign(who=WHO, now=now, shift=before)
    read = [str(line.id) for line in watch.troubles(now)]
    papers.take_over(read, who="B. Hale", now=now, shift=before)
    return [f"/handover?shift={one:%Y-%m-%dT%H:%M}" for one in (last, before)]
