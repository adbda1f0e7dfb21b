"""PostgreSQL goes down and comes back in the middle of rounds."""

import signal
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from starlette.testclient import TestClient

from tests.postgres_server import Server

from .conftest import app_on, ids_in
from .serving import packet


@dataclass(frozen=True, kw_only=True)
class Served:
    """The app on a journal in PostgreSQL."""

    app: TestClient
    place: str


@pytest.fixture(scope="module")
def served(postgres: Server) -> Iterator[Served]:
    place = postgres.url(postgres.emptied())
    app, watch = app_on(place)
    yield Served(app=app, place=place)
    watch.journal.close()


def reading(minutes: float) -> dict[str, str]:
    made = packet(minutes)
    del made["kind"]
    return made


def stored_from(place: str, first: str) -> list[str]:
    found = ids_in(place)
    return found[found.index(first) :]


def test_while_it_is_down_each_is_told_and_sends_again(served: Served, postgres: Server) -> None:
    readings = [reading(n) for n in range(20)]
    refused: list[str] = []
    for number, sent in enumerate(readings):
        if number in (5, 12):
            postgres.stop(signal.SIGINT if number == 5 else signal.SIGQUIT)
            for _ in range(2):
                answer = served.app.post("/api/v1/readings", json=sent)
                assert answer.status_code == 503
                refused.append(answer.json()["error"])
            assert served.app.get("/healthz").status_code == 503
            postgres.start()
        assert served.app.post("/api/v1/readings", json=sent).status_code == 200
    assert stored_from(served.place, readings[0]["id"]) == [sent["id"] for sent in readings]
    assert all("database" in words and "stored" in words for words in refused), refused


def test_restarts_while_many_write(served: Served, postgres: Server) -> None:
    acknowledged: list[str] = []
    statuses: list[int] = []

    def walk(first: int) -> None:
        for number in range(first, first + 15):
            sent = reading(number)
            for _ in range(200):  # as a phone does: the same again until it is taken
                answer = served.app.post("/api/v1/readings", json=sent)
                statuses.append(answer.status_code)
                if answer.status_code == 200:
                    acknowledged.append(answer.json()["id"])
                    break
                time.sleep(0.05)

    walkers = [threading.Thread(target=walk, args=(1000 + 100 * n,)) for n in range(4)]
    for walker in walkers:
        walker.start()
    for sign in (signal.SIGINT, signal.SIGQUIT):
        time.sleep(0.1)
        postgres.stop(sign)
        postgres.start()
    for walker in walkers:
        walker.join()
    assert set(statuses) <= {200, 503}
    assert len(acknowledged) == 60
    stored = ids_in(served.place)
    assert [stored.count(i) for i in acknowledged] == [1] * 60
