"""Signing in: the right password and no other, for a time, until somebody ends it."""

from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from pathlib import Path

import pytest

from gaugewalk.errors import SignInError
from gaugewalk.people import accounts
from gaugewalk.people.rights import Role
from gaugewalk.people.sessions import (
    IDLE,
    LASTS,
    Caller,
    member_of_session,
    sign_in,
    sign_in_by_openid,
    sign_out,
    sign_out_everywhere,
)
from gaugewalk.people.store import Store
from gaugewalk.people.throttle import FORGOTTEN, FREE

from .conftest import NOW, PASSWORD

HERE = Caller(address="10.0.0.7", now=NOW)


@pytest.fixture
def vale(store: Store) -> Store:
    accounts.add_account(store, "R. Vale", Role.OPERATOR, now=NOW, password=PASSWORD)
    return store


def later(span: timedelta, address: str = "10.0.0.7") -> Caller:
    return Caller(address=address, now=NOW + span)


def fail(store: Store, times: int, *, name: str = "R. Vale", caller: Caller = HERE) -> None:
    for _ in range(times):
        with pytest.raises(SignInError, match="do not fit"):
            sign_in(store, name, "not the password", caller)


def test_who_signed_in_is_known_by_the_session(vale: Store) -> None:
    key = sign_in(vale, "r.  VALE", PASSWORD, HERE)  # however the name is written
    member = member_of_session(vale, key, NOW)
    assert member is not None
    assert (member.name, member.role) == ("R. Vale", Role.OPERATOR)
    assert member_of_session(vale, key + "x", NOW) is None
    assert member_of_session(vale, "", NOW) is None


@pytest.mark.parametrize("name", ["R. Vale", "Nobody", "", "\x00", "R. Vale' OR '1'='1"])
def test_a_wrong_name_is_told_like_a_wrong_password(vale: Store, name: str) -> None:
    with pytest.raises(SignInError, match="Name and password do not fit together"):
        sign_in(vale, name, "wrong " + PASSWORD, HERE)


def test_a_session_ends_by_itself(vale: Store) -> None:
    key = sign_in(vale, "R. Vale", PASSWORD, HERE)
    assert member_of_session(vale, key, NOW + IDLE - timedelta(minutes=1)) is not None
    assert member_of_session(vale, key, NOW + 2 * IDLE - timedelta(hours=1)) is not None
    assert member_of_session(vale, key, NOW + LASTS) is None


def test_a_session_not_used_ends_sooner(vale: Store) -> None:
    key = sign_in(vale, "R. Vale", PASSWORD, HERE)
    assert member_of_session(vale, key, NOW + IDLE) is None


def test_signing_out_ends_one_session_or_all(vale: Store) -> None:
    first, second, third = (sign_in(vale, "R. Vale", PASSWORD, HERE) for _ in range(3))
    sign_out(vale, first)
    assert member_of_session(vale, first, NOW) is None
    assert member_of_session(vale, second, NOW) is not None
    assert sign_out_everywhere(vale, "r. vale") == 2
    assert member_of_session(vale, third, NOW) is None


def test_a_new_password_and_a_closed_account_end_all_sessions(vale: Store) -> None:
    key = sign_in(vale, "R. Vale", PASSWORD, HERE)
    accounts.set_password(vale, "R. Vale", "another row of words")
    assert member_of_session(vale, key, NOW) is None
    fail(vale, 1)
    key = sign_in(vale, "R. Vale", "another row of words", HERE)
    accounts.close_account(vale, "R. Vale")
    assert member_of_session(vale, key, NOW) is None
    with pytest.raises(SignInError):
        sign_in(vale, "R. Vale", "another row of words", HERE)
    accounts.reopen_account(vale, "R. Vale")
    assert member_of_session(vale, key, NOW) is None


def test_a_new_role_holds_at_once(vale: Store) -> None:
    key = sign_in(vale, "R. Vale", PASSWORD, HERE)
    accounts.set_role(vale, "R. Vale", Role.READER)
    member = member_of_session(vale, key, NOW)
    assert member is not None
    assert member.role is Role.READER


