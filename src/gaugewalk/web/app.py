"""The web app: a factory, so that a test or a command gives it its watch and its clock."""

from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from datetime import UTC, datetime

from anyio import to_thread
from fastapi import Depends, FastAPI
from starlette.middleware.gzip import GZipMiddleware
from starlette.staticfiles import StaticFiles

from gaugewalk import __version__
from gaugewalk.watch.photos import Photos
from gaugewalk.watch.service import Watch
from gaugewalk.web import (
    api,
    api_records,
    routes_due,
    routes_export,
    routes_health,
    routes_limits,
    routes_lists,
    routes_more,
    routes_papers,
    routes_phone,
    routes_photo,
    routes_pump,
    routes_round,
    routes_sheet,
    routes_sign_in,
    routes_tools,
    routes_trouble,
    routes_watch,
    routes_work,
    static_files,
)
from gaugewalk.web.access import admit
from gaugewalk.web.door import Door
from gaugewalk.web.entrance import Entrance
from gaugewalk.web.meter import Counts, Meter
from gaugewalk.web.problems import add_handlers
from gaugewalk.web.recognize import Recognizer
from gaugewalk.web.security import Guard

AT_ONCE = 8  # requests worked on at a time
ROUTES = (
    api,
    api_records,
    routes_watch,
    routes_round,
    routes_pump,
    routes_trouble,
    routes_work,
    routes_lists,
    routes_due,
    routes_limits,
    routes_more,
    routes_papers,
    routes_export,
    routes_phone,
    routes_photo,
    routes_sheet,
    routes_tools,
    routes_sign_in,
    routes_health,
)


def _present() -> datetime:
    return datetime.now(UTC)


def create_app(
    watch: Watch,
    *,
    clock: Callable[[], datetime] = _present,
    entrance: Entrance | None = None,
    photos: Photos | None = None,
) -> FastAPI:
    """Return the app that serves one plant.

    Parameters
    ----------
    watch : Watch
        The use cases over one plant and its journal.
    clock : callable
        Returns now, aware; read once a request.
    entrance : Entrance, optional
        How people come in; without it one person at this computer, who needs no sign-in.
    photos : Photos, optional
        Where photos are kept; without it none are taken.
    """
    way_in = entrance or Entrance()
    app = FastAPI(
        lifespan=_few_at_once,
        title="Gaugewalk",
        version=__version__,
        summary="The pump watch-keeper's bench.",
        description="Site procedures come first; nothing here says that something is safe.",
        docs_url=None,  # they load scripts from elsewhere
        redoc_url=None,
        dependencies=[Depends(admit)],
    )
    app.state.door = Door(watch=watch, clock=clock, photos=photos)
    app.state.entrance = way_in
    people = way_in.people
    app.state.recognizer = people and Recognizer(people=people, cookie=way_in.cookie)
    app.add_middleware(GZipMiddleware, minimum_size=1000, compresslevel=4)
    app.add_middleware(Guard, entrance=way_in)
    app.state.counts = Counts()
    app.add_middleware(Meter, counts=app.state.counts)
    add_handlers(app)
    for address in (static_files.root(), "/static"):
        app.mount(address, StaticFiles(directory=static_files.FOLDER), name="static")
    for routes in ROUTES:
        app.include_router(routes.router)
    return app


@asynccontextmanager
async def _few_at_once(_app: FastAPI) -> AsyncIterator[None]:
    """Let few requests be worked on at a time; the others wait in the order in which they came.

    A thread gives up its turn at every row that it reads. With dozens of threads each then waits
    for all the others, row by row, and everybody takes seconds; a few keep every core busy.
    """
    to_thread.current_default_thread_limiter().total_tokens = AT_ONCE
    yield
