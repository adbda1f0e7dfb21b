"""Signing in on the page, what it protects, and under whose name things are written down."""

import logging
from collections.abc import Iterator
from pathlib import Path
from uuid import UUID

import pytest
from fastapi import FastAPI

from gaugewalk.people import accounts
from gaugewalk.people.rights import Role
from gaugewalk.people.store import Store
from gaugewalk.people.tokens import add_token
from gaugewalk.watch.service import Watch
from gaugewalk.web.app import create_app
from gaugewalk.web.door import Door
from gaugewalk.web.entrance import Entrance
from gaugewalk.web.recognize import Recognizer
from tests.cheap_hashing import cheap_hashing

from .people_here import PASSWORD, Browser
from .seeded import NOW, TROUBLED, copy_of

NOTE = {"tag": TROUBLED, "text": "Guard loose"}


@pytest.fixture(scope="module", autouse=True)
def _quick() -> Iterator[None]:
    with cheap_hashing():
        yield


@pytest.fixture(scope="module")
def shared(seeded: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[FastAPI]:
    folder = tmp_path_factory.mktemp("shared")
    people = Store.open(folder / "people.db")
    accounts.add_account(people, "R. Vale", Role.OPERATOR, now=NOW, password=PASSWORD)
    accounts.add_account(people, "S. Finch", Role.READER, now=NOW, password=PASSWORD)
    watch = copy_of(seeded, folder)
    yield create_app(watch, clock=lambda: NOW, entrance=Entrance(people=people))
    watch.journal.close()
    people.close()


@pytest.fixture
def app(shared: FastAPI, watch: Watch) -> FastAPI:
    """The app over a journal of the test's own; nobody is remembered from the test before."""
    shared.state.door = Door(watch=watch, clock=lambda: NOW)
    shared.state.recognizer.forget()
    return shared


@pytest.fixture
def browser(app: FastAPI) -> Browser:
    made = Browser(app)
    assert made.sign_in("R. Vale").status_code == 303
    return made


def test_one_who_only_looks_is_sent_to_sign_in_and_on_from_there(app: FastAPI) -> None:
    browser = Browser(app)
    sent = browser.get(f"/pump/{TROUBLED}?x=1")
    assert (sent.status_code, sent.headers["location"]) == (
        303,
        f"/sign-in?to=/pump/{TROUBLED}%3Fx%3D1",
    )
    asking = browser.get(sent.headers["location"])
    assert f'value="/pump/{TROUBLED}?x=1"' in asking.text
    done = browser.sign_in("R. Vale", to=f"/pump/{TROUBLED}?x=1")
    assert (done.status_code, done.headers["location"]) == (303, f"/pump/{TROUBLED}?x=1")
    assert browser.get(done.headers["location"]).status_code == 200


@pytest.mark.parametrize("to", ["//evil.example", "https://evil.example", "/\\evil.example", "x"])
def test_signing_in_leads_nowhere_else(app: FastAPI, to: str) -> None:
    assert Browser(app).sign_in("R. Vale", to=to).headers["location"] == "/"


def test_a_program_is_told_in_json(app: FastAPI) -> None:
    answer = Browser(app).client.get("/api/v1/pumps")
    assert answer.status_code == 401
    assert answer.headers["www-authenticate"] == "Bearer"
    assert set(answer.json()) == {"error", "given", "expected", "do"}


def test_the_session_is_kept_from_scripts_and_from_other_sites(app: FastAPI) -> None:
    cookie = Browser(app).sign_in("R. Vale").headers["set-cookie"].lower()
    assert all(word in cookie for word in ("httponly", "samesite=lax", "path=/", "max-age=50400"))
    assert "secure" not in cookie


def test_by_https_the_cookie_goes_no_other_way(app: FastAPI, watch: Watch) -> None:
    people = app.state.entrance.people
    entrance = Entrance(people=people, names=frozenset({"pumps.example"}), secure=True)
    safe = create_app(watch, clock=lambda: NOW, entrance=entrance)
    browser = Browser(safe, address="https://pumps.example")
    answer = browser.sign_in("R. Vale")
    assert answer.headers["set-cookie"].startswith("__Host-gaugewalk_session=")
    assert "secure" in answer.headers["set-cookie"].lower()
    assert answer.headers["strict-transport-security"] == "max-age=31536000"
    assert browser.get("/pumps").status_code == 200
    elsewhere = Browser(safe, address="https://other.example")
    assert elsewhere.get("/healthz").status_code == 421


def test_a_wrong_password_is_told_on_the_page_and_the_name_stays(app: FastAPI) -> None:
    answer = Browser(app).sign_in("R. Vale", "something else")
    assert answer.status_code == 401
    assert "do not fit together" in answer.text
    assert 'value="R. Vale"' in answer.text
    assert "something else" not in answer.text


def test_after_many_tries_the_page_says_how_long_to_wait(app: FastAPI) -> None:
    browser = Browser(app)
    answers = [browser.sign_in("Guessed", f"try {n}") for n in range(6)]
    assert [a.status_code for a in answers] == [401] * 5 + [429]
    assert int(answers[-1].headers["retry-after"]) > 0
    assert "Too many tries" in answers[-1].text


def test_nothing_secret_is_logged(app: FastAPI, caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.DEBUG)
    browser = Browser(app)
    browser.sign_in("R. Vale")
    browser.sign_in("R. Vale", "some other words")
    key = browser.client.cookies["gaugewalk_session"]
    for secret in (PASSWORD, "some other words", key, "R. Vale"):
        assert secret not in caplog.text


# ------------------------------------------------------------------ signing out


def test_after_signing_out_the_session_is_worth_nothing(browser: Browser) -> None:
    key = browser.client.cookies["gaugewalk_session"]
    assert browser.post("/sign-out").headers["location"] == "/sign-in"
    browser.client.cookies.set("gaugewalk_session", key)
    assert browser.get("/pumps").status_code == 303


def test_signing_out_everywhere(app: FastAPI, browser: Browser) -> None:
    other = Browser(app)
    other.sign_in("R. Vale")
    assert other.get("/pumps").status_code == 200
    browser.post("/sign-out", data={"everywhere": "yes"})
    assert other.get("/pumps").status_code == 303


def test_a_session_ended_elsewhere_ends_here_within_two_seconds(
    app: FastAPI, browser: Browser, watch: Watch
) -> None:
    assert browser.get("/pumps").status_code == 200
    accounts.close_account(app.state.entrance.people, "R. Vale")
    try:
        late = NOW.replace(second=NOW.second + 3)
        app.state.door = Door(watch=watch, clock=lambda: late)
        assert browser.get("/pumps").status_code == 303
    finally:
        accounts.reopen_account(app.state.entrance.people, "R. Vale")


# ------------------------------------------------------------------ other sites


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"origin": "http://testserver"}, 200),
        ({"sec-fetch-site": "same-origin"}, 200),
        ({}, 403),  # with a session, a post must say where it comes from
        ({"sec-fetch-site": "none"}, 403),
        ({"origin": "null"}, 403),
        ({"origin": "http://evil.example"}, 403),
        ({"origin": "http://testserver", "sec-fetch-site": "cross-site"}, 403),
    ],
)
def test_a_session_writes_from_our_own_pages_only(
    browser: Browser, headers: dict[str, str], status: int
) -> None:
    answer = browser.client.post("/api/v1/notes", json=NOTE, headers=headers)
    assert answer.status_code == status
    form = {"what": "note", "text": "x"}
    posted = browser.client.post(f"/pump/{TROUBLED}", data=form, headers=headers)
    assert (posted.status_code == 303) is (status == 200)


