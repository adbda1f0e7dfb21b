"""Walking a round in a real browser: on the phone, by keyboard, without scripts."""

import re

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.web.seeded import TROUBLED

from .conftest import Site

pytestmark = pytest.mark.browser
POINT = "discharge_pressure"


def begin(page: Page) -> None:
    page.goto("/")
    page.get_by_role("button", name="Walk it").click()
    expect(page.get_by_role("heading", name="Pump 1 of 3")).to_be_visible()


def field(page: Page, point: str = POINT) -> Locator:
    return page.locator(f'[data-point="{point}"]')


def write(page: Page, text: str, point: str = POINT) -> Locator:
    row = field(page, point)
    row.locator("input.number").fill(text)
    row.get_by_role("button", name="Write", exact=True).first.click()
    return row


def points(page: Page) -> list[str]:
    return [str(one.get_attribute("data-point")) for one in page.locator("[data-point]").all()]


def tab_to(page: Page, wanted: Locator) -> None:
    for _ in range(60):
        page.keyboard.press("Tab")
        if wanted.evaluate("one => one === document.activeElement"):
            break
    expect(wanted).to_be_focused()


def test_a_reading_in_another_unit_is_judged_at_once(phone: Page) -> None:
    begin(phone)
    where = phone.url
    row = write(phone, "46.4 psig")
    expect(row.locator("[data-said]")).to_contain_text("3.2 barg")
    expect(row.locator("[data-mark]")).to_contain_text("normal")
    expect(row.get_by_role("button", name="Correct")).to_be_visible()
    assert phone.url == where


def test_the_unit_can_be_switched_and_a_swing_typed(phone: Page) -> None:
    begin(phone)
    row = field(phone)
    row.locator("select").select_option("psig")
    row.locator("input.number").fill("44 to 50")
    row.locator("input.number").press("Enter")
    expect(row.locator("[data-said]")).to_contain_text("44 to 50 psig")


@pytest.mark.parametrize("text", ["lots", "🙂", "-9999", "3.2 bar", "1,480", "1e999"])
def test_what_cannot_be_read_stays_with_a_message(phone: Page, text: str) -> None:
    begin(phone)
    row = write(phone, text)
    expect(row.locator("[data-message]")).not_to_be_empty()
    expect(row.locator("input.number")).to_have_value(text)
    expect(row.locator("input.number")).to_have_attribute("aria-invalid", "true")


def test_not_taken_because(phone: Page) -> None:
    begin(phone)
    row = field(phone)
    row.get_by_text("Not taken, because…").click()
    row.get_by_role("button", name="Cannot be reached safely").click()
    expect(row.locator("[data-said]")).to_have_text("Not taken: Cannot be reached safely")
    expect(row.locator("[data-mark]")).to_contain_text("not taken")


def test_going_on_writes_the_field_that_was_left(phone: Page) -> None:
    begin(phone)
    field(phone).locator("input.number").fill("3.2")
    field(phone, "flow").locator("input.number").focus()
    expect(field(phone).locator("[data-said]")).to_contain_text("3.2 barg")


def test_a_written_number_is_corrected_in_place(phone: Page) -> None:
    begin(phone)
    row = write(phone, "32")
    expect(row.get_by_role("button", name="Correct")).to_be_visible()
    row.locator("input.number").fill("3.2")
    row.get_by_role("button", name="Correct").click()
    expect(row.locator("[data-mark]")).to_contain_text("normal")
    expect(row.locator("[data-said]")).to_contain_text("3.2 barg")


def test_when_something_is_off_checks_are_offered(phone: Page) -> None:
    begin(phone)
    expect(phone.locator("#checks")).to_be_hidden()
    row = write(phone, "1.5")
    expect(row.locator("[data-mark]")).to_contain_text("act")
    expect(phone.locator("#checks")).to_be_visible()
    question = phone.locator("#checks [data-finding]").first
    finding = question.get_attribute("data-finding")
    question.get_by_role("button", name="Not there").click()
    expect(phone.locator(f'#checks [data-finding="{finding}"]')).to_have_count(0)


def test_a_broken_line_loses_nothing(phone: Page, site: Site) -> None:
    begin(phone)
    phone.route("**/api/v1/records", lambda route: route.abort())
    row = write(phone, "3.2")
    expect(row.locator("[data-said]")).to_contain_text("3.2 barg")
    expect(row.locator("[data-state]")).to_have_text("Kept on this phone, not sent yet.")
    expect(phone.locator("#line")).to_contain_text("1 not sent yet")
    phone.unroute("**/api/v1/records")
    write(phone, "0.06", "suction_pressure")
    expect(phone.locator("#line")).not_to_contain_text("not sent yet")
    expect(row.locator("[data-state]")).to_have_text("")
    assert all("ERR_FAILED" in complaint for complaint in site.complaints)
    site.complaints.clear()


def test_a_trouble_ranks_anew_after_an_answer(desk: Page) -> None:
    desk.goto("/")
    desk.get_by_role("link", name=re.compile(TROUBLED)).first.click()
    ranking = desk.locator("article.cause .percent")
    before = ranking.all_inner_texts()
    question = desk.locator(".check").first
    asked = question.get_attribute("data-finding")
    question.get_by_role("button", name="Seen").click()
    expect(desk.locator(f'.check[data-finding="{asked}"]')).to_have_count(0)
    expect(desk.locator("#told")).to_have_text("Written down; the causes are ranked anew.")
    assert ranking.all_inner_texts() != before
    expect(desk.get_by_role("heading", name="Looked at")).to_be_visible()


def test_an_action_is_ticked_as_done(desk: Page) -> None:
    desk.goto("/")
    desk.get_by_role("link", name=re.compile(TROUBLED)).first.click()
    desk.get_by_role("button", name="Done").first.click()
    expect(desk.get_by_text("done 09:30 by unnamed").first).to_be_visible()


def test_the_whole_round_by_keyboard(desk: Page) -> None:
    desk.goto("/")
    desk.keyboard.press("Tab")
    expect(desk.get_by_role("link", name="To the page")).to_be_focused()
    desk.get_by_role("button", name="Walk it").focus()
    desk.keyboard.press("Enter")
    desk.wait_for_url("**/round/**")
    first, second = (field(desk, point) for point in points(desk)[:2])
    tab_to(desk, first.locator("input.number"))
    desk.keyboard.type("0.06")
    desk.keyboard.press("Enter")
    expect(first.get_by_role("button", name="Correct")).to_be_visible()
    expect(first.locator("input.number")).to_be_focused()
    tab_to(desk, second.locator("summary"))
    desk.keyboard.press("Enter")
    tab_to(desk, second.get_by_role("button", name="No time"))
    desk.keyboard.press("Enter")
    expect(second.locator("[data-said]")).to_have_text("Not taken: No time")


def test_a_plate_of_the_drawing_leads_to_its_field(desk: Page) -> None:
    desk.goto(f"/pump/{TROUBLED}")
    plate = desk.get_by_role("link", name=re.compile("act: Discharge pressure$"))
    plate.focus()
    desk.keyboard.press("Enter")
    assert desk.url.endswith(f"#{POINT}")
    expect(field(desk)).to_be_in_viewport()


def test_everything_works_without_scripts(plain: Page) -> None:
    begin(plain)
    row = write(plain, "lots")
    expect(row.locator("[data-message]")).not_to_be_empty()
    expect(row.locator("input.number")).to_have_value("lots")
    row = write(plain, "46.4 psig")
    expect(row.locator("[data-said]")).to_contain_text("3.2 barg")
    assert plain.url.endswith(f"#{POINT}")
