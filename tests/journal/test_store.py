import re
import sqlite3
import threading
from datetime import timedelta
from pathlib import Path

import pytest
import sqlalchemy as sa

from gaugewalk.errors import ArgumentError, ConflictError, NotFoundError, StorageError
from gaugewalk.journal import schema
from gaugewalk.journal.entry import BatchConflictError, Entry
from gaugewalk.journal.ledger import Ledger
from gaugewalk.journal.store import Journal

from .journal_entries import START, correction, reading

LATER = START + timedelta(hours=8)


def put(journal: Journal, *batch: Entry) -> None:
    journal.append(batch, recorded_at=LATER)


def test_an_entry_comes_back_as_it_was_typed(journal: Journal) -> None:
    entry = reading(value=31.25, entered="31,25 A", body={"round": "r1", "seen": ["a", 1.5, None]})
    put(journal, entry)
    stored = journal.get(entry.id)
    assert stored == entry
    assert (stored.seq, stored.recorded_at) == (1, LATER)


def test_sent_twice_is_stored_once(journal: Journal) -> None:
    entry = reading()
    first = journal.append([entry, entry], recorded_at=LATER)
    second = journal.append([entry], recorded_at=LATER + timedelta(hours=1))
    assert (first.stored, second.known, second.stored) == ((entry.id,), (entry.id,), ())
    assert journal.get(entry.id).recorded_at == LATER
    assert journal.last_seq() == 1


def test_same_id_other_content_is_named_and_the_rest_is_kept(journal: Journal) -> None:
    first, other = reading(value=31.0), reading(5)
    put(journal, first)
    with pytest.raises(ConflictError, match=str(first.id)) as caught:
        put(journal, reading(id=first.id, value=13.0), other)
    assert isinstance(caught.value, BatchConflictError)
    assert caught.value.appended.stored == (other.id,)
    assert journal.get(first.id).value == 31.0
    assert journal.get(other.id) == other


def test_two_contents_under_one_id_in_one_batch_are_named(journal: Journal) -> None:
    first = reading(value=31.0)
    with pytest.raises(ConflictError, match=str(first.id)):
        put(journal, first, reading(id=first.id, value=13.0))
    assert journal.get(first.id).value == 31.0


def test_latest_of_each_point_is_the_one_seen_last_not_the_one_sent_last(journal: Journal) -> None:
    late, early = reading(30, value=30.0), reading(0, value=29.0)
    oil = reading(10, point="oil_level", value=0.5)
    skipped = reading(40, kind="skipped", entered="gauge broken")
    put(journal, late)
    put(journal, oil, skipped, early, reading(50, tag="P-102"))
    assert journal.latest("P-101") == {"motor_current": late, "oil_level": oil}
    assert journal.latest("P-101", kinds=["skipped"]) == {"motor_current": skipped}
    assert journal.latest("P-999") == {}


def test_history_takes_both_ends_and_sorts_by_when_it_was_seen(journal: Journal) -> None:
    rows = [reading(n, value=n) for n in range(5)]
    put(journal, *reversed(rows))
    since, until = rows[1].seen_at, rows[3].seen_at
    assert journal.history("P-101", since=since, until=until) == rows[1:4]
    assert journal.history("P-101", since=since, points=["oil_level"]) == []
    assert journal.history("P-101", since=since, kinds=["note"]) == []


def test_entries_of_no_pump_have_a_history_too(journal: Journal) -> None:
    note = reading(kind="note", tag=None, point=None)
    put(journal, note, reading())
    assert journal.history(None, since=START) == [note]


def test_a_correction_stands_in_the_place_of_the_original(journal: Journal) -> None:
    before, wrong, after = reading(0), reading(5, value=13.0, body={"round": "r1"}), reading(9)
    fixed = correction(wrong, 60, 31.0, why="digits swapped")
    put(journal, before, wrong, after, fixed)
    values = [(e.value, e.kind) for e in journal.history("P-101", since=START)]
    assert values == [(31.0, "reading")] * 3
    stands = journal.history("P-101", since=START)[1]
    assert (stands.seen_at, stands.id, stands.who) == (wrong.seen_at, fixed.id, "s. marsh")
    assert stands.body == {"round": "r1", "why": "digits swapped"}
    assert stands.corrects is not None
    assert journal.get(stands.corrects) == wrong
    assert journal.get(fixed.id) == fixed


