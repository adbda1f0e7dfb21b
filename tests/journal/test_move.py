"""A journal copied from a file into PostgreSQL and back is the same journal."""

import sqlite3
from pathlib import Path

import pytest

from gaugewalk.errors import ArgumentError, NotFoundError, StorageError
from gaugewalk.journal import move as moving
from gaugewalk.journal.move import move
from gaugewalk.journal.store import Journal

from .journal_entries import correction, put, reading


def told(place: str | Path) -> tuple[object, ...]:
    """Everything that a journal says of itself."""
    journal = Journal.open(place)
    found = journal.verify()
    entries = [(e.seq, e.recorded_at, e) for e in journal.entries()]
    states = journal.load_states("")
    journal.close()
    assert found.ok
    return found.head, entries, states


@pytest.fixture
def filled(path: Path) -> Path:
    journal = Journal.open(path)
    wrong = reading(1, who="Zoë", value=-0.0, body={"note": "line\n🔧", "n": [1e-300, 0.1]})
    put(journal, reading(0), wrong, correction(wrong, 9, 3e8), reading(2, low=1.5, high=2.5))
    journal.save_state("pump/P-101", {"last": 1})
    for n in range(3, 8):
        put(journal, reading(n))
    journal.close()
    return path


def test_there_and_back_is_the_same(filled: Path, postgres_url: str, tmp_path: Path) -> None:
    first = told(filled)
    shares: list[float] = []
    done = move(filled, postgres_url, tell=shares.append)
    assert (done.copied, done.known, done.head) == (9, 0, first[0])
    assert told(postgres_url) == first
    move(postgres_url, tmp_path / "back.db")
    assert told(tmp_path / "back.db") == told(filled) == first
    assert shares == sorted(shares)
    assert shares[-1] == 1


def test_what_broke_off_goes_on_and_what_is_done_stays(
    filled: Path, place: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = place if "://" in place else tmp_path / "copy.db"
    monkeypatch.setattr(moving, "_AT_ONCE", 2)

    def break_off(share: float) -> None:
        if share > 0.3:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        move(filled, target, tell=break_off)
    again = move(filled, target)
    assert (again.known, again.copied) == (4, 5)
    assert told(target) == told(filled)
    once_more = move(filled, target)
    assert (once_more.known, once_more.copied) == (9, 0)
    assert told(target) == told(filled)


def test_what_came_later_follows(filled: Path, tmp_path: Path) -> None:
    target = tmp_path / "copy.db"
    move(filled, target)
    journal = Journal.open(filled)
    put(journal, reading(20))
    journal.close()
    assert move(filled, target).copied == 1
    assert told(target) == told(filled)


def test_another_journal_is_not_mixed_in(filled: Path, place: str, tmp_path: Path) -> None:
    target = place if "://" in place else str(tmp_path / "other.db")
    other = Journal.open(target)
    put(other, reading(0))
    other.close()
    before = told(target)
    with pytest.raises(ArgumentError, match="not those of this journal"):
        move(filled, target)
    assert told(target) == before


def test_a_target_that_went_on_is_not_mixed_in(filled: Path, tmp_path: Path) -> None:
    target = tmp_path / "copy.db"
    move(filled, target)
    for place, minutes in ((filled, 30), (target, 31)):
        journal = Journal.open(place)
        put(journal, reading(minutes))
        journal.close()
    with pytest.raises(ArgumentError, match="not those of this journal"):
        move(filled, target)


def test_an_altered_journal_is_not_copied_beyond_the_fault(filled: Path, tmp_path: Path) -> None:
    with sqlite3.connect(filled) as raw:
        raw.execute("DROP TRIGGER entries_no_UPDATE")
        raw.execute("UPDATE entries SET value = 7 WHERE seq = 5")
    raw.close()
    with pytest.raises(StorageError, match=r"entry 5 .* was altered. Entries up to 4 can be"):
        move(filled, tmp_path / "copy.db")


def test_a_database_of_something_else_is_refused(filled: Path, tmp_path: Path) -> None:
    target = tmp_path / "shop.db"
    with sqlite3.connect(target) as raw:
        raw.execute("CREATE TABLE orders (id)")
    raw.close()
    with pytest.raises(StorageError, match="no journal: it holds other tables"):
        move(filled, target)


def test_nothing_is_made_out_of_a_slip_of_the_pen(filled: Path, tmp_path: Path) -> None:
    slip = tmp_path / "wotch.db"
    with pytest.raises(NotFoundError, match=r"no journal in .*wotch\.db"):
        move(slip, tmp_path / "copy.db")
    assert not slip.exists()
    slip.touch()
    with pytest.raises(NotFoundError, match="no journal"):
        move(slip, tmp_path / "copy.db")
    assert slip.stat().st_size == 0


def test_onto_itself_is_refused(filled: Path) -> None:
    with pytest.raises(ArgumentError, match="there already"):
        move(filled, f"sqlite:///{filled}")
