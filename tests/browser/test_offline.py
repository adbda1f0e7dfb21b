"""Without a network: nothing written is lost, nothing comes twice, everything needed is there."""

import re
import time
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, ViewportSize, expect

from gaugewalk.journal.entry import Entry
from tests.web.seeded import NOW, TROUBLED

from .conftest import DESK, PHONE, Site
from .test_walk import begin, field
from .test_walk import write as press

pytestmark = pytest.mark.browser
CUT = ("ERR_INTERNET_DISCONNECTED", "ERR_CONNECTION_REFUSED", "status of 500", "ERR_FAILED")
KEYS = """async () => {
  const found = [];
  for (const name of await caches.keys()) {
    for (const key of await (await caches.open(name)).keys()) found.push(new URL(key.url).pathname);
  }
  return found;
}"""
MODULE = """file => {
  const own = document.querySelector('script[src$="page.js"]').src;
  return import(own.replace('page.js', file));
}"""
FORM = "() => document.querySelector('[data-reading]').getAttribute('action')"


@pytest.fixture(params=[PHONE, DESK], ids=["phone", "desk"])
def both(request: pytest.FixtureRequest, browser: Browser, site: Site) -> Iterator[Page]:
    """The same on a phone and on a desk."""
    yield from _page(browser, site, request.param)


@pytest.fixture
def hand(browser: Browser, site: Site) -> Iterator[Page]:
    yield from _page(browser, site, PHONE)


def _page(browser: Browser, site: Site, size: ViewportSize) -> Iterator[Page]:
    """A page that may complain of the network being away, and of nothing else."""
    context = browser.new_context(viewport=size, base_url=site.url)
    yield opened(context, site)
    context.close()
    others = [one for one in site.complaints if not any(word in one for word in CUT)]
    assert others == []


def opened(context: BrowserContext, site: Site, at: datetime | None = None) -> Page:
    page = context.new_page()
    page.set_default_timeout(8000)
    page.clock.set_system_time(at or site.now())
    page.on("console", lambda told: site.complaints.append(told.text))
    page.on("pageerror", lambda error: site.complaints.append(str(error)))
    return page


def taken_along(page: Page) -> None:
    """Begin a round and wait until the phone has it."""
    begin(page)
    expect(page.locator("#line")).to_contain_text("This round is on this phone")


def write(page: Page, text: str, point: str = "discharge_pressure") -> Locator:
    """Write a number and wait until the phone has it."""
    row = press(page, text, point)
    expect(row.get_by_role("button", name="Correct")).to_be_visible()
    return row


def sent(page: Page) -> None:
    """Wait until nothing waits on this phone."""
    until(lambda: page.evaluate(f"async () => (await ({MODULE})('store.js')).waiting()") == [])
    expect(page.locator("#line")).not_to_contain_text("not sent yet")


def until(true: Callable[[], bool], within: float = 8.0) -> None:
    """Wait for something that happens on the server."""
    end = time.monotonic() + within
    while not true():
        assert time.monotonic() < end
        time.sleep(0.02)


def since(site: Site) -> list[Entry]:
    """What came into the journal since the seeded past, in the order recorded."""
    return [e for e in site.watch.journal.entries() if e.recorded_at and e.recorded_at >= NOW]


def readings(site: Site) -> list[tuple[str | None, str | None, str | None]]:
    return [(e.tag, e.point, e.entered) for e in since(site) if e.kind == "reading"]


def test_a_round_goes_on_without_a_network(both: Page, site: Site) -> None:
    taken_along(both)
    write(both, "3.2")
    sent(both)
    both.context.set_offline(True)
    both.get_by_role("link", name="On to W21B").click()
    expect(both.locator("#line")).to_contain_text("No network. This page is as it was at 09:30")
    row = write(both, "1.9")
    expect(row.locator("[data-said]")).to_contain_text("Discharge pressure 1.9 barg is below")
    expect(row.locator("[data-mark]")).to_contain_text("act")
    expect(row.locator("[data-state]")).to_have_text("Kept on this phone, not sent yet.")
    row = field(both, "flow")
    row.get_by_text("Not taken, because…").click()
    row.get_by_role("button", name="No time").click()
    expect(row.locator("[data-mark]")).to_contain_text("not taken")
    both.locator("#note-text").fill("Guard loose")
    both.get_by_role("button", name="Write the note").click()
    expect(both.locator("#line")).to_contain_text("3 not sent yet")
    both.reload()
    expect(field(both).locator("[data-said]")).to_contain_text("1.9 barg")
    expect(field(both).get_by_role("button", name="Correct")).to_be_visible()
    assert readings(site) == [("W21A", "discharge_pressure", "3.2")]
    both.context.set_offline(False)
    sent(both)
    expect(field(both).locator("[data-state]")).to_have_text("")
    assert readings(site)[1:] == [(TROUBLED, "discharge_pressure", "1.9")]
    kinds = [e.kind for e in since(site) if e.kind in ("reading", "skipped", "note")]
    assert kinds == ["reading", "reading", "skipped", "note"]


