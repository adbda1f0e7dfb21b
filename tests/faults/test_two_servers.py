"""Two servers on one journal: whatever comes to either is there once."""

import random
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import httpx

from .conftest import Two
from .serving import packet


def send(client: httpx.Client, packets: list[dict[str, Any]]) -> list[str]:
    """Send packets in one request and return the ids that were acknowledged."""
    answer = client.post("/api/v1/records", json={"records": packets})
    assert answer.status_code == 200, answer.text
    results = answer.json()["results"]
    assert [r["problem"] for r in results] == [None] * len(packets)
    return [r["id"] for r in results if r["taken"]]


def test_duplicated_and_shuffled_packets_at_both_are_stored_once(two: Two) -> None:
    chance = random.Random(7)
    packets = [packet(n, tag=chance.choice(["C1A", "C1B"])) for n in range(60)]
    sent = packets * 4
    chance.shuffle(sent)
    batches = [sent[n : n + 20] for n in range(0, len(sent), 20)]
    with ThreadPoolExecutor(4) as pool, two.server.client() as client:
        places = [client, two.app] * (len(batches) // 2)
        acknowledged = list(pool.map(send, places, batches))
    assert sum(map(len, acknowledged)) == len(sent)
    stored = two.ids()
    assert len(stored) == len(set(stored))
    assert {p["id"] for p in packets} <= set(stored)


def test_what_one_has_taken_the_other_shows_at_once(two: Two) -> None:
    with two.server.client() as client:
        send(client, [packet(9000, text="3.21 barg")])
        assert "3.21 barg" in two.app.get("/pump/C1A").text
        send(two.app, [packet(9001, text="3.22 barg")])
        assert "3.22 barg" in client.get("/pump/C1A").text


def test_the_same_id_with_something_else_is_refused_at_either(two: Two) -> None:
    first = packet(901)
    other = first | {"text": "1 barg"}
    send(two.app, [first])
    with two.server.client() as client:
        for door in (client, two.app):
            answer = door.post("/api/v1/records", json={"records": [other]}).json()
            assert "with other content" in answer["results"][0]["problem"]["error"]
    assert two.ids().count(first["id"]) == 1
