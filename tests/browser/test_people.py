"""Where people sign in: those pages too keep nobody out, and fit the hand."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from gaugewalk.people import accounts
from gaugewalk.people.rights import Role
from gaugewalk.people.store import Store
from gaugewalk.web.app import create_app
from gaugewalk.web.entrance import Entrance
from tests.cheap_hashing import cheap_hashing
from tests.web.people_here import PASSWORD
from tests.web.seeded import NOW, TROUBLED, copy_of

from .conftest import PHONE, LosesAnswers, free_port, serve
from .pages import SIGN_IN, kinds
from .test_axe import in_every_light
from .test_fit import OVER, PRESSED, SMALL_TARGETS, SMALL_TEXT, UNFOLD

pytestmark = pytest.mark.browser


@pytest.fixture
def signing(served: tuple[object, Path, str], browser: Browser, tmp_path: Path) -> Iterator[Page]:
    """A phone before a server at which an operator and a reader have accounts."""
    people = Store.open(tmp_path / "people.db")
    watch = copy_of(served[1], tmp_path)
    with cheap_hashing():
        for name, role in (("R. Vale", Role.OPERATOR), ("S. Finch", Role.READER)):
            accounts.add_account(people, name, role, now=NOW, password=PASSWORD)
        app = create_app(watch, clock=lambda: NOW, entrance=Entrance(people=people))
        server, thread = serve(LosesAnswers(app), port := free_port())
        context = browser.new_context(
            viewport=PHONE, base_url=f"http://127.0.0.1:{port}", service_workers="block"
        )
        yield context.new_page()
        context.close()
        server.should_exit = True
        thread.join(timeout=5)
    watch.journal.close()
    people.close()


def sign_in(page: Page, name: str, password: str = PASSWORD) -> None:
    page.get_by_label("Name, as it stands in the journal").fill(name)
    page.get_by_label("Password").fill(password)
    page.get_by_role("button", name="Sign in", exact=True).click()


def right(page: Page) -> None:
    """Nothing over the edge, no small target or text, nothing against WCAG 2.2 AA."""
    page.evaluate(UNFOLD)
    assert page.evaluate(OVER) == 0
    assert [*page.evaluate(SMALL_TARGETS, PRESSED), *page.evaluate(SMALL_TEXT)] == []
    assert in_every_light(page) == {}


def test_signing_in_by_hand(signing: Page) -> None:
    assert SIGN_IN in kinds()
    signing.goto(f"/pump/{TROUBLED}")
    expect(signing.get_by_role("heading", name="Who is here?")).to_be_visible()
    right(signing)
    sign_in(signing, "R. Vale", "lantern")
    expect(signing.get_by_role("alert")).to_be_visible()
    right(signing)
    sign_in(signing, "R. Vale")
    expect(signing).to_have_url(f"{signing.url.split('/pump')[0]}/pump/{TROUBLED}")
    for address in ("/more", f"/pump/{TROUBLED}/limits"):  # as one who may not change them
        signing.goto(address)
        right(signing)


def test_one_who_only_reads(signing: Page) -> None:
    signing.goto("/")
    sign_in(signing, "S. Finch")
    for address in (f"/pump/{TROUBLED}", "/handover", "/type-in"):  # the last is not for readers
        signing.goto(address)
        right(signing)
    expect(signing.get_by_role("heading", level=1)).to_have_text("That did not work")
