"""A check-list walked in a real browser, and something due ticked as done."""

import re
from datetime import timedelta

import pytest
from playwright.sync_api import Page, expect

from gaugewalk.web.door import Door

from .conftest import Site
from .test_fit import OVER, PRESSED, SMALL_TARGETS, SMALL_TEXT

pytestmark = pytest.mark.browser


def begin(page: Page) -> None:
    page.goto("/pump/W21A")
    page.get_by_role("link", name="Check-lists", exact=True).click()
    page.get_by_role("link", name="Change over to the standby pump").click()
    page.get_by_role("button", name="Begin it at W21A").click()
    expect(page.get_by_role("heading", name="Step 1 of 10 · at W21A")).to_be_visible()


def fits(page: Page) -> None:
    """Nothing over the edge, no small target, no small text."""
    assert page.evaluate(OVER) == 0
    assert [*page.evaluate(SMALL_TARGETS, PRESSED), *page.evaluate(SMALL_TEXT)] == []


def skip_readings(page: Page) -> None:
    for row in page.locator("#now [data-point]").all():
        if row.locator("[data-skip]").count():
            row.get_by_text("Not taken, because…").click()
            row.get_by_role("button", name="No time").click()
            expect(row.locator("[data-said]")).to_have_text("Not taken: No time")


def walk_to_hold(page: Page) -> None:
    begin(page)
    page.get_by_role("button", name="Looked, go on").click()
    skip_readings(page)
    page.wait_for_function(
        "() => !document.querySelector('#line').textContent.includes('not sent')"
    )
    page.get_by_role("button", name="Looked, go on").click()
    expect(page.locator("#now .hold")).to_have_text("Hold. The standby is ready")


def test_a_reading_in_a_step_is_judged_at_once(phone: Page) -> None:
    begin(phone)
    phone.get_by_role("button", name="Looked, go on").click()
    row = phone.locator('[data-point="discharge_pressure"]')
    row.locator("input.number").fill("1.5")
    row.get_by_role("button", name="Write", exact=True).click()
    expect(row.locator("[data-mark]")).to_contain_text("act")
    expect(row.locator("[data-said]")).to_contain_text("1.5 barg is below the act limit")
    fits(phone)


def test_a_hold_is_passed_by_name_only(phone: Page, site: Site) -> None:
    walk_to_hold(phone)
    fits(phone)
    phone.get_by_text("Pass this hold, because…").click()
    phone.get_by_label("Why", exact=True).first.fill("Proven an hour ago")
    phone.get_by_role("button", name="Pass the hold").click()
    expect(phone.get_by_role("alert")).to_contain_text("name who allows it")
    expect(phone.locator("#now input[name=why]")).to_have_value("Proven an hour ago")
    phone.get_by_label("Who allows it, by name").fill("S. Marsh")
    phone.get_by_role("button", name="Pass the hold").click()
    expect(phone.get_by_text("allowed by S. Marsh: Proven an hour ago")).to_be_visible()
    expect(phone.get_by_role("heading", name=re.compile("Step 4 of 10 · at W21B"))).to_be_visible()
    fits(phone)


def test_the_wait_counts_down_and_lets_go(phone: Page, site: Site) -> None:
    walk_to_hold(phone)
    skip_readings(phone)
    phone.get_by_role("button", name="Confirmed").click()
    phone.get_by_role("button", name="Done", exact=True).click()
    wait = phone.locator("#now [data-due]")
    expect(wait).to_have_text("in 5 min")
    phone.get_by_role("button", name="Done", exact=True).click()
    expect(phone.get_by_role("alert")).to_contain_text("min are left")
    fits(phone)
    site.app.state.door = Door(watch=site.watch, clock=lambda: site.now() + timedelta(minutes=6))
    phone.reload()
    skip_readings(phone)
    phone.get_by_role("button", name="Done", exact=True).click()
    expect(phone.get_by_role("heading", name=re.compile("Step 6 of 10"))).to_be_visible()


def test_it_is_gone_on_with_from_this_watch_without_scripts(plain: Page) -> None:
    begin(plain)
    plain.goto("/")
    plain.get_by_role("link", name="Go on with Change over to the standby pump at W21A").click()
    plain.get_by_role("button", name="Looked, go on").click()
    expect(plain.get_by_role("heading", name=re.compile("Step 2 of 10"))).to_be_visible()
    plain.get_by_text("Break it off, or finish it").click()
    plain.get_by_label("Why it is broken off").fill("Alarm at the boiler house")
    plain.get_by_label("How the pump is left: valves, power, locks").fill("As it was found")
    plain.get_by_role("button", name="Break it off").click()
    expect(plain.get_by_text("This list was broken off")).to_be_visible()


def test_something_due_is_done_with_its_amount(phone: Page, site: Site) -> None:
    site.watch.event("W21B", "stopped", who="R. Vale", now=site.now())
    site.app.state.door = Door(watch=site.watch, clock=lambda: site.now() + timedelta(days=40))
    phone.goto("/")
    phone.get_by_role("link", name="Due", exact=True).click()
    fits(phone)
    line = phone.locator("li", has_text="Run it for 10 min")
    line.locator("summary").click()
    fits(phone)
    line.get_by_label("How much, in min").fill("12")
    line.get_by_role("button", name="Done already").click()
    expect(phone.locator("#written")).to_contain_text("Test run, 12 min")
    expect(phone.locator("li", has_text="Not started for 40 days")).to_have_count(0)


@pytest.mark.parametrize("address", ["/due", "/check-lists", "/check-lists/start-up", "/pump/W21A",
                                     "/pump/W21A/limits", "/pump/W21A/check-lists"])  # fmt: skip
def test_every_page_fits_phone_and_desk(phone: Page, desk: Page, address: str) -> None:
    phone.goto(address)
    for fold in phone.locator("main details").all():
        fold.evaluate("one => { one.open = true; }")
    fits(phone)
    desk.goto(address)
    assert desk.evaluate(OVER) == 0
