"""Accounts: who may sign in, and as what."""

from datetime import UTC, datetime

import sqlalchemy as sa

from gaugewalk.errors import ArgumentError, ConflictError, NotFoundError, nearest_word
from gaugewalk.people.member import Account, checked_name, folded
from gaugewalk.people.passwords import checked_password, hashed
from gaugewalk.people.rights import Role
from gaugewalk.people.schema import accounts, sessions, tokens
from gaugewalk.people.store import Store


def add_account(
    store: Store,
    name: str,
    role: Role,
    *,
    now: datetime,
    password: str | None = None,
    openid: str | None = None,
) -> Account:
    """Let a person sign in, by password, by the provider, or both.

    Raises
    ------
    ConflictError
        The name is taken by a person or a token; names in the journal must not be mixed up.
    ArgumentError
        The name or the password will not do, or there is no way to sign in.
    """
    clean = checked_name(name)
    if password is None and not openid:
        raise ArgumentError("Give a password, or the name by which the provider knows the person.")
    kept = None if password is None else hashed(checked_password(password, clean))
    row = {
        "folded": folded(clean),
        "name": clean,
        "role": role.value,
        "password": kept,
        "openid": openid or None,
        "closed": False,
        "made_at": now.timestamp(),
    }
    with store.writing() as connection:
        refuse_taken(connection, clean)
        if openid and _by(connection, accounts.c.openid, openid) is not None:
            raise ConflictError(f"Somebody already signs in as {openid[:60]!r}.")
        connection.execute(sa.insert(accounts), row)
    return account(store, clean)


def refuse_taken(connection: sa.Connection, name: str) -> None:
    """Raise ConflictError where a person or a token has that name."""
    key = folded(name)
    person = _by(connection, accounts.c.folded, key)
    machine = connection.execute(sa.select(tokens.c.name).where(tokens.c.folded == key)).first()
    if person is not None or machine is not None:
        raise ConflictError(f"The name {name!r} is taken. Every name in the journal is one alone.")


def account(store: Store, name: str) -> Account:
    """Return an account; NotFoundError names the nearest one."""
    with store.reading() as connection:
        row = _by(connection, accounts.c.folded, folded(name))
    if row is None:
        near = nearest_word(name, [one.name for one in every_account(store)])
        hint = f" Did you mean {near!r}?" if near else ""
        raise NotFoundError(f"There is no account {name[:40]!r}.{hint}")
    return _account(row)


def every_account(store: Store) -> list[Account]:
    """Return all accounts by name."""
    with store.reading() as connection:
        rows = connection.execute(sa.select(accounts).order_by(accounts.c.folded)).all()
    return [_account(row) for row in rows]


def anybody(store: Store) -> bool:
    """Whether anybody may sign in."""
    query = sa.select(accounts.c.folded).where(accounts.c.closed.is_(False)).limit(1)
    with store.reading() as connection:
        return connection.execute(query).first() is not None


def set_role(store: Store, name: str, role: Role) -> Account:
    """Give a person another role; it holds from the next request on."""
    return _change(store, name, role=role.value)


def set_openid(store: Store, name: str, openid: str | None) -> Account:
    """Say by which name the provider knows a person; none takes that way to sign in away."""
    return _change(store, name, openid=openid or None)


def set_password(store: Store, name: str, password: str) -> Account:
    """Give a person another password; whoever is signed in under the name is signed out."""
    own = account(store, name)
    kept = hashed(checked_password(password, own.name))
    return _change(store, name, password=kept, ends=True)


def close_account(store: Store, name: str) -> Account:
    """Let a person sign in no longer, and sign them out; the name stays taken."""
    return _change(store, name, closed=True, ends=True)


def reopen_account(store: Store, name: str) -> Account:
    """Let a person sign in again."""
    return _change(store, name, closed=False)


def _change(store: Store, name: str, *, ends: bool = False, **values: object) -> Account:
    key = folded(account(store, name).name)
    with store.writing() as connection:
        connection.execute(sa.update(accounts).where(accounts.c.folded == key).values(**values))
        if ends:
            connection.execute(sa.delete(sessions).where(sessions.c.account == key))
    return account(store, name)


def _by(connection: sa.Connection, column: sa.Column[str], value: str) -> sa.Row[tuple[()]] | None:
    return connection.execute(sa.select(accounts).where(column == value)).first()


def _account(row: sa.Row[tuple[()]]) -> Account:
    return Account(
        name=row.name,
        role=Role(row.role),
        closed=row.closed,
        has_password=row.password is not None,
        openid=row.openid,
        made_at=datetime.fromtimestamp(row.made_at, UTC),
    )
