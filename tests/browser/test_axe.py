"""Nobody is kept out: axe-core finds nothing against WCAG 2.2 AA, on any page, in any light."""

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from .conftest import Site
from .pages import addresses
from .test_fit import UNFOLD
from .test_walk import begin, field, write

pytestmark = pytest.mark.browser
AXE = Path(__file__).parent / "vendor" / "axe.min.js"
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
RUN = """async ([tags, rules]) => {
  const only = rules.length ? { type: 'rule', values: rules } : { type: 'tag', values: tags };
  const found = await axe.run(document, { runOnly: only, resultTypes: ['violations'] });
  const told = (rule, node) => `${rule.id}: ${node.target} ${node.html.slice(0, 90)}`;
  return found.violations.flatMap(rule => rule.nodes.map(node => told(rule, node)));
}"""
LIGHT = """async look => {
  for (const old of document.querySelectorAll('link[href*="look-"]')) old.remove();
  if (look === 'day') return;
  const link = document.createElement('link');
  link.rel = 'stylesheet';
  const day = document.querySelector('link[href$="look.css"]').href;
  link.href = day.replace('look.css', `look-${look}.css`);
  const loaded = new Promise(resolve => link.addEventListener('load', resolve));
  document.head.append(link);
  await loaded;
}"""


def faults(page: Page, rules: list[str] | None = None) -> list[str]:
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(AXE.read_text(encoding="utf-8"))
    found: list[str] = page.evaluate(RUN, [TAGS, rules or []])
    return found


def in_every_light(page: Page) -> dict[str, list[str]]:
    """All rules by day, and in the other lights those that a light can break."""
    found: dict[str, list[str]] = {"day": faults(page)}
    for look in ("night", "strong"):
        page.evaluate(LIGHT, look)
        found[look] = faults(page, ["color-contrast", "link-in-text-block"])
    return {look: list_ for look, list_ in found.items() if list_}


def test_axe_itself_sees_a_fault(phone: Page) -> None:
    phone.goto("/about")
    phone.evaluate("() => document.querySelector('main').append(document.createElement('input'))")
    assert any(fault.startswith("label:") for fault in faults(phone))


def test_every_page_in_every_light(phone: Page, site: Site) -> None:
    """On every kind of page there is: that none is left out, `test_fit` holds."""
    found: dict[str, Any] = {}
    for first, *others in addresses(site).values():
        for address in (first, *others):
            phone.goto(address)
            phone.evaluate(UNFOLD)
            if wrong := in_every_light(phone) if address == first else faults(phone):
                found[address] = wrong
    assert found == {}


def test_a_round_with_verdicts_and_messages_on_a_desk(desk: Page) -> None:
    begin(desk)
    for text, point in (
        ("1.5", "discharge_pressure"),
        ("lots", "flow"),
        ("0.06", "suction_pressure"),
    ):
        write(desk, text, point)
    expect(field(desk, "flow").locator("[data-message]")).not_to_be_empty()
    expect(field(desk, "suction_pressure").locator("[data-mark]")).to_contain_text("normal")
    assert in_every_light(desk) == {}


WRONG = {
    "/pump/W21A/limits": {"what": "change", "point": "flow", "field": "act_low", "text": "2"},
    "/pump/W21A": {"what": "reading", "point": "flow", "text": "lots"},
    "/due/W21A": {"deed": "greased", "amount": "a lot", "back": "/due"},
    "/handover": {"what": "sign", "who": ""},
}
SEND = """([address, fields]) => {
  const form = document.createElement('form');
  form.method = 'post';
  form.action = address;
  for (const [name, value] of Object.entries(fields)) {
    const given = document.createElement('input');
    [given.type, given.name, given.value] = ['hidden', name, value];
    form.append(given);
  }
  document.body.append(form);
  form.submit();
}"""


def test_every_form_that_was_refused(phone: Page, site: Site) -> None:
    """What is told of a mistake is told to everybody."""
    trouble = f"/trouble/{site.watch.troubles(site.now())[0].id}"
    held = site.watch.program.begin("start-up", "W21A", who="R. Vale", now=site.now())
    step = next(one.id for one in held.steps if one.is_next)
    passed = {"what": "skip step", "step": step, "why": "Seen before"}
    forms = {**WRONG, trouble: {"what": "close"}, f"/check-list/{held.id}": passed}
    for address, fields in forms.items():
        phone.goto("/about")
        with phone.expect_navigation():
            phone.evaluate(SEND, [address, fields])
        expect(phone.locator("[role=alert], [data-message]:not(:empty)").first).to_be_visible()
        phone.evaluate(UNFOLD)
        assert in_every_light(phone) == {}, address