def test_a_foreign_site_cannot_sign_somebody_in(app: FastAPI) -> None:
    data = {"name": "R. Vale", "password": PASSWORD}
    for headers in ({}, {"origin": "http://evil.example"}):
        answer = Browser(app).client.post("/sign-in", data=data, headers=headers)
        assert answer.status_code == 403
        assert "set-cookie" not in answer.headers


def test_a_token_needs_no_origin(app: FastAPI, watch: Watch) -> None:
    _, key = add_token(app.state.entrance.people, "level feed", Role.OPERATOR, days=1, now=NOW)
    headers = {"authorization": f"Bearer {key}"}
    answer = Browser(app).client.post("/api/v1/notes", json=NOTE, headers=headers)
    assert answer.status_code == 200
    assert watch.journal.get(UUID(answer.json()["id"])).who == "level feed"


def test_a_token_that_is_wrong_does_not_fall_back_to_the_session(browser: Browser) -> None:
    headers = {"authorization": "Bearer wrong"}
    answer = browser.client.post("/api/v1/notes", json=NOTE, headers=headers)
    assert answer.status_code == 401


# ------------------------------------------------------------------ who


def test_who_is_the_one_who_signed_in_whatever_was_said(browser: Browser, watch: Watch) -> None:
    browser.client.cookies.set("gaugewalk_name", b"S. Finch".hex())
    for sent in (NOTE, NOTE | {"who": "r. vale"}):
        made = browser.post("/api/v1/notes", json=sent).json()["id"]
        assert watch.journal.get(UUID(made)).who == "R. Vale"
    before = watch.journal.last_seq()
    answer = browser.post(
        f"/pump/{TROUBLED}", data={"what": "note", "text": "x", "who": "S. Finch"}
    )
    assert answer.status_code == 303
    assert [e.who for e in watch.journal.entries(after=before)] == ["R. Vale"]


def test_what_another_wrote_is_not_put_under_my_name(browser: Browser, watch: Watch) -> None:
    """A phone that changed hands still holds records of the one before."""
    before = watch.journal.last_seq()
    answer = browser.post("/api/v1/notes", json=NOTE | {"who": "S. Finch"})
    assert answer.status_code == 403
    assert "once S. Finch signs in" in answer.json()["error"]
    assert watch.journal.last_seq() == before


def test_the_page_says_who_and_shows_a_reader_no_forms(app: FastAPI, browser: Browser) -> None:
    page = browser.get(f"/pump/{TROUBLED}").text
    assert "Written down as R. Vale, operator." in page
    assert "reads-only" not in page
    assert "Sign out on every device" in browser.get("/more").text
    reader = Browser(app)
    reader.sign_in("S. Finch")
    assert 'class="reads-only"' in reader.get(f"/pump/{TROUBLED}").text
    answer = reader.post(f"/pump/{TROUBLED}", data={"what": "note", "text": "x"})
    assert answer.status_code == 403
    assert "S. Finch is reader here" in answer.text


def test_a_form_whose_session_has_ended_says_what_to_do(app: FastAPI) -> None:
    answer = Browser(app).post(f"/pump/{TROUBLED}", data={"what": "note", "text": "x"})
    assert answer.status_code == 401
    assert "what you typed is still there" in answer.text


def test_few_answers_are_remembered_and_no_more(app: FastAPI) -> None:
    recognizer: Recognizer = app.state.recognizer
    browser = Browser(app)
    for wrong in range(5):
        browser.client.get("/pumps", headers={"authorization": f"Bearer {wrong}"})
    assert not recognizer._last
