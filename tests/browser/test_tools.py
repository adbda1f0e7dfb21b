"""The tools at the pump: each gives a reading or an entry."""

import re

import pytest
from playwright.sync_api import Page, expect

from gaugewalk.units import from_si

from .conftest import Site
from .test_offline import since, until
from .test_walk import begin

pytestmark = pytest.mark.browser
PACKED = "W21A"  # 30 to 100 drops/min, two gland nuts, by the plant file
STEP = """async ([state, band, now]) => {
  const own = document.querySelector('script[src$="page.js"]').src;
  const { nextStep } = await import(own.replace('page.js', 'packing.js'));
  return nextStep(state, band, now);
}"""


def tools(page: Page, tag: str = PACKED) -> None:
    page.goto(f"/pump/{tag}/tools")
    expect(page.get_by_role("heading", level=1)).to_have_text(f"Tools at {tag}")


def count(page: Page, taps: int, apart: float) -> None:
    """Tap at drops that fall `apart` milliseconds after each other, by the event's own time."""
    page.evaluate(
        """([taps, apart]) => {
          const button = document.querySelector('[data-tap]');
          for (let at = 0; at < taps; at += 1) {
            const made = new Event('pointerdown', { bubbles: true, cancelable: true });
            Object.defineProperty(made, 'timeStamp', { value: 1000 + at * apart });
            button.dispatchEvent(made);
          }
        }""",
        [taps, apart],
    )


def test_drops_are_counted_by_taps(phone: Page, site: Site) -> None:
    begin(phone)
    phone.get_by_role("link", name=re.compile("^Count drops")).click()
    expect(phone.locator("#drops")).to_contain_text("wanted are 30 to 100 drops/min")
    expect(phone.locator("#drops")).to_contain_text("1.5 to 5 mL/min")
    phone.locator("[data-tap]").click()
    phone.locator("[data-tap]").press("Space")
    expect(phone.locator("[data-count]")).to_contain_text("2 drops counted")
    phone.get_by_role("button", name="Start again").click()
    count(phone, 11, 1500)  # ten gaps of 1.5 s: 40 drops a minute, 2 mL a minute at 20 to the mL
    expect(phone.locator("[data-rate]")).to_have_text("40 drops/min")
    expect(phone.locator("[data-volume]")).to_have_text("2.0 mL/min")
    phone.get_by_role("button", name="Write it").first.click()
    result = phone.locator('#drops .result[data-point="leak_off"]')
    expect(result.locator("[data-said]")).to_contain_text("40 drops/min is inside")
    until(lambda: any(e.point == "leak_off" for e in since(site)))
    taken = next(e for e in since(site) if e.point == "leak_off")
    assert taken.value is not None
    assert from_si(taken.value, "drops/min") == pytest.approx(40.0)
    assert taken.body["round"]
    phone.get_by_role("link", name="Back to the round").click()
    expect(phone.locator('[data-point="leak_off"] [data-said]')).to_contain_text("40 drops/min")


def test_a_stream_is_caught_in_a_cup(phone: Page) -> None:
    tools(phone)
    phone.get_by_text("It runs in a stream").click()
    phone.locator("[data-cup] input").first.fill("lots")
    phone.locator("[data-cup] button").click()
    expect(phone.locator("[data-cup-message]")).to_contain_text("Two numbers above zero")
    phone.locator("[data-cup] input").first.fill("12,75")
    phone.locator("[data-cup] input").last.fill("60")
    phone.locator("[data-cup] button").click()
    result = phone.locator('#drops .result[data-point="leak_off"]')
    expect(result.locator("[data-mark]")).to_contain_text("act")  # 255 drops/min
    expect(result.locator("[data-said]")).to_contain_text("above the act limit")


BAND = {"low": 20, "high": 80, "nuts": 2, "wait": 900, "most": 3}


ASKED = [
    ({"rate": None, "turned": 0, "flats": 0, "until": None}, 0, "count"),
    ({"rate": 95, "turned": 0, "flats": 0, "until": None}, 0, "tighten"),
    ({"rate": 95, "turned": 1, "flats": 0, "until": None}, 0, "tighten"),
    ({"rate": 95, "turned": 0, "flats": 1, "until": 900_000}, 899_999, "wait"),
    ({"rate": 95, "turned": 0, "flats": 1, "until": 900_000}, 900_000, "recount"),
    ({"rate": 80, "turned": 0, "flats": 1, "until": None}, 0, "leave"),
    ({"rate": 20, "turned": 0, "flats": 1, "until": None}, 0, "leave"),
    ({"rate": 19, "turned": 0, "flats": 1, "until": None}, 0, "loosen"),
    ({"rate": 0, "turned": 0, "flats": 3, "until": None}, 0, "loosen"),
    ({"rate": 95, "turned": 0, "flats": 3, "until": None}, 0, "enough"),
    ({"rate": None, "turned": 0, "flats": 0, "until": None, "smoked": True}, 0, "stop"),
]


def test_what_the_packing_asks_for_next(phone: Page) -> None:
    phone.goto("/about")
    told = [phone.evaluate(STEP, [state, BAND, now])["do"] for state, now, _ in ASKED]
    assert told == [wanted for *_, wanted in ASKED]