def test_the_newest_of_several_corrections_counts_and_chains_are_followed(journal: Journal) -> None:
    wrong = reading(5, value=13.0)
    first = correction(wrong, 60, 30.0)
    second = correction(first, 61, 31.0)  # corrects the correction
    third = correction(wrong, 62, 32.0)
    put(journal, wrong, first, second)
    assert journal.latest("P-101")["motor_current"].value == 31.0
    put(journal, third)
    assert [e.value for e in journal.history("P-101", since=START)] == [32.0]


def test_a_correction_may_arrive_before_its_original(journal: Journal) -> None:
    wrong = reading(5, value=13.0)
    put(journal, correction(wrong, 60, 31.0))
    assert journal.latest("P-101") == {}
    put(journal, wrong)
    assert journal.latest("P-101")["motor_current"].value == 31.0


def test_a_withdrawn_reading_gives_way_to_the_one_before(journal: Journal) -> None:
    good, other_pump = reading(0, value=30.0), reading(5, value=99.0)
    put(journal, good, other_pump, correction(other_pump, 60, None, withdrawn=True))
    assert journal.latest("P-101")["motor_current"] == good
    assert journal.history("P-101", since=START) == [good]
    assert journal.get(other_pump.id) == other_pump


def test_entries_walk_in_the_order_recorded(journal: Journal) -> None:
    rows = [reading(n, kind="note" if n % 2 else "reading") for n in (3, 1, 2)]
    put(journal, *rows)
    assert [e.id for e in journal.entries()] == [e.id for e in rows]
    assert list(journal.entries(after=1, kinds=["note"])) == [rows[1]]
    assert list(journal.entries(tags=["P-999"])) == []


def test_unknown_id_is_not_found(journal: Journal) -> None:
    with pytest.raises(NotFoundError, match="no entry"):
        journal.get(reading().id)


def test_states_are_saved_with_their_batch_only_when_all_of_it_is_new(journal: Journal) -> None:
    entry = reading()
    journal.append([entry], recorded_at=LATER, states={"point/P-101/a": {"n": 1}})
    journal.append([entry, reading(9)], recorded_at=LATER, states={"point/P-101/a": {"n": 2}})
    assert journal.load_state("point/P-101/a") == {"n": 1}
    journal.save_state("point/P-102/a", {"n": 3})
    assert journal.load_states("point/P-101/") == {"point/P-101/a": {"n": 1}}
    assert journal.load_state("nothing") is None


def test_rebuild_makes_all_states_anew_from_the_entries(journal: Journal) -> None:
    def count(ledger: Ledger) -> list[tuple[str, dict[str, int]]]:
        return [("count", {"n": sum(1 for _ in ledger.entries())})]

    put(journal, reading(0), reading(1))
    journal.save_state("stale", {"n": 0})
    assert journal.rebuild(count) == 1
    assert journal.load_states("") == {"count": {"n": 2}}


@pytest.mark.parametrize("change", ["UPDATE entries SET value = 1", "DELETE FROM entries"])
def test_the_database_itself_refuses_to_change_an_entry(
    journal: Journal, path: Path, change: str
) -> None:
    put(journal, reading())
    with sqlite3.connect(path) as raw, pytest.raises(sqlite3.IntegrityError, match="append-only"):
        raw.execute(change)
    raw.close()
    assert journal.verify().ok


def tamper(path: Path, change: str) -> None:
    with sqlite3.connect(path) as raw:
        raw.execute("DROP TRIGGER entries_no_UPDATE")
        raw.execute("DROP TRIGGER entries_no_DELETE")
        raw.execute(change)
    raw.close()


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
def test_verify_names_what_was_tampered_with(
    journal: Journal, path: Path, change: str, said: str
) -> None:
    put(journal, reading(0), reading(1), reading(2))
    journal.save_state("any", {})
    assert journal.verify().ok
    tamper(path, change)
    found = journal.verify()
    assert len(found.faults) == 1
    assert re.search(said, found.faults[0])


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


def test_the_migrations_make_the_tables_that_the_code_expects(journal: Journal) -> None:
    def shape(inspector: sa.Inspector) -> dict[str, object]:
        return {
            table: (
                [(c["name"], str(c["type"]), c["nullable"]) for c in inspector.get_columns(table)],
                sorted((str(i["name"]), i["column_names"]) for i in inspector.get_indexes(table)),
            )
            for table in ("entries", "states")
        }

    fresh = sa.create_engine("sqlite://")
    schema.metadata.create_all(fresh)
    assert shape(sa.inspect(journal.engine)) == shape(sa.inspect(fresh))


