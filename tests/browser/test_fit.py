"""Every page fits the hand: nothing over the edge, large targets, a light of one's choice."""

import time

import pytest
from playwright.sync_api import Browser, Page, expect

from .conftest import PHONE, Site
from .pages import ERRORS, SIGN_IN, addresses, every, kinds

pytestmark = pytest.mark.browser

RATE = 50_000  # bytes a second
PRESSED = "a, button, select, input, summary, textarea"
# A link in a sentence is as high as its line (WCAG 2.2, 2.5.8: inline); one by itself is not.
SMALL_TARGETS = """pressed => { const inSentence = one => one.tagName === 'A'
  && getComputedStyle(one).display === 'inline'
  && one.parentElement.textContent.trim().length > one.textContent.trim().length;
  return [...document.querySelectorAll(pressed)]
  .filter(one => one.type !== 'hidden' && one.checkVisibility() && !one.closest('svg'))
  .filter(one => !inSentence(one))
  .map(one => [one.outerHTML.slice(0, 80), one.getBoundingClientRect()])
  .filter(([, box]) => box.width > 0 && (box.height < 47.5 || box.width < 47.5))
  .map(([html, box]) => `${html} ${Math.round(box.width)}x${Math.round(box.height)}`) }"""
SMALL_TEXT = """() => [...document.querySelectorAll('body *')]
  .filter(one => [...one.childNodes].some(n => n.nodeType === 3 && n.textContent.trim()))
  .filter(one => one.checkVisibility() && !one.closest('.hidden-words'))
  .filter(one => parseFloat(getComputedStyle(one).fontSize) < 16)
  .map(one => one.outerHTML.slice(0, 80))"""
UNFOLD = "() => document.querySelectorAll('details').forEach(one => { one.open = true; })"
OVER = "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"


def test_every_kind_of_page_is_looked_at(site: Site) -> None:
    assert kinds() - {SIGN_IN} == set(addresses(site)) - {ERRORS}


def test_every_page_fits_a_phone(phone: Page, site: Site) -> None:
    faults = {}
    for address in every(site):
        phone.goto(address)
        phone.evaluate(UNFOLD)
        found = [*phone.evaluate(SMALL_TARGETS, PRESSED), *phone.evaluate(SMALL_TEXT)]
        if over := phone.evaluate(OVER):
            found.append(f"{over} px over the edge")
        if found:
            faults[address] = found[:8]
    assert faults == {}


def test_nothing_runs_over_the_edge_on_a_desk(desk: Page, site: Site) -> None:
    for address in every(site):
        desk.goto(address)
        desk.evaluate(UNFOLD)
        assert desk.evaluate(OVER) == 0, address


def test_the_light_is_chosen_and_kept(phone: Page) -> None:
    ground = "() => getComputedStyle(document.body).backgroundColor"
    phone.goto("/")
    day = phone.evaluate(ground)
    phone.get_by_role("button", name="Night").click()
    expect(phone.get_by_role("button", name="Night")).to_have_attribute("aria-pressed", "true")
    night = phone.evaluate(ground)
    phone.goto("/pumps")
    assert phone.evaluate(ground) == night != day
    phone.get_by_role("button", name="Strong").click()
    expect(phone.get_by_role("button", name="Strong")).to_have_attribute("aria-pressed", "true")
    assert phone.evaluate(ground) == "rgb(255, 255, 255)"


def test_a_round_is_light_enough_for_a_bad_line(browser: Browser, site: Site) -> None:
    """All that a round of three pumps sends, app and pages, as it goes over the line."""
    site.app.weights.clear()
    context = browser.new_context(viewport=PHONE, base_url=site.url)
    phone = context.new_page()
    phone.goto("/")
    phone.get_by_role("button", name="Walk it").click()
    expect(phone.locator("#line")).to_contain_text("This round is on this phone")
    sent = {p: n for p, n in site.app.weights.items() if p != "/take-along/book"}
    assert any(path.startswith("/take-along/") for path in sent)
    assert sum(sent.values()) < 250_000
    context.close()


def test_the_first_page_of_a_round_is_usable_on_a_slow_line(phone: Page) -> None:
    """Slow 3G as browsers' tools emulate it: 400 kbit/s both ways, 400 ms to and fro."""
    phone.goto("/")
    phone.get_by_role("button", name="Walk it").click()
    where = phone.url
    line = phone.context.new_cdp_session(phone)
    line.send("Network.enable")
    line.send("Network.setCacheDisabled", {"cacheDisabled": True})
    line.send("Network.setBypassServiceWorker", {"bypass": True})
    slow = {
        "offline": False,
        "latency": 400,
        "downloadThroughput": 50_000,
        "uploadThroughput": 50_000,
    }
    line.send("Network.emulateNetworkConditions", slow)
    begun = time.monotonic()
    phone.goto(where, wait_until="commit")
    expect(phone.locator("input.number").first).to_be_visible()
    seen = time.monotonic() - begun
    row = phone.locator('[data-point="discharge_pressure"]')
    row.locator("input.number").fill("3.2")
    row.get_by_role("button", name="Write", exact=True).first.click()
    expect(row.locator("[data-mark]")).to_contain_text("normal")
    assert seen < 5.0
    assert time.monotonic() - begun < 12.0