def test_the_provider_opens_only_accounts_that_are_there(vale: Store) -> None:
    with pytest.raises(SignInError, match="No account here belongs to 'f-17'"):
        sign_in_by_openid(vale, "f-17", HERE)
    accounts.add_account(vale, "S. Finch", Role.ENGINEER, now=NOW, openid="f-17")
    member = member_of_session(vale, sign_in_by_openid(vale, "f-17", HERE), NOW)
    assert member is not None
    assert member.name == "S. Finch"
    accounts.close_account(vale, "S. Finch")
    with pytest.raises(SignInError):
        sign_in_by_openid(vale, "f-17", HERE)


def test_one_without_a_password_cannot_use_one(store: Store) -> None:
    accounts.add_account(store, "S. Finch", Role.ENGINEER, now=NOW, openid="f-17")
    for password in ("", "None", "nobody has this password"):
        with pytest.raises(SignInError):
            sign_in(store, "S. Finch", password, HERE)


# ------------------------------------------------------------------ guessing


def test_after_five_failures_a_try_has_to_wait(vale: Store) -> None:
    fail(vale, FREE["pair"])
    with pytest.raises(SignInError, match="Too many tries") as caught:
        sign_in(vale, "R. Vale", PASSWORD, HERE)  # the right one has to wait too
    assert 0 < caught.value.wait <= 16
    assert sign_in(vale, "R. Vale", PASSWORD, later(timedelta(seconds=16)))


def test_the_wait_doubles_and_is_forgotten(vale: Store) -> None:
    fail(vale, FREE["pair"])
    fail(vale, 1, caller=later(timedelta(seconds=16)))
    with pytest.raises(SignInError) as caught:
        sign_in(vale, "R. Vale", PASSWORD, later(timedelta(seconds=17)))
    assert 16 < caught.value.wait <= 30
    late = later(timedelta(seconds=17) + FORGOTTEN)
    fail(vale, FREE["pair"], caller=late)  # begins anew


def test_others_elsewhere_are_not_locked_out(vale: Store) -> None:
    """Somebody who mistypes a name on purpose cannot keep its owner out from another address."""
    fail(vale, FREE["pair"])
    assert sign_in(vale, "R. Vale", PASSWORD, later(timedelta(0), "10.0.0.8"))


def test_one_address_cannot_try_many_names(vale: Store) -> None:
    for number in range(FREE["address"]):
        fail(vale, 1, name=f"name {number}")
    with pytest.raises(SignInError, match="Too many tries"):
        sign_in(vale, "one more", PASSWORD, HERE)


def test_one_name_cannot_be_tried_from_everywhere(vale: Store) -> None:
    for number in range(FREE["name"]):
        fail(vale, 1, caller=later(timedelta(0), f"10.0.1.{number}"))
    with pytest.raises(SignInError, match="Too many tries"):
        sign_in(vale, "R. Vale", PASSWORD, later(timedelta(0), "10.0.2.1"))


def test_signing_in_forgives_the_person_but_not_the_address(vale: Store) -> None:
    for _ in range(FREE["address"] // 4):
        fail(vale, 4)
        sign_in(vale, "R. Vale", PASSWORD, HERE)
    fail(vale, FREE["address"] - 4 * (FREE["address"] // 4), name="another")
    with pytest.raises(SignInError, match="Too many tries"):
        sign_in(vale, "yet another", PASSWORD, HERE)


def test_many_tries_at_once_are_no_way_around(vale: Store) -> None:
    def once(number: int) -> str:
        try:
            sign_in(vale, "R. Vale", f"guess number {number}", HERE)
        except SignInError as error:
            return str(error)
        return "in"

    with ThreadPoolExecutor(12) as pool:
        said = list(pool.map(once, range(24)))
    assert sum("do not fit" in one for one in said) == FREE["pair"]


def test_neither_passwords_nor_keys_nor_addresses_are_kept(vale: Store, tmp_path: Path) -> None:
    fail(vale, 2)
    key = sign_in(vale, "R. Vale", PASSWORD, HERE)
    vale.close()
    kept = b"".join(file.read_bytes() for file in tmp_path.iterdir())
    assert b"R. Vale" in kept
    for secret in (PASSWORD, key, "10.0.0.7", "not the password"):
        assert secret.encode() not in kept
