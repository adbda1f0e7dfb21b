"""A journal's file that was cut off is never taken for a shorter journal without a word.

Each length of the last page is tried by `python -m bench.faults`; here are some of them.
"""

import shutil
import sqlite3
from pathlib import Path

import pytest

from gaugewalk.errors import StorageError
from gaugewalk.journal.store import Journal

from .cutting import FRAME, PAGE, ROWS, closed_file, cut, journal_files
from .journal_entries import put, reading

SOME = (1, 512, PAGE - 1)


def test_the_end_of_the_wal_is_missed(tmp_path: Path) -> None:
    for found in cut(journal_files(tmp_path), "-wal", (*SOME, PAGE, FRAME)):
        assert found.entries == ROWS - 1
        assert found.whole
        assert f"entry {ROWS} had been acknowledged" in str(found.lost)


def test_the_end_of_the_file_is_missed(tmp_path: Path) -> None:
    for found in cut(closed_file(tmp_path / "closed"), "", (*SOME, PAGE, PAGE + 1, 3 * PAGE)):
        assert "end of the journal's file is missing" in str(found.refused)


def test_a_file_that_is_shorter_because_the_rest_is_in_its_wal_is_whole(tmp_path: Path) -> None:
    for found in cut(journal_files(tmp_path), "", (0, 1, 2000, PAGE - 100)):
        assert (found.refused, found.lost, found.entries, found.whole) == (None, None, ROWS, True)


def test_a_cut_that_its_wal_does_not_make_good_is_refused(tmp_path: Path) -> None:
    live, left = tmp_path / "live", tmp_path / "left"
    live.mkdir()
    journal = Journal.open(live / "watch.db")
    put(journal, *[reading(n) for n in range(9)], reading(9, body={"long": "x" * 3 * PAGE}))
    checkpoint = sqlite3.connect(live / "watch.db")
    checkpoint.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    checkpoint.close()
    put(journal, reading(10))
    shutil.copytree(live, left)
    journal.close()
    first, *others = cut(left / "watch.db", "", (0, *SOME, PAGE, 3 * PAGE, 3 * PAGE + 9))
    assert (first.entries, first.whole, first.lost) == (11, True, None)
    assert {"end of the journal's file is missing" in str(found.refused) for found in others} == {
        True
    }


def test_a_wal_is_not_thrown_away_with_an_empty_file(tmp_path: Path) -> None:
    file = journal_files(tmp_path)
    content = file.read_bytes()
    file.write_bytes(b"")
    with pytest.raises(StorageError, match=r"is empty and the -wal beside it is not"):
        Journal.open(file)
    file.write_bytes(content)
    opened = Journal.open(file)
    assert (opened.lost, opened.last_seq()) == (None, ROWS)
    opened.close()


def test_a_copy_without_its_wal_and_an_emptied_file_are_noticed(tmp_path: Path) -> None:
    file = journal_files(tmp_path)
    Path(f"{file}-wal").unlink()
    for said in (f"entries 1 to {ROWS}", f"entries 1 to {ROWS}"):
        opened = Journal.open(file)
        assert said in str(opened.lost)
        opened.close()
        file.write_bytes(b"")


def test_it_is_said_until_something_is_recorded(tmp_path: Path) -> None:
    file = journal_files(tmp_path)
    content = Path(f"{file}-wal").read_bytes()
    Path(f"{file}-wal").write_bytes(content[:-10])
    for _ in range(2):
        opened = Journal.open(file)
        assert opened.lost
        opened.close()
    opened = Journal.open(file)
    put(opened, reading(77))
    opened.close()
    again = Journal.open(file)
    assert again.lost is None
    assert again.last_seq() == ROWS
    again.close()


def test_an_older_copy_in_its_place_is_noticed(path: Path) -> None:
    journal = Journal.open(path)
    put(journal, reading(0))
    journal.close()
    old = shutil.copy(path, path.with_name("old.db"))
    journal = Journal.open(path)
    put(journal, reading(1), reading(2))
    journal.close()
    shutil.copy(old, path)
    journal = Journal.open(path)
    assert "entries 2 to 3 had been acknowledged" in str(journal.lost)
    journal.close()


@pytest.mark.parametrize("content", [b"", b"12 abc", b"\xff" * 86, b" " * 86])
def test_a_note_that_cannot_be_read_says_nothing(path: Path, content: bytes) -> None:
    journal = Journal.open(path)
    put(journal, reading())
    journal.close()
    path.with_name("watch.db-tail").write_bytes(content)
    again = Journal.open(path)
    assert again.lost is None
    put(again, reading(1))
    again.close()
    assert path.with_name("watch.db-tail").read_text().startswith(" " * 19 + "2 ")


def test_a_note_that_cannot_be_written_does_not_deny_the_record(path: Path) -> None:
    journal = Journal.open(path)
    path.with_name("watch.db-tail").mkdir()
    put(journal, reading())
    assert journal.last_seq() == 1
    journal.close()


def test_a_damaged_middle_is_told(tmp_path: Path) -> None:
    file = closed_file(tmp_path / "closed")
    content = bytearray(file.read_bytes())
    content[PAGE : 3 * PAGE] = bytes(2 * PAGE)
    file.write_bytes(content)
    with pytest.raises(StorageError, match=r"malformed.*last backup"):  # noqa: PT012  # either may
        journal = Journal.open(file)
        journal.verify()
