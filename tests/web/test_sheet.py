"""Paper: the sheet of a round, the tags, and a filled sheet typed in with the times on it."""

import re
import sys
from datetime import UTC, datetime
from xml.etree import ElementTree

import pytest
import segno
from starlette.testclient import TestClient

from gaugewalk.watch.service import Watch

from .seeded import TAGS

BEGAN = "2025-11-20T08:40"  # the plant's time, which is UTC in winter


def begin(client: TestClient, began: str = BEGAN) -> str:
    answer = client.post("/type-in", data={"name": "water side", "began": began})
    assert answer.status_code == 303, answer.text
    return str(answer.headers["location"]).partition("?")[0]


def ids(text: str) -> dict[str, str]:
    """The ids that the page made for its rows, so that the same form twice is one record."""
    return dict(re.findall(r'name="(id:[a-z_]+)" value="([^"]+)"', text))


def test_the_sheet_has_every_point_with_what_is_expected_and_a_box(
    client: TestClient, watch: Watch
) -> None:
    text = client.get("/round-sheet/water side").text
    for pump in watch.plant.pumps:
        assert f"{pump.tag} {pump.name}" in text
    assert text.count('<td class="box">') == 2 * sum(len(p.points) for p in watch.plant.pumps)
    assert "rattles steadily" in text
    assert client.get("/round-sheet/no such round").status_code == 404


def test_without_the_library_for_codes_it_says_what_to_install(
    client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "segno", None)
    answer = client.get("/tags")
    assert answer.status_code == 422
    assert "install gaugewalk[phone]" in answer.text


def test_a_tag_opens_its_pump(client: TestClient) -> None:
    text = client.get("/tags").text
    addresses = re.findall(r'class="tag-address">([^<]+)<', text)
    assert [address.rpartition("/")[2] for address in addresses] == list(TAGS)
    assert client.get(addresses[0]).status_code == 200
    codes = re.findall(r"<svg.*?</svg>", text, re.DOTALL)
    codes = [code for code in codes if "qrline" in code or 'class="dark"' in code]
    for address, code in zip(addresses, codes, strict=True):
        assert modules(code) == [
            list(map(bool, row)) for row in segno.make(address, error="m", micro=False).matrix
        ]
    one = client.get("/tags", params={"tag": "B11A"}).text
    assert one.count('class="tag-address"') == 1


def modules(svg: str) -> list[list[bool]]:
    """Draw the code's path by hand: runs of dark squares from left to right, row by row."""
    box = ElementTree.fromstring(svg.replace("xmlns=", "data-ns="))
    size = int(box.attrib["viewBox"].split()[2])
    grid = [[False] * size for _ in range(size)]
    x = y = 0.0
    path = box.find("path")
    assert path is not None
    for letter, numbers in re.findall(r"([Mmh])([-\d. ]+)", path.attrib["d"]):
        given = [float(n) for n in re.findall(r"-?\d*\.?\d+", numbers)]
        if letter == "h":
            for step in range(int(given[0])):
                grid[int(y)][int(x) + step] = True
            x += given[0]
        elif letter == "M":
            x, y = given
        else:
            x, y = x + given[0], y + given[1]
    return [row[2:-2] for row in grid[2:-2]]


def test_a_filled_sheet_is_typed_in_with_its_times(client: TestClient, watch: Watch) -> None:
    at = begin(client)
    page = client.get(at).text
    sent = {
        "seen": "2025-11-20T08:52", "who": "R. Vale", "text:discharge_pressure": "3,2",
        "unit:discharge_pressure": "barg", "text:flow": "", "reason:flow": "No time", **ids(page),
    }  # fmt: skip
    answer = client.post(at, data=sent | {"onward": "/type-in/x"})
    assert answer.status_code == 303
    taken = watch.journal.latest("W21A")["discharge_pressure"]
    assert taken.seen_at == datetime(2025, 11, 20, 8, 52, tzinfo=UTC)
    assert (taken.who, taken.entered) == ("R. Vale", "3,2")
    count = watch.journal.verify().count
    assert client.post(at, data=sent).status_code == 303  # sent twice, written once
    assert watch.journal.verify().count == count
    round_id = at.split("/")[2]
    field = client.get(f"/round/{round_id}/W21A").text
    assert "3.2 barg, 08:52" in field
    assert "Not taken: No time" in field


def test_a_row_that_cannot_be_taken_comes_back_alone(client: TestClient, watch: Watch) -> None:
    at = begin(client)
    sent = {
        "seen": BEGAN, "text:discharge_pressure": "3.2", "unit:discharge_pressure": "barg",
        "text:flow": "lots <b>", "unit:flow": "m3/h", **ids(client.get(at).text),
    }  # fmt: skip
    answer = client.post(at, data=sent)
    assert answer.status_code == 422
    assert "One line could not be taken; the others are written down." in answer.text
    assert 'value="lots &lt;b&gt;"' in answer.text
    assert "has no number to read" in answer.text
    assert watch.journal.latest("W21A")["discharge_pressure"].entered == "3.2"


@pytest.mark.parametrize(
    ("seen", "said"),
    [
        ("", "Give the time on the sheet"),
        ("yesterday", "expected a time as in"),
        ("2025-11-20T23:59", "has not been yet"),
        ("2025-11-20T08:00", "before the round was begun"),
        ("2025-03-30T01:30", "never was"),
    ],
)
def test_a_time_that_cannot_be_is_told_and_nothing_is_lost(
    client: TestClient, seen: str, said: str
) -> None:
    at = begin(client)
    sent = {"seen": seen, "text:discharge_pressure": "3.2", "unit:discharge_pressure": "barg"}
    answer = client.post(at, data=sent)
    assert answer.status_code == 422
    assert said in answer.text
    assert 'value="3.2"' in answer.text


def test_a_round_that_is_being_walked_is_not_given_older_readings(client: TestClient) -> None:
    client.post("/rounds", data={"name": "water side"})
    answer = client.post("/type-in", data={"name": "water side", "began": BEGAN})
    assert answer.status_code == 422
    assert "Finish that one first" in answer.text
