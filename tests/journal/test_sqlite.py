"""What is true of a journal in a file only."""

import sqlite3
import threading
from pathlib import Path

import pytest
import sqlalchemy as sa

from gaugewalk.errors import StorageError
from gaugewalk.journal.store import Journal

from .journal_entries import START, put, reading


def test_an_empty_file_becomes_a_journal_and_opens_again(path: Path) -> None:
    path.touch()
    first = Journal.open(path)
    entry = reading()
    put(first, entry)
    first.close()
    again = Journal.open(f"sqlite:///{path}")
    assert again.get(entry.id) == entry
    again.close()


def test_many_programs_may_open_a_new_file_at_once(path: Path) -> None:
    opened: list[Journal] = []
    threads = [threading.Thread(target=lambda: opened.append(Journal.open(path))) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(opened) == 6
    for journal in opened:
        put(journal, reading())
        journal.close()
    assert opened[0].verify().count == 6
    opened[0].close()


def test_a_file_that_is_no_journal_is_refused_with_what_to_do(path: Path) -> None:
    path.write_bytes(b"not a database at all, " * 100)
    with pytest.raises(StorageError, match="no journal"):
        Journal.open(path)
    assert path.read_bytes().startswith(b"not a database")


def test_a_missing_folder_is_refused_with_what_to_do(tmp_path: Path) -> None:
    with pytest.raises(StorageError, match="missing or may not be opened"):
        Journal.open(tmp_path / "nowhere" / "watch.db")


def test_a_full_disk_says_so_and_stores_nothing(file_journal: Journal) -> None:
    # A cap on the pages of the file is SQLite's own way to be full.
    @sa.event.listens_for(file_journal.engine, "begin")
    def cap(connection: sa.Connection) -> None:
        connection.exec_driver_sql("PRAGMA max_page_count = 1")

    with pytest.raises(StorageError, match="disk is full"):
        put(file_journal, *[reading(n, entered="x" * 4000) for n in range(50)])
    assert file_journal.last_seq() == 0


def test_a_backup_is_a_whole_journal(file_journal: Journal, tmp_path: Path) -> None:
    entry = reading()
    put(file_journal, entry)
    copy = Journal.open(file_journal.backup(tmp_path / "copy.db"))
    assert copy.verify() == file_journal.verify()
    assert copy.get(entry.id) == entry
    copy.close()
    with pytest.raises(StorageError):
        file_journal.backup(tmp_path / "nowhere" / "copy.db")


def test_latest_and_history_use_an_index(file_journal: Journal) -> None:
    put(file_journal, reading())
    seen: list[tuple[str, object]] = []

    @sa.event.listens_for(file_journal.engine, "before_cursor_execute")
    def note(_c: object, _cur: object, statement: str, parameters: object, *_: object) -> None:
        if statement.startswith(("SELECT", "WITH")):
            seen.append((statement, parameters))

    file_journal.latest("P-101")
    file_journal.history("P-101", since=START)
    file_journal.history("P-101", since=START, points=["motor_current"], kinds=["reading"])
    with sqlite3.connect(file_journal.engine.url.database) as raw:
        plans = [r[3] for s, p in seen for r in raw.execute("EXPLAIN QUERY PLAN " + s, p)]
    raw.close()
    assert any("entries_point" in plan for plan in plans)
    assert not [plan for plan in plans if plan.startswith("SCAN entries")]


def test_every_connection_is_set_to_survive_the_loss_of_power(file_journal: Journal) -> None:
    with file_journal.engine.connect() as connection:
        asked = ("journal_mode", "synchronous", "foreign_keys", "busy_timeout")
        found = [connection.exec_driver_sql(f"PRAGMA {name}").scalar() for name in asked]
    assert found == ["wal", 2, 1, 10_000]  # 2 is FULL
