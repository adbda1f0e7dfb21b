"""Check-lists without scripts: read, begun, walked with readings, waits and holds."""

import re
from collections.abc import Callable
from datetime import timedelta

import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient

from gaugewalk.watch.procedure_file import load_procedures
from gaugewalk.watch.procedure_for import lists_for_action, lists_named
from gaugewalk.watch.service import Watch
from gaugewalk.web.door import Door

from .seeded import NOW
from .test_pages import Page

Answer = Callable[..., int]
BOOK = load_procedures()


@pytest.fixture
def minutes(app: FastAPI, client: TestClient, watch: Watch) -> Callable[[float], None]:
    """Set the clock of the app to so many minutes after the seeded moment."""

    def go_on(past: float) -> None:
        at = NOW + timedelta(minutes=past)
        app.state.door = Door(watch=watch, clock=lambda: at)

    return go_on


def begun(client: TestClient, procedure: str = "changeover", tag: str = "W21A") -> str:
    answer = client.post(f"/pump/{tag}/check-lists/{procedure}")
    assert answer.status_code == 303
    return answer.headers["location"].partition("#")[0]


def tick(client: TestClient, run: str, step: str, **more: str) -> int:
    return client.post(run, data={"what": "tick", "step": step, **more}).status_code


def read_all(client: TestClient, run: str) -> None:
    """Say of every point of the step in hand that it cannot be read."""
    for point in re.findall(r'data-point="(\w+)"', client.get(run).text):
        client.post(run, data={"what": "skip", "point": point, "reason": "No time"})


@pytest.mark.parametrize("id", sorted(BOOK.lists))
def test_every_list_can_be_read_with_its_sources(client: TestClient, id: str) -> None:
    text = client.get(f"/check-lists/{id}").text
    assert Page(text).all_faults() == []
    one = BOOK.lists[id]
    assert text.count("<b>Hold.</b>") == sum(bool(step.hold) for step in one.steps)
    assert "Where this list is from" in text
    assert not re.search(r"{\w+}|>None<", text)


def test_only_lists_that_fit_are_offered_at_a_pump(client: TestClient) -> None:
    text = client.get("/pump/B11A/check-lists").text  # mechanical seal, forced oil
    assert "/check-lists/seal-leak" in text
    assert "/check-lists/packing-adjustment" not in text
    assert client.get("/pump/B11A/check-lists/packing-adjustment").status_code == 422
    everything = client.get("/check-lists").text
    assert "/check-lists/packing-adjustment" in everything


def test_a_default_stands_with_its_source(client: TestClient) -> None:
    text = client.get("/pump/W21A/check-lists/changeover").text
    assert "after a start: 30 to 60 s (Common practice, no source)" in text


def test_a_step_wants_its_readings_and_judges_them_at_once(client: TestClient) -> None:
    run = begun(client)
    assert "Step 1 of" in client.get(run).text
    assert tick(client, run, "why") == 303
    refused = client.post(run, data={"what": "tick", "step": "before"})
    assert refused.status_code == 422
    assert "Not read yet" in refused.text
    low = {"what": "reading", "point": "discharge_pressure", "text": "1.5", "unit": "barg"}
    assert client.post(run, data=low).headers["location"] == f"{run}#discharge_pressure"
    text = client.get(run).text
    assert "1.5 barg is below the act limit" in text
    client.post(run, data={**low, "text": "lots"})
    read_all(client, run)
    assert tick(client, run, "before") == 303
    assert "Step 3 of" in client.get(run).text


def test_what_cannot_be_read_stays_in_the_field(client: TestClient) -> None:
    run = begun(client)
    tick(client, run, "why")
    data = {"what": "reading", "point": "discharge_pressure", "text": "lots", "unit": "barg"}
    answer = client.post(run, data=data)
    assert answer.status_code == 422
    assert 'value="lots"' in answer.text


def to_hold(client: TestClient) -> str:
    run = begun(client)
    tick(client, run, "why")
    read_all(client, run)
    tick(client, run, "before")
    return run


def test_a_hold_is_not_passed_silently(client: TestClient, watch: Watch) -> None:
    run = to_hold(client)
    assert "The standby is ready" in client.get(run).text
    assert tick(client, run, "start") == 409  # the step behind the hold
    passing = {"what": "skip step", "step": "ready", "why": "Looked at an hour ago"}
    refused = client.post(run, data=passing)
    assert refused.status_code == 422
    assert "name who allows it" in refused.text
    assert 'value="Looked at an hour ago"' in refused.text
    nameless = client.post(run, data={**passing, "why": " ", "allowed_by": "S. Marsh"})
    assert nameless.status_code == 422
    assert client.post(run, data={**passing, "allowed_by": "S. Marsh"}).status_code == 303
    text = client.get(run).text
    assert "Holds that were passed" in text
    assert "allowed by S. Marsh: Looked at an hour ago" in text


