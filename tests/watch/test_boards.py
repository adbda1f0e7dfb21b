"""The boards at hand are those of the journal, whoever wrote to it and however it ended."""

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from gaugewalk.journal.backup import back_up, restore
from gaugewalk.journal.ledger import Ledger
from gaugewalk.journal.store import Journal
from gaugewalk.judge.severity import Severity
from gaugewalk.watch.board import Board, board_key
from gaugewalk.watch.boards import Boards
from gaugewalk.watch.service import Watch
from gaugewalk.watch.sitting import together

from .watch_day import Day


def stored(journal: Journal) -> dict[str, Board]:
    prefix = board_key("")
    rows = journal.load_states(prefix)
    return {key.removeprefix(prefix): Board.from_json(row) for key, row in rows.items()}


def test_what_was_added_since_is_seen(day: Day) -> None:
    boards = Boards()
    for step in range(5):
        day.watch.note("C1A", f"note {step}", who="v", now=day.at(step))
        day.read(step + 0.5, f"{3 + step / 10:.1f}")
        with day.watch.journal.reading() as ledger:
            assert dict(boards.every(ledger)) == stored(day.watch.journal)


def test_what_another_program_added_is_seen(day: Day) -> None:
    before = day.watch.severities()
    watch = day.watch
    other = Watch(plant=watch.plant, journal=watch.journal, knowledge=watch.knowledge)
    other.take_reading("C1A", "discharge_pressure", "0.1 barg", who="v", now=day.at(1))
    assert day.watch.severities()["C1A"] == stored(watch.journal)["C1A"].severity
    assert day.watch.severities() != before


def fail_after_reading(day: Day) -> None:
    desk = day.watch.desk
    with together(desk, day.at(0)) as work:
        day.read(1, "0.1")
        work.finish()
        assert desk.boards.every(work.ledger)["C1A"].last
        raise RuntimeError("the power went")


def test_what_was_taken_back_is_not_kept(day: Day) -> None:
    day.watch.severities()
    with pytest.raises(RuntimeError):
        fail_after_reading(day)
    day.watch.note("C1A", "instead", who="v", now=day.at(2))
    with day.watch.journal.reading() as ledger:
        assert dict(day.watch.desk.boards.every(ledger)) == stored(day.watch.journal)


def test_many_changes_are_read_at_once(day: Day, monkeypatch: pytest.MonkeyPatch) -> None:
    day.watch.severities()
    monkeypatch.setattr("gaugewalk.watch.boards._MANY", 0)
    day.read(1, "3.1")
    with day.watch.journal.reading() as ledger:
        assert dict(day.watch.desk.boards.every(ledger)) == stored(day.watch.journal)


def test_after_a_rebuild_everything_is_read_again(day: Day) -> None:
    day.read(1, "3.1")
    day.watch.journal.save_state(board_key("C1A"), Board(running=True).to_json())
    assert day.watch.severities()
    day.watch.rebuild()
    with day.watch.journal.reading() as ledger:
        kept = dict(day.watch.desk.boards.every(ledger))
    assert kept == stored(day.watch.journal)
    assert kept["C1A"].running is None


def test_who_began_to_look_before_sees_that_moment_and_costs_the_others_nothing(
    day: Day, monkeypatch: pytest.MonkeyPatch
) -> None:
    boards, journal = Boards(), day.watch.journal
    day.read(0, "3.1")
    with journal.reading() as before:
        first = dict(boards.every(before))
        with ThreadPoolExecutor(1) as other:
            other.submit(day.read, 1, "3.3").result()
            other.submit(lambda: [boards.every(now) for now in looking(journal)]).result()
        monkeypatch.setattr(Boards, "_read_all", lambda *_: pytest.fail("all were read again"))
        assert dict(boards.every(before)) == first
    with journal.reading() as ledger:
        assert dict(boards.every(ledger)) == stored(journal) != first


def looking(journal: Journal) -> Iterator[Ledger]:
    with journal.reading() as ledger:
        yield ledger


def test_what_was_put_back_from_a_backup_is_seen(day: Day, tmp_path: Path) -> None:
    day.read(0, "3.1")
    back_up(day.watch.journal, tmp_path / "copy.db")
    day.read(1, "2.0")
    assert day.watch.severities()["C1A"] is Severity.ACT
    journal = Path(str(day.watch.journal.engine.url.database))
    restore(tmp_path / "copy.db", journal, aside=tmp_path / "aside.db", replace=True)
    assert day.watch.severities()["C1A"] is Severity.NORMAL
    for step in range(3):  # as many entries as before, but others
        day.watch.note("S3", f"note {step}", who="v", now=day.at(2 + step))
    day.read(9, "0.2", tag="S3")
    assert day.watch.severities() == {t: b.severity for t, b in every(day).items()}


def every(day: Day) -> dict[str, Board]:
    found = stored(day.watch.journal)
    return {tag: found.get(tag, Board()) for tag in day.watch.desk.pumps}
