"""A real Chromium on a real server over a real journal."""

import shutil
import socket
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import cast

import pytest
import uvicorn
from fastapi import FastAPI
from playwright.sync_api import (
    Browser,
    ConsoleMessage,
    Page,
    Playwright,
    ViewportSize,
    expect,
    sync_playwright,
)
from starlette.types import Message, Receive, Scope, Send

from gaugewalk.watch.photos import Photos
from gaugewalk.watch.service import Watch
from gaugewalk.web import static_files
from gaugewalk.web.app import create_app
from gaugewalk.web.door import Door
from tests.web.seeded import NOW, copy_of, seed

PHONE: ViewportSize = {"width": 390, "height": 844}
DESK: ViewportSize = {"width": 1280, "height": 800}
expect.set_options(timeout=12_000)  # a loaded computer is slow, and no fault
EXPECTED = ("the server responded with a status of 422", "registration blocked by Playwright")
GONE = "the server responded with a status of 404"
ABSENT = ("/nowhere", "/pump/NOPE")
NAMES = ("chromium", "chromium-browser", "google-chrome")
ARGUMENTS = [
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
]


@dataclass
class Site:
    """The server's address, what it serves now, and what the browser complained of."""

    url: str
    watch: Watch
    app: "LosesAnswers"
    photos: Photos | None = None
    begun: float = field(default_factory=time.monotonic)
    complaints: list[str] = field(default_factory=list)

    def now(self) -> datetime:
        """The time there: it begins at the seeded moment and goes on."""
        return NOW + timedelta(seconds=time.monotonic() - self.begun)


def chromium() -> str | None:
    """Where Chromium is on this computer."""
    return next((path for path in map(shutil.which, NAMES) if path), None)


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    if chromium() is None:
        pytest.skip("browser tests skipped: no Chromium; `apt-get install chromium` brings it")
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="session")
def browser(playwright: Playwright) -> Iterator[Browser]:
    opened = playwright.chromium.launch(executable_path=chromium(), args=ARGUMENTS)
    yield opened
    opened.close()


class LosesAnswers:
    """The app, of which answers to what a phone sends may be lost on the way, after it is taken.

    It also counts what is sent, as it goes over the line.
    """

    def __init__(self, app: FastAPI) -> None:
        self.app, self.state, self.lost = app, app.state, 0
        self.weights: dict[str, int] = {}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        async def weighed(message: Message) -> None:
            path = str(scope.get("path"))
            self.weights[path] = self.weights.get(path, 0) + len(message.get("body", b""))
            await send(message)

        if self.lost and scope.get("path") == "/api/v1/records":
            self.lost -= 1

            async def nowhere(message: Message) -> None:
                """The answer goes nowhere."""

            await self.app(scope, receive, nowhere)
            raise ConnectionResetError("the answer was lost")
        await self.app(scope, receive, weighed)


def serve(app: LosesAnswers, port: int) -> tuple[uvicorn.Server, threading.Thread]:
    """Start a server and wait until it answers."""
    config = uvicorn.Config(app, port=port, log_level="critical", timeout_graceful_shutdown=1)
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    return server, thread


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@pytest.fixture(scope="session")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[uvicorn.Server, Path, str]]:
    seeded = seed(tmp_path_factory.mktemp("seeded"))
    first = copy_of(seeded, tmp_path_factory.mktemp("first"))
    port = free_port()
    server, thread = serve(LosesAnswers(create_app(first, clock=lambda: NOW)), port)
    yield server, seeded, f"http://127.0.0.1:{port}"
    server.should_exit = True
    thread.join(timeout=5)
    first.journal.close()


@pytest.fixture
def site(served: tuple[uvicorn.Server, Path, str], tmp_path: Path) -> Iterator[Site]:
    server, seeded, url = served
    watch = copy_of(seeded, tmp_path)
    app = cast("LosesAnswers", server.config.app)
    opened = Site(url=url, watch=watch, app=app)
    opened.photos = Photos(folder=tmp_path / "photos")
    app.state.door = Door(watch=watch, clock=opened.now, photos=opened.photos)
    app.lost = 0
    yield opened
    watch.journal.close()


def _page(browser: Browser, site: Site, size: ViewportSize, **more: object) -> Iterator[Page]:
    context = browser.new_context(viewport=size, base_url=site.url, **more)  # type: ignore[arg-type]
    page = context.new_page()
    page.set_default_timeout(8000)
    page.clock.set_system_time(site.now())
    page.on("console", lambda told: _note(site, told))
    page.on("pageerror", lambda error: site.complaints.append(str(error)))
    yield page
    context.close()
    assert site.complaints == []  # no error in a script, nothing against the security policy


def _note(site: Site, told: ConsoleMessage) -> None:
    """Note what the browser complains of; that a wrong entry was refused is as it should be.

    So is that there is no page at an address which is asked for as a test of just that.
    """
    asked = str(told.location.get("url", "")).removeprefix(site.url)
    if GONE in told.text and asked in ABSENT:
        return
    if not any(words in told.text for words in EXPECTED):
        site.complaints.append(told.text)


# What is tried without a network has its own pages; here nothing is taken along, which is quicker.
@pytest.fixture
def phone(browser: Browser, site: Site) -> Iterator[Page]:
    yield from _page(browser, site, PHONE, has_touch=True, service_workers="block")


@pytest.fixture
def desk(browser: Browser, site: Site) -> Iterator[Page]:
    yield from _page(browser, site, DESK, service_workers="block")


@pytest.fixture
def plain(browser: Browser, site: Site) -> Iterator[Page]:
    """A browser without scripts."""
    yield from _page(browser, site, PHONE, java_script_enabled=False)


@pytest.fixture
def static() -> str:
    """Where the page's own modules stand."""
    return static_files.root()
