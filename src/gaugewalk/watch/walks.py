"""Rounds as they were walked: when begun and finished, which pump was reached when."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ledger import Ledger

_INSTANT = timedelta(microseconds=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Walk:
    """One round: its pumps in their order and its time; `until` ends it where nobody did."""

    id: str
    name: str
    tags: tuple[str, ...]
    begun_at: datetime
    until: datetime
    finished: bool

    def holds(self, moment: datetime) -> bool:
        """Whether something seen at a moment belongs to this round."""
        return self.begun_at <= moment <= self.until


def walks_since(ledger: Ledger, since: datetime, now: datetime) -> list[Walk]:
    """Return the rounds begun from `since` to `now`, oldest first.

    A round that nobody finished ends just before the next of its name was begun.
    """
    rows = ledger.history(None, since=since, until=now, kinds=["round"])
    begun = [row for row in rows if row.body["step"] == "begun"]
    ends = {str(r.body["round"]): r.seen_at for r in rows if r.body["step"] == "finished"}
    return [
        Walk(
            id=str(row.id),
            name=str(row.body["name"]),
            tags=tuple(row.body["tags"]),
            begun_at=row.seen_at,
            until=ends.get(str(row.id)) or _next(row, begun[n + 1 :], now),
            finished=str(row.id) in ends,
        )
        for n, row in enumerate(begun)
    ]


def _next(row: Entry, later: Iterable[Entry], now: datetime) -> datetime:
    starts = (e.seen_at for e in later if e.body["name"] == row.body["name"])
    return next((start - _INSTANT for start in starts), now)


def arrivals(walk: Walk, seen: Mapping[str, Sequence[Entry]]) -> list[tuple[str, datetime]]:
    """Return the pumps of a round with the time of the first entry there, in the order reached."""
    first = {
        tag: next((e.seen_at for e in seen.get(tag, ()) if walk.holds(e.seen_at)), None)
        for tag in walk.tags
    }
    reached = [(tag, at) for tag, at in first.items() if at is not None]
    return sorted(reached, key=lambda one: one[1])
