"""Accounts and tokens: one name is one alone, and what is kept gives nobody away."""

import stat
from datetime import timedelta
from pathlib import Path

import pytest
import sqlalchemy as sa

from gaugewalk.errors import ArgumentError, ConflictError, NotFoundError, StorageError
from gaugewalk.people import accounts, tokens
from gaugewalk.people.keys import TOKEN_MARK
from gaugewalk.people.rights import RIGHTS, Right, Role
from gaugewalk.people.schema import metadata
from gaugewalk.people.store import Store
from tests.cheap_hashing import REAL_HASHER

from .conftest import NOW, PASSWORD


def test_what_each_role_may() -> None:
    """As the roles were agreed: each line is what that role has and the one before it has not."""
    reader, operator, lead, engineer = (RIGHTS[role] for role in Role)
    assert reader == {Right.READ}
    assert operator - reader == {Right.RECORD}
    assert lead - operator == {Right.LIMITS, Right.CLOSE, Right.SIGN}
    assert engineer - operator == {Right.LIMITS, Right.CLOSE, Right.SHAPE}


@pytest.mark.parametrize("again", ["R. Vale", "r. vale", " R.  VALE ", "Ｒ. Vale"])
def test_a_name_is_taken_in_whatever_spelling(store: Store, again: str) -> None:
    accounts.add_account(store, "R. Vale", Role.READER, now=NOW, password=PASSWORD)
    with pytest.raises(ConflictError, match="taken"):
        accounts.add_account(store, again, Role.READER, now=NOW, password=PASSWORD)
    with pytest.raises(ConflictError, match="taken"):
        tokens.add_token(store, again, Role.READER, days=1, now=NOW)


def test_a_person_is_not_called_like_a_machine(store: Store) -> None:
    tokens.add_token(store, "level feed", Role.OPERATOR, days=1, now=NOW)
    tokens.end_token(store, "level feed")
    with pytest.raises(ConflictError, match="taken"):
        accounts.add_account(store, "Level Feed", Role.READER, now=NOW, password=PASSWORD)


@pytest.mark.parametrize("name", ["", "  ", "x" * 61, "a\x00b", "a\u202eb"])
def test_names_that_will_not_do(store: Store, name: str) -> None:
    with pytest.raises(ArgumentError, match="name = "):
        accounts.add_account(store, name, Role.READER, now=NOW, password=PASSWORD)


@pytest.mark.parametrize(
    "password", ["", "eleven char", "x" * 201, "abababababababab", "oh R. VALE it is"]
)
def test_passwords_that_will_not_do(store: Store, password: str) -> None:
    with pytest.raises(ArgumentError, match=r"[Pp]assword"):
        accounts.add_account(store, "R. Vale", Role.READER, now=NOW, password=password)
    assert accounts.every_account(store) == []


def test_there_is_a_way_to_sign_in_and_it_is_one_persons(store: Store) -> None:
    with pytest.raises(ArgumentError, match="Give a password"):
        accounts.add_account(store, "R. Vale", Role.READER, now=NOW)
    accounts.add_account(store, "R. Vale", Role.READER, now=NOW, openid="v-1")
    with pytest.raises(ConflictError, match="v-1"):
        accounts.add_account(store, "S. Finch", Role.READER, now=NOW, openid="v-1")


def test_who_is_not_there_is_told_with_the_nearest(store: Store) -> None:
    accounts.add_account(store, "R. Vale", Role.READER, now=NOW, password=PASSWORD)
    with pytest.raises(NotFoundError, match=r"'R. Vail'. Did you mean 'R. Vale'"):
        accounts.set_role(store, "R. Vail", Role.OPERATOR)


def test_anybody_is_somebody_who_may_sign_in(store: Store) -> None:
    assert not accounts.anybody(store)
    accounts.add_account(store, "R. Vale", Role.READER, now=NOW, password=PASSWORD)
    assert accounts.anybody(store)
    accounts.close_account(store, "R. Vale")
    assert not accounts.anybody(store)


def test_a_token_is_good_until_its_end(store: Store) -> None:
    made, key = tokens.add_token(store, "level feed", Role.OPERATOR, days=30, now=NOW)
    assert key.startswith(TOKEN_MARK)
    member = tokens.member_of_token(store, key, NOW + timedelta(days=29))
    assert member is not None
    assert (member.name, member.role, member.machine) == ("level feed", Role.OPERATOR, True)
    assert tokens.member_of_token(store, key, made.ends_at) is None
    tokens.end_token(store, "Level feed")
    assert tokens.member_of_token(store, key, NOW) is None


@pytest.mark.parametrize("days", [0, -1, 401])
def test_no_token_lasts_for_ever(store: Store, days: int) -> None:
    with pytest.raises(ArgumentError, match="days"):
        tokens.add_token(store, "level feed", Role.OPERATOR, days=days, now=NOW)


def test_the_file_is_for_its_owner_alone(store: Store, tmp_path: Path) -> None:
    accounts.add_account(store, "R. Vale", Role.READER, now=NOW, password=PASSWORD)
    for file in tmp_path.iterdir():  # the -wal and -shm beside it too
        assert stat.S_IMODE(file.stat().st_mode) == 0o600


def test_the_migrations_make_the_tables_of_the_schema(store: Store) -> None:
    with store.reading() as connection:
        made = sa.inspect(connection)
        for table in metadata.sorted_tables:
            found = {
                c["name"]: (str(c["type"]), c["nullable"]) for c in made.get_columns(table.name)
            }
            wanted = {
                c.name: (str(c.type.compile(connection.dialect)), c.nullable) for c in table.columns
            }
            assert found == wanted
            keys = made.get_pk_constraint(table.name)["constrained_columns"]
            assert keys == [c.name for c in table.primary_key]
            unique = {tuple(u["column_names"]) for u in made.get_unique_constraints(table.name)}
            assert unique == {(c.name,) for c in table.columns if c.unique}


def test_a_file_of_a_newer_version_is_left_alone(store: Store, tmp_path: Path) -> None:
    with store.writing() as connection:
        connection.exec_driver_sql("UPDATE people_version SET version_num = '9999'")
    with pytest.raises(StorageError, match="newer program"):
        Store.open(tmp_path / "people.db")


def test_passwords_are_hashed_by_argon2id_as_the_rfc_recommends() -> None:
    """RFC 9106 (2021), section 4, second recommended option: argon2id, t = 3, p = 4, m = 64 MiB."""
    assert REAL_HASHER().hash("x").startswith("$argon2id$v=19$m=65536,t=3,p=4$")
