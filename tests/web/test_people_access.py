"""One table of rights over every address: complete, and obeyed by every address for every role."""

import re
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient

from gaugewalk.people import accounts, tokens
from gaugewalk.people.rights import RIGHTS, Right, Role
from gaugewalk.people.store import Store
from gaugewalk.web.access import RULES
from gaugewalk.web.app import ROUTES, create_app
from gaugewalk.web.entrance import Entrance
from tests.cheap_hashing import cheap_hashing

from .people_here import PASSWORD
from .seeded import NOW, TROUBLED, copy_of

FILLED = {
    "tag": TROUBLED, "point": "flow", "name": "npsh-available", "cause_id": "air-through-packing",
    "round_id": "0199e000-0000-7000-8000-000000000000",
}  # fmt: skip


@pytest.fixture(scope="module", autouse=True)
def _quick() -> Iterator[None]:
    with cheap_hashing():
        yield


@pytest.fixture(scope="module")
def people(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    store = Store.open(tmp_path_factory.mktemp("people") / "people.db")
    accounts.add_account(store, "R. Vale", Role.OPERATOR, now=NOW, password=PASSWORD)
    yield store
    store.close()


@pytest.fixture(scope="module")
def keys(people: Store) -> dict[Role, str]:
    made = {role: tokens.add_token(people, f"a {role}", role, days=9, now=NOW) for role in Role}
    return {role: key for role, (_, key) in made.items()}


@pytest.fixture(scope="module")
def guarded(
    seeded: Path, people: Store, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[FastAPI]:
    watch = copy_of(seeded, tmp_path_factory.mktemp("guarded"))
    yield create_app(watch, clock=ticking(), entrance=Entrance(people=people))
    watch.journal.close()


def ticking() -> Callable[[], datetime]:
    """A clock on which three seconds pass from one look to the next."""
    moment = NOW

    def now() -> datetime:
        nonlocal moment
        moment += timedelta(seconds=3)
        return moment

    return now


def addresses() -> list[str]:
    """Every method and address that the app answers."""
    return [
        f"{method} {route.path}"
        for routes in ROUTES
        for route in routes.router.routes
        for method in sorted(route.methods)
    ]


def asked(guarded: FastAPI, address: str, key: str | None, what: str = "") -> int:
    """Ask an address with a token; return the status."""
    method, path = address.split(" ")
    filled = re.sub(r"{(\w+)}", lambda found: FILLED.get(found[1], FILLED["round_id"]), path)
    headers = {"authorization": f"Bearer {key}"} if key else {"sec-fetch-site": "same-origin"}
    client = TestClient(guarded, follow_redirects=False)
    data = {"what": what} if what else None
    return client.request(method, filled, headers=headers, data=data).status_code


def test_every_address_is_in_the_table_and_nothing_else() -> None:
    assert sorted(RULES) == sorted(addresses())


def test_what_is_open_tells_nothing_of_the_plant_and_writes_nothing() -> None:
    open_ones = {address for address, rule in RULES.items() if rule.right is None}
    assert open_ones == {
        "GET /healthz", "GET /about", "POST /more/look",
        "GET /sign-in", "POST /sign-in", "GET /sign-in/elsewhere", "GET /sign-in/back",
        "POST /sign-out",
        "GET /worker.js", "GET /manifest.webmanifest", "GET /no-network", "GET /waiting",
        "GET /api/v1/units", "GET /api/v1/clock",
    }  # fmt: skip


def test_every_address_that_writes_asks_for_more_than_reading() -> None:
    for address, rule in RULES.items():
        if not address.startswith("GET ") and rule.right is not None:
            assert rule.right is not Right.READ, address


@pytest.mark.parametrize("address", sorted(RULES))
def test_every_address_is_held_to_its_right(
    guarded: FastAPI, keys: dict[Role, str], address: str
) -> None:
    rule = RULES[address]
    if rule.right is None:
        status = asked(guarded, address, None)
        # A sign-in without a name is refused by itself, not by the table.
        assert status == 401 if address == "POST /sign-in" else status not in (401, 403)
        return
    assert asked(guarded, address, None) == 401
    assert asked(guarded, address, "gaugewalk_not-one-of-ours") == 401
    for role, key in keys.items():
        status = asked(guarded, address, key)
        assert (status == 403) is (rule.right not in RIGHTS[role]), (role, status)
        assert status not in (401, 500)


@pytest.mark.parametrize(
    ("address", "what"),
    [(address, what) for address, rule in RULES.items() for what in rule.by_what],
)
def test_a_form_that_asks_for_more_is_held_to_that(
    guarded: FastAPI, keys: dict[Role, str], address: str, what: str
) -> None:
    needed = RULES[address].by_what[what]
    for role, key in keys.items():
        assert (asked(guarded, address, key, what) == 403) is (needed not in RIGHTS[role])


def test_an_address_without_a_rule_is_closed(
    guarded: FastAPI, keys: dict[Role, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delitem(RULES, "GET /pumps")  # type: ignore[arg-type]  # a dict at run time
    assert [asked(guarded, "GET /pumps", key) for key in keys.values()] == [403] * len(Role)


def test_a_refusal_says_who_may(guarded: FastAPI, keys: dict[Role, str]) -> None:
    headers = {"authorization": f"Bearer {keys[Role.READER]}"}
    answer = TestClient(guarded).post("/api/v1/notes", json={}, headers=headers)
    assert "operator or shift lead or engineer" in answer.json()["error"]


def test_without_accounts_nobody_is_asked(seeded: Path, tmp_path: Path) -> None:
    watch = copy_of(seeded, tmp_path)
    client = TestClient(create_app(watch, clock=lambda: NOW))
    assert client.get("/pumps").status_code == 200
    assert client.get("/sign-in").status_code == 404
    passed_on = client.get("/pumps", headers={"x-forwarded-for": "10.0.0.7"})
    assert passed_on.status_code == 403
    assert "nobody signs in here" in passed_on.json()["error"]
    watch.journal.close()
