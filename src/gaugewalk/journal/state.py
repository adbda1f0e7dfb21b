"""Projections: what the screens need at once, made from the entries and never the truth itself."""

import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import sqlalchemy as sa

from gaugewalk.journal.entry import canonical
from gaugewalk.journal.schema import states

FORM = "form"  # beside the states: in which form they are kept; it is none of them


def write_states(
    connection: sa.Connection, bodies: Iterable[tuple[str, Mapping[str, Any]]], seq: int
) -> int:
    """Put states in place of those of the same key, inside the caller's transaction."""
    rows = [{"key": key, "body": canonical(body), "seq": seq} for key, body in bodies]
    if rows:
        connection.execute(_PUT, rows)
    return len(rows)


# Both databases take it as it stands; SQLAlchemy has it only for each of them apart.
_PUT = sa.text(
    "INSERT INTO states (key, body, seq) VALUES (:key, :body, :seq) "
    "ON CONFLICT (key) DO UPDATE SET body = excluded.body, seq = excluded.seq"
)


def read_state(connection: sa.Connection, key: str) -> dict[str, Any] | None:
    """Return one state, or none."""
    text = connection.execute(_READ, {"key": key}).scalar()
    return None if text is None else dict(json.loads(text))


_READ = sa.select(states.c.body).where(states.c.key == sa.bindparam("key"))


def read_states(connection: sa.Connection, prefix: str) -> dict[str, dict[str, Any]]:
    """Return all states whose key begins so, sorted by key."""
    rows = connection.execute(_BEGINNING, {"first": prefix, "beyond": prefix + "\U0010ffff"})
    return {row.key: dict(json.loads(row.body)) for row in rows}


# A range instead of LIKE: it uses the key's index and needs no escaping.
_BEGINNING = (
    sa.select(states.c.key, states.c.body)
    .where(
        states.c.key >= sa.bindparam("first"),
        states.c.key < sa.bindparam("beyond"),
        states.c.key != FORM,
    )
    .order_by(states.c.key)
)


def find_states(connection: sa.Connection, keys: Sequence[str]) -> dict[str, dict[str, Any]]:
    """Return those of these states that there are."""
    found: dict[str, dict[str, Any]] = {}
    for start in range(0, len(keys), 500):  # a statement takes only so many values
        rows = connection.execute(_FIND, {"keys": keys[start : start + 500]})
        found |= {row.key: json.loads(row.body) for row in rows}
    return found


_FIND = sa.select(states.c.key, states.c.body).where(
    states.c.key.in_(sa.bindparam("keys", expanding=True))
)


def clear_states(connection: sa.Connection) -> None:
    """Throw all projections away, inside the caller's transaction."""
    connection.execute(sa.delete(states).where(states.c.key != FORM))


def write_form(connection: sa.Connection, form: str, seq: int) -> None:
    """Note in which form the states are kept."""
    write_states(connection, [(FORM, {"form": form})], seq)


def read_form(connection: sa.Connection) -> str | None:
    """Return in which form the states are kept; none where that was never noted."""
    body = read_state(connection, FORM)
    return None if body is None else str(body["form"])
