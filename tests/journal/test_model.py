"""The journal behaves like a dictionary that refuses to forget."""

import tempfile
from datetime import timedelta
from pathlib import Path
from uuid import UUID

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import Bundle, RuleBasedStateMachine, invariant, multiple, rule

from gaugewalk.errors import ConflictError
from gaugewalk.journal.entry import Entry
from gaugewalk.journal.store import Journal

from .journal_entries import START, correction, reading

NOW = START + timedelta(days=1)


class JournalLikeADict(RuleBasedStateMachine):
    sent: Bundle[Entry] = Bundle("sent")

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        self.path = Path(self.folder.name) / "watch.db"
        self.journal = Journal.open(self.path)
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
        self.journal = Journal.open(self.path)

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
        self.folder.cleanup()


TestJournalLikeADict = JournalLikeADict.TestCase
TestJournalLikeADict.settings = settings(max_examples=25, stateful_step_count=15, deadline=None)
