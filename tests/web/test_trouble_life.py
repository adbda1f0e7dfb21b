"""A trouble to its end: closed by a cause of the book, and known again when it comes back."""

import re
from datetime import timedelta

from fastapi import FastAPI
from starlette.testclient import TestClient

from gaugewalk.watch.service import Watch
from gaugewalk.web.door import Door

from .seeded import NOW, TROUBLED, WHO
from .test_pages import Page, trouble_href


def proven(app: FastAPI, client: TestClient, watch: Watch) -> tuple[str, str]:
    """Read normal values at the troubled pump; return its trouble and the page."""
    href = trouble_href(client)
    later = NOW + timedelta(hours=1)
    watch.take_reading(TROUBLED, "discharge_pressure", "3.2", who=WHO, now=later, unit="barg")
    app.state.door = Door(watch=watch, clock=lambda: NOW + timedelta(hours=2))
    return href, client.get(href).text


def test_it_is_closed_by_a_ranked_cause(app: FastAPI, client: TestClient, watch: Watch) -> None:
    href, text = proven(app, client, watch)
    causes = re.findall(r'<option value="([a-z-]+)">([^<]+), (?:under |over )?\d+ %</option>', text)
    assert len(causes) > 1
    proof = re.search(r'<option value="([0-9a-f-]{36})">Discharge pressure', text)
    assert proof
    form = {"what": "close", "proof": proof[1], "cure": "Vented"}
    unsaid = client.post(href, data=form)
    assert unsaid.status_code == 422
    assert 'value="Vented"' in unsaid.text
    assert client.post(href, data={**form, "cause": causes[0][0]}).status_code == 303
    closed = client.get(href).text
    assert Page(closed).all_faults() == []
    assert "What it was" in closed
    assert f'href="/causes/{causes[0][0]}">{causes[0][1]}</a>' in closed
    assert "Discharge pressure 3.2 barg" in closed
    assert "What it may be" not in closed
    assert "Close this trouble" not in closed
    assert client.post(href, data={"what": "name cause"}).status_code == 422
    client.post(href, data={"what": "name cause", "cause": "air-trapped"})
    named = client.get(href).text
    assert 'href="/causes/air-trapped"' in named
    assert f'class="tall" href="/causes/{causes[0][0]}"' not in named


def test_it_is_closed_by_words_of_ones_own(app: FastAPI, client: TestClient, watch: Watch) -> None:
    href, text = proven(app, client, watch)
    proof = re.search(r'<option value="([0-9a-f-]{36})">Discharge pressure', text)
    assert proof
    form = {"what": "close", "proof": proof[1], "cure": "Lid shut", "other": "A lid left open"}
    client.post(href, data=form)
    assert "A lid left open" in client.get(href).text


def test_one_that_comes_back_leads_to_the_first(
    app: FastAPI, client: TestClient, watch: Watch
) -> None:
    first, text = proven(app, client, watch)
    proof = re.search(r'<option value="([0-9a-f-]{36})">Discharge pressure', text)
    assert proof
    done = {"what": "close", "proof": proof[1], "cure": "Vented", "other": "Air"}
    client.post(first, data=done)
    again = NOW + timedelta(days=3)
    watch.take_reading(TROUBLED, "discharge_pressure", "1.5", who=WHO, now=again, unit="barg")
    app.state.door = Door(watch=watch, clock=lambda: again)
    second = trouble_href(client)
    assert second != first
    text = client.get(second).text
    assert Page(text).all_faults() == []
    assert "Second time in 30 days" in text
    assert f'class="button" href="{first}"' in text


def test_actions_lead_to_their_check_lists(client: TestClient) -> None:
    text = client.get(trouble_href(client)).text
    assert re.search(rf'href="/pump/{TROUBLED}/check-lists/[\w-]+">Check-list: ', text)


def test_what_was_learned_here_is_shown_and_is_taken_back(
    app: FastAPI, client: TestClient, watch: Watch
) -> None:
    first, text = proven(app, client, watch)
    proof = re.search(r'<option value="([0-9a-f-]{36})">Discharge pressure', text)
    assert proof
    assert "kind before:" not in text
    done = {"what": "close", "proof": proof[1], "cure": "Vented", "cause": "air-trapped"}
    assert client.post(first, data=done).status_code == 303
    again = NOW + timedelta(days=3)
    watch.take_reading(TROUBLED, "discharge_pressure", "1.5", who=WHO, now=again, unit="barg")
    app.state.door = Door(watch=watch, clock=lambda: again)
    second = trouble_href(client)
    assert re.search(r"kind before: Air left in casing[^.]* \(counted 1\)", client.get(second).text)
    client.post(first, data={"what": "name cause", "cause": "wear-rings-worn"})
    text = client.get(second).text
    assert re.search(r"kind before: Wear rings worn[^.]* \(counted 1\)", text)
    assert "kind before: Air left" not in text