def test_the_packing_loop_from_too_much_to_its_band(phone: Page, site: Site) -> None:
    tools(phone)
    packing = phone.locator("#packing")
    expect(packing).to_contain_text("Count the drops first")
    count(phone, 11, 500)  # 120 drops/min
    phone.get_by_role("button", name="Write it").first.click()
    expect(packing.locator("[data-advice]")).to_contain_text("120 drops/min is too much")
    first, second = packing.locator(".nuts button").all()
    expect(second).to_be_disabled()
    first.click()
    expect(packing.locator(".nuts button").first).to_be_disabled()  # never twice on one nut
    packing.locator(".nuts button").last.click()
    expect(packing.locator("[data-advice]")).to_contain_text("Wait")
    expect(packing.locator("[data-clock]")).to_have_text(re.compile(r"1[45]:\d\d"))
    count(phone, 11, 700)
    phone.get_by_role("button", name="Write it").first.click()
    expect(packing.locator("[data-advice]")).to_contain_text("Wait")  # a count does not end it
    until(lambda: sum(e.point == "leak_off" for e in since(site)) == 2)
    phone.reload()
    expect(packing.locator("[data-advice]")).to_contain_text("Wait")  # nor does a reload
    phone.clock.fast_forward("15:01")
    expect(packing.locator("[data-advice]")).to_contain_text("Count again before any other flat")
    expect(packing.locator(".nuts button")).to_have_count(0)
    packing.get_by_role("button", name="Count again").click()
    expect(phone.locator("[data-tap]")).to_be_focused()
    count(phone, 11, 1000)  # 60 drops/min
    phone.get_by_role("button", name="Write it").first.click()
    expect(packing.locator("[data-advice]")).to_contain_text("is in its band: do nothing more")
    expect(packing.locator(".nuts button")).to_have_count(0)
    until(lambda: sum(e.point == "leak_off" for e in since(site)) == 3)
    notes = [str(e.body["text"]) for e in since(site) if e.kind == "note" and e.tag]
    assert notes == ["Packing: one flat tighter on each of 2 nuts, at 120 drops/min."]


def test_too_little_is_loosened_and_smoke_stops_everything(phone: Page, site: Site) -> None:
    tools(phone)
    phone.get_by_role("button", name="No drop in a minute").click()
    packing = phone.locator("#packing")
    expect(packing.locator("[data-advice]")).to_contain_text("too little. Loosen each nut")
    packing.get_by_role("button", name="It smokes, or the gland is hot").click()
    expect(packing.locator("[data-advice]")).to_contain_text("Stop the pump under the site's")
    until(lambda: any(e.point == "gland-smoke" for e in since(site)))
    assert site.watch.severities()[PACKED] == "stop"
    phone.reload()
    expect(packing.locator("[data-advice]")).to_contain_text("Stop the pump under the site's")
    packing.get_by_role("button", name="Leave it and start over").click()
    expect(packing.locator("[data-advice]")).to_contain_text("Count the drops first")


def test_a_needle_is_watched_for_half_a_minute(phone: Page, site: Site) -> None:
    phone.goto(f"/pump/{PACKED}/tools?point=discharge_pressure#swing")
    swing = phone.locator("#swing")
    expect(swing.locator("[data-lowest]")).to_have_text(re.compile(r"^3\.\d+ barg$"))
    swing.get_by_role("button", name="Start 30 seconds").click()
    for _ in range(4):
        swing.get_by_role("button", name="Lower").click()
    for _ in range(3):
        swing.get_by_role("button", name="Higher").click()
    swing.get_by_role("button", name="Back down").click()
    phone.clock.fast_forward("00:31")
    expect(swing.locator("[data-clock]")).to_have_text("Time is up: write it.")
    swing.get_by_role("button", name="Write the swing").click()
    said = swing.locator('.result[data-point="discharge_pressure"] [data-said]')
    expect(said).to_contain_text(re.compile(r"Discharge pressure \d\.\d+ to \d\.\d+ barg"))
    until(lambda: any(e.point == "discharge_pressure" for e in since(site)))
    taken = next(e for e in since(site) if e.point == "discharge_pressure")
    assert taken.low is not None
    assert taken.high is not None
    assert taken.low < taken.high


def test_how_hot_by_hand_is_a_note_with_its_caution(phone: Page, site: Site) -> None:
    tools(phone)
    touch = phone.locator("#touch")
    expect(touch).to_contain_text("A thermometer is better")
    touch.locator("select").select_option(index=1)
    touch.get_by_role("button", name=re.compile("^Too hot")).click()
    expect(touch.locator("[data-told]")).to_contain_text(re.compile("Kept: By hand, .*bearing"))
    until(lambda: any(e.point == "bearing-temperature-high" for e in since(site)))
    assert any("an estimate" in str(e.body.get("text")) for e in since(site) if e.kind == "note")


def test_look_again_in_some_minutes(phone: Page, site: Site) -> None:
    tools(phone)
    recheck = phone.locator("#recheck")
    recheck.locator("[data-what]").fill("Leak-off again")
    recheck.get_by_role("button", name="in 10 min").click()
    expect(recheck.locator("li")).to_contain_text(re.compile(r"(10:00|9:5\d)"))
    until(lambda: any(e.kind == "follow_up" for e in since(site)))
    due = site.watch.follow_ups(site.now())
    again = next(one for one in due if one.what == "Leak-off again")
    assert 560 < (again.due_at - site.now()).total_seconds() <= 600
    phone.clock.fast_forward("10:01")
    expect(recheck.locator("li.act")).to_contain_text("now")
