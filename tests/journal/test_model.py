"""The journal behaves like a dictionary that refuses to forget."""

import shutil
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import ClassVar
from uuid import UUID

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    Bundle,
    RuleBasedStateMachine,
    invariant,
    multiple,
    rule,
    run_state_machine_as_test,
)

from gaugewalk.errors import ConflictError
from gaugewalk.journal.entry import Entry
from gaugewalk.journal.store import Journal
from tests.postgres_server import Server

from .journal_entries import START, correction, reading

NOW = START + timedelta(days=1)


class JournalLikeADict(RuleBasedStateMachine):
    sent: Bundle[Entry] = Bundle("sent")

    empty: ClassVar[Callable[[], str]]  # where an empty journal is

    def __init__(self) -> None:
        super().__init__()
        self.place = type(self).empty()
        self.journal = Journal.open(self.place)
        self.model: dict[UUID, Entry] = {}
        self.stands: dict[UUID, float | None] = {}  # reading -> its value as corrected

    @rule(
        target=sent,
        minutes=st.integers(0, 500),
        value=st.floats(allow_nan=False, allow_infinity=False),
        tag=st.sampled_from(["P-1", "P-2"]),
        point=st.sampled_from(["motor_current", "oil_level"]),
        text=st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=9),
    )
    def new(self, minutes: int, value: float, tag: str, point: str, text: str) -> Entry:
        entry = reading(minutes, value=value, tag=tag, point=point, entered=text, body={"t": text})
        self.journal.append([entry], recorded_at=NOW)
        self.model[entry.id] = entry
        self.stands[entry.id] = value
        return entry

    @rule(batch=st.lists(sent, max_size=5))
    def send_again(self, batch: list[Entry]) -> None:
        appended = self.journal.append(batch, recorded_at=NOW + timedelta(days=1))
        assert appended.stored == ()
        assert set(appended.known) == {entry.id for entry in batch}

    @rule(entry=sent, value=st.floats(-9, 9))
    def send_other_content(self, entry: Entry, value: float) -> None:
        other = reading(700, id=entry.id, value=value)
        with pytest.raises(ConflictError, match=str(entry.id)):
            self.journal.append([other], recorded_at=NOW)

    @rule(target=sent, entry=sent, value=st.floats(-9, 9), withdrawn=st.booleans())
    def correct(self, entry: Entry, value: float, withdrawn: bool) -> object:
        if entry.kind == "correction":
            return multiple()
        fixed = correction(entry, 600, value, **({"withdrawn": True} if withdrawn else {}))
        self.journal.append([fixed], recorded_at=NOW)
        self.model[fixed.id] = fixed
        self.stands[entry.id] = None if withdrawn else value
        return fixed

    @rule()
    def open_again(self) -> None:
        self.journal.close()
        self.journal = Journal.open(self.place)

    @invariant()
    def holds_what_was_sent_in_order(self) -> None:
        assert [(e.id, e) for e in self.journal.entries()] == list(self.model.items())

    @invariant()
    def history_and_latest_agree_with_the_model(self) -> None:
        for tag in ("P-1", "P-2"):
            originals = [e for e in self.model.values() if e.tag == tag and e.kind == "reading"]
            originals.sort(key=lambda e: e.seen_at)  # stable: equal times stay in order of arrival
            expected = [(e.point, e.seen_at, self.stands[e.id]) for e in originals]
            expected = [row for row in expected if row[2] is not None]
            found = self.journal.history(tag, since=START)
            assert [(e.point, e.seen_at, e.value) for e in found] == expected
            last = {str(point): value for point, _, value in expected}
            assert {p: e.value for p, e in self.journal.latest(tag).items()} == last

    def teardown(self) -> None:
        assert self.journal.verify().ok
        assert self.journal.verify().count == len(self.model)
        self.journal.close()


def test_a_file_behaves_like_a_dict(path: Path) -> None:
    Journal.open(path).close()

    def empty() -> str:
        copy = path.with_name("copy.db")
        for file in path.parent.glob("copy.db*"):
            file.unlink()
        return str(shutil.copy(path, copy))

    walk(empty, examples=12, steps=12)


def test_postgresql_behaves_like_a_dict(postgres: Server) -> None:
    walk(lambda: postgres.url(postgres.emptied()), examples=6, steps=10)


def walk(empty: Callable[[], str], *, examples: int, steps: int) -> None:
    machine = type("Machine", (JournalLikeADict,), {"empty": staticmethod(empty)})
    run_state_machine_as_test(
        machine,
        settings=settings(max_examples=examples, stateful_step_count=steps, deadline=None),
    )


NUMBERS = (-0.0, 5e-324, 1.7976931348623157e308, 0.1, -1e-300)


@pytest.mark.parametrize("value", NUMBERS)
def test_a_number_comes_back_to_its_last_bit_and_is_the_one_that_was_hashed(
    journal: Journal, value: float
) -> None:
    entry = reading(value=value, low=value, high=abs(value))
    journal.append([entry], recorded_at=NOW)
    assert journal.get(entry.id).value == value
    assert journal.verify().ok
