"""A backup is whole or is not there; what is put back is verified first and loses nothing."""

import sqlite3
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from gaugewalk.errors import ArgumentError, NotFoundError, StorageError
from gaugewalk.journal.backup import back_up, restore
from gaugewalk.journal.store import Journal

from .journal_entries import put, reading


@pytest.fixture
def backup(file_journal: Journal, tmp_path: Path) -> Path:
    """A backup of three entries; the journal goes on to five."""
    put(file_journal, *(reading(n) for n in range(3)))
    back_up(file_journal, tmp_path / "copy.db")
    put(file_journal, *(reading(n) for n in range(3, 5)))
    return tmp_path / "copy.db"


@pytest.fixture
def aside(tmp_path: Path) -> Path:
    return tmp_path / "before.db"


def files(folder: Path) -> set[str]:
    return {file.name for file in folder.iterdir()}


def count(file: Path) -> int:
    journal = Journal.open(file)
    found = journal.verify()
    assert found.ok
    assert journal.lost is None
    journal.close()
    return found.count


def test_a_backup_is_a_journal_by_itself(backup: Path, tmp_path: Path) -> None:
    assert count(backup) == 3
    assert not {name for name in files(tmp_path) if ".part" in name}


def test_nothing_is_written_over_unasked(backup: Path, file_journal: Journal) -> None:
    with pytest.raises(ArgumentError, match="is there already"):
        back_up(file_journal, backup)
    assert count(backup) == 3
    assert back_up(file_journal, backup, replace=True).count == 5
    assert count(backup) == 5


def test_a_backup_into_nowhere_says_so(file_journal: Journal, tmp_path: Path) -> None:
    with pytest.raises(StorageError, match="could not be copied"):
        back_up(file_journal, tmp_path / "nowhere" / "copy.db")


def test_a_backup_is_made_while_others_write(file_journal: Journal, tmp_path: Path) -> None:
    stop = threading.Event()

    def write() -> None:
        n = 0
        while not stop.is_set():
            put(file_journal, *(reading(n + k) for k in range(50)))
            n += 50

    writer = threading.Thread(target=write)
    writer.start()
    try:
        for n in range(3):
            made = back_up(file_journal, tmp_path / f"{n}.db")
            assert made.count % 50 == 0
            assert file_journal.number_of(made.head) == (made.count or None)
    finally:
        stop.set()
        writer.join()
    assert file_journal.verify().count >= made.count


def test_a_restore_needs_leave_and_keeps_what_was_there(
    backup: Path, path: Path, aside: Path, file_journal: Journal
) -> None:
    with pytest.raises(ArgumentError, match="--replace"):
        restore(backup, path, aside=aside)
    assert file_journal.last_seq() == 5
    done = restore(backup, path, aside=aside, replace=True)
    assert (done.count, done.aside) == (3, aside)
    assert count(aside) == 5
    assert count(path) == 3
    assert count(backup) == 3


def test_a_program_that_runs_sees_the_restored_journal_and_goes_on(
    backup: Path, path: Path, aside: Path, file_journal: Journal
) -> None:
    assert file_journal.last_seq() == 5
    restore(backup, path, aside=aside, replace=True)
    assert file_journal.last_seq() == 3
    put(file_journal, reading(9))
    assert file_journal.verify().ok
    assert count(path) == 4


def test_a_restore_waits_for_no_one_for_ever(
    backup: Path, path: Path, aside: Path, file_journal: Journal, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("gaugewalk.journal.backup.BUSY_SECONDS", 0.1)
    with file_journal.writing(), pytest.raises(StorageError, match="Another program"):
        restore(backup, path, aside=aside, replace=True)
    assert file_journal.last_seq() == 5
    assert not {name for name in files(path.parent) if "restoring" in name}


def test_where_there_is_no_journal_the_backup_becomes_it(
    backup: Path, aside: Path, tmp_path: Path
) -> None:
    done = restore(backup, tmp_path / "new.db", aside=aside)
    assert (done.count, done.aside) == (3, None)
    assert count(tmp_path / "new.db") == 3
    assert not aside.exists()


def test_a_damaged_journal_is_kept_as_a_file_and_replaced(
    backup: Path, path: Path, aside: Path, file_journal: Journal
) -> None:
    file_journal.close()
    path.write_bytes(b"not a database at all" * 500)
    done = restore(backup, path, aside=aside, replace=True)
    assert done.count == 3
    assert count(path) == 3
    assert aside.read_bytes().startswith(b"not a database")


def altered(backup: Path) -> None:
    with sqlite3.connect(backup) as raw:
        raw.execute("DROP TRIGGER entries_no_UPDATE")
        raw.execute("UPDATE entries SET value = 99 WHERE seq = 2")
    raw.close()


def shortened(backup: Path) -> None:
    backup.write_bytes(backup.read_bytes()[: -4096 * 2])


def emptied(backup: Path) -> None:
    backup.write_bytes(b"")


@pytest.mark.parametrize("harm", [altered, shortened, emptied])
def test_a_backup_that_is_not_whole_changes_nothing(
    backup: Path, path: Path, aside: Path, file_journal: Journal, harm: object
) -> None:
    harm(backup)  # type: ignore[operator]
    with pytest.raises(StorageError):
        restore(backup, path, aside=aside, replace=True)
    assert count(path) == 5
    assert not aside.exists()
    assert not {name for name in files(path.parent) if "restoring" in name}


def test_no_backup_and_the_journal_itself_are_refused(
    backup: Path, path: Path, aside: Path
) -> None:
    with pytest.raises(NotFoundError, match="no backup"):
        restore(path.with_name("none.db"), path, aside=aside, replace=True)
    with pytest.raises(ArgumentError, match="the journal itself"):
        restore(path, path, aside=aside, replace=True)


def test_a_backup_copied_with_its_wal_comes_back_whole(
    path: Path, aside: Path, file_journal: Journal, tmp_path: Path
) -> None:
    put(file_journal, *(reading(n) for n in range(4)))  # still in the -wal
    for end in ("", "-wal"):
        (tmp_path / f"hand{end}").write_bytes(Path(f"{path}{end}").read_bytes())
    assert restore(tmp_path / "hand", tmp_path / "new.db", aside=aside).count == 4


def test_the_way_through_the_chain_is_told(file_journal: Journal) -> None:
    put(file_journal, *(reading(n / 100) for n in range(4100)))
    shares: list[float] = []
    found = file_journal.verify(tell=shares.append)
    assert found.count == 4100
    assert shares == sorted(shares)
    assert 0 < shares[0] < 1


@pytest.fixture(autouse=True)
def _nothing_left_open(file_journal: Journal) -> Iterator[None]:
    yield
    file_journal.close()
