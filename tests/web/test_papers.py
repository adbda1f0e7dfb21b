"""Handover, work request and rounds, as a browser without scripts sees and sends them."""

import re
from datetime import timedelta

import pytest
from starlette.testclient import TestClient

from gaugewalk.watch.service import Watch
from gaugewalk.web.door import Door

from .seeded import NOW, TROUBLED, WHO
from .test_pages import Page, trouble_href

SHIFT = NOW.replace(hour=6, minute=0)  # Larkmoor's first shift begins at six, in winter UTC
OTHER = "S. Marsh"


def send(client: TestClient, what: str, **fields: str) -> str:
    """Post to the handover; return the page that follows, or the one that says what was wrong."""
    answer = client.post("/handover", data={"what": what, "shift": SHIFT.isoformat(), **fields})
    if answer.status_code == 303:
        answer = client.get(answer.headers["location"])
        assert answer.status_code == 200
    return str(answer.text)


def reads(text: str) -> dict[str, str]:
    return {name: "yes" for name in re.findall(r'name="(read [^"]+)"', text)}


def test_a_handover_is_written_signed_read_and_taken_over(client: TestClient) -> None:
    text = client.get("/handover").text
    assert "Nobody has signed yet" in text
    assert TROUBLED in text
    text = send(client, "remark", section="troubles", text="Ask <the> electrician.")
    assert "Ask &lt;the&gt; electrician." in text
    text = send(client, "sign", who=WHO)
    assert f"{WHO} signed it" in text
    assert "Add in own words" not in text
    said = send(client, "take", who=OTHER, text="I look at ten.")
    assert "Not yet read" in said
    assert 'value="I look at ten."' in said
    text = send(client, "take", who=OTHER, text="I look at ten.", **reads(said))
    assert f"{OTHER} took this shift over from {WHO}" in text
    assert "I look at ten." in text
    assert 'value="sign"' not in text


@pytest.mark.parametrize("what", ["sign", "take"])
def test_nobody_signs_without_a_name(client: TestClient, what: str) -> None:
    text = send(client, what, who=" ")
    assert "Give your name" in text
    assert "Nobody has signed yet" in text


def test_one_name_does_not_sign_twice(client: TestClient) -> None:
    text = send(client, "sign", who=WHO)
    assert "signs with another name" in send(client, "take", who=WHO, **reads(text))


def test_what_is_no_part_of_it_is_refused(client: TestClient) -> None:
    assert "expected one of remark" in send(client, "burn")
    assert client.post("/handover", data={"what": "sign", "shift": "soon"}).status_code == 422
    assert client.get("/handover?shift=soon").status_code == 422
    assert client.post("/handover", data={"what": "remedy", "ends": "x"}).status_code == 422


def test_a_remedy_is_taken_back_from_the_handover(client: TestClient, watch: Watch) -> None:
    trouble = trouble_href(client).rpartition("/")[2]
    watch.act(TROUBLED, trouble, "Throttled", kind="temporary", who=WHO, now=NOW)
    watch.act("W21A", None, "Hose clamp", kind="temporary", who=WHO, now=NOW)
    text = client.get("/handover").text
    for id in re.findall(r'name="ends" value="([^"]+)"', text):
        text = send(client, "remedy", ends=id)
    assert "Temporary remedies in force</h2>" not in text
    assert watch.trouble(trouble, NOW).remedies == {}


def test_a_follow_up_is_answered_from_the_handover(client: TestClient, watch: Watch) -> None:
    due = NOW + timedelta(hours=1)
    asked = watch.add_follow_up(TROUBLED, "Look again", due, who=WHO, now=NOW)
    assert f'action="/follow-up/{asked.id}"' in client.get("/handover").text
    sent = client.post(f"/follow-up/{asked.id}", data={"result": "as it was", "back": "/handover"})
    assert sent.headers["location"] == "/handover"
    assert str(asked.id) not in client.get("/handover").text


def test_it_is_there_as_text_and_as_pdf(client: TestClient) -> None:
    plain = client.get("/handover.txt")
    assert plain.headers["content-type"].startswith("text/plain")
    assert plain.text.startswith("HANDOVER")
    printed = client.get("/handover.pdf")
    assert printed.headers["content-type"] == "application/pdf"
    assert printed.content.startswith(b"%PDF-")


