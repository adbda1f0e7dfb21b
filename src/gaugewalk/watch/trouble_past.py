"""Troubles as they were: each life from opening to end, and whether the same comes back."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import timedelta
from zoneinfo import ZoneInfo

from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ledger import Ledger
from gaugewalk.judge.severity import Severity, worst
from gaugewalk.plant.points import all_points
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.remembered import BEGINNING
from gaugewalk.watch.views import TroubleLine
from gaugewalk.watch.wall import day

LATELY = timedelta(days=30)  # within which a like trouble counts as come back; common practice
_ORDINALS = ("", "", "Second", "Third", "Fourth", "Fifth", "Sixth", "Seventh", "Eighth", "Ninth")

Life = Sequence[Entry]
"""The entries of one trouble in their order; the first opened it."""


def lives_of(ledger: Ledger, tag: str) -> dict[str, list[Entry]]:
    """Return the lives of all troubles that a pump ever had, by id, oldest first."""
    lives: dict[str, list[Entry]] = {}
    for row in ledger.history(tag, since=BEGINNING, kinds=["trouble"]):
        lives.setdefault(str(row.body["trouble"]), []).append(row)
    return {id: life for id, life in lives.items() if life[0].body["step"] == "opened"}


def line_of(desk: Desk, tag: str, life: Life) -> TroubleLine:
    """Return a trouble as a line, with the worst word it ever had and how it ended."""
    said = [entry for entry in life if entry.body["step"] in ("opened", "worse")]
    end = next((entry for entry in life if entry.body["step"] == "closed"), None)
    found = next((entry for entry in reversed(life) if entry.body["step"] == "found"), end)
    pump = desk.pumps.get(tag)
    return TroubleLine(
        id=str(life[0].body["trouble"]),
        tag=tag,
        name=pump.name if pump else "",
        severity=worst(*(Severity(entry.body["severity"]) for entry in said)),
        sentence=str(said[-1].body["sentence"]),
        opened_at=life[0].seen_at,
        walk_order=pump.walk_order if pump else 0.0,
        points=tuple(dict.fromkeys(entry.point for entry in life if entry.point)),
        closed_at=end.seen_at if end else None,
        cause=str(found.body.get("cause", "")) if found else "",
        cure=str(end.body.get("cure", "")) if end else "",
    )


def earlier_of(
    desk: Desk, tag: str, lives: Mapping[str, Life], trouble_id: str
) -> tuple[TroubleLine, ...]:
    """Return the troubles that a pump had before one of them, newest first."""
    opened_at = lives[trouble_id][0].seen_at
    before = (
        line_of(desk, tag, life)
        for id, life in lives.items()
        if id != trouble_id and life[0].seen_at <= opened_at
    )
    return tuple(reversed(tuple(before)))


def alike(line: TroubleLine, earlier: Iterable[TroubleLine]) -> tuple[TroubleLine, ...]:
    """Return those earlier troubles of the last 30 days that showed at one of the same points.

    Two that were opened by hand, with no point, count as alike. One that ended without a cure
    rested on a reading that was corrected; it never was.
    """
    return tuple(
        other
        for other in earlier
        if line.opened_at - other.opened_at <= LATELY
        and (other.cure or not other.closed_at)
        and (set(line.points) & set(other.points) or not (line.points or other.points))
    )


def recurrence(line: TroubleLine, earlier: Iterable[TroubleLine], zone: ZoneInfo) -> str:
    """Say that a trouble has come back, how often and what was found before; empty where not."""
    before = alike(line, earlier)
    if not before:
        return ""
    count = len(before) + 1
    ordinal = _ORDINALS[count] if count < len(_ORDINALS) else f"{count}th"
    shared = set(line.points).intersection(*(set(other.points) for other in before))
    where = f" at {_labels(sorted(shared))}" if shared else ""
    told = "; ".join(_told(other, zone) for other in before)
    return f"{ordinal} time in 30 days{where}. Before: {told}."


def _labels(points: Iterable[str]) -> str:
    known = all_points()
    return " and ".join(known[p].label.lower() if p in known else p for p in points)


def _told(line: TroubleLine, zone: ZoneInfo) -> str:
    found = ", ".join(part.rstrip(".") for part in (line.cause, line.cure) if part)
    return f"{day(line.opened_at, zone)} ({found})" if found else day(line.opened_at, zone)
