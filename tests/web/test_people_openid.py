"""Signing in at a provider: a small real one is run here, which can also be made to lie."""

import json
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import timedelta
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
from authlib.oauth2.rfc7636 import create_s256_code_challenge
from fastapi import FastAPI
from joserfc import jwt
from joserfc.jwk import OctKey, RSAKey

from gaugewalk.errors import ArgumentError
from gaugewalk.people import accounts
from gaugewalk.people.rights import Role
from gaugewalk.people.store import Store
from gaugewalk.web.app import create_app
from gaugewalk.web.entrance import Entrance
from gaugewalk.web.openid import Provider

from .people_here import Browser
from .seeded import NOW, copy_of

CLIENT, SECRET = "gaugewalk", "a secret between two"
KEY = RSAKey.generate_key(2048, {"kid": "one", "use": "sig"})
OTHER = RSAKey.generate_key(2048, {"kid": "one", "use": "sig"})


@dataclass
class SmallProvider:
    """What the provider knows, and how it is made to lie."""

    address: str = ""
    challenges: dict[str, str] = field(default_factory=dict)  # code -> challenge
    nonces: dict[str, str] = field(default_factory=dict)
    claims: dict[str, Any] = field(default_factory=dict)  # said instead of the truth
    key: Any = field(default_factory=lambda: KEY)
    algorithm: str = "RS256"
    called: str | None = None  # calls itself otherwise

    def authorize(self, asked: str) -> str:
        """Let the person in at once; return the address to go back to."""
        given = {k: v[0] for k, v in parse_qs(urlsplit(asked).query).items()}
        assert given["response_type"] == "code"
        assert given["client_id"] == CLIENT
        assert given["code_challenge_method"] == "S256"
        code = f"code-{len(self.challenges)}"
        self.challenges[code] = given["code_challenge"]
        self.nonces[code] = given["nonce"]
        return f"{given['redirect_uri']}?state={given['state']}&code={code}"

    def token(self, given: dict[str, str]) -> dict[str, str] | None:
        """Exchange a code, once, for whoever has its verifier and the secret."""
        challenge = self.challenges.pop(given["code"], None)
        if challenge != create_s256_code_challenge(given["code_verifier"]):
            return None
        if (given["client_id"], given["client_secret"]) != (CLIENT, SECRET):
            return None
        truth = {
            "iss": self.address, "aud": CLIENT, "sub": "v-1", "nonce": self.nonces[given["code"]],
            "iat": int(NOW.timestamp()), "exp": int((NOW + timedelta(minutes=5)).timestamp()),
            "email": "vale@larkmoor.example", "email_verified": True,
        }  # fmt: skip
        claims = {k: v for k, v in (truth | self.claims).items() if v is not None}
        header = {"alg": self.algorithm, "kid": "one"}
        made = jwt.encode(header, claims, self.key, algorithms=[self.algorithm])
        return {"access_token": "x", "token_type": "Bearer", "id_token": made}

    def description(self) -> dict[str, str]:
        return {
            "issuer": self.called or self.address,
            "authorization_endpoint": f"{self.address}/authorize",
            "token_endpoint": f"{self.address}/token",
            "jwks_uri": f"{self.address}/keys",
        }


