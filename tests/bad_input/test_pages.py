"""Forms filled in with rubbish, addresses that lead out of the house: refused, no fault of ours."""

import re
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import quote

import pytest
from fastapi import FastAPI
from fastapi.routing import APIRoute
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from starlette.testclient import TestClient

from gaugewalk.watch.service import Watch
from gaugewalk.web.door import HERE, Door
from tests.web.conftest import app, client, seeded, watch  # noqa: F401  # its fixtures
from tests.web.seeded import NOW, TAGS

from .forms_found import Form, forms_on

EXAMPLES = 120
WORDS = (
    *("", " ", "0", "-1", "3.1 barg", "31", "1e400", "NaN", "9" * 400, "yes", "normal", "act"),
    *("started", "discharge_pressure", "motor_current", "\0", "\ud83d", "🔧" * 30, "<b>x</b>"),
    *("{{ 7 * 7 }}", "=1+1", "//evil.example", "/pumps", "2025-11-20", "0001-01-01T00:00"),
    *("9999-12-31T23:59", "99:99", "skip", "reading", "sign", "x" * 5000),
)
AWAY = (
    *("../../../../../../etc/passwd", "..", "../app.py", "../templates/base.html", "....//app.py"),
    *("..\\..\\app.py", "/etc/passwd", "%2e%2e%2fapp.py", "%252e%252e%252fapp.py", "\0", "a\0.css"),
    *("~/.bashrc", "file:///etc/passwd", "x" * 3000, "\ud83d", "🔧", "W21A/../W21B", "*", "con"),
)


def routes_of(app: FastAPI, method: str) -> list[APIRoute]:  # noqa: F811
    return [
        inner
        for route in app.routes
        for inner in getattr(getattr(route, "original_router", route), "routes", [route])
        if isinstance(inner, APIRoute) and method in inner.methods
    ]


def safe(text: str) -> str:
    """Write a text as part of an address, whatever is in it."""
    return quote(text.encode("utf-8", "surrogatepass"), safe="")


def filled(path: str, values: Iterator[str]) -> str:
    """Put values in the place of what an address leaves open."""
    return re.sub(r"\{\w+(:\w+)?\}", lambda _: next(values), path)


def test_no_form_is_a_fault_of_ours(app: FastAPI, watch: Watch) -> None:  # noqa: F811
    app.state.door = Door(watch=watch, clock=lambda: NOW)
    door = TestClient(app, raise_server_exceptions=False, follow_redirects=False)
    door.post("/rounds", data={"name": "water side"})  # so that one is being walked
    found = list(forms_on(door))
    assert len(found) > 20
    values = st.sampled_from([*WORDS, *TAGS]) | st.text(max_size=6)
    seen: set[int] = set()

    @settings(max_examples=EXAMPLES, suppress_health_check=list(HealthCheck))
    @given(st.sampled_from(found), st.data())
    def send(form: Form, data: st.DataObject) -> None:
        proper = {name: data.draw(st.sampled_from(given)) for name, given in form.fields.items()}
        odd = data.draw(st.dictionaries(st.sampled_from(sorted(form.fields)), values, max_size=3))
        body = "&".join(f"{name}={safe(value)}" for name, value in {**proper, **odd}.items())
        sort = {"content-type": "application/x-www-form-urlencoded"}
        answer = door.post(form.action, content=body, headers=sort)
        seen.add(answer.status_code)
        assert answer.status_code < 500, (form.action, proper, odd)

    send()
    assert {303, 422} <= seen
    assert watch.journal.verify().ok


@pytest.mark.parametrize("part", AWAY, ids=range(len(AWAY)))
def test_no_address_leads_out_of_the_house(app: FastAPI, client: TestClient, part: str) -> None:  # noqa: F811
    door = TestClient(app, raise_server_exceptions=False, follow_redirects=False)
    door.app.state.door = client.app.state.door  # type: ignore[attr-defined]
    open_ended = sorted({r.path for r in routes_of(app, "GET") if "{" in r.path})
    assert len(open_ended) > 10
    static = ["/static/{p}", "/static/000000000000/{p}", "/{p}", "/static/vendor/{p}"]
    for path in [*open_ended, *static]:
        for written in (safe(part), quote(part.encode("utf-8", "surrogatepass"), safe="/.%\\~:")):
            answer = door.get(filled(path, iter([written] * 4)))
            assert answer.status_code < 500, (path, written)
            assert "root:" not in answer.text
            if answer.status_code == 200:
                assert path not in static or answer.url.path.count("..") == 0


def test_only_what_lies_in_the_folder_is_served(client: TestClient) -> None:  # noqa: F811
    for path in HERE.rglob("*"):
        inside = (HERE / "static") in path.parents
        if path.is_file() and not inside and path.suffix in {".py", ".html", ".js"}:
            steps = Path(path).relative_to(HERE)
            assert client.get(f"/static/%2e%2e/{steps}").status_code == 404
            assert client.get(f"/static/{steps}").status_code == 404
