"""Every page: what it says, and that it is made as the house wants it."""

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from gaugewalk.diagnose.knowledge import load_knowledge
from gaugewalk.watch.service import Watch
from gaugewalk.web import static_files
from gaugewalk.web.app import create_app
from gaugewalk.web.frame import PLACES

from .seeded import NOW, TROUBLED, WHO, open_watch

VOID = {"meta", "link", "input", "br", "img", "hr", "option"}


class Page(HTMLParser):
    """Reads a page strictly enough to see unclosed elements and fields without a label."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.faults: list[str] = []
        self.heads = 0
        self.ids: list[str] = []
        self.labelled: set[str] = set()
        self.fields: list[dict[str, str | None]] = []
        self.links: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.heads += tag == "h1"
        self._note(tag, given)
        data = given.get("type") == "application/json"  # a block of data runs nothing
        if tag in ("script", "style") and not given.get("src") and not data:
            self.faults.append(f"inline {tag}")
        self.faults += [f"{name} in {tag}" for name in given if name == "style" or name[:2] == "on"]
        if tag not in VOID:
            self.open.append(tag)

    def _note(self, tag: str, given: dict[str, str | None]) -> None:
        if given.get("id"):
            self.ids.append(str(given["id"]))
        if tag == "label" and given.get("for"):
            self.labelled.add(str(given["for"]))
        hidden = given.get("type") == "hidden"
        if tag in ("input", "select", "textarea") and not hidden and "label" not in self.open:
            self.fields.append(given)
        self.links += [str(given[n]) for n in ("href", "src", "action") if given.get(n)]

    def handle_endtag(self, tag: str) -> None:
        if tag in VOID:
            return
        if not self.open or self.open.pop() != tag:
            self.faults.append(f"</{tag}> out of place")

    def all_faults(self) -> list[str]:
        nameless = [str(f) for f in self.fields if f.get("id") not in self.labelled]
        double = sorted({i for i in self.ids if self.ids.count(i) > 1})
        foreign = [link for link in self.links if "//" in link]
        left = [f"<{tag}> not closed" for tag in self.open]
        return [*self.faults, *left, *nameless, *double, *foreign]


def trouble_href(client: TestClient) -> str:
    found = re.search(r'href="(/trouble/[^"]+)"', client.get("/").text)
    assert found
    return found[1]


def addresses(client: TestClient) -> list[str]:
    begun = client.post("/rounds", data={"name": "water side"}).headers["location"]
    cause = next(iter(load_knowledge().causes))
    fixed = [href for _, href in PLACES]
    pump = [
        f"/pump/{TROUBLED}",
        f"/pump/{TROUBLED}/signs",
        f"/pump/{TROUBLED}/limits",
        f"/work-it-out/total-head?tag={TROUBLED}",
    ]
    return [*fixed, *pump, begun, trouble_href(client), "/causes", f"/causes/{cause}", "/about"]


def test_every_page_is_well_made(client: TestClient) -> None:
    for address in addresses(client):
        answer = client.get(address)
        assert answer.status_code == 200, address
        page = Page(answer.text)
        assert page.all_faults() == [], address
        assert page.heads == 1, address
        assert "Site procedures" in answer.text, address
        assert not re.search(r">\s*None\s*<|=\"None\"", answer.text), address


def test_pages_are_sent_small(client: TestClient) -> None:
    answer = client.get(f"/pump/{TROUBLED}", headers={"accept-encoding": "gzip"})
    assert answer.headers["content-encoding"] == "gzip"
    assert int(answer.headers["content-length"]) < len(answer.content) / 3


def test_this_watch_puts_what_is_off_first(client: TestClient) -> None:
    text = client.get("/").text
    assert "Needs a hand now" in text
    assert text.index(TROUBLED) < text.index("water side")
    assert "below the act limit" in text
    assert "Nothing that was read" not in text


def test_this_watch_is_calm_where_nothing_is_off(tmp_path: Path) -> None:
    watch = open_watch(tmp_path / "watch.db")
    text = TestClient(create_app(watch, clock=lambda: NOW)).get("/").text
    assert "Nothing that was read at the 3 pumps asks for a hand." in text
    assert "Needs a hand now" not in text
    watch.journal.close()


def test_pump_page_shows_each_point_on_the_drawing_and_in_the_list(
    client: TestClient, watch: Watch
) -> None:
    text = client.get(f"/pump/{TROUBLED}").text
    pump = watch.plant.pump(TROUBLED)
    assert pump
    for point in pump.points:
        assert f'href="#{point.point}"' in text
        assert f'id="{point.point}"' in text
    assert "below the act limit" in text
    assert "expected" in text


def test_round_page_shows_what_is_expected_before_it_is_taken(client: TestClient) -> None:
    begun = client.post("/rounds", data={"name": "water side"}).headers["location"]
    text = client.get(begun).text
    assert "Pump 1 of 3" in text
    assert "expected <b>" in text
    assert "Not taken, because…" in text


def test_trouble_page_gives_causes_checks_and_actions_with_cautions(client: TestClient) -> None:
    text = client.get(trouble_href(client)).text
    for words in ("What it may be", "What would tell most, next", "Not there", "Could not look"):
        assert words in text
    assert re.search(r"\d+ %", text)
    assert 'class="caution"' in text


def test_handover_names_the_trouble(client: TestClient) -> None:
    assert TROUBLED in client.get("/handover").text
    plain = client.get("/handover.txt")
    assert plain.headers["content-type"].startswith("text/plain")
    assert plain.text.startswith("HANDOVER")


def test_who_and_light_are_remembered(client: TestClient) -> None:
    client.post("/more/name", data={"name": f"  {WHO} ü "})
    client.post("/more/look", data={"look": "night", "back": "/pumps"})
    text = client.get("/pumps").text
    assert f"Written down as {WHO} ü" in text
    assert f'href="{static_files.root()}/look-night.css">' in text
    client.post("/more/look", data={"look": "no light"})
    assert 'media="(prefers-color-scheme: dark)"' in client.get("/pumps").text


@pytest.mark.parametrize(
    "address",
    [
        "/pump/NOPE",
        "/nothing",
        "/trouble/0199e000-0000-7000-8000-000000000000",
        "/round/0199e000-0000-7000-8000-000000000000/W21A",
        "/causes/no-such-cause",
        "/work-it-out/no-such-thing",
    ],
)
def test_what_is_not_there_is_said_on_a_page(client: TestClient, address: str) -> None:
    answer = client.get(address)
    assert answer.status_code == 404
    assert "That did not work" in answer.text
    assert Page(answer.text).all_faults() == []


def test_nearest_pump_is_named(client: TestClient) -> None:
    assert "Did you mean &#39;W21" in client.get("/pump/W21C").text
