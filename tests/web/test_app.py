"""The app as a whole: how many requests are worked on at a time."""

import threading
import time
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime

from fastapi import FastAPI
from starlette.testclient import TestClient

from gaugewalk.watch.service import Watch
from gaugewalk.web.app import AT_ONCE
from gaugewalk.web.door import Door

from .seeded import NOW


def test_a_few_requests_at_a_time_and_none_is_left_out(app: FastAPI, watch: Watch) -> None:
    lock, inside, counts = threading.Lock(), 0, []

    def slow_clock() -> datetime:  # every page asks it, from the thread that it is made in
        nonlocal inside
        with lock:
            inside += 1
            counts.append(inside)
        time.sleep(0.02)
        with lock:
            inside -= 1
        return NOW

    app.state.door = Door(watch=watch, clock=slow_clock)
    crowd = 4 * AT_ONCE
    with TestClient(app) as client, ThreadPoolExecutor(crowd) as people:
        answers = list(people.map(client.get, ["/pumps"] * crowd))
    assert [answer.status_code for answer in answers] == [200] * crowd
    assert 1 < max(counts) <= AT_ONCE