def test_a_file_of_a_newer_program_is_refused(journal: Journal, path: Path) -> None:
    with sqlite3.connect(path) as raw:
        raw.execute("UPDATE alembic_version SET version_num = '9999'")
    raw.close()
    with pytest.raises(StorageError, match="newer program"):
        Journal.open(path)


def test_a_file_that_is_no_journal_is_refused_with_what_to_do(path: Path) -> None:
    path.write_bytes(b"not a database at all, " * 100)
    with pytest.raises(StorageError, match="no journal"):
        Journal.open(path)
    assert path.read_bytes().startswith(b"not a database")


def test_a_missing_folder_is_refused_with_what_to_do(tmp_path: Path) -> None:
    with pytest.raises(StorageError, match="missing or may not be opened"):
        Journal.open(tmp_path / "nowhere" / "watch.db")


@pytest.mark.parametrize("where", [":memory:", "sqlite://", "mysql://x/y"])
def test_places_that_cannot_hold_a_journal_are_refused(where: str) -> None:
    with pytest.raises(ArgumentError):
        Journal.open(where)


def test_a_full_disk_says_so_and_stores_nothing(journal: Journal) -> None:
    # A cap on the pages of the file is SQLite's own way to be full.
    @sa.event.listens_for(journal.engine, "begin")
    def cap(connection: sa.Connection) -> None:
        connection.exec_driver_sql("PRAGMA max_page_count = 1")

    with pytest.raises(StorageError, match="disk is full"):
        put(journal, *[reading(n, entered="x" * 4000) for n in range(50)])
    assert journal.last_seq() == 0


def test_threads_write_and_read_at_once(journal: Journal) -> None:
    def work(tag: str) -> None:
        for n in range(20):
            put(journal, reading(n, tag=tag, value=n))
            assert journal.latest(tag)["motor_current"].value == n

    threads = [threading.Thread(target=work, args=(f"P-{n}",)) for n in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [len(journal.history(f"P-{n}", since=START)) for n in range(4)] == [20] * 4
    assert journal.verify().ok


def test_a_backup_is_a_whole_journal(journal: Journal, tmp_path: Path) -> None:
    entry = reading()
    put(journal, entry)
    copy = Journal.open(journal.backup(tmp_path / "copy.db"))
    assert copy.verify() == journal.verify()
    assert copy.get(entry.id) == entry
    copy.close()
    with pytest.raises(StorageError):
        journal.backup(tmp_path / "nowhere" / "copy.db")


def test_latest_and_history_use_an_index(journal: Journal) -> None:
    put(journal, reading())
    seen: list[tuple[str, object]] = []

    @sa.event.listens_for(journal.engine, "before_cursor_execute")
    def note(_c: object, _cur: object, statement: str, parameters: object, *_: object) -> None:
        if statement.startswith(("SELECT", "WITH")):
            seen.append((statement, parameters))

    journal.latest("P-101")
    journal.history("P-101", since=START)
    journal.history("P-101", since=START, points=["motor_current"], kinds=["reading"])
    with sqlite3.connect(journal.engine.url.database) as raw:
        plans = [r[3] for s, p in seen for r in raw.execute("EXPLAIN QUERY PLAN " + s, p)]
    raw.close()
    assert any("entries_point" in plan for plan in plans)
    assert not [plan for plan in plans if plan.startswith("SCAN entries")]


def test_every_connection_is_set_to_survive_the_loss_of_power(journal: Journal) -> None:
    with journal.engine.connect() as connection:
        asked = ("journal_mode", "synchronous", "foreign_keys", "busy_timeout")
        found = [connection.exec_driver_sql(f"PRAGMA {name}").scalar() for name in asked]
    assert found == ["wal", 2, 1, 10_000]  # 2 is FULL


def test_what_a_transaction_added_is_gone_when_it_raises(journal: Journal) -> None:
    def add_and_fail() -> None:
        with journal.writing() as ledger:
            ledger.append([reading()], recorded_at=LATER, states={"a": {}})
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        add_and_fail()
    assert journal.last_seq() == 0
    assert journal.load_state("a") is None


def test_recorded_since_goes_by_when_it_was_recorded(journal: Journal) -> None:
    early, late, note = reading(5), reading(0), reading(1, kind="note")
    journal.append([early], recorded_at=LATER)
    journal.append([late, note], recorded_at=LATER + timedelta(minutes=1))
    with journal.reading() as ledger:
        assert ledger.since(LATER + timedelta(seconds=1), ["reading"]) == [late]
        assert ledger.since(LATER, ["reading", "note"]) == [early, late, note]
