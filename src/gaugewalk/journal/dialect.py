"""The one place where SQLite and PostgreSQL differ."""

import sqlite3
from pathlib import Path
from typing import Any

import sqlalchemy as sa
from sqlalchemy.dialects.postgresql import ARRAY, JSONB

from gaugewalk.errors import ArgumentError, StorageError, extra
from gaugewalk.journal.failing import storage_error

# A new connection is prepared before SQLAlchemy can wrap what its driver says.
DRIVER_ERRORS = (sa.exc.SQLAlchemyError, sqlite3.Error)
BUSY_SECONDS = 10  # how long a writer waits for another program before it gives up
_LOCK = 0x6761756765  # advisory lock of PostgreSQL under which entries are added
_EXPECTED = "expected a file path, sqlite:///FILE or postgresql://USER@HOST/DATABASE"


def is_url(where: str | Path) -> bool:
    """Whether this names a database by its URL, and not a file by its path."""
    return "://" in str(where)


def engine_for(where: str | Path) -> sa.Engine:
    """Make the engine for a file path or a database URL.

    Raises
    ------
    ArgumentError
        For a URL that cannot be read, or of a database that is neither SQLite nor PostgreSQL.
    """
    text = str(where)
    if not is_url(text):
        return _sqlite(sa.URL.create("sqlite", database=text))
    try:
        url = sa.make_url(text)
    except (sa.exc.ArgumentError, ValueError) as error:
        raise ArgumentError(f"journal: this URL cannot be read; {_EXPECTED}.") from error
    name = url.get_backend_name()
    if name == "sqlite":
        return _sqlite(url)
    if name in ("postgresql", "postgres"):
        return _postgresql(url)
    raise ArgumentError(f"journal = {name}://…; {_EXPECTED}.")


def _sqlite(url: sa.URL) -> sa.Engine:
    if not url.database or url.database == ":memory:":
        raise ArgumentError("A journal needs a file: one in memory would not outlive the watch.")
    engine = sa.create_engine(
        url,
        pool_size=40,  # as many as there are threads: to open one costs more than a question
        max_overflow=24,
        connect_args={"timeout": BUSY_SECONDS, "isolation_level": None, "check_same_thread": False},
    )
    sa.event.listen(engine, "connect", _prepare_sqlite)
    sa.event.listen(engine, "begin", _begin_sqlite)
    return engine


def tables_in(engine: sa.Engine) -> list[str]:
    """Return the tables that a database holds, without making or changing anything."""
    file = engine.url.database
    if engine.dialect.name != "sqlite" or file is None:
        return sorted(sa.inspect(engine).get_table_names())
    if not Path(file).is_file():
        return []
    looked = sqlite3.connect(f"{Path(file).resolve().as_uri()}?mode=ro", uri=True)
    try:
        rows = looked.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")
        return [name for (name,) in rows]
    finally:
        looked.close()


def _prepare_sqlite(connection: Any, _record: object) -> None:
    for pragma in (
        f"busy_timeout={BUSY_SECONDS * 1000}",
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


def _postgresql(url: sa.URL) -> sa.Engine:
    with extra("postgres", "A journal in PostgreSQL"):
        import psycopg  # noqa: F401  # asked here so that its absence is told in our words
    if not url.database:
        raise ArgumentError(f"journal: the URL names no database; {_EXPECTED}.")
    engine = sa.create_engine(
        url.set(drivername="postgresql+psycopg"),
        pool_size=8,
        max_overflow=24,
        pool_timeout=BUSY_SECONDS,
        pool_pre_ping=True,  # after a restart of the database the next question connects anew
        connect_args={"connect_timeout": 5, "client_encoding": "utf8"},
    )
    sa.event.listen(engine, "connect", _prepare_postgresql)
    return engine


# A program that hangs with the writers' lock is cut off, so that the others can go on.
_SESSION = (
    f"SET lock_timeout = '{BUSY_SECONDS}s'; SET idle_in_transaction_session_timeout = '60s'; "
    "SET tcp_keepalives_idle = 10; SET tcp_keepalives_interval = 5; SET tcp_keepalives_count = 3"
)
_PROMISES = (
    "SELECT current_setting('fsync'), current_setting('synchronous_commit'), "
    "current_setting('server_encoding')"
)


def _prepare_postgresql(connection: Any, _record: object) -> None:
    import psycopg

    try:
        fsync, synchronous, encoding = connection.execute(_PROMISES).fetchone()
        connection.execute(_SESSION)
        if synchronous == "off":
            connection.execute("SET synchronous_commit = on")
        connection.commit()
    except psycopg.Error as error:
        raise storage_error("be opened", error) from error
    if fsync != "on":
        raise StorageError(
            "The database server runs with fsync = off: what it acknowledges would not survive the "
            "loss of power. Set fsync = on in postgresql.conf and restart it."
        )
    if encoding != "UTF8":
        raise StorageError(
            f"The database keeps its texts as {encoding}, which cannot hold every name. Make it "
            "anew: createdb --encoding=UTF8 --template=template0 NAME."
        )


def snapshot(connection: sa.Connection) -> sa.Connection:
    """Let everything that a reader asks come from one unchanging view."""
    if connection.dialect.name == "postgresql":
        return connection.execution_options(
            isolation_level="REPEATABLE READ", postgresql_readonly=True
        )
    return connection  # in SQLite every transaction is one


def lock_writers(connection: sa.Connection) -> None:
    """Keep other programs from adding entries until the transaction ends.

    In PostgreSQL each statement after this one sees all that the writers before have committed.
    """
    if connection.dialect.name == "postgresql":
        connection.execute(sa.select(sa.func.pg_advisory_xact_lock(_LOCK)))


def json_parts(
    connection: sa.Connection, column: sa.Column[str], *paths: tuple[str, ...]
) -> sa.ColumnElement[str]:
    """Return an expression for some parts of a text that is JSON, as a text that is a JSON array.

    A part that is not there is null.
    """
    if connection.dialect.name == "postgresql":
        whole = sa.cast(column, JSONB)
        parts = [whole.op("#>")(sa.cast(sa.literal(list(path)), ARRAY(sa.Text))) for path in paths]
        return sa.cast(sa.func.jsonb_build_array(*parts), sa.Text)
    return sa.func.json_extract(column, *(f"$.{'.'.join(path)}" for path in paths))


def copy_sqlite(connection: sa.Connection, target: Path) -> None:
    """Copy the open database to another file while others go on writing."""
    source = connection.connection.driver_connection
    with sqlite3.connect(target) as copy:
        source.backup(copy)  # type: ignore[union-attr]  # a sqlite3 connection, by the caller
    copy.close()