def test_what_is_needed_at_the_pump_is_there_without_a_network(both: Page, site: Site) -> None:
    taken_along(both)
    until(lambda: "/take-along/book" in both.evaluate(KEYS))
    trouble = next(key for key in both.evaluate(KEYS) if key.startswith("/trouble/"))
    both.context.set_offline(True)
    both.goto(f"/pump/{TROUBLED}")
    expect(both.locator(".pump-drawing").first).to_be_visible()
    expect(both.get_by_role("heading", name="Points")).to_be_visible()
    both.goto(trouble)
    expect(both.get_by_role("heading", name="What it may be")).to_be_visible()
    both.locator("article.cause h3 a").first.click()
    expect(
        both.get_by_role("heading", name=re.compile("What is done|To do|done about"))
    ).to_be_visible()
    both.goto(f"/pump/{TROUBLED}/signs")
    expect(both.get_by_role("heading", level=1)).to_have_text(f"Signs at {TROUBLED}")
    smoke = both.locator('[data-finding="gland-smoke"]')
    smoke.get_by_role("button", name="Seen").click()
    expect(smoke.get_by_role("button", name="Seen")).to_have_attribute("aria-pressed", "true")
    expect(smoke.locator("[data-state]")).to_have_text("Kept on this phone, not sent yet.")
    both.goto("/work-it-out/total-head")
    expect(both.get_by_text("This page is not on this phone")).to_be_visible()
    both.context.set_offline(False)
    both.goto("/")
    sent(both)
    seen = [e for e in since(site) if e.kind == "observation"]
    assert [(e.tag, e.point, e.body["present"]) for e in seen] == [(TROUBLED, "gland-smoke", True)]


def test_an_answer_lost_on_the_way_makes_no_second_reading(hand: Page, site: Site) -> None:
    taken_along(hand)
    site.app.lost = 1
    write(hand, "3.2")
    until(lambda: len(readings(site)) == 1)  # it did arrive
    expect(hand.locator("#line")).to_contain_text("1 not sent yet")
    write(hand, "0.06", "suction_pressure")
    sent(hand)
    assert readings(site) == [
        ("W21A", "discharge_pressure", "3.2"), ("W21A", "suction_pressure", "0.06"),
    ]  # fmt: skip


def test_a_number_is_corrected_before_it_was_ever_sent(hand: Page, site: Site) -> None:
    taken_along(hand)
    hand.context.set_offline(True)
    row = write(hand, "32")
    expect(row.locator("[data-said]")).to_contain_text("3.2 barg meant?")
    row.locator("input.number").fill("3.2")
    row.get_by_role("button", name="Correct").click()
    expect(row.locator("[data-mark]")).to_contain_text("normal")
    hand.context.set_offline(False)
    sent(hand)
    kinds = [(e.kind, e.entered) for e in since(site) if e.point == "discharge_pressure"]
    assert ("reading", "32") in kinds
    assert kinds[-1] == ("correction", "3.2 barg")
    latest = site.watch.journal.latest("W21A")["discharge_pressure"]
    assert latest.entered == "3.2 barg"


def test_the_time_seen_is_kept_and_a_wrong_clock_is_told(browser: Browser, site: Site) -> None:
    context = browser.new_context(viewport=PHONE, base_url=site.url)
    page = opened(context, site, site.now() + timedelta(hours=2, minutes=5))
    taken_along(page)
    expect(page.locator("#line")).to_contain_text("clock is 2 h 5 min ahead")
    context.set_offline(True)
    expect(write(page, "3.2").locator("[data-state]")).to_contain_text("Kept on this phone")
    page.wait_for_timeout(1500)
    context.set_offline(False)
    sent(page)
    taken = next(e for e in since(site) if e.kind == "reading")
    assert taken.recorded_at is not None
    assert timedelta(seconds=1) < taken.recorded_at - taken.seen_at < timedelta(seconds=8)
    page.reload()
    notes = [str(e.body["text"]) for e in since(site) if e.kind == "note"]
    assert len(notes) == 1
    assert "clock of unnamed's phone was 2 h 5 min ahead" in notes[0]
    context.close()


def test_a_clock_that_fell_back_with_an_empty_battery(browser: Browser, site: Site) -> None:
    context = browser.new_context(viewport=PHONE, base_url=site.url)
    page = opened(context, site)
    taken_along(page)
    context.set_offline(True)
    page.clock.set_system_time(datetime(2000, 1, 1, tzinfo=NOW.tzinfo))
    page.reload()
    expect(write(page, "3.2").locator("[data-state]")).to_contain_text("Kept on this phone")
    context.set_offline(False)
    sent(page)
    page.wait_for_timeout(300)
    taken = next(e for e in since(site) if e.kind == "reading")
    assert abs(taken.seen_at - site.now()) < timedelta(minutes=1)
    context.close()


