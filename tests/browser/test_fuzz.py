"""Every kind of field with everything people and cats type: a message beside it, nothing lost."""

import random

import pytest
from playwright.sync_api import Page, expect

from .conftest import Site
from .test_walk import begin, field

pytestmark = pytest.mark.browser
NONSENSE = [
    "lots", "🙂", "👩‍🔧 12", "-9999", "1e999", "9" * 80, "3.2 bar", "3,2,1", "1,480",
    "3 to", "to 3", "--3", "3..4 5", "<b>3</b>",
    "'; drop table", "٣", "½½", "NaN", "Infinity", "0x1F", "12 °C",
    "12 psig", "85 gpm", "40 drops/min", "3.1 barg", "70 %", "2 1/2 in", "3,1", "2.8 to 4.1",
    "\u22120.3", "12 parsecs", "5 mm/s", "\u200b", "3\u202e1", "1 480 rpm",
]  # fmt: skip
WORDS = ("normal", "watch", "act", "stop")
FIELDS = ["suction_pressure", "suction_strainer_dp", "flow", "motor_current", "leak_off",
          "bearing_temperature_de", "vibration_de_horizontal", "oil_level"]  # fmt: skip


def settled(page: Page, point: str) -> tuple[str, str, str]:
    """What stands in a field, its message and its word, once it answered."""
    row = field(page, point)
    answered = f"""() => {{
      const row = document.querySelector('[data-point="{point}"]');
      const typed = row.querySelector('input.number').value;
      return typed === '' || row.querySelector('[data-message]').textContent;
    }}"""
    page.wait_for_function(answered)
    message = row.locator("[data-message]")
    return (
        row.locator("input.number").input_value(),
        str(message.text_content()),
        row.locator("[data-mark]").inner_text(),
    )


def test_every_field_takes_it_or_says_what_to_write(phone: Page, site: Site) -> None:
    chance = random.Random(20251120)
    begin(phone)
    outcomes = set()
    for point in FIELDS:
        row = field(phone, point)
        for text in chance.sample(NONSENSE, 4):
            row.locator("input.number").fill(text)
            row.locator("[data-reading] button:not([type])").click()
            kept, message, word = settled(phone, point)
            outcomes.add(bool(message))
            if message:
                assert kept == text, (point, text)
                assert len(message) > 20, (point, text)
                assert row.locator("input.number").get_attribute("aria-invalid") == "true"
            else:
                assert any(one in word for one in WORDS), (point, text)
    assert outcomes == {True, False}
    stored = [e for e in site.watch.journal.entries() if e.kind == "reading"]
    assert all(e.value is None or abs(e.value) < 1e300 for e in stored)


def test_texts_of_every_kind_are_kept_as_they_are(phone: Page, site: Site) -> None:
    odd = "🙂 <script>alert(1)</script> '; drop -- \u202e ünïcode"
    begin(phone)
    phone.locator("#note-text").fill(odd)
    phone.get_by_role("button", name="Write the note").click()
    row = field(phone, "flow")
    row.get_by_text("Not taken, because…").click()
    row.get_by_placeholder("another reason").fill(odd)
    row.get_by_placeholder("another reason").press("Enter")
    expect(row.locator("[data-said]")).to_have_text(f"Not taken: {odd}")
    expect(phone.locator("#line")).not_to_contain_text("not sent")
    kept = [str(e.body.get("text") or e.body.get("reason")) for e in site.watch.journal.entries()]
    assert kept.count(odd) == 2


def test_nothing_and_too_much_are_told(phone: Page) -> None:
    begin(phone)
    row = field(phone, "flow")
    row.get_by_role("button", name="Write", exact=True).first.click()
    expect(row.locator("[data-message]")).to_contain_text("Nothing was typed")
    phone.locator("#note-text").fill("   ")
    phone.get_by_role("button", name="Write the note").click()
    expect(phone.locator("[data-tell=note] [data-told]")).to_have_text("Nothing was typed.")
    assert phone.locator("#note-text").get_attribute("maxlength") == "2000"
    assert row.locator("input.number").get_attribute("maxlength") == "80"
