"""Signing in and out. A session is kept here, so that it can be ended here."""

from dataclasses import dataclass
from datetime import datetime, timedelta

import sqlalchemy as sa

from gaugewalk.errors import SignInError
from gaugewalk.people.keys import digest_of, new_key
from gaugewalk.people.member import Member, folded
from gaugewalk.people.passwords import fits, hashed, outdated
from gaugewalk.people.rights import Role
from gaugewalk.people.schema import accounts, sessions
from gaugewalk.people.store import Store
from gaugewalk.people.throttle import count_try, forget_old, forgive

LASTS = timedelta(hours=14)  # longer than the longest shift, so that nobody is cut off in a round
IDLE = timedelta(hours=6)  # unused for so long, it has ended: a round is walked more often
_NOTED = timedelta(minutes=10)  # use is written down only so often


@dataclass(frozen=True, slots=True, kw_only=True)
class Caller:
    """From where somebody tries to sign in."""

    address: str
    now: datetime


def sign_in(store: Store, name: str, password: str, caller: Caller) -> str:
    """Check a password; return the key of a new session.

    Raises
    ------
    SignInError
        Name and password do not fit, or too many tries failed before. Which of the two was wrong
        is not told.
    """
    key = folded(name)[:200]
    with store.writing() as connection:
        wait = count_try(connection, key, caller.address, caller.now)
        if wait > timedelta(0):
            seconds = int(wait.total_seconds()) + 1
            raise SignInError(f"Too many tries. Wait {seconds} s, then try again.", wait=seconds)
        query = sa.select(accounts).where(accounts.c.folded == key)
        row = connection.execute(query).first()
    kept = None if row is None or row.closed else row.password
    if not fits(kept, password):
        raise SignInError("Name and password do not fit together.")
    with store.writing() as connection:
        forgive(connection, key, caller.address)
        if outdated(str(kept)):
            better = sa.update(accounts).where(accounts.c.folded == key)
            connection.execute(better.values(password=hashed(password)))
        return _begin(connection, key, caller.now)


def sign_in_by_openid(store: Store, openid: str, caller: Caller) -> str:
    """Begin a session for whom the provider has recognized; return its key.

    Raises
    ------
    SignInError
        No open account is known to the provider by that name.
    """
    with store.writing() as connection:
        query = sa.select(accounts).where(accounts.c.openid == openid, accounts.c.closed.is_(False))
        row = connection.execute(query).first()
        if row is None:
            raise SignInError(
                f"No account here belongs to {openid[:60]!r}. Whoever runs this plant's Gaugewalk "
                "can add it: gaugewalk people openid NAME."
            )
        return _begin(connection, row.folded, caller.now)


def _begin(connection: sa.Connection, account: str, now: datetime) -> str:
    """Begin a session, and throw away what has ended."""
    at = now.timestamp()
    idle = sessions.c.used_at < (now - IDLE).timestamp()
    connection.execute(sa.delete(sessions).where((sessions.c.ends_at < at) | idle))
    forget_old(connection, now)
    key = new_key()
    row = {"digest": digest_of(key), "account": account, "made_at": at, "used_at": at}
    row["ends_at"] = (now + LASTS).timestamp()
    connection.execute(sa.insert(sessions), row)
    return key


def member_of_session(store: Store, key: str, now: datetime) -> Member | None:
    """Return who signed in with that session; none where it has ended."""
    digest, at = digest_of(key), now.timestamp()
    query = (
        sa.select(accounts.c.name, accounts.c.role, sessions.c.used_at)
        .join(accounts, accounts.c.folded == sessions.c.account)
        .where(
            sessions.c.digest == digest,
            sessions.c.ends_at > at,
            sessions.c.used_at > (now - IDLE).timestamp(),
            accounts.c.closed.is_(False),
        )
    )
    with store.reading() as connection:
        row = connection.execute(query).first()
    if row is None:
        return None
    if at - row.used_at > _NOTED.total_seconds():
        with store.writing() as connection:
            used = sa.update(sessions).where(sessions.c.digest == digest)
            connection.execute(used.values(used_at=at))
    return Member(name=row.name, role=Role(row.role))


def sign_out(store: Store, key: str) -> None:
    """End a session."""
    with store.writing() as connection:
        connection.execute(sa.delete(sessions).where(sessions.c.digest == digest_of(key)))


def sign_out_everywhere(store: Store, name: str) -> int:
    """End every session of a person; return how many there were."""
    with store.writing() as connection:
        mine = sessions.c.account == folded(name)
        return connection.execute(sa.delete(sessions).where(mine)).rowcount
