"""Whatever is sent to any address that the OpenAPI names is taken or refused, no fault of ours.

The longer run is `python -m bench.faults`.
"""

from fastapi import FastAPI

from gaugewalk.watch.service import Watch
from gaugewalk.web.door import Door
from tests.web.conftest import app, seeded, watch  # noqa: F401  # its fixtures
from tests.web.seeded import NOW

from .openapi_walk import real_names, told, walk

EXAMPLES = 3  # of what fits the schema, and as many of what does not, at each address


def test_no_request_is_a_fault_of_ours(app: FastAPI, watch: Watch) -> None:  # noqa: F811
    app.state.door = Door(watch=watch, clock=lambda: NOW)
    statuses: dict[int, int] = {}
    faults = []
    for sent in walk(app, real_names(app), EXAMPLES):
        statuses[sent.status] = statuses.get(sent.status, 0) + 1
        if sent.status >= 500:
            faults.append(told(sent))
    assert faults == []
    assert {200, 404, 422} <= set(statuses)  # some went in, some were refused
    assert watch.journal.verify().ok
