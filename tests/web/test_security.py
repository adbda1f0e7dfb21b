"""The door's guard: headers on every answer, nothing from other sites or under other names."""

import pytest
from starlette.testclient import TestClient

from gaugewalk.web.body import LARGEST_BODY
from gaugewalk.web.security import HEADERS

NOTE = {"tag": "W21A", "text": "x"}


@pytest.mark.parametrize("address", ["/", "/static/look.css", "/api/v1/pumps", "/nothing"])
def test_headers_on_every_answer(client: TestClient, address: str) -> None:
    answer = client.get(address)
    for name, value in HEADERS.items():
        assert answer.headers[name] == value
    assert "unsafe" not in answer.headers["Content-Security-Policy"]


def test_what_is_told_of_a_pump_is_not_kept_by_the_browser(client: TestClient) -> None:
    assert client.get("/pumps").headers["cache-control"] == "no-store"


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"origin": "http://testserver"}, 200),
        ({}, 200),
        ({"sec-fetch-site": "same-origin"}, 200),
        ({"sec-fetch-site": "none"}, 200),
        ({"origin": "http://evil.example"}, 403),
        ({"origin": "null"}, 403),
        ({"origin": "http://testserver:81"}, 403),
        ({"sec-fetch-site": "cross-site"}, 403),
    ],
)
def test_only_our_own_pages_may_write(
    client: TestClient, headers: dict[str, str], status: int
) -> None:
    assert client.post("/api/v1/notes", json=NOTE, headers=headers).status_code == status


@pytest.mark.parametrize(
    ("host", "status"),
    [
        ("127.0.0.1:8765", 200),
        ("localhost", 200),
        ("[::1]:8765", 200),
        ("evil.example", 421),
        ("127.0.0.1.evil.example:8765", 421),
        ("", 421),
    ],
)
def test_only_under_our_own_name(client: TestClient, host: str, status: int) -> None:
    assert client.get("/pumps", headers={"host": host}).status_code == status


def test_too_much_at_once_is_refused(client: TestClient) -> None:
    answer = client.post("/api/v1/notes", content=b"x" * (LARGEST_BODY + 1))
    assert answer.status_code == 413


def test_cookies_are_kept_from_scripts_and_other_sites(client: TestClient) -> None:
    cookie = client.post("/more/name", data={"name": "R."}).headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
