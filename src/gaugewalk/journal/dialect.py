"""The one place where SQLite and PostgreSQL differ."""

import sqlite3
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from gaugewalk.errors import ArgumentError, StorageError

# A new connection is prepared before SQLAlchemy can wrap what its driver says.
DRIVER_ERRORS = (sa.exc.SQLAlchemyError, sqlite3.Error)
BUSY_SECONDS = 10.0  # how long a writer waits for another program before it gives up
_LOCK = 0x6761756765  # advisory lock of PostgreSQL under which entries are added

_CURES = (  # what the driver says -> what a person can do
    ("locked", "Another program holds the journal. Nothing was stored; try again in a moment."),
    ("busy", "Another program holds the journal. Nothing was stored; try again in a moment."),
    ("full", "The disk is full. Nothing was stored; free some space, then enter it again."),
    ("readonly", "The journal's file or folder may not be written. Give this user the right to."),
    ("unable to open", "The file or its folder is missing or may not be opened; see the path."),
    ("disk i/o", "The disk reports an error. Copy the journal to another disk at once."),
    ("malformed", "The file is damaged. Keep it aside and put the last backup in its place."),
    ("not a database", "The file is no journal. Name another file, or restore the last backup."),
    ("append-only", "Records are never changed. Add a correction; both stay."),
    ("connection", "The database does not answer. Nothing was stored; see that it runs."),
)


def engine_for(where: str | Path) -> sa.Engine:
    """Make the engine for a file path or a database URL.

    Raises
    ------
    ArgumentError
        For a URL of a database that is neither SQLite nor PostgreSQL.
    """
    text = str(where)
    url = sa.make_url(text) if "://" in text else sa.URL.create("sqlite", database=text)
    name = url.get_backend_name()
    if name == "sqlite":
        return _sqlite(url)
    if name == "postgresql":
        return sa.create_engine(url, pool_size=8, max_overflow=56, pool_pre_ping=True)
    raise ArgumentError(f"journal = {name}://…; expected a file path, sqlite:/// or postgresql://.")


def _sqlite(url: sa.URL) -> sa.Engine:
    if not url.database or url.database == ":memory:":
        raise ArgumentError("A journal needs a file: one in memory would not outlive the watch.")
    engine = sa.create_engine(
        url,
        pool_size=8,
        max_overflow=56,
        connect_args={"timeout": BUSY_SECONDS, "isolation_level": None, "check_same_thread": False},
    )
    sa.event.listen(engine, "connect", _prepare_sqlite)
    sa.event.listen(engine, "begin", _begin_sqlite)
    return engine


def _prepare_sqlite(connection: Any, _record: object) -> None:
    for pragma in (
        f"busy_timeout={int(BUSY_SECONDS * 1000)}",
        "journal_mode=WAL",
        "synchronous=FULL",  # an acknowledged record survives the loss of power
        "foreign_keys=ON",
    ):
        connection.execute(f"PRAGMA {pragma}").close()


def _begin_sqlite(connection: sa.Connection) -> None:
    # A writer takes its lock at once: one that reads first and then writes could find, too late,
    # that another program has written in between.
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def lock_writers(connection: sa.Connection) -> None:
    """Keep other programs from adding entries until the transaction ends."""
    if connection.dialect.name == "postgresql":
        connection.execute(sa.select(sa.func.pg_advisory_xact_lock(_LOCK)))


def storage_error(doing: str, error: Exception) -> StorageError:
    """Turn what the driver says into what happened and what to do."""
    said = str(getattr(error, "orig", None) or error).strip()
    cure = next((c for word, c in _CURES if word in said.lower()), "Nothing was stored; try again.")
    return StorageError(f"The journal could not {doing}: {said}. {cure}")


def copy_sqlite(connection: sa.Connection, target: Path) -> None:
    """Copy the open database to another file while others go on writing."""
    source = connection.connection.driver_connection
    with sqlite3.connect(target) as copy:
        source.backup(copy)  # type: ignore[union-attr]  # a sqlite3 connection, by the caller
    copy.close()
