"""Tokens: how machines call the interface for programs, each with a name, a role and an end."""

from datetime import UTC, datetime, timedelta

import sqlalchemy as sa

from gaugewalk.errors import ArgumentError, NotFoundError, nearest_word
from gaugewalk.people.accounts import refuse_taken
from gaugewalk.people.keys import TOKEN_MARK, digest_of, new_key
from gaugewalk.people.member import Member, Token, checked_name, folded
from gaugewalk.people.rights import Role
from gaugewalk.people.schema import tokens
from gaugewalk.people.store import Store

LONGEST_DAYS = 400


def add_token(
    store: Store, name: str, role: Role, *, days: int, now: datetime
) -> tuple[Token, str]:
    """Make a token; return it with its key, which is told this once.

    Raises
    ------
    ConflictError
        The name is taken.
    ArgumentError
        The name will not do, or it would last too long.
    """
    clean = checked_name(name)
    if not 1 <= days <= LONGEST_DAYS:
        raise ArgumentError(f"days = {days}; expected 1 to {LONGEST_DAYS}.")
    key = new_key(TOKEN_MARK)
    row = {
        "digest": digest_of(key),
        "folded": folded(clean),
        "name": clean,
        "role": role.value,
        "made_at": now.timestamp(),
        "ends_at": (now + timedelta(days=days)).timestamp(),
        "ended": False,
    }
    with store.writing() as connection:
        refuse_taken(connection, clean)
        connection.execute(sa.insert(tokens), row)
    return _token(store, clean), key


def every_token(store: Store) -> list[Token]:
    """Return all tokens by name, those that have ended too."""
    with store.reading() as connection:
        rows = connection.execute(sa.select(tokens).order_by(tokens.c.folded)).all()
    return [
        Token(
            name=row.name,
            role=Role(row.role),
            made_at=datetime.fromtimestamp(row.made_at, UTC),
            ends_at=datetime.fromtimestamp(row.ends_at, UTC),
            ended=row.ended,
        )
        for row in rows
    ]


def end_token(store: Store, name: str) -> Token:
    """End a token at once; its name stays taken, since the journal has it."""
    key = folded(_token(store, name).name)
    with store.writing() as connection:
        connection.execute(sa.update(tokens).where(tokens.c.folded == key).values(ended=True))
    return _token(store, name)


def member_of_token(store: Store, key: str, now: datetime) -> Member | None:
    """Return the machine that has this key; none where it is unknown or has ended."""
    query = sa.select(tokens.c.name, tokens.c.role).where(
        tokens.c.digest == digest_of(key),
        tokens.c.ended.is_(False),
        tokens.c.ends_at > now.timestamp(),
    )
    with store.reading() as connection:
        row = connection.execute(query).first()
    return None if row is None else Member(name=row.name, role=Role(row.role), machine=True)


def _token(store: Store, name: str) -> Token:
    known = {folded(one.name): one for one in every_token(store)}
    if folded(name) in known:
        return known[folded(name)]
    near = nearest_word(name, [one.name for one in known.values()])
    hint = f" Did you mean {near!r}?" if near else ""
    raise NotFoundError(f"There is no token {name[:40]!r}.{hint}")
