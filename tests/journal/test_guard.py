"""The database itself refuses to change an entry, and a change made past it is named."""

import re

import pytest
import sqlalchemy as sa
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext

from gaugewalk.errors import StorageError
from gaugewalk.journal import schema
from gaugewalk.journal.store import Journal

from .journal_entries import put, reading


def run(journal: Journal, *statements: str) -> None:
    """Say something to the database past the journal."""
    with journal.engine.connect() as raw:
        for statement in statements:
            raw.exec_driver_sql(statement)
        raw.commit()


OTHERS = ", ".join(column.name for column in schema.entries.c if column.name != "seq")


@pytest.mark.parametrize(
    "change",
    [
        "UPDATE entries SET value = 1",
        "DELETE FROM entries",
        f"INSERT INTO entries (seq, {OTHERS}) SELECT 2, {OTHERS} FROM entries",  # the same id
    ],
)
def test_the_database_refuses_to_change_an_entry(journal: Journal, change: str) -> None:
    put(journal, reading())
    with pytest.raises(sa.exc.DBAPIError, match=r"append-only|unique"):
        run(journal, change)
    assert journal.verify().ok


def test_sqlite_refuses_to_put_an_entry_over_another(file_journal: Journal) -> None:
    put(file_journal, reading())
    change = f"INSERT OR REPLACE INTO entries (seq, {OTHERS}) SELECT seq, {OTHERS} FROM entries"
    with pytest.raises(sa.exc.DBAPIError, match="append-only"):
        run(file_journal, change)


def test_postgresql_refuses_to_empty_the_table(postgres_url: str) -> None:
    journal = Journal.open(postgres_url)
    put(journal, reading())
    with pytest.raises(sa.exc.DBAPIError, match="append-only"):
        run(journal, "TRUNCATE entries")
    journal.close()


def tamper(journal: Journal, change: str) -> None:
    """Change what is stored as somebody could who owns the database."""
    if journal.engine.dialect.name == "sqlite":
        triggers = [f"DROP TRIGGER entries_no_{verb}" for verb in ("UPDATE", "DELETE")]
        run(journal, *triggers, change)
    else:
        run(journal, "SET LOCAL session_replication_role = replica", change)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ("UPDATE entries SET value = 30 WHERE seq = 2", "entry 2 .* was altered"),
        ("UPDATE entries SET who = 'x' WHERE seq = 2", "entry 2 .* was altered"),
        ("UPDATE entries SET recorded_at = recorded_at + 1 WHERE seq = 2", "entry 2 .* was alter"),
        ("UPDATE entries SET body = '{' WHERE seq = 2", "entry 2 .* cannot be read"),
        ("DELETE FROM entries WHERE seq = 2", "entries 2 to 2 are missing"),
        ("DELETE FROM entries WHERE seq >= 2", "entries 2 to 3 are missing at the end"),
    ],
)
def test_verify_names_what_was_tampered_with(journal: Journal, change: str, said: str) -> None:
    put(journal, reading(0), reading(1), reading(2))
    journal.save_state("any", {})
    assert journal.verify().ok
    tamper(journal, change)
    found = journal.verify()
    assert len(found.faults) == 1
    assert re.search(said, found.faults[0])


def test_the_migrations_make_the_tables_that_the_code_expects(journal: Journal) -> None:
    with journal.engine.connect() as connection:
        assert schema.current_version(connection) == schema.VERSION
        context = MigrationContext.configure(connection, opts={"include_name": _ours})
        assert compare_metadata(context, schema.metadata) == []


def test_a_journal_of_a_newer_program_is_refused(journal: Journal, place: str) -> None:
    run(journal, "UPDATE alembic_version SET version_num = '9999'")
    try:
        with pytest.raises(StorageError, match="newer program"):
            Journal.open(place)
    finally:
        run(journal, f"UPDATE alembic_version SET version_num = '{schema.VERSION}'")


def _ours(name: str | None, kind: str, _parents: object) -> bool:
    """People's tables may lie in the same database."""
    return kind != "table" or not str(name).startswith("people")