def test_a_wait_is_waited_or_its_reason_given(
    client: TestClient, minutes: Callable[[float], None]
) -> None:
    run = to_hold(client)
    read_all(client, run)
    assert tick(client, run, "ready") == 303
    assert tick(client, run, "start") == 303
    read_all(client, run)
    text = client.get(run).text
    assert re.search(r'data-due="[^"]+" data-over="the wait is over">in 5 min<', text)
    early = client.post(run, data={"what": "tick", "step": "prove"})
    assert early.status_code == 422
    assert "min are left" in early.text
    minutes(6)
    assert "is over" in client.get(run).text
    assert tick(client, run, "prove") == 303


def test_it_is_gone_on_with_by_anyone_from_three_places(client: TestClient) -> None:
    run = to_hold(client)
    for place in ("/", "/pump/W21A", "/pump/W21A/check-lists", "/check-lists"):
        text = client.get(place).text
        assert run in text, place
        assert "2 of 10 done" in text, place
    assert begun(client) == run
    assert run not in client.get("/pump/B11A").text


def test_a_result_is_chosen_and_a_step_opened_again(client: TestClient) -> None:
    run = begun(client, "round-running")
    text = client.get(run).text
    step = re.search(r'name="step" value="([\w-]+)"', text)
    assert step
    client.post(run, data={"what": "skip step", "step": step[1], "why": "Too dark"})
    assert "Because: Too dark" in client.get(run).text
    client.post(run, data={"what": "reopen", "step": step[1], "why": "A lamp was found"})
    assert "Step 1 of" in client.get(run).text


def test_it_is_broken_off_with_how_the_pump_was_left(client: TestClient) -> None:
    run = to_hold(client)
    half = {"what": "break off", "why": "Alarm elsewhere", "left_as": ""}
    refused = client.post(run, data=half)
    assert refused.status_code == 422
    assert 'value="Alarm elsewhere"' in refused.text
    left = {**half, "left_as": "W21A runs, W21B lined up"}
    assert client.post(run, data=left).status_code == 303
    text = client.get(run).text
    assert "broken off" in text
    assert "W21A runs, W21B lined up" in text
    assert "Check-lists under way" not in client.get("/").text
    assert "W21A runs, W21B lined up" in client.get("/").text  # to be looked at again
    assert tick(client, run, "ready") == 409


def test_it_is_finished_with_the_reason_for_what_was_left_out(client: TestClient) -> None:
    run = begun(client, "venting")
    refused = client.post(run, data={"what": "finish", "why": ""})
    assert refused.status_code in (409, 422)
    assert Page(refused.text).all_faults() == []


def test_amounts_of_a_step_are_written_with_it(client: TestClient, watch: Watch) -> None:
    run = begun(client, "oil-top-up")
    for _ in range(12):
        text = client.get(run).text
        step = re.search(r'name="step" value="([\w-]+)"', text)
        if step is None or "How much, in L" in text:
            break
        read_all(client, run)
        result = re.search(r'name="result" value="([^"]+)"', text)
        tick(client, run, step[1], result=result[1] if result else "")
    assert step is not None
    assert "How much, in L" in text
    assert tick(client, run, step[1], **{"at pump": "yes", "amount pump": "lots"}) == 422
    amounts = {"at pump": "yes", "amount pump": "0.4", "found": "Drips at the drain plug"}
    assert tick(client, run, step[1], **amounts) == 303
    (deed,) = [e for e in watch.journal.entries(kinds=["event"]) if e.entered == "0.4"]
    assert deed.value == pytest.approx(0.4e-3)
    assert deed.body["found"] == "Drips at the drain plug"


def test_the_amount_that_the_program_sets_stands_beside_the_field(
    client: TestClient, watch: Watch
) -> None:
    run = begun(client, "grease", "B11A")
    for step in ("right-grease", "before", "guarded", "relief"):
        read_all(client, run)
        assert tick(client, run, step) == 303
    wanted = {
        item.place: item
        for item in watch.program.care("B11A", NOW).items
        if item.deed == "greased" and item.amount
    }
    assert wanted
    text = client.get(run).text
    for item in wanted.values():
        assert f"{item.amount * 1000:g} g, {item.strokes} strokes" in text
    both = {"result": "quieter", "at driver_de": "yes", "amount driver_de": "400"}
    assert tick(client, run, "give", **both) == 303
    assert "too much grease heats a bearing" in client.get(run).text


def test_lists_are_offered_beside_actions_that_need_them() -> None:
    assert set(lists_named()) <= set(BOOK.lists)
    every = set(BOOK.lists)
    assert "venting" in lists_for_action("Vent to the vessel's vapor space", "temporary", every)
    assert lists_for_action("Stop at once and vent the seal chamber", "now", every) == ()
    warm = "Open the relief plug if it can be reached safely, let it purge"
    assert "grease" not in lists_for_action(warm, "now", every)  # it has too much of it


def test_a_run_that_is_not_there(client: TestClient) -> None:
    nowhere = "/check-list/0199e000-0000-7000-8000-000000000000"
    assert client.get(nowhere).status_code == 404
    assert client.post(nowhere, data={"what": "tick", "step": "x"}).status_code == 404
    assert client.get("/check-lists/chnageover").status_code == 404
    assert "changeover" in client.get("/check-lists/chnageover").text
