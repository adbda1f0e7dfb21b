"""For whoever runs it: is it alive, what is counted, what is logged."""

import io
import json
import logging
import re
from collections.abc import Iterator

import pytest
from starlette.testclient import TestClient

from gaugewalk.cli.logs import JsonLines
from gaugewalk.watch.service import Watch
from gaugewalk.web.meter import EDGES

from .seeded import TROUBLED

LINE = re.compile(r'^[a-z_:]+(\{[a-z]+="[^"]*"(,[a-z]+="[^"]*")*\})? [0-9.+e-]+$')


@pytest.fixture
def logged() -> Iterator[io.StringIO]:
    """What a server with --json-log writes."""
    written = io.StringIO()
    handler = logging.StreamHandler(written)
    handler.setFormatter(JsonLines())
    logger = logging.getLogger("gaugewalk")
    before = logger.level
    logger.addHandler(handler)
    logger.setLevel(logging.INFO)
    yield written
    logger.removeHandler(handler)
    logger.setLevel(before)


def numbers(text: str) -> dict[str, float]:
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    return {name: float(value) for name, value in (line.rsplit(" ", 1) for line in lines)}


def test_alive_while_the_journal_answers(client: TestClient, watch: Watch) -> None:
    answer = client.get("/healthz")
    assert (answer.status_code, answer.json()) == (200, {"status": "ok"})
    with watch.journal.engine.begin() as connection:
        connection.exec_driver_sql("ALTER TABLE entries RENAME TO gone")
    answer = client.get("/healthz")
    assert (answer.status_code, answer.json()) == (503, {"status": "the journal does not answer"})


def test_metrics_are_lines_that_prometheus_reads(client: TestClient) -> None:
    answer = client.get("/metrics")
    assert answer.headers["content-type"] == "text/plain; version=0.0.4; charset=utf-8"
    lines = answer.text.splitlines()
    for line in lines:
        assert line.startswith(("# HELP ", "# TYPE ")) or LINE.match(line), line
    typed = {line.split()[2] for line in lines if line.startswith("# TYPE")}
    sampled = {re.sub(r"_(bucket|sum|count)$", "", n.split("{")[0]) for n in numbers(answer.text)}
    assert sampled <= typed


def test_what_is_asked_is_counted_by_its_pattern(client: TestClient, watch: Watch) -> None:
    before = numbers(client.get("/metrics").text)
    client.get(f"/pump/{TROUBLED}")
    client.get("/pump/NOPE")
    client.get("/whatever/somebody/tries")
    after = numbers(client.get("/metrics").text)

    def more(name: str) -> float:
        return after[name] - before.get(name, 0.0)

    total = "gaugewalk_requests_total"
    assert more(f'{total}{{method="GET",route="/pump/{{tag}}",status="200"}}') == 1
    assert more(f'{total}{{method="GET",route="/pump/{{tag}}",status="404"}}') == 1
    assert more(f'{total}{{method="GET",route="elsewhere",status="404"}}') == 1
    assert more('gaugewalk_request_seconds_count{route="/pump/{tag}"}') == 2
    assert not any("somebody" in name or TROUBLED in name for name in after)
    assert after["gaugewalk_journal_entries"] == watch.journal.last_seq()
    assert after['gaugewalk_pumps{severity="act"}'] == 1


def test_a_histogram_only_grows_from_edge_to_edge(client: TestClient) -> None:
    client.get("/pumps")
    found = numbers(client.get("/metrics").text)
    name = 'gaugewalk_request_seconds_bucket{route="/pumps",le="'
    count = found['gaugewalk_request_seconds_count{route="/pumps"}']
    below = [found[f'{name}{edge:g}"}}'] for edge in EDGES]
    assert below == sorted(below)
    assert below[-1] <= found[f'{name}+Inf"}}'] == count


def test_each_request_is_one_json_line_that_names_nobody(
    client: TestClient, logged: io.StringIO
) -> None:
    client.post("/more/name", data={"name": "R. Vale"})
    client.post(
        "/api/v1/notes", json={"tag": TROUBLED, "text": "seen by R. Vale", "who": "R. Vale"}
    )
    client.get("/work-it-out?tag=private")
    lines = [json.loads(line) for line in logged.getvalue().splitlines()]
    assert [(x["method"], x["route"], x["status"]) for x in lines] == [
        ("POST", "/more/name", 303),
        ("POST", "/api/v1/notes", 200),
        ("GET", "/work-it-out", 200),
    ]
    assert all(x["ms"] >= 0 and x["level"] == "info" and x["time"] for x in lines)
    for personal in ("Vale", "private", "testclient", TROUBLED):
        assert personal not in logged.getvalue()


def test_a_fault_is_one_json_line_too(logged: io.StringIO) -> None:
    try:
        raise ValueError("line one\nline two")
    except ValueError:
        logging.getLogger("gaugewalk.x").exception("it failed")
    (line,) = logged.getvalue().splitlines()
    assert "line two" in json.loads(line)["trace"]
