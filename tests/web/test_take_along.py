"""What a phone takes along is what the pages are, and nothing is missing."""

import json
import re
from typing import Any

from starlette.testclient import TestClient

from gaugewalk.diagnose.knowledge import load_knowledge
from gaugewalk.web import static_files

from .seeded import TAGS, TROUBLED
from .test_pages import Page


def taken(client: TestClient, what: str) -> dict[str, Any]:
    answer = client.get(f"/take-along/{what}")
    assert answer.status_code == 200
    along: dict[str, Any] = answer.json()
    return along


def text_of(along: dict[str, Any], path: str) -> str:
    return "".join(along["parts"][part] for part in along["pages"][path])


def bare(text: str) -> str:
    """A page without the ids that are made anew each time."""
    return re.sub(r"[0-9a-f]{8}-[0-9a-f-]{27}", "ID", text)


def test_a_round_is_whole_and_its_pages_are_the_pages(client: TestClient) -> None:
    at = client.post("/rounds", data={"name": "water side"}).headers["location"]
    round_id = at.split("/")[2]
    along = taken(client, round_id)
    wanted = {f"/round/{round_id}/{tag}" for tag in TAGS}
    wanted |= {f"/pump/{tag}" for tag in TAGS} | {f"/pump/{tag}/tools" for tag in TAGS}
    assert wanted <= set(along["pages"])
    assert any(path.startswith("/trouble/") for path in along["pages"])
    assert along["leads"] == {f"/round/{round_id}": at}
    for path in (at, f"/round/{round_id}/{TROUBLED}", f"/pump/{TROUBLED}/tools"):
        assert bare(text_of(along, path)) == bare(client.get(path).text), path
    assert all(Page(text_of(along, path)).all_faults() == [] for path in along["pages"])


def test_trends_stay_behind(client: TestClient) -> None:
    at = client.post("/rounds", data={"name": "water side"}).headers["location"]
    along = taken(client, at.split("/")[2])
    assert "The last weeks" not in text_of(along, "/pump/W21A")


def test_every_cause_a_page_leads_to_is_in_the_book(client: TestClient) -> None:
    book = taken(client, "book")
    assert {f"/causes/{cause}" for cause in load_knowledge().causes} <= set(book["pages"])
    at = client.post("/rounds", data={"name": "water side"}).headers["location"]
    along = taken(client, at.split("/")[2])
    leads = {
        h for p in along["pages"] for h in re.findall(r'href="(/causes/[^"]+)"', text_of(along, p))
    }
    assert leads
    assert leads <= set(book["pages"])
    assert "/pump/__TAG__/signs" in book["pages"]


def test_the_worker_knows_its_version_and_every_file(client: TestClient) -> None:
    answer = client.get("/worker.js")
    assert answer.headers["content-type"].startswith("text/javascript")
    own = json.loads(answer.text.partition("const OWN = ")[2].partition(";\n")[0])
    assert own["version"] == static_files.version()
    assert f"{static_files.root()}/entry.js" in own["shell"]
    for path in own["shell"]:
        assert client.get(path).status_code == 200, path


def test_files_of_a_version_may_be_kept_for_good(client: TestClient) -> None:
    assert "immutable" in client.get(f"{static_files.root()}/look.css").headers["cache-control"]
    assert "immutable" not in client.get("/static/look.css").headers.get("cache-control", "")


def test_a_round_that_is_not_there(client: TestClient) -> None:
    assert client.get("/take-along/0199e000-0000-7000-8000-000000000000").status_code == 404


def test_the_manifest_names_an_icon_that_is_there(client: TestClient) -> None:
    said = client.get("/manifest.webmanifest").json()
    assert client.get(said["icons"][0]["src"]).status_code == 200