def handler_for(provider: SmallProvider) -> type[BaseHTTPRequestHandler]:
    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            answers = {
                "/.well-known/openid-configuration": provider.description,
                "/keys": lambda: {"keys": [KEY.as_dict(private=False)]},
            }
            self.answer(answers[self.path]())

        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers["content-length"])).decode()
            self.answer(provider.token({k: v[0] for k, v in parse_qs(body).items()}))

        def answer(self, said: dict[str, Any] | None) -> None:
            body = json.dumps(said or {"error": "invalid_grant"}).encode()
            self.send_response(200 if said else 400)
            self.send_header("content-length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, *_args: object) -> None:
            """Say nothing."""

    return Handler


@pytest.fixture(scope="module")
def running() -> Iterator[SmallProvider]:
    provider = SmallProvider()
    server = ThreadingHTTPServer(("127.0.0.1", 0), handler_for(provider))
    provider.address = f"http://127.0.0.1:{server.server_port}"
    threading.Thread(target=server.serve_forever, args=(0.02,), daemon=True).start()
    yield provider
    server.shutdown()
    server.server_close()


@pytest.fixture
def provider(running: SmallProvider) -> SmallProvider:
    running.claims, running.key, running.algorithm, running.called = {}, KEY, "RS256", None
    return running


@pytest.fixture(scope="module")
def app(
    seeded: Path, running: SmallProvider, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[FastAPI]:
    folder = tmp_path_factory.mktemp("openid")
    people = Store.open(folder / "people.db")
    accounts.add_account(people, "R. Vale", Role.OPERATOR, now=NOW, openid="v-1")
    accounts.add_account(people, "S. Finch", Role.READER, now=NOW, openid="finch@larkmoor.example")
    watch = copy_of(seeded, folder)
    yield create_app(watch, clock=lambda: NOW, entrance=entrance(people, running))
    watch.journal.close()
    people.close()


def entrance(people: Store, running: SmallProvider, claim: str = "sub") -> Entrance:
    known = Provider(issuer=running.address, client_id=CLIENT, client_secret=SECRET, claim=claim)
    return Entrance(people=people, openid=known)


@contextmanager
def known_by(app: FastAPI, other: Entrance) -> Iterator[None]:
    before = app.state.entrance
    app.state.entrance = other
    yield
    app.state.entrance = before


def come_back(browser: Browser, provider: SmallProvider, to: str = "/pumps"):
    """Go to the provider and back."""
    sent = browser.get(f"/sign-in/elsewhere?to={to}")
    assert sent.status_code == 303
    return browser.get(provider.authorize(sent.headers["location"]))


def test_the_page_leads_there_and_back_in(app: FastAPI, provider: SmallProvider) -> None:
    browser = Browser(app)
    assert "/sign-in/elsewhere?to=/pumps" in browser.get("/sign-in?to=/pumps").text
    done = come_back(browser, provider)
    assert (done.status_code, done.headers["location"]) == (303, "/pumps")
    assert "Written down as R. Vale, operator." in browser.get("/pumps").text


def test_an_account_may_be_known_by_a_verified_mail_address(
    app: FastAPI, provider: SmallProvider
) -> None:
    provider.claims = {"email": "finch@larkmoor.example", "sub": "v-1"}
    browser = Browser(app)
    with known_by(app, entrance(app.state.entrance.people, provider, "email")):
        assert come_back(browser, provider).status_code == 303
        assert "S. Finch" in browser.get("/more").text
        provider.claims["email_verified"] = False
        refused = come_back(Browser(app), provider)
    assert refused.status_code == 401
    assert "has not verified" in refused.text


@pytest.mark.parametrize(
    "lie",
    [
        {"iss": "https://evil.example"},
        {"aud": "another program"},
        {"aud": [CLIENT, "another"], "azp": "another"},
        {"nonce": "of another sign-in"},
        {"nonce": None},
        {"sub": None},
        {"exp": int((NOW - timedelta(minutes=2)).timestamp())},
        {"exp": None},
        {"iat": int((NOW + timedelta(minutes=5)).timestamp())},
    ],
)
def test_what_does_not_hold_lets_nobody_in(
    app: FastAPI, provider: SmallProvider, lie: dict[str, Any]
) -> None:
    provider.claims = lie
    refused = come_back(Browser(app), provider)
    assert refused.status_code == 401
    assert "does not hold" in refused.text
    assert "gaugewalk_session" not in refused.headers.get("set-cookie", "")


@pytest.mark.parametrize(
    ("key", "algorithm"), [(OTHER, "RS256"), (OctKey.import_key(SECRET), "HS256")]
)
def test_a_token_signed_by_another_lets_nobody_in(
    app: FastAPI, provider: SmallProvider, key: Any, algorithm: str
) -> None:
    provider.key, provider.algorithm = key, algorithm
    assert come_back(Browser(app), provider).status_code == 401


def test_one_without_an_account_is_told_so(app: FastAPI, provider: SmallProvider) -> None:
    provider.claims = {"sub": "stranger"}
    refused = come_back(Browser(app), provider)
    assert refused.status_code == 401
    assert "No account here belongs to" in refused.text


def test_a_sign_in_begun_elsewhere_is_refused(app: FastAPI, provider: SmallProvider) -> None:
    """Else somebody could be signed in as another by a link."""
    sent = Browser(app).get("/sign-in/elsewhere")
    refused = Browser(app).get(provider.authorize(sent.headers["location"]))
    assert refused.status_code == 401
    assert "not begun here" in refused.text


def test_the_same_answer_is_worth_something_once(app: FastAPI, provider: SmallProvider) -> None:
    browser = Browser(app)
    sent = browser.get("/sign-in/elsewhere")
    back = provider.authorize(sent.headers["location"])
    state = browser.client.cookies["gaugewalk_state"]
    assert browser.get(back).status_code == 303
    browser.client.cookies.set("gaugewalk_state", state, path="/sign-in")
    refused = browser.get(back)
    assert refused.status_code == 401
    assert "came back before" in refused.text


def test_a_provider_that_calls_itself_otherwise_is_not_asked(
    app: FastAPI, provider: SmallProvider
) -> None:
    provider.called = "https://evil.example"
    answer = Browser(app).get("/sign-in/elsewhere")
    assert (answer.status_code, answer.headers.get("location")) == (401, None)
    assert "calls itself" in answer.text


def test_a_provider_that_cannot_be_reached_is_told_with_the_other_way(app: FastAPI) -> None:
    gone = Provider(issuer="http://127.0.0.1:9", client_id=CLIENT, client_secret=SECRET)
    with known_by(app, Entrance(people=app.state.entrance.people, openid=gone)):
        answer = Browser(app).get("/sign-in/elsewhere")
    assert answer.status_code == 401
    assert "sign in with a password" in answer.text


@pytest.mark.parametrize("issuer", ["http://provider.example", "ftp://x", "file:///etc/passwd", ""])
def test_only_https_is_asked(issuer: str) -> None:
    with pytest.raises(ArgumentError, match="https"):
        Provider(issuer=issuer, client_id=CLIENT, client_secret=SECRET)


def test_the_secret_is_not_shown(provider: SmallProvider) -> None:
    known = Provider(issuer=provider.address, client_id=CLIENT, client_secret=SECRET)
    assert SECRET not in repr(known)
