"""What a phone sends: records of every kind, in order, each taken or refused by itself."""

from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID

import pytest
from starlette.testclient import TestClient

from gaugewalk.errors import StorageError
from gaugewalk.journal.ids import new_id
from gaugewalk.watch.service import Watch

from .seeded import NOW, TROUBLED

SEEN = (NOW - timedelta(minutes=20)).isoformat()


def record(kind: str, **fields: Any) -> dict[str, Any]:
    return {"kind": kind, "id": str(new_id(NOW)), "seen_at": SEEN, "who": "R. Vale", **fields}


def send(client: TestClient, *records: dict[str, Any]) -> list[dict[str, Any]]:
    answer = client.post("/api/v1/records", json={"records": list(records)})
    assert answer.status_code == 200, answer.text
    assert datetime.fromisoformat(answer.json()["now"]) == NOW
    results: list[dict[str, Any]] = answer.json()["results"]
    return results


def reading(text: str = "3.2", **more: Any) -> dict[str, Any]:
    return record("reading", tag="W21A", point="discharge_pressure", text=text, **more)


def every_kind(client: TestClient) -> list[dict[str, Any]]:
    round_id = client.post("/rounds", data={"name": "water side"}).headers["location"].split("/")[2]
    trouble = client.get("/api/v1/watch").json()["troubles"][0]["id"]
    first = reading("32", round=round_id)
    return [
        first,
        record("correction", corrects=first["id"], text="3.2", unit="barg"),
        record("skip", tag="W21A", point="flow", reason="No time", round=round_id),
        record("observation", tag="W21A", finding="noise-grinding", present=False),
        record("note", tag="W21A", text="Guard loose"),
        record("action", trouble=trouble, do="Vented"),
        record("event", tag="W21A", event="started"),
        record("recheck", tag="W21A", what="Count again", in_seconds=900),
        record("finish", round=round_id, reason="Called away"),
        record("clock", ahead=7500),
    ]


def test_every_kind_is_taken_in_order_and_twice_is_once(client: TestClient, watch: Watch) -> None:
    sent = every_kind(client)
    first = send(client, *sent)
    assert [r["problem"] for r in first] == [None] * len(sent)
    assert [r["id"] for r in first] == [r["id"] for r in sent]
    count = watch.journal.verify().count
    assert [r["taken"]["id"] for r in send(client, *sent)] == [r["taken"]["id"] for r in first]
    assert watch.journal.verify().count == count
    seqs = [watch.journal.get(UUID(r["id"])).seq for r in sent]
    assert seqs == sorted(seqs)
    assert all(watch.journal.get(UUID(r["id"])).seen_at.isoformat() == SEEN for r in sent)


def test_a_follow_up_is_due_so_long_after_it_was_asked(client: TestClient, watch: Watch) -> None:
    send(client, record("recheck", tag="W21A", what="Count again", in_seconds=900))
    due = next(one for one in watch.follow_ups(NOW) if one.what == "Count again")
    assert due.due_at == NOW - timedelta(minutes=5)


def test_a_wrong_clock_is_noted_in_words(client: TestClient, watch: Watch) -> None:
    made = record("clock", ahead=-7500)
    send(client, made)
    text = str(watch.journal.get(UUID(made["id"])).body["text"])
    assert "R. Vale's phone was 2 h 5 min behind" in text


@pytest.mark.parametrize(
    "bad",
    [
        {"kind": "reading", "tag": "NOPE", "point": "flow", "text": "3"},
        {"kind": "reading", "tag": "W21A", "point": "flow", "text": "lots"},
        {"kind": "reading", "tag": "W21A", "point": "flow"},
        {"kind": "no such kind"},
        {},
        {"kind": "reading", "id": "no id", "tag": "W21A", "point": "flow", "text": "3"},
        {"kind": "recheck", "tag": "W21A", "what": "x", "in_seconds": 1e300},
        {"kind": "clock", "ahead": "NaN"},
    ],
)
def test_a_bad_record_does_not_keep_the_others_waiting(
    client: TestClient, bad: dict[str, Any]
) -> None:
    before, refused, after = send(client, reading(), bad, reading("3.3"))
    assert before["taken"]["verdict"]["severity"] == "normal"
    assert refused["taken"] is None
    assert refused["again"] is False
    assert refused["problem"]["error"]
    assert after["taken"]["shown"] == "3.3 barg"


def test_the_same_id_with_something_else_is_a_conflict(client: TestClient) -> None:
    first = reading()
    send(client, first)
    (told,) = send(client, first | {"text": "9.9"})
    assert "other content" in told["problem"]["error"]


def test_when_the_journal_cannot_write_all_is_to_be_sent_again(
    client: TestClient, watch: Watch, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object, **__: object) -> None:
        raise StorageError("the disk is full")

    monkeypatch.setattr(Watch, "note", full)
    told = send(client, reading(), record("note", tag="W21A", text="x"), reading("3.3"))
    assert [r["again"] for r in told] == [False, True, True]  # what comes after keeps its order
    monkeypatch.undo()
    assert watch.journal.latest("W21A")["discharge_pressure"].entered == "3.2"


def test_a_queue_is_bounded(client: TestClient) -> None:
    too_many = [reading() for _ in range(201)]
    assert client.post("/api/v1/records", json={"records": too_many}).status_code == 422
    assert client.post("/api/v1/records", json={"records": []}).status_code == 422


def test_the_time_here(client: TestClient) -> None:
    now = client.get("/api/v1/clock").json()["now"]
    assert datetime.fromisoformat(now).astimezone(UTC) == NOW


def test_both_readings_of_one_point_in_one_round_are_shown(client: TestClient) -> None:
    at = client.post("/rounds", data={"name": "water side"}).headers["location"]
    round_id = at.split("/")[2]
    later = NOW + timedelta(minutes=1)
    for who, text, seen in (("A. Reed", "3.2", NOW), ("B. Hale", "3.4", later)):
        send(client, reading(text, round=round_id, who=who, seen_at=seen.isoformat()))
    text = client.get(at).text
    assert "Read twice in this round: also 3.2 barg at 09:30 by A. Reed. Both are kept." in text
    assert client.get(f"/round/{round_id}/{TROUBLED}").text.count("Read twice") == 0
