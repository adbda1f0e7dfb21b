"""The web app: a factory, so that a test or a command gives it its watch and its clock."""

from collections.abc import Callable
from datetime import UTC, datetime

from fastapi import FastAPI
from starlette.middleware.gzip import GZipMiddleware
from starlette.staticfiles import StaticFiles

from gaugewalk import __version__
from gaugewalk.watch.service import Watch
from gaugewalk.web import (
    api,
    api_records,
    routes_more,
    routes_pump,
    routes_round,
    routes_trouble,
    routes_watch,
    routes_work,
    static_files,
)
from gaugewalk.web.door import Door
from gaugewalk.web.problems import add_handlers
from gaugewalk.web.security import Guard


def _present() -> datetime:
    return datetime.now(UTC)


def create_app(watch: Watch, *, clock: Callable[[], datetime] = _present) -> FastAPI:
    """Return the app that serves one plant.

    Parameters
    ----------
    watch : Watch
        The use cases over one plant and its journal.
    clock : callable
        Returns now, aware; read once a request.
    """
    app = FastAPI(
        title="Gaugewalk",
        version=__version__,
        summary="The pump watch-keeper's bench.",
        description="Site procedures come first; nothing here says that something is safe.",
        docs_url=None,  # they load scripts from elsewhere
        redoc_url=None,
    )
    app.state.door = Door(watch=watch, clock=clock)
    app.add_middleware(GZipMiddleware, minimum_size=1000)
    app.add_middleware(Guard)
    add_handlers(app)
    for address in (static_files.root(), "/static"):
        app.mount(address, StaticFiles(directory=static_files.FOLDER), name="static")
    for routes in (
        api,
        api_records,
        routes_watch,
        routes_round,
        routes_pump,
        routes_trouble,
        routes_work,
        routes_more,
    ):
        app.include_router(routes.router)
    return app
