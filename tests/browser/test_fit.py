"""Every page fits the hand: nothing over the edge, large targets, a light of one's choice."""

import pytest
from playwright.sync_api import Page, expect

from tests.web.seeded import TROUBLED

pytestmark = pytest.mark.browser

PRESSED = "a, button, select, input, summary, textarea"
SMALL_TARGETS = """pressed => [...document.querySelectorAll(pressed)]
  .filter(one => one.type !== 'hidden' && one.checkVisibility() && !one.closest('svg'))
  .filter(one => !(one.tagName === 'A' && getComputedStyle(one).display === 'inline'))
  .map(one => [one.outerHTML.slice(0, 80), one.getBoundingClientRect()])
  .filter(([, box]) => box.width > 0 && (box.height < 47.5 || box.width < 47.5))
  .map(([html, box]) => `${html} ${Math.round(box.width)}x${Math.round(box.height)}`)"""
SMALL_TEXT = """() => [...document.querySelectorAll('body *')]
  .filter(one => [...one.childNodes].some(n => n.nodeType === 3 && n.textContent.trim()))
  .filter(one => one.checkVisibility() && !one.closest('.hidden-words'))
  .filter(one => parseFloat(getComputedStyle(one).fontSize) < 16)
  .map(one => one.outerHTML.slice(0, 80))"""
OVER = "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"


def addresses(page: Page) -> list[str]:
    page.goto("/")
    trouble = page.locator('a[href^="/trouble/"]').first.get_attribute("href") or ""
    page.get_by_role("button", name="Walk it").click()
    begun = page.url
    fixed = ["/", "/pumps", "/more", "/about", "/causes", "/handover", "/work-it-out"]
    pump = [f"/pump/{TROUBLED}", "/pump/B11A", f"/work-it-out/total-head?tag={TROUBLED}"]
    return [*fixed, *pump, begun, trouble]


def test_every_page_fits_a_phone(phone: Page) -> None:
    faults = {}
    for address in addresses(phone):
        phone.goto(address)
        found = [*phone.evaluate(SMALL_TARGETS, PRESSED), *phone.evaluate(SMALL_TEXT)]
        if over := phone.evaluate(OVER):
            found.append(f"{over} px over the edge")
        if found:
            faults[address] = found[:8]
    assert faults == {}


def test_nothing_runs_over_the_edge_on_a_desk(desk: Page) -> None:
    for address in addresses(desk):
        desk.goto(address)
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
    assert phone.evaluate(ground) == "rgb(255, 255, 255)"


def test_a_round_is_light_enough_for_a_bad_line(phone: Page) -> None:
    """All that one stop of a round loads, as it is sent; 250 kB is the aim."""
    sizes: list[int] = []
    phone.on("response", lambda answer: sizes.append(len(answer.body())))
    phone.goto("/")
    phone.get_by_role("button", name="Walk it").click()
    phone.wait_for_load_state("networkidle")
    assert 0 < sum(sizes) < 250_000