def test_the_shift_before_waits_for_its_signatures(client: TestClient, watch: Watch) -> None:
    send(client, "sign", who=WHO)
    client.app.state.door = Door(watch=watch, clock=lambda: NOW + timedelta(hours=6))  # type: ignore[attr-defined]
    text = client.get("/handover").text
    assert f"{WHO} signed it" in text
    assert "Shift Thu 20 Nov 2025 06:00 to 14:00" in text


def test_a_work_request_is_a_page_a_pdf_and_json(client: TestClient) -> None:
    address = f"{trouble_href(client)}/work-request"
    text = client.get(address).text
    page = Page(text)
    assert (page.all_faults(), page.heads) == ([], 1)
    for said in ("Work request:", "Evidence", "Likely cause", "Before it is opened",
                 "Can it run until then", "lockout-tagout procedure"):  # fmt: skip
        assert said in text
    assert client.get(f"{address}.pdf").content.startswith(b"%PDF-")
    plain = client.get(f"{address}.json").json()
    assert (plain["version"], plain["tag"]) == (1, TROUBLED)
    assert client.post(address).status_code == 303
    assert "Handed in " in client.get(address).text


def test_the_trouble_leads_to_its_work_request_and_shows_its_past(client: TestClient) -> None:
    text = client.get(trouble_href(client)).text
    assert f'href="{trouble_href(client)}/work-request"' in text
    assert "All that was seen and done since" in text


def test_rounds_are_told_without_a_name(client: TestClient) -> None:
    client.post("/more/name", data={"name": "Q. Zeller"})
    begun = client.post("/rounds", data={"name": "water side"}).headers["location"]
    client.post(begun, data={"what": "reading", "point": "discharge_pressure", "text": "4"})
    text = client.get("/rounds/quality").text
    page = Page(text)
    assert (page.all_faults(), page.heads) == ([], 1)
    assert "points taken" in text
    assert "Zeller" not in text.replace("Written down as Q. Zeller", "").replace(
        'data-who="Q. Zeller"', ""
    )


def test_the_handover_is_well_made_in_each_state(client: TestClient) -> None:
    for what in ("", "sign", "take"):
        if what:
            send(client, what, who=WHO if what == "sign" else OTHER,
                 **reads(client.get("/handover").text))  # fmt: skip
        page = Page(client.get(f"/handover?shift={SHIFT.isoformat().replace('+', '%2B')}").text)
        assert (page.all_faults(), page.heads) == ([], 1)


@pytest.mark.parametrize("form", ["csv", "json", "xlsx", "parquet"])
def test_a_table_is_taken_along(client: TestClient, form: str) -> None:
    answer = client.get("/export/file", params={"what": "readings", "form": form})
    assert answer.status_code == 200
    assert f'filename="readings.{form}"' in answer.headers["content-disposition"]
    if form == "csv":
        assert len(answer.text.splitlines()) > 20
        assert TROUBLED in answer.text
    if form == "json":
        assert answer.json()["table"] == "readings"


def test_a_table_of_one_pump_since_a_day(client: TestClient) -> None:
    given = {"what": "troubles", "tag": TROUBLED, "since": "2025-11-01", "until": "2025-11-21"}
    assert len(client.get("/export/file", params=given).text.splitlines()) == 2
    page = Page(client.get("/export").text)
    assert (page.all_faults(), page.heads) == ([], 1)


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"what": "../../etc/passwd"}, "expected one of readings"),
        ({"form": "exe"}, "expected one of csv"),
        ({"since": "dawn"}, "2025-11-03 06:40"),
        ({"tag": "W99"}, "No pump"),
        ({"since": "2025-11-03", "until": "2025-11-02"}, "before it begins"),
    ],
)
def test_a_senseless_table_is_refused(client: TestClient, given: dict[str, str], said: str) -> None:
    answer = client.get("/export/file", params=given)
    assert answer.status_code in (404, 422)
    assert said in answer.text
