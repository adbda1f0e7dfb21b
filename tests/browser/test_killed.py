"""The battery dies, the server is started anew, the app is brought up to date: a round goes on."""

import os
import signal
from collections.abc import Iterator
from pathlib import Path
from unittest.mock import patch

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, expect

from gaugewalk.web import routes_phone, static_files
from gaugewalk.web.app import create_app
from tests.web.seeded import copy_of, open_watch

from .conftest import ARGUMENTS, PHONE, LosesAnswers, Site, chromium, free_port, serve
from .test_offline import KEYS, opened, readings, sent, taken_along, until
from .test_walk import field, write

pytestmark = pytest.mark.browser


def started(playwright: Playwright, folder: Path, site: Site) -> BrowserContext:
    """A browser of its own, with its own disk."""
    return playwright.chromium.launch_persistent_context(
        folder, executable_path=chromium(), args=ARGUMENTS, viewport=PHONE, base_url=site.url
    )


def processes(folder: Path) -> Iterator[int]:
    """The processes that were started on this disk."""
    for entry in Path("/proc").iterdir():
        if not entry.name.isdigit():
            continue
        try:
            said = (entry / "cmdline").read_bytes().decode(errors="replace")
        except OSError:
            continue
        if f"--user-data-dir={folder}" in said:
            yield int(entry.name)


def test_what_was_written_survives_an_empty_battery(
    playwright: Playwright, site: Site, tmp_path: Path
) -> None:
    disk = tmp_path / "disk"
    first = started(playwright, disk, site)
    page = opened(first, site)
    taken_along(page)
    first.set_offline(True)
    at = page.url
    expect(write(page, "3.2").locator("[data-state]")).to_contain_text("Kept on this phone")
    killed = list(processes(disk))
    assert killed
    for process in killed:
        os.kill(process, signal.SIGKILL)
    until(lambda: not list(processes(disk)))
    second = started(playwright, disk, site)
    second.set_offline(True)
    page = opened(second, site)
    page.goto(at)
    expect(page.locator("#line")).to_contain_text("No network")
    expect(field(page).locator("[data-said]")).to_contain_text("3.2 barg")
    assert readings(site) == []
    second.set_offline(False)
    page.goto(at)
    sent(page)
    assert readings(site) == [("W21A", "discharge_pressure", "3.2")]
    second.close()


@pytest.fixture
def pair(served: tuple[object, Path, str], tmp_path: Path) -> Iterator[tuple[Site, int]]:
    """A server of its own, to be stopped and started."""
    port = free_port()
    watch = copy_of(served[1], tmp_path)
    app = LosesAnswers(create_app(watch))
    yield Site(url=f"http://127.0.0.1:{port}", watch=watch, app=app), port
    watch.journal.close()


def test_the_server_is_started_anew_and_brought_up_to_date(
    browser: Browser, pair: tuple[Site, int], tmp_path: Path
) -> None:
    site, port = pair
    server, thread = serve(site.app, port)
    context = browser.new_context(viewport=PHONE, base_url=site.url)
    page = context.new_page()
    taken_along(page)
    at = page.url
    server.should_exit = True
    thread.join(timeout=5)
    site.watch.journal.close()
    expect(write(page, "3.2").locator("[data-state]")).to_contain_text("Kept on this phone")
    page.reload()
    expect(page.locator("#line")).to_contain_text("No network")
    expect(field(page).locator("[data-said]")).to_contain_text("3.2 barg")

    watch = open_watch(tmp_path / "watch.db")
    old = static_files.version()
    with patch.object(static_files, "version", lambda: "0123456789ab"):
        routes_phone.worker_source.cache_clear()
        server, thread = serve(LosesAnswers(create_app(watch)), port)
        try:
            page.goto(at)
            sent(page)
            until(lambda: not any(old in key for key in page.evaluate(KEYS)))
            kept = page.evaluate(KEYS)
            assert "/static/0123456789ab/entry.js" in kept
            context.set_offline(True)  # the round was taken along anew, in the new version
            page.reload()
            expect(page.locator("#line")).to_contain_text("No network")
            assert _names(page, "entry.js") == ["/static/0123456789ab/entry.js"]
        finally:
            server.should_exit = True
            thread.join(timeout=5)
            routes_phone.worker_source.cache_clear()
    assert [e.entered for e in watch.journal.entries() if e.entered == "3.2"] == ["3.2"]
    watch.journal.close()
    context.close()


def _names(page: Page, file: str) -> list[str]:
    sources = "[...document.scripts].map(s => s.getAttribute('src') ?? '')"
    ending = f"file => {sources}.filter(source => source.endsWith(file))"
    found: list[str] = page.evaluate(ending, file)
    return found
