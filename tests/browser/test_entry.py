"""Entry without typing: stepper, glass, words, a photo."""

import io
import re

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from .conftest import Site
from .test_offline import since, until
from .test_walk import begin, field

pytestmark = pytest.mark.browser


def test_the_stepper_goes_on_from_the_last_value(phone: Page) -> None:
    begin(phone)
    row = field(phone)
    last = float(re.findall(r"last ([\d.]+) barg", row.inner_text())[0])
    step = float(str(row.locator(".stepper").get_attribute("data-by")))
    row.get_by_role("button", name=re.compile(r"^\+")).click()
    row.get_by_role("button", name=re.compile(r"^\+")).click()
    row.get_by_role("button", name=re.compile("^−")).click()
    assert float(row.locator("input.number").input_value()) == pytest.approx(last + step, abs=step)
    row.locator("input.number").fill("2,5")
    row.get_by_role("button", name=re.compile("^−")).click()
    assert float(row.locator("input.number").input_value()) == pytest.approx(2.5 - step)
    row.get_by_role("button", name="Write", exact=True).first.click()
    expect(row.get_by_role("button", name="Correct")).to_be_visible()


def test_the_glass_is_tapped_where_the_oil_stands(phone: Page, site: Site) -> None:
    phone.goto("/pump/B11A")
    glass = phone.locator("[data-glass]").first
    glass.scroll_into_view_if_needed()
    box = glass.locator(".tube").bounding_box()
    assert box is not None
    phone.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] * 0.25)
    expect(glass).to_have_attribute("aria-valuenow", "75")
    row = phone.locator("[data-point]", has=phone.locator("[data-glass]")).first
    expect(row.locator("input.number")).to_have_value("75")
    expect(row.locator("select")).to_have_value("%")
    glass.focus()
    phone.keyboard.press("ArrowDown")
    expect(row.locator("input.number")).to_have_value("70")
    row.get_by_role("button", name=re.compile("Write|Correct")).first.click()
    until(lambda: any(e.entered == "70" for e in since(site)))


def test_what_is_seen_is_told_by_one_press(phone: Page, site: Site) -> None:
    begin(phone)
    look = phone.locator('[data-look="leak-off"]')
    look.get_by_role("button", name="drops", exact=True).click()
    expect(look.get_by_role("button", name="drops", exact=True)).to_have_attribute(
        "aria-pressed", "true"
    )
    until(lambda: sum(e.kind == "observation" for e in since(site)) == 2)
    told = {e.point: e.body["present"] for e in since(site) if e.kind == "observation"}
    assert told == {"leak-off-none": False, "leak-off-high": False}
    phone.reload()
    expect(look.get_by_role("button", name="drops", exact=True)).to_have_attribute(
        "aria-pressed", "true"
    )
    phone.locator('[data-look="noise"]').get_by_role("button", name="grinds").click()
    until(lambda: site.watch.severities()["W21A"] == "stop")


def picture() -> bytes:
    """A photo as a phone makes it: large, lying on its side, with a place written beside it."""
    made = Image.effect_noise((3000, 2000), 40).convert("RGB")
    exif = Image.Exif()
    exif[0x0112] = 6  # turn by 90 degrees to see it upright
    exif[0x010F] = "Camera of nobody"
    exif.get_ifd(0x8825)[2] = (52.0, 31.0, 12.0)  # latitude
    out = io.BytesIO()
    made.save(out, "JPEG", exif=exif, quality=90)
    return out.getvalue()


def test_a_photo_is_kept_shrunk_and_bare(phone: Page, site: Site) -> None:
    begin(phone)
    form = phone.locator("[data-photo]")
    form.get_by_role("button", name="Keep the photo").click()
    expect(form.locator("[data-told]")).to_have_text("Choose a picture first.")
    phone.context.set_offline(True)
    form.locator("input[type=file]").set_input_files(
        {"name": "gauge.jpg", "mimeType": "image/jpeg", "buffer": picture()}
    )
    form.locator("input[name=text]").fill("Sight glass, DE")
    form.get_by_role("button", name="Keep the photo").click()
    expect(form.locator("[data-told]")).to_have_text("Kept on this phone.")
    phone.context.set_offline(False)
    until(lambda: any(e.body.get("photo") for e in since(site)))
    note = next(e for e in since(site) if e.body.get("photo"))
    assert note.body["text"] == "Sight glass, DE"
    assert site.photos is not None
    with Image.open(site.photos.path(str(note.body["photo"]))) as kept:
        assert kept.size == (1067, 1600)  # upright and shrunk
        assert not kept.getexif()
    phone.goto("/pump/W21A")
    href = phone.get_by_role("link", name="See the photo").get_attribute("href")
    answer = phone.request.get(str(href))
    assert answer.headers["content-type"] == "image/jpeg"
    site.complaints[:] = [one for one in site.complaints if "ERR_INTERNET" not in one]
