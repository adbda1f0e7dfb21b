"""What is due, ticked as done with its amount; run hours, deeds and limits of a pump."""

import re
from datetime import timedelta

import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient

from gaugewalk.people import accounts
from gaugewalk.people.rights import Role
from gaugewalk.people.store import Store
from gaugewalk.watch.service import Watch
from gaugewalk.web.app import create_app
from gaugewalk.web.door import Door
from gaugewalk.web.entrance import Entrance

from .people_here import PASSWORD, Browser
from .seeded import NOW, WHO
from .test_pages import Page


def at_later(app: FastAPI, watch: Watch, days: float) -> None:
    app.state.door = Door(watch=watch, clock=lambda: NOW + timedelta(days=days))


def test_due_is_in_walking_order_and_says_why(
    app: FastAPI, client: TestClient, watch: Watch
) -> None:
    watch.event("W21B", "stopped", who=WHO, now=NOW)
    watch.event("W21A", "started", who=WHO, now=NOW)
    at_later(app, watch, 40)
    text = client.get("/due").text
    assert Page(text).all_faults() == []
    assert re.findall(r'class="of-pump"><a href="/pump/(\w+)"', text) == ["W21A", "W21B"]
    assert "Not started for 40 days; wanted at least every 4 weeks." in text
    assert "From: Public trade article on standby pumps (2023)" in text
    assert "/pump/W21B/check-lists/round-standby" in text
    assert re.search(r"\d+ overdue", text)


def test_a_deed_is_ticked_once_and_leaves_the_list(
    app: FastAPI, client: TestClient, watch: Watch
) -> None:
    watch.event("W21B", "stopped", who=WHO, now=NOW)
    at_later(app, watch, 40)
    form = re.search(
        r'name="deed" value="test run">.*?name="id" value="([^"]+)"', client.get("/due").text, re.S
    )
    assert form
    data = {"deed": "test run", "amount": "10", "id": form[1], "back": "/due"}
    for _ in range(2):  # pressed twice
        answer = client.post("/due/W21B", data=data)
        assert answer.status_code == 303
    (deed,) = [e for e in watch.journal.entries(kinds=["event"]) if e.body["event"] == "test run"]
    assert deed.value == pytest.approx(600.0)
    text = client.get(answer.headers["location"]).text
    assert "Test run, 10 min." in text
    assert "Not started for 40 days" not in text


def test_too_much_grease_is_warned_of_and_can_be_taken_back(
    client: TestClient, watch: Watch
) -> None:
    given = {"deed": "greased|driver_de", "amount": "400", "back": "/pump/B11A"}
    answer = client.post("/due/B11A", data=given)
    assert answer.status_code == 303
    text = client.get(answer.headers["location"]).text
    assert Page(text).all_faults() == []
    assert "driver&#39;s drive end, 400 g" in text
    kept = re.search(r"written=([0-9a-f-]+)", answer.headers["location"])
    assert kept
    silent = client.post(f"/deed/{kept[1]}", data={"why": " ", "back": "/pump/B11A"})
    assert silent.status_code == 422
    client.post(f"/deed/{kept[1]}", data={"why": "Another pump", "back": "/pump/B11A"})
    assert "Last done" not in client.get("/pump/B11A").text


def test_an_amount_that_cannot_be_read_writes_nothing(client: TestClient, watch: Watch) -> None:
    for back in ("/due", "/pump/W21A"):
        data = {"deed": "oil topped up", "place": "pump", "amount": "lots", "back": back}
        answer = client.post("/due/W21A", data=data)
        assert answer.status_code == 422
        assert "lots" in answer.text
    assert client.post("/due/W21A", data={"deed": "polished"}).status_code == 404
    assert [e for e in watch.journal.entries(kinds=["event"])] == []


def test_where_it_goes_back_to_is_ours(client: TestClient) -> None:
    data = {"deed": "vented", "back": "//elsewhere.example/"}
    assert client.post("/due/W21A", data=data).headers["location"] == "/"


