"""Make every projection anew from the journal: boards, point states, cares, the plan of rounds."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ledger import Ledger, Projector
from gaugewalk.watch.board import Board, after, board_key
from gaugewalk.watch.care import Care, care_after, care_key
from gaugewalk.watch.changes import Changes, change_key, changes_after
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.procedure_run import UnderWay, under_way_after, under_way_key
from gaugewalk.watch.remembered import point_key, refold
from gaugewalk.watch.round_plan import Walked, plan_key, walked_after

_TOLD_EVERY = 1000  # entries
_WALK = 0.3  # share of the time that the walk over the entries takes; the rest is judging anew


@dataclass(frozen=True, slots=True, kw_only=True)
class _Folded:
    """What one walk over all entries gives."""

    desk: Desk
    boards: dict[str, Board] = field(default_factory=dict)
    points: dict[str, set[str]] = field(default_factory=dict)  # tag -> points ever read
    walked: dict[str, Walked] = field(default_factory=dict)
    cares: dict[str, Care] = field(default_factory=dict)
    changes: dict[str, Changes] = field(default_factory=dict)
    under_way: dict[str, UnderWay] = field(default_factory=dict)

    def take(self, entry: Entry) -> None:
        """Fold one more entry in."""
        if entry.kind == "round":
            name = str(entry.body["name"])
            self.walked[name] = walked_after(self.walked.get(name, Walked()), entry)
        if entry.tag is None:
            return
        self.boards[entry.tag] = after(self.boards.get(entry.tag, Board()), entry)
        if entry.kind == "reading" and entry.point is not None:
            self.points.setdefault(entry.tag, set()).add(entry.point)
        if entry.kind == "limit":
            self.changes[entry.tag] = changes_after(self.changes.get(entry.tag, {}), entry)
        if entry.kind == "procedure":
            before = self.under_way.get(entry.tag, UnderWay())
            self.under_way[entry.tag] = under_way_after(before, entry)
        pump = self.desk.filed.get(entry.tag)
        if pump is not None:
            self.cares[entry.tag] = care_after(self.cares.get(entry.tag, Care()), entry, pump)


def projector(desk: Desk, *, tell: Callable[[float], None] = lambda share: None) -> Projector:
    """Return the function that makes every state that follows from a journal's entries.

    `tell` is told now and then which share of the work is done, 0 to 1.
    """

    def project(ledger: Ledger) -> Iterator[tuple[str, Mapping[str, Any]]]:
        folded, last = _Folded(desk=desk), max(ledger.last_seq(), 1)
        for entry in ledger.entries():
            folded.take(entry)
            if entry.seq % _TOLD_EVERY == 0:
                tell(_WALK * entry.seq / last)
        yield from ((plan_key(name), row.to_json()) for name, row in folded.walked.items())
        yield from ((board_key(tag), board.to_json()) for tag, board in folded.boards.items())
        yield from ((change_key(tag), changes) for tag, changes in folded.changes.items())
        under_way = folded.under_way.items()
        yield from ((under_way_key(tag), runs.to_json()) for tag, runs in under_way)
        cares = folded.cares.items()
        yield from ((care_key(tag), care.to_json()) for tag, care in cares if care != Care())
        # A pump that has left the plant file keeps its past, but nothing of it is judged.
        judged = sorted(folded.points.keys() & desk.pumps.keys())
        for n, tag in enumerate(judged):
            tell(_WALK + (1 - _WALK) * n / len(judged))
            for point in sorted(folded.points[tag]):
                remembered = refold(ledger, desk.as_filed(tag), point, desk.barometric)
                yield point_key(tag, point), remembered.to_json()

    return project
