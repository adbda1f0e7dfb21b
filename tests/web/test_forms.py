"""The way without any script: post, and be sent on; what is wrong stands beside the field."""

import re

import pytest
from starlette.testclient import TestClient

from gaugewalk.watch.service import Watch

from .seeded import TROUBLED
from .test_pages import trouble_href

POINT = "discharge_pressure"


@pytest.fixture
def stop(client: TestClient) -> str:
    """The address of the first pump of a begun round."""
    answer = client.post("/rounds", data={"name": "water side"})
    assert answer.status_code == 303
    return answer.headers["location"]


def reading(text: str, unit: str = "barg", **more: str) -> dict[str, str]:
    return {"what": "reading", "point": POINT, "text": text, "unit": unit, **more}


def field(page: str, point: str = POINT) -> str:
    """The part of a page that holds one field."""
    start = page.index(f'data-point="{point}"')
    return page[start : page.index("</section>", start)]


def test_a_number_is_written_and_judged(client: TestClient, stop: str) -> None:
    answer = client.post(stop, data=reading("3.2"))
    assert answer.status_code == 303
    assert answer.headers["location"] == f"{stop}#{POINT}"
    shown = field(client.get(stop).text)
    assert "3.2 barg" in shown
    assert "normal" in shown


@pytest.mark.parametrize(
    ("text", "unit", "shown"),
    [
        ("46.4 psig", "barg", "3.2 barg"),
        ("320", "kPag", "3.2 barg"),
        ("3,2", "barg", "3.2 barg"),
        ("2.8 to 4.1", "barg", "2.8 to 4.1 barg"),
    ],
)
def test_other_units_commas_and_swings(
    client: TestClient, stop: str, text: str, unit: str, shown: str
) -> None:
    client.post(stop, data=reading(text, unit))
    assert shown in field(client.get(stop).text)


@pytest.mark.parametrize(
    "text",
    [
        "abc",
        "",
        "3.2 °C",
        "3.2 bar",
        "-999",
        "🙂",
        "1e999",
        "<script>alert(1)</script>",
        "3 to",
        "\x00",
    ],
)
def test_nonsense_is_told_beside_the_field_and_stays(
    client: TestClient, stop: str, text: str
) -> None:
    answer = client.post(stop, data=reading(text))
    assert answer.status_code == 422
    shown = field(answer.text)
    message = re.search(r"data-message>([^<]+)", shown)
    assert message
    assert 'aria-invalid="true"' in shown
    assert "<script>alert" not in answer.text
    if text.isprintable():
        assert f'value="{text}"'.replace("<", "&lt;").replace(">", "&gt;") in shown


def test_the_same_form_sent_twice_is_one_reading(
    client: TestClient, watch: Watch, stop: str
) -> None:
    made = re.search(r'name="id" value="([^"]+)"', field(client.get(stop).text))
    assert made
    before = watch.journal.verify().count
    for _ in range(2):
        assert client.post(stop, data=reading("3.2", id=made[1])).status_code == 303
    assert watch.journal.verify().count == before + 1


def test_a_written_number_can_be_corrected(client: TestClient, stop: str) -> None:
    client.post(stop, data=reading("1.2"))
    corrects = re.search(r'name="corrects" value="([^"]+)"', field(client.get(stop).text))
    assert corrects
    answer = client.post(stop, data=reading("46.4", "psig", corrects=corrects[1]))
    assert answer.status_code == 303
    shown = field(client.get(stop).text)
    assert "3.2 barg" in shown
    assert "1.2 barg" not in shown


def test_not_taken_because(client: TestClient, stop: str) -> None:
    sent = {"what": "skip", "point": POINT, "reason": "Gauge broken or missing"}
    assert client.post(stop, data=sent).status_code == 303
    assert "Not taken: Gauge broken or missing" in field(client.get(stop).text)
    empty = client.post(stop, data=sent | {"reason": "  "})
    assert empty.status_code == 422
    assert "reason" in field(empty.text)


def test_a_round_is_finished_with_a_reason_for_what_is_open(client: TestClient, stop: str) -> None:
    finish = f"{stop.rsplit('/', 1)[0]}/finish"
    refused = client.post(finish, data={})
    assert refused.status_code == 422
    assert "neither taken nor skipped" in refused.text
    assert client.post(finish, data={"reason": "Called away"}).headers["location"] == "/"
    assert "Called away" in client.get("/handover").text


def test_an_answer_to_a_check_ranks_anew(client: TestClient) -> None:
    address = trouble_href(client)
    before = client.get(address).text
    finding = re.search(r'data-finding="([^"]+)"', before)
    assert finding
    sent = {"what": "observation", "finding": finding[1], "present": "yes"}
    assert client.post(address, data=sent).status_code == 303
    after = client.get(address).text
    assert "Looked at" in after
    assert f'data-finding="{finding[1]}"' not in after  # it is not asked again
    ranking = re.compile(r'class="percent">([^<]+)</span><h3><a href="([^"]+)"')
    assert ranking.findall(before) != ranking.findall(after)


def test_an_action_ticked_as_done_says_who_and_stays(client: TestClient) -> None:
    client.post("/more/name", data={"name": "R. Vale"})
    address = trouble_href(client)
    do = re.search(r'name="do" value="([^"]+)"', client.get(address).text)
    assert do
    client.post(address, data={"what": "action", "do": do[1]})
    assert "done 09:30 by R. Vale" in client.get(address).text


def test_running_notes_and_signs(client: TestClient) -> None:
    address = f"/pump/{TROUBLED}"
    client.post(address, data={"what": "event", "event": "stopped"})
    client.post(address, data={"what": "note", "text": "Guard <b>loose</b>"})
    text = client.get(address).text
    assert "Stopped" in text
    assert "Guard &lt;b&gt;loose&lt;/b&gt;" in text
    assert client.post(address, data={"what": "note", "text": " "}).status_code == 422
    assert client.post(address, data={"what": "nonsense"}).status_code == 422


@pytest.mark.parametrize("back", ["//evil.example", "https://evil.example", "/\\evil.example", ""])
def test_nobody_is_sent_elsewhere(client: TestClient, back: str) -> None:
    answer = client.post("/more/look", data={"look": "day", "back": back})
    assert answer.headers["location"] == "/"
