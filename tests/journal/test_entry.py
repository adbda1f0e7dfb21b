from datetime import datetime, timedelta, timezone

import pytest

from gaugewalk.errors import ArgumentError
from gaugewalk.journal.entry import canonical

from .journal_entries import START, reading


def test_local_time_is_kept_as_utc() -> None:
    summer = timezone(timedelta(hours=2))
    assert reading(seen_at=START.astimezone(summer)).seen_at.utcoffset() == timedelta(0)
    assert reading(seen_at=START.astimezone(summer)).seen_at == START


@pytest.mark.parametrize(
    ("fields", "message"),
    [
        ({"seen_at": datetime(2025, 11, 3, 6)}, "seen_at = 2025-11-03T06:00:00 has no time zone"),  # noqa: DTZ001
        ({"value": float("nan")}, "value = nan"),
        ({"high": float("inf")}, "high = inf"),
        ({"kind": "rumor"}, "kind = 'rumor'; expected one of reading"),
        ({"kind": "correction"}, "names the entry that it corrects"),
    ],
)
def test_senseless_entries_are_refused(fields: dict[str, object], message: str) -> None:
    with pytest.raises(ArgumentError, match=message):
        reading(**fields)


@pytest.mark.parametrize(
    "body", [{"a": float("nan")}, {"a": object()}, {"a": "\ud800"}, {"a": "\0"}]
)
def test_a_body_that_cannot_be_kept_is_refused(body: dict[str, object]) -> None:
    with pytest.raises(ArgumentError):
        canonical(body)


def test_when_it_was_recorded_is_no_part_of_the_content() -> None:
    first = reading()
    again = reading(id=first.id, recorded_at=START, seq=7)
    assert first == again
    assert first.same_as(again)


def test_tuple_and_list_in_a_body_are_the_same_content() -> None:
    first = reading(body={"band": (1.0, 2.0)})
    assert first.same_as(reading(id=first.id, body={"band": [1.0, 2.0]}))