def test_a_pump_says_how_long_it_ran_and_what_was_done(
    app: FastAPI, client: TestClient, watch: Watch
) -> None:
    watch.event("W21A", "started", who=WHO, now=NOW)
    watch.program.did("W21A", "vented", who=WHO, now=NOW)
    at_later(app, watch, 2)
    text = client.get("/pump/W21A").text
    assert Page(text).all_faults() == []
    assert re.search(r"W21A has run since .*?In all 5\d(\.\d)? h of running", text)
    assert re.search(r"Last done.*?Vented.*?R\. Vale", text, re.S)


# ------------------------------------------------------------------ limits


def change(client: TestClient, **more: str) -> int:
    data = {"what": "change", "point": "discharge_pressure", "field": "watch_low"}
    return client.post("/pump/W21A/limits", data={**data, **more}).status_code


def test_a_limit_is_changed_with_a_reason_and_put_back(client: TestClient) -> None:
    assert change(client, text="2.8", why="") == 422
    assert change(client, text="lots", why="New consumer") == 422
    assert change(client, text="9", why="New consumer") == 422  # above the other limits
    assert change(client, text="2,8 barg", why="New consumer") == 303
    text = client.get("/pump/W21A/limits").text
    assert Page(text).all_faults() == []
    assert "2.9 barg to 2.8 barg, because: New consumer" in text
    assert "Not as the plant file has them" in text
    pump = client.get("/pump/W21A").text
    assert "1 changed" in pump
    assert re.search(r"plant file 2\.9 barg\. Changed .*because: New consumer", pump)
    back = {"what": "restore", "point": "discharge_pressure", "field": "watch_low"}
    client.post("/pump/W21A/limits", data={**back, "why": "Consumer gone"})
    assert "Not as the plant file has them" not in client.get("/pump/W21A/limits").text


def test_a_link_of_the_table_fills_the_form(client: TestClient) -> None:
    href = "/pump/W21A/limits?point=flow&field=act_low"
    assert href.replace("&", "&amp;") in client.get("/pump/W21A/limits").text
    text = client.get(href).text
    assert '<option value="flow" selected>' in text
    assert '<option value="act_low" selected>' in text


def test_a_lasting_change_becomes_its_normal_only_with_a_reason(
    app: FastAPI, client: TestClient, watch: Watch
) -> None:
    for hour in range(1, 40):  # as long as the own normal needs, then lower for good
        at = NOW + timedelta(hours=hour)
        value = "3.2" if hour < 20 else "3.0"
        watch.take_reading("W21A", "discharge_pressure", value, who=WHO, now=at, unit="barg")
    at_later(app, watch, 2)
    assert "Normal now? Discharge pressure" in client.get("/pump/W21A").text
    form = {"what": "accept", "point": "discharge_pressure", "why": ""}
    assert client.post("/pump/W21A/limits", data=form).status_code == 422
    nothing = client.post("/pump/W21A/limits", data={**form, "point": "flow", "why": "New duty"})
    assert "Nothing is off at this point" in nothing.text
    assert 'value="New duty"' in nothing.text
    known = client.post("/pump/W21A/limits", data={**form, "why": "New duty"})
    assert known.status_code == 303
    assert "New normal of discharge pressure accepted" in client.get("/pump/W21A").text


def test_who_may_not_change_limits_sees_no_form(watch: Watch, tmp_path: object) -> None:
    store = Store.open(f"sqlite:///{tmp_path}/people.db")
    for name, role in (("O. Perator", Role.OPERATOR), ("L. Ead", Role.SHIFT_LEAD)):
        accounts.add_account(store, name, role, now=NOW, password=PASSWORD)
    app = create_app(watch, clock=lambda: NOW, entrance=Entrance(people=store))
    seen = {}
    for name in ("O. Perator", "L. Ead"):
        browser = Browser(app)
        browser.sign_in(name)
        trouble = re.search(r'href="(/trouble/[^"]+)"', browser.get("/").text)
        assert trouble
        seen[name] = (browser.get("/pump/W21A/limits").text, browser.get(trouble[1]).text)
    store.close()
    for text, may in zip(seen["O. Perator"], ("Limits are changed by", "closed by"), strict=True):
        assert f"{may} a shift lead or an engineer." in text
    assert "New value" in seen["L. Ead"][0]
    assert "closed by a shift lead" not in seen["L. Ead"][1]
