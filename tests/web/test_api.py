"""The door for programs: idempotent, bounded, every error in one form."""

from uuid import uuid4

import pytest
from starlette.testclient import TestClient

from gaugewalk import units
from gaugewalk.watch.service import Watch

from .seeded import TROUBLED

V1 = "/api/v1"


def reading(**more: object) -> dict[str, object]:
    return {
        "id": str(uuid4()), "tag": "W21A", "point": "discharge_pressure", "text": "3.2 barg", **more
    }  # fmt: skip


def is_problem(answer: dict[str, str]) -> bool:
    return set(answer) == {"error", "given", "expected", "do"} and bool(answer["error"])


def test_a_reading_comes_back_judged(client: TestClient) -> None:
    answer = client.post(f"{V1}/readings", json=reading(text="46.4 psig"))
    assert answer.status_code == 200
    body = answer.json()
    assert body["value"] == pytest.approx(421.2e3, rel=2e-3)  # 46.4 psi over about 1 atm, in Pa
    assert body["verdict"]["severity"] == "normal"
    assert body["extra_checks"] == []


def test_what_is_off_brings_checks_and_a_trouble(client: TestClient) -> None:
    body = client.post(f"{V1}/readings", json=reading(text="1.5 barg")).json()
    assert body["verdict"]["severity"] == "act"
    assert body["trouble"]
    assert all(check["title"] for check in body["extra_checks"])
    shown = client.get(f"{V1}/troubles/{body['trouble']}").json()
    assert shown["tag"] == "W21A"
    assert shown["diagnosis"]["version"] == 1


def test_the_same_id_twice_is_one_record(client: TestClient, watch: Watch) -> None:
    one = reading()
    before = watch.journal.verify().count
    first = client.post(f"{V1}/readings", json=one).json()
    second = client.post(f"{V1}/readings", json=one).json()
    assert first["id"] == second["id"] == one["id"]
    assert watch.journal.verify().count == before + 1


def test_the_same_id_with_other_content_is_a_conflict(client: TestClient) -> None:
    one = reading()
    client.post(f"{V1}/readings", json=one)
    answer = client.post(f"{V1}/readings", json=one | {"text": "3.3 barg"})
    assert answer.status_code == 409
    assert is_problem(answer.json())


def test_a_bad_reading_does_not_stop_the_others_of_a_batch(client: TestClient) -> None:
    sent = [reading(), reading(text="lots"), reading(tag="NOPE"), reading(point="flow", text="400")]
    body = client.post(f"{V1}/readings/batch", json=sent).json()
    assert body["refused"] == 2
    assert [is_problem(r) for r in body["results"]] == [False, True, True, False]
    assert body["results"][1]["given"] == "lots"


@pytest.mark.parametrize(
    ("change", "status"),
    [
        ({"text": "3.2 bar"}, 422),
        ({"text": ""}, 422),
        ({"text": "x" * 81}, 422),
        ({"tag": "NOPE"}, 404),
        ({"point": "discharge_presure"}, 404),
        ({"unit": "furlong"}, 422),
        ({"id": "7"}, 422),
        ({"seen_at": "2025-11-20T09:00:00"}, 422),  # no time zone
        ({"round": 10**400}, 422),
        ({"surprise": 1}, 422),
        ({"who": " "}, 422),
        ({"text": "3\x00"}, 422),
        ({"text": "\N{SLIGHTLY SMILING FACE} 3"}, 422),
    ],
)
def test_errors_are_told_in_one_form(
    client: TestClient, change: dict[str, object], status: int
) -> None:
    answer = client.post(f"{V1}/readings", json=reading(**change))
    assert answer.status_code == status
    assert is_problem(answer.json())


def test_bare_bar_is_asked_back(client: TestClient) -> None:
    body = client.post(f"{V1}/readings", json=reading(text="3.2 bar")).json()
    assert "gauge or absolute" in body["error"]