def test_two_phones_in_one_round_keep_both(browser: Browser, site: Site) -> None:
    contexts = [browser.new_context(viewport=PHONE, base_url=site.url) for _ in range(2)]
    pages = [opened(context, site) for context in contexts]
    for page, name in zip(pages, ("R. Vale", "B. Hale"), strict=True):
        page.goto("/more")
        page.locator("input[name=name]").fill(name)
        page.get_by_role("button", name="Write down under this name").click()
    taken_along(pages[0])
    pages[1].goto(pages[0].url)
    expect(pages[1].locator("#line")).to_contain_text("This round is on this phone")
    for context, page, text in zip(contexts, pages, ("3.2", "3.4"), strict=True):
        context.set_offline(True)
        expect(write(page, text).locator("[data-state]")).to_contain_text("Kept on this phone")
    for context, page in zip(contexts, pages, strict=True):
        context.set_offline(False)
        sent(page)
    assert [entered for *_, entered in readings(site)] == ["3.2", "3.4"]
    pages[0].reload()
    told = field(pages[0]).get_by_text("Read twice in this round")
    expect(told).to_contain_text("Both are kept.")
    expect(told).to_contain_text(re.compile(r"also 3\.[24] barg at 09:30 by (R. Vale|B. Hale)"))
    for context in contexts:
        context.close()


def test_a_round_is_finished_without_a_network(hand: Page, site: Site) -> None:
    taken_along(hand)
    hand.context.set_offline(True)
    hand.locator("#finish input[name=reason]").fill("Called away")
    hand.get_by_role("button", name="Finish the round").click()
    expect(hand.locator("#finish [data-told]")).to_have_text("Kept on this phone.")
    hand.context.set_offline(False)
    hand.wait_for_url("**/")
    ends = [e for e in since(site) if e.kind == "round" and e.body["step"] == "finished"]
    assert len(ends) == 1


def test_what_is_refused_stays_to_be_put_right(hand: Page, site: Site) -> None:
    taken_along(hand)
    hand.context.set_offline(True)
    write(hand, "3.2")
    hand.evaluate(
        f"""async () => {{
          const {{ keep }} = await ({MODULE})('outbox.js');
          await keep('note', {{ tag: 'NOPE', text: 'at no pump' }}, {{ tag: 'NOPE' }});
        }}"""
    )
    write(hand, "0.06", "suction_pressure")
    hand.context.set_offline(False)
    sent(hand)
    expect(hand.locator("#line")).to_contain_text("1 could not be taken")
    assert [entered for *_, entered in readings(site)] == ["3.2", "0.06"]
    hand.goto("/waiting")
    line = hand.locator("#waiting-list li")
    expect(line).to_contain_text("at no pump")
    expect(line).to_contain_text("No pump 'NOPE'")
    line.get_by_role("button", name="Strike it out here").click()
    expect(hand.get_by_text("Nothing waits on this phone")).to_be_visible()


def test_what_it_may_be_is_told_without_a_network_and_ranked_when_sent(
    hand: Page, site: Site
) -> None:
    taken_along(hand)
    until(lambda: "/take-along/book" in hand.evaluate(KEYS))
    hand.context.set_offline(True)
    row = write(hand, "1.5")
    expect(row.locator(".first-help")).to_contain_text("By this sign alone it may be")
    row.locator(".first-help a").first.click()
    expect(hand.get_by_role("heading", name="What is done about it")).to_be_visible()
    hand.go_back()
    hand.context.set_offline(False)
    sent(hand)
    expect(hand.locator("#checks")).to_be_visible()
    expect(hand.locator(".first-help")).to_have_count(0)
    expect(hand.locator("#line")).not_to_contain_text("No network")


def test_the_light_can_be_changed_on_a_kept_page(hand: Page) -> None:
    taken_along(hand)
    hand.context.set_offline(True)
    hand.reload()
    ground = "() => getComputedStyle(document.body).backgroundColor"
    day = hand.evaluate(ground)
    hand.get_by_role("button", name="Strong").click()
    until(lambda: hand.evaluate(ground) == "rgb(255, 255, 255)")
    assert day != "rgb(255, 255, 255)"
    hand.reload()
    until(lambda: hand.evaluate(ground) == "rgb(255, 255, 255)")


def test_a_phone_that_can_keep_nothing_still_writes(browser: Browser, site: Site) -> None:
    """A private window or a full disk: the form goes out the way it goes without scripts."""
    context = browser.new_context(viewport=PHONE, base_url=site.url)
    context.add_init_script(
        "IDBFactory.prototype.open = () => { throw new DOMException('no room', 'Quota'); }"
    )
    page = opened(context, site)
    begin(page)
    row = press(page, "3.2")
    expect(row.locator("[data-said]")).to_contain_text("3.2 barg")
    assert page.url.endswith("#discharge_pressure")
    assert readings(site) == [("W21A", "discharge_pressure", "3.2")]
    row = field(page, "flow")
    row.get_by_text("Not taken, because…").click()
    row.get_by_role("button", name="No time").click()
    expect(field(page, "flow").locator("[data-said]")).to_have_text("Not taken: No time")
    context.close()
    assert all("no room" in told for told in site.complaints)
