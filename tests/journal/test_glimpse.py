"""What a trend needs of each reading is what stands in the journal, corrections in place."""

from datetime import timedelta

from gaugewalk.journal.entry import Entry
from gaugewalk.journal.glimpse import Glimpse
from gaugewalk.journal.ids import new_id
from gaugewalk.journal.store import Journal

from .journal_entries import START, correction, put, reading

TAG = "P-101"


def judged(minutes: float, severity: str) -> Entry:
    verdict = {"severity": severity, "plausible": True, "sentence": 'a "quoted" word'}
    body = {"verdict": verdict, "context": {"flow": 0.01 * minutes, "running": 1.0}}
    return reading(minutes, value=1e5 * minutes, body=body)


def test_it_is_what_the_entries_say(journal: Journal) -> None:
    seen = [judged(n, word) for n, word in enumerate(("normal", "watch", "act", "normal"))]
    bare = reading(9)
    doubted = reading(10, body={"verdict": {"severity": "watch", "plausible": False}})
    fixed = correction(seen[1], 11, 7e5, verdict={"severity": "normal"})
    gone = correction(seen[2], 12, None, withdrawn=True)
    put(journal, *seen, bare, doubted, fixed, gone)
    with journal.reading() as ledger:
        found = ledger.glimpses(TAG, since=START, until=START + timedelta(hours=1))
        whole = ledger.history(TAG, since=START, kinds=["reading"])
    assert [(g.seen_at, g.value, g.point, g.low, g.high) for g in found] == [
        (e.seen_at, e.value, e.point, e.low, e.high) for e in whole
    ]
    assert [g.severity for g in found] == ["normal", "normal", "normal", None, "watch"]
    assert [g.plausible for g in found] == [True, True, True, True, False]
    assert found[0].context == {"flow": 0.0, "running": 1.0}
    assert found[3].context == {}


def test_only_the_span_and_the_points_asked_for(journal: Journal) -> None:
    put(journal, *(judged(n, "normal") for n in range(5)))
    with journal.reading() as ledger:

        def asked(**more: object) -> list[Glimpse]:
            return ledger.glimpses(TAG, since=START + timedelta(minutes=1), **more)  # type: ignore[arg-type]

        assert len(asked()) == 4
        assert len(asked(until=START + timedelta(minutes=3))) == 3
        assert asked(points=["speed"]) == []
        assert ledger.glimpses("other", since=START) == []


def test_the_newest_of_many(journal: Journal) -> None:
    put(journal, *(judged(n, "normal") for n in range(9)))
    with journal.reading() as ledger:
        whole = ledger.history(TAG, since=START)
        assert ledger.history(TAG, since=START, newest=3) == whole[-3:]
        everything = ledger.since(START, ["reading"], now=START)
        assert ledger.since(START, ["reading"], now=START, newest=2) == everything[-2:]


def test_which_pumps_and_kinds_were_written_last(journal: Journal) -> None:
    other = reading(tag="W1")
    nowhere = Entry(id=new_id(START), kind="note", who="v", seen_at=START, body={"text": "x"})
    put(journal, judged(0, "normal"), other, judged(1, "normal"), nowhere)
    with journal.reading() as ledger:
        assert ledger.tags_since(0) == [TAG, "W1"]
        assert ledger.tags_since(1) == ["W1", TAG]
        assert ledger.tags_since(4) == []
        assert (ledger.newest_of_kind("note"), ledger.newest_of_kind("limit")) == (4, 0)
