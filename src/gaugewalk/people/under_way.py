"""Sign-ins at a provider that have begun and not come back yet."""

from dataclasses import dataclass
from datetime import datetime, timedelta

import sqlalchemy as sa

from gaugewalk.errors import SignInError
from gaugewalk.people.keys import digest_of
from gaugewalk.people.schema import under_way
from gaugewalk.people.store import Store

STATE_LASTS = timedelta(minutes=10)
_MOST = 10_000  # at once; more is nobody's plant, but somebody trying to fill the disk


@dataclass(frozen=True, slots=True, kw_only=True)
class UnderWay:
    """What the answer of the provider must fit, and where to go on."""

    nonce: str
    verifier: str
    going_to: str


def keep_under_way(
    store: Store, state: str, nonce: str, verifier: str, going_to: str, now: datetime
) -> None:
    """Keep a sign-in that has begun."""
    row = {
        "digest": digest_of(state),
        "nonce": nonce,
        "verifier": verifier,
        "going_to": going_to,
        "ends_at": (now + STATE_LASTS).timestamp(),
    }
    with store.writing() as connection:
        old = under_way.c.ends_at < now.timestamp()
        connection.execute(sa.delete(under_way).where(old))
        count = connection.execute(sa.select(sa.func.count()).select_from(under_way)).scalar_one()
        if count >= _MOST:
            raise SignInError("Too many sign-ins are under way. Wait ten minutes.", wait=600)
        connection.execute(sa.insert(under_way), row)


def take_under_way(store: Store, state: str, now: datetime) -> UnderWay:
    """Return a sign-in that has begun, once.

    Raises
    ------
    SignInError
        There is none, it came back before, or it took too long.
    """
    mine = under_way.c.digest == digest_of(state)
    with store.writing() as connection:
        row = connection.execute(sa.select(under_way).where(mine)).first()
        connection.execute(sa.delete(under_way).where(mine))
    if row is None or row.ends_at < now.timestamp():
        raise SignInError("This sign-in took too long or came back before. Begin it anew.")
    return UnderWay(nonce=row.nonce, verifier=row.verifier, going_to=row.going_to)
