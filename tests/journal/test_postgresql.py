"""What is true of a journal in PostgreSQL only."""

import threading
import time
from collections.abc import Callable, Iterator
from datetime import timedelta

import psycopg
import pytest
import sqlalchemy as sa

from gaugewalk.errors import ArgumentError, StorageError
from gaugewalk.journal import dialect
from gaugewalk.journal.store import Journal
from tests.postgres_server import Server

from .journal_entries import LATER, START, put, reading


@pytest.fixture
def journal(postgres_url: str) -> Iterator[Journal]:
    opened = Journal.open(postgres_url)
    yield opened
    opened.close()


def test_over_the_network_with_a_password(postgres: Server, postgres_url: str) -> None:
    url = postgres.network_url(postgres.emptied())
    for form in (url, url.replace("postgresql", "postgres"), url.replace("sql:", "sql+psycopg:")):
        journal = Journal.open(form)
        put(journal, reading())
        journal.close()
    again = Journal.open(postgres_url)
    assert again.verify().count == 3
    again.close()


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda url: url.replace("/plant0", "/nowhere"), "does not exist.*createdb"),
        (lambda url: url.replace("keeper:", "nobody:"), "refuses this user"),
        (lambda url: url.replace("127.0.0.1", "127.0.0.1:1/x?ignored="), "does not answer"),
        (lambda url: url.replace("keeper:", "keeper:wrong"), "refuses this user"),
    ],
)
def test_who_cannot_get_in_is_told_why_without_the_password(
    postgres: Server, change: Callable[[str], str], said: str
) -> None:
    url = postgres.network_url(postgres.emptied())
    with pytest.raises(StorageError, match=said) as caught:
        Journal.open(change(url))
    assert postgres.password not in str(caught.value)


@pytest.mark.parametrize("url", ["postgresql://", "postgresql://u@h", "postgresql://u@h:port/x"])
def test_a_url_that_says_too_little_is_refused(url: str) -> None:
    with pytest.raises(ArgumentError, match="expected a file path"):
        Journal.open(url)


def test_a_database_that_cannot_hold_every_name_is_refused(postgres: Server) -> None:
    with psycopg.connect(postgres.url("postgres"), autocommit=True) as connection:
        connection.execute("CREATE DATABASE narrow ENCODING 'LATIN1' LOCALE 'C' TEMPLATE template0")
    with pytest.raises(StorageError, match=r"as LATIN1.*--encoding=UTF8"):
        Journal.open(postgres.url("narrow"))


def test_a_server_that_does_not_sync_is_refused(postgres: Server) -> None:
    with psycopg.connect(postgres.url("postgres"), autocommit=True) as connection:

        def set_fsync(word: str) -> None:
            connection.execute(f"ALTER SYSTEM SET fsync = {word}")
            connection.execute("SELECT pg_reload_conf()")
            for _ in range(500):  # it takes it in its own time
                if connection.execute("SHOW fsync").fetchone() == (word,):
                    return
                time.sleep(0.01)
            raise AssertionError(f"the server did not take fsync = {word}")

        set_fsync("off")
        try:
            with pytest.raises(StorageError, match=r"fsync = off.*would not survive"):
                Journal.open(postgres.url("postgres"))
        finally:
            set_fsync("on")


def test_a_lazy_commit_is_made_a_durable_one(postgres: Server, postgres_url: str) -> None:
    set_lazy = "ALTER ROLE keeper SET synchronous_commit = {}"
    with psycopg.connect(postgres.url("postgres"), autocommit=True) as connection:
        connection.execute(set_lazy.format("off"))
        journal = Journal.open(postgres_url)
        with journal.engine.connect() as asked:
            found = asked.exec_driver_sql("SHOW synchronous_commit").scalar()
        journal.close()
        connection.execute(set_lazy.format("on"))
    assert found == "on"


def test_a_reader_sees_one_moment(journal: Journal) -> None:
    put(journal, reading())
    with journal.reading() as ledger:
        before = ledger.last_seq()
        put(journal, reading(1))
        assert [len(list(ledger.entries())), ledger.last_seq(), before] == [1, 1, 1]
    assert journal.last_seq() == 2


def test_a_writer_sees_what_the_writers_before_have_stored(
    journal: Journal, postgres_url: str
) -> None:
    second = Journal.open(postgres_url)
    with journal.writing() as ledger:
        ledger.append([reading()], recorded_at=LATER)
        waiting = threading.Thread(target=put, args=(second, reading(1)))
        waiting.start()
        time.sleep(0.1)  # it waits for the writers' lock
        assert waiting.is_alive()
    waiting.join()
    assert journal.verify().ok
    assert journal.last_seq() == 2
    second.close()


def test_a_writer_who_waits_too_long_is_told(
    journal: Journal, postgres_url: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(dialect, "_SESSION", "SET lock_timeout = '100ms'")
    second = Journal.open(postgres_url)
    with journal.writing():
        with pytest.raises(StorageError, match="Another program holds the journal"):
            put(second, reading())
    put(second, reading())
    second.close()


def kill_connections(server: Server) -> None:
    """End every other connection as an administrator or a restart would."""
    with psycopg.connect(server.url("postgres")) as connection:
        connection.execute(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity "
            "WHERE backend_type = 'client backend' AND pid <> pg_backend_pid()"
        )


def test_after_a_cut_connection_the_next_question_connects_anew(
    journal: Journal, postgres: Server
) -> None:
    put(journal, reading())
    kill_connections(postgres)
    put(journal, reading(1))
    assert journal.last_seq() == 2


def test_a_connection_cut_while_writing_stores_nothing_and_says_so(
    journal: Journal, postgres: Server
) -> None:
    def write_and_be_cut() -> None:
        with journal.writing() as ledger:
            ledger.append([reading()], recorded_at=LATER)
            kill_connections(postgres)
            ledger.append([reading(1)], recorded_at=LATER)

    with pytest.raises(StorageError, match=r"was stopped\. Nothing was stored"):
        write_and_be_cut()
    assert journal.last_seq() == 0


def test_a_connection_cut_at_the_end_is_told_as_unsure(journal: Journal, postgres: Server) -> None:
    entry = reading()

    @sa.event.listens_for(journal.engine, "commit")
    def cut(_connection: sa.Connection) -> None:
        kill_connections(postgres)

    with pytest.raises(StorageError, match=r"not known.*send it again with the same id"):
        put(journal, entry)
    sa.event.remove(journal.engine, "commit", cut)
    put(journal, entry)
    assert journal.history("P-101", since=START, until=START + timedelta(hours=1)) == [entry]
    assert journal.last_seq() == 1
