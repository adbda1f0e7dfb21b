"""Guessing is made slow: after a few failures each further try has to wait, longer each time."""

from collections.abc import Iterator
from datetime import datetime, timedelta

import sqlalchemy as sa

from gaugewalk.people.keys import digest_of
from gaugewalk.people.schema import tries

# Failures that cost no waiting: one person mistyping at one place, everybody behind one address
# (a proxy, a control room), and one name tried from anywhere. Common practice, no source.
FREE = {"pair": 5, "address": 30, "name": 50}
FIRST, LONGEST = timedelta(seconds=15), timedelta(minutes=15)
FORGOTTEN = timedelta(hours=2)  # without another failure


def wait_after(failures: int, free: int) -> timedelta:
    """Return how long to wait after the last of so many failures.

    Examples
    --------
    >>> [wait_after(n, 5).total_seconds() for n in (4, 5, 6, 7, 40)]
    [0.0, 15.0, 30.0, 60.0, 900.0]
    """
    if failures < free:
        return timedelta(0)
    return min(FIRST * (1 << min(failures - free, 20)), LONGEST)


def count_try(connection: sa.Connection, name: str, address: str, now: datetime) -> timedelta:
    """Count a try as a failure; return how long it still has to wait instead, if it has to.

    It is counted before the password is looked at, so that many tries at once are no way around;
    one that has to wait is not counted.
    """
    rows = [(key, free, *_failures(connection, key, now)) for key, free in _keys(name, address)]
    waits = [last + wait_after(count, free) - now for _, free, count, last in rows]
    longest = max(waits)
    if longest > timedelta(0):
        return longest
    for key, _, count, _ in rows:
        connection.execute(sa.delete(tries).where(tries.c.key == key))
        row = {"key": key, "failures": count + 1, "last_at": now.timestamp()}
        connection.execute(sa.insert(tries), row)
    return timedelta(0)


def forgive(connection: sa.Connection, name: str, address: str) -> None:
    """Forget the failures of a person who has signed in, and one of everybody's at the address."""
    keys = dict(zip(FREE, (key for key, _ in _keys(name, address)), strict=True))
    pair = tries.c.key.in_([keys["pair"], keys["name"]])
    connection.execute(sa.delete(tries).where(pair))
    fewer = sa.update(tries).where(tries.c.key == keys["address"])
    connection.execute(fewer.values(failures=tries.c.failures - 1))


def forget_old(connection: sa.Connection, now: datetime) -> None:
    """Throw away what is so long ago that it no longer counts."""
    old = tries.c.last_at < (now - FORGOTTEN).timestamp()
    connection.execute(sa.delete(tries).where(old))


def _keys(name: str, address: str) -> Iterator[tuple[str, int]]:
    """Neither names nor addresses are kept, only their digests."""
    said = {"pair": f"{name}\n{address}", "address": address, "name": name}
    for kind, free in FREE.items():
        yield digest_of(f"{kind}\n{said[kind]}"), free


def _failures(connection: sa.Connection, key: str, now: datetime) -> tuple[int, datetime]:
    query = sa.select(tries.c.failures, tries.c.last_at).where(tries.c.key == key)
    row = connection.execute(query).first()
    if row is None or row.last_at < (now - FORGOTTEN).timestamp():
        return 0, now
    return row.failures, datetime.fromtimestamp(row.last_at, now.tzinfo)