@pytest.mark.parametrize(
    "address", ["/pumps/NOPE", "/troubles/0199e000-0000-7000-8000-000000000000", "/nothing"]
)
def test_what_is_not_there(client: TestClient, address: str) -> None:
    answer = client.get(V1 + address)
    assert answer.status_code == 404
    assert is_problem(answer.json())


def test_wrong_method_and_no_json(client: TestClient) -> None:
    assert is_problem(client.delete(f"{V1}/pumps").json())
    answer = client.post(
        f"{V1}/readings", content=b"{", headers={"content-type": "application/json"}
    )
    assert answer.status_code == 422
    assert is_problem(answer.json())


def test_skips_notes_observations_corrections_actions(client: TestClient) -> None:
    tag = {"tag": TROUBLED}
    skip = tag | {"point": "flow", "reason": "No time"}
    assert client.post(f"{V1}/skips", json=skip).json()["kind"] == "skipped"
    note = tag | {"text": "Guard loose"}
    assert client.post(f"{V1}/notes", json=note).json()["kind"] == "note"
    seen = tag | {"finding": "noise-rattle-steady", "present": None}
    assert client.post(f"{V1}/observations", json=seen).json()["kind"] == "observation"
    taken = client.post(f"{V1}/readings", json=reading(text="1.5")).json()
    right = {"corrects": taken["id"], "text": "3.2", "unit": "barg"}
    corrected = client.post(f"{V1}/corrections", json=right).json()
    assert corrected["verdict"]["severity"] == "normal"
    trouble = client.get(f"{V1}/watch").json()["troubles"][0]["id"]
    done = client.post(f"{V1}/actions", json={"trouble": trouble, "do": "Vented"})
    assert done.json()["kind"] == "action"


def test_looking(client: TestClient) -> None:
    assert {p["tag"]: p["severity"] for p in client.get(f"{V1}/pumps").json()}[TROUBLED] == "act"
    points = client.get(f"{V1}/pumps/{TROUBLED}").json()["points"]
    assert {p["point"] for p in points} >= {"discharge_pressure", "motor_current"}
    why = client.get(f"{V1}/pumps/{TROUBLED}/why").json()
    assert why["causes"][0]["probability"] > 0
    watch = client.get(f"{V1}/watch").json()
    assert watch["troubles"][0]["tag"] == TROUBLED


def test_the_page_reads_the_same_table_of_units(client: TestClient) -> None:
    table = client.get(f"{V1}/units").json()
    assert {unit["name"] for unit in table["units"]} == set(units.table())


def test_openapi_says_everything_and_bounds_every_integer(client: TestClient) -> None:
    spec = client.get("/openapi.json").json()
    assert all(path.startswith(V1) for path in spec["paths"])
    found: list[dict[str, object]] = []

    def walk(node: object) -> None:
        if isinstance(node, dict):
            if node.get("type") == "integer":
                found.append(node)
            for child in node.values():
                walk(child)
        elif isinstance(node, list):
            for child in node:
                walk(child)

    walk({path: one for path, one in spec["paths"].items()})
    assert all("maximum" in node and "minimum" in node for node in found)


def test_who_is_taken_from_the_name_that_was_set(client: TestClient, watch: Watch) -> None:
    client.post("/more/name", data={"name": "R. Vale"})
    sent = {"tag": TROUBLED, "text": "Seen"}
    made = client.post(f"{V1}/notes", json=sent).json()["id"]
    from uuid import UUID

    assert watch.journal.get(UUID(made)).who == "R. Vale"


def test_broken_text_is_refused_in_words(client: TestClient) -> None:
    half = b'{"tag": "W21A", "point": "flow", "text": "\\ud800"}'  # half of a surrogate pair
    answer = client.post(
        f"{V1}/readings", content=half, headers={"content-type": "application/json"}
    )
    assert answer.status_code == 422
    assert is_problem(answer.json())


def test_a_moment_is_a_text_and_never_seconds(client: TestClient) -> None:
    answer = client.post(f"{V1}/readings", json=reading(seen_at=0))
    assert answer.status_code == 422
    assert "seen_at" in answer.json()["error"]
