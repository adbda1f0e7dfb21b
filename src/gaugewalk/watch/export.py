"""Readings, troubles and rounds as tables for other programs: one row a thing, every column typed.

A value stands in the unit of its point and in SI, the text as typed beside it; times are the
plant's own with their distance from UTC, so that both hours of the autumn change differ.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from gaugewalk.errors import ArgumentError, NotFoundError, nearest_word
from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ledger import Ledger
from gaugewalk.units import from_si
from gaugewalk.watch.desk import Desk, unit_of
from gaugewalk.watch.quality import quality_of, remarks
from gaugewalk.watch.telling import label_of
from gaugewalk.watch.trouble_past import line_of, lives_of
from gaugewalk.watch.walks import walks_since

Kind = Literal["text", "number", "count", "flag", "time"]
Cell = str | float | int | bool | datetime | None
Row = tuple[Cell, ...]
Tell = Callable[[float], None]
_PAST = timedelta(days=14)  # before the first round, from which its usual is learned


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """What is wanted: from when to when, and of which pumps (none: of all)."""

    since: datetime
    until: datetime
    tags: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table: its columns with what they hold, and its rows, made one after the other."""

    name: str
    columns: tuple[tuple[str, Kind], ...]
    rows: Iterator[Row]


READING_COLUMNS: tuple[tuple[str, Kind], ...] = (
    ("seen", "time"),
    ("tag", "text"),
    ("pump", "text"),
    ("point", "text"),
    ("label", "text"),
    ("value", "number"),
    ("low", "number"),  # of a swing
    ("high", "number"),
    ("unit", "text"),
    ("value_si", "number"),
    ("quantity", "text"),
    ("entered", "text"),
    ("severity", "text"),
    ("plausible", "flag"),
    ("sentence", "text"),
    ("who", "text"),
    ("recorded", "time"),
    ("corrected", "flag"),
    ("round", "text"),
    ("id", "text"),
)
TROUBLE_COLUMNS: tuple[tuple[str, Kind], ...] = (
    ("opened", "time"),
    ("closed", "time"),
    ("tag", "text"),
    ("pump", "text"),
    ("severity", "text"),
    ("sentence", "text"),
    ("points", "text"),
    ("days_open", "number"),
    ("cause", "text"),
    ("cure", "text"),
    ("id", "text"),
)
ROUND_COLUMNS: tuple[tuple[str, Kind], ...] = (
    ("begun", "time"),
    ("ended", "time"),
    ("round", "text"),
    ("finished", "flag"),
    ("planned", "count"),
    ("taken", "count"),
    ("skipped", "count"),
    ("reasons", "text"),
    ("open", "count"),
    ("same_again", "count"),
    ("compared", "count"),
    ("remarks", "text"),
    ("id", "text"),
)
TABLES = ("readings", "troubles", "rounds")


def table(
    desk: Desk, ledger: Ledger, what: str, span: Span, *, tell: Tell = lambda share: None
) -> Table:
    """Return one of `TABLES` over a span.

    Parameters
    ----------
    desk, ledger
        The rows are read from the ledger while they are asked for.
    what : str
        One of `TABLES`.
    span : Span
    tell : callable
        Told which share of the work is done, 0 to 1.

    Raises
    ------
    NotFoundError
        There is no such table or pump.
    ArgumentError
        The span ends before it begins.
    """
    makers = {
        "readings": (READING_COLUMNS, _readings),
        "troubles": (TROUBLE_COLUMNS, _troubles),
        "rounds": (ROUND_COLUMNS, _rounds),
    }
    if what not in makers:
        near = nearest_word(what, TABLES)
        hint = f" Did you mean {near!r}?" if near else ""
        raise NotFoundError(f"No table {what[:40]!r}; expected {', '.join(TABLES)}.{hint}")
    if span.until < span.since:
        raise ArgumentError("The span ends before it begins.")
    for tag in span.tags:
        desk.pump(tag)
    columns, make = makers[what]
    return Table(name=what, columns=columns, rows=make(desk, ledger, span, tell))


def _tags(desk: Desk, span: Span) -> Sequence[str]:
    return span.tags or tuple(desk.pumps)


def _readings(desk: Desk, ledger: Ledger, span: Span, tell: Tell) -> Iterator[Row]:
    tags = _tags(desk, span)
    for n, tag in enumerate(tags):
        tell(n / len(tags))
        for entry in ledger.history(tag, since=span.since, until=span.until, kinds=["reading"]):
            yield _reading(desk, tag, entry)


def _reading(desk: Desk, tag: str, entry: Entry) -> Row:
    pump, point = desk.pumps[tag], str(entry.point)
    unit, verdict = unit_of(pump, point), entry.body.get("verdict", {})

    def shown(value: float | None) -> float | None:
        if value is None:
            return None
        return float(f"{from_si(value, unit, barometric=desk.barometric):.10g}")

    return (
        entry.seen_at,
        tag,
        pump.name,
        point,
        label_of(point),
        shown(entry.value),
        shown(entry.low),
        shown(entry.high),
        unit,
        entry.value,
        entry.quantity,
        entry.entered,
        verdict.get("severity"),
        verdict.get("plausible"),
        verdict.get("sentence"),
        entry.who,
        entry.recorded_at,
        entry.corrects is not None,
        entry.body.get("round"),
        str(entry.id),
    )


def _troubles(desk: Desk, ledger: Ledger, span: Span, tell: Tell) -> Iterator[Row]:
    tags = _tags(desk, span)
    for n, tag in enumerate(tags):
        tell(n / len(tags))
        for id, life in lives_of(ledger, tag).items():
            line = line_of(desk, tag, life)
            ended = line.closed_at or span.until
            if line.opened_at > span.until or ended < span.since:
                continue
            yield (
                line.opened_at,
                line.closed_at,
                tag,
                line.name,
                line.severity.value,
                line.sentence,
                " ".join(line.points),
                round((ended - line.opened_at).total_seconds() / 86400.0, 3),
                line.cause,
                line.cure,
                id,
            )


def _rounds(desk: Desk, ledger: Ledger, span: Span, tell: Tell) -> Iterator[Row]:
    walks = walks_since(ledger, span.since - _PAST, span.until)
    wanted = [w for w in walks if w.until >= span.since]
    wanted = [w for w in wanted if not span.tags or set(span.tags) & set(w.tags)]
    tags = {tag for walk in wanted for tag in walk.tags} & desk.pumps.keys()
    seen = {
        tag: ledger.history(
            tag, since=span.since - _PAST, until=span.until, kinds=["reading", "skipped"]
        )
        for tag in tags
    }
    for n, walk in enumerate(wanted):
        tell(n / len(wanted))
        one = quality_of(desk, walk, [w for w in walks if w.until < walk.begun_at], seen)
        yield (
            walk.begun_at,
            walk.until if walk.finished else None,
            walk.name,
            walk.finished,
            one.planned,
            one.taken,
            sum(one.skipped.values()),
            "; ".join(f"{why} ({count})" for why, count in one.skipped.items()),
            one.open + sum(one.untouched.values()),
            one.copies,
            one.compared,
            " ".join(remarks(one)),
            walk.id,
        )
