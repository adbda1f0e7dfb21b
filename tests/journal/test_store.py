"""What the journal promises, held in a file and in PostgreSQL alike."""

import threading
from datetime import timedelta

import pytest

from gaugewalk.errors import ArgumentError, ConflictError, NotFoundError
from gaugewalk.journal.entry import BatchConflictError
from gaugewalk.journal.ledger import Ledger
from gaugewalk.journal.store import Journal

from .journal_entries import LATER, START, correction, put, reading


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


@pytest.mark.parametrize("where", [":memory:", "sqlite://", "mysql://x/y"])
def test_places_that_cannot_hold_a_journal_are_refused(where: str) -> None:
    with pytest.raises(ArgumentError):
        Journal.open(where)


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
        now = LATER + timedelta(minutes=2)
        assert ledger.since(LATER + timedelta(seconds=1), ["reading"], now=now) == [late]
        assert ledger.since(LATER, ["reading", "note"], now=now) == [early, late, note]
