"""Questions to the journal, each answered by an index; corrected entries give way."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import sqlalchemy as sa

from gaugewalk.journal.entry import Entry
from gaugewalk.journal.rows import from_micros, to_entry, to_micros
from gaugewalk.journal.schema import entries

_CHUNK = 2000  # rows fetched at once when walking the whole journal
_SET_BACK = timedelta(days=1)  # by how much a clock may have been set back and nothing is missed
Corrections = dict[str, Entry]  # id of an entry -> the correction that now stands for it


def corrections_of(connection: sa.Connection, tag: str | None) -> Corrections:
    """Return the newest correction of each corrected entry of a pump, followed down its chain."""
    query, given = (_NOWHERE, {}) if tag is None else (_CORRECTIONS, {"tag": tag})
    found = [to_entry(row) for row in connection.execute(query, given)]
    root = {str(c.id): str(c.corrects) for c in found}
    newest: Corrections = {}
    for correction in found:
        target = str(correction.corrects)
        while target in root:  # a correction of a correction stands for the first entry
            target = root[target]
        newest[target] = correction
    return newest


_ALL_CORRECTIONS = sa.select(entries).where(entries.c.corrects.isnot(None)).order_by(entries.c.seq)
_CORRECTIONS = _ALL_CORRECTIONS.where(entries.c.tag == sa.bindparam("tag"))
_NOWHERE = _ALL_CORRECTIONS.where(entries.c.tag.is_(None))


def corrected(original: Entry, corrections: Corrections) -> Entry | None:
    """Return the entry as it stands today; none when it was withdrawn.

    The correction takes the kind, the time and the place of its original, and `corrects` names
    the original. Its body is the original's with the correction's own keys put over it.
    """
    correction = corrections.get(str(original.id))
    if correction is None:
        return original
    if correction.body.get("withdrawn"):
        return None
    return replace(
        correction,
        kind=original.kind,
        seen_at=original.seen_at,
        seq=original.seq,
        corrects=original.id,
        body={**original.body, **correction.body},
    )


def latest(connection: sa.Connection, tag: str, kinds: Collection[str]) -> dict[str, Entry]:
    """Return the newest entry of each point of a pump."""
    corrections = corrections_of(connection, tag)
    given = {"tag": tag, "kinds": list(kinds)}
    newest = [to_entry(row) for row in connection.execute(_NEWEST, given)]
    standing = {str(e.point): corrected(e, corrections) for e in newest}
    return {
        point: entry
        for point, found in standing.items()
        if (entry := found or _before_withdrawn(connection, point, given, corrections))
    }


def _before_withdrawn(
    connection: sa.Connection, point: str, given: Mapping[str, Any], corrections: Corrections
) -> Entry | None:
    """Return the newest entry of a point that was not withdrawn, or none."""
    for row in _lazily(connection, _BACK, 10, {**given, "point": point}):
        entry = corrected(to_entry(row), corrections)
        if entry is not None:
            return entry
    return None


def _newest_of_each_point() -> sa.Select[Any]:
    """Hop along the index from point to point, and to the end of each; nothing else is read."""
    here = entries.c.tag == sa.bindparam("tag")
    hop = sa.select(sa.func.min(entries.c.point).label("point")).where(here).cte(recursive=True)
    following = sa.select(sa.func.min(entries.c.point)).where(here, entries.c.point > hop.c.point)
    hop = hop.union_all(sa.select(following.scalar_subquery()).where(hop.c.point.isnot(None)))
    inner = entries.alias()
    last = (
        sa.select(inner.c.seq)
        .where(
            inner.c.tag == sa.bindparam("tag"),
            inner.c.point == hop.c.point,
            inner.c.kind.in_(sa.bindparam("kinds", expanding=True)),
        )
        .order_by(inner.c.seen_at.desc(), inner.c.seq.desc())
        .limit(1)
    )
    return sa.select(entries).join(hop, entries.c.seq == last.scalar_subquery())


_NEWEST = _newest_of_each_point()
_BACK = (
    sa.select(entries)
    .where(
        entries.c.tag == sa.bindparam("tag"),
        entries.c.point == sa.bindparam("point"),
        entries.c.kind.in_(sa.bindparam("kinds", expanding=True)),
    )
    .order_by(entries.c.seen_at.desc(), entries.c.seq.desc())
)


def history(
    connection: sa.Connection,
    tag: str | None,
    span: tuple[datetime, datetime],
    points: Collection[str] | None,
    kinds: Collection[str] | None,
    newest: int | None = None,
) -> list[Entry]:
    """Return a pump's entries of a span in the order in which they were seen."""
    since, until = (to_micros(moment) for moment in span)
    query = sa.select(entries).where(
        _same(entries.c.tag, tag),
        entries.c.seen_at >= since,
        entries.c.seen_at <= until,
        entries.c.kind != "correction",
    )
    if points is not None:
        query = query.where(entries.c.point.in_(list(points)))
    if kinds is not None:
        query = query.where(entries.c.kind.in_(list(kinds)))
    corrections = corrections_of(connection, tag)
    order = (entries.c.seen_at, entries.c.seq)
    rows: Iterable[sa.Row[Any]]
    if newest is None:
        rows = connection.execute(query.order_by(*order)).all()
    else:
        last = query.order_by(*(column.desc() for column in order)).limit(newest)
        rows = reversed(connection.execute(last).all())
    standing = (corrected(to_entry(row), corrections) for row in rows)
    return [entry for entry in standing if entry is not None]


def walk(
    connection: sa.Connection,
    after: int,
    kinds: Collection[str] | None,
    tags: Collection[str] | None,
) -> Iterator[Entry]:
    """Yield entries in the order in which they were recorded, corrections as they are."""
    query = sa.select(entries).where(entries.c.seq > after)
    if kinds is not None:
        query = query.where(entries.c.kind.in_(list(kinds)))
    if tags is not None:
        query = query.where(entries.c.tag.in_(list(tags)))
    for row in _lazily(connection, query.order_by(entries.c.seq), _CHUNK):
        yield to_entry(row)


def recorded_since(
    connection: sa.Connection,
    moment: datetime,
    now: datetime,
    kinds: Collection[str],
    newest: int | None,
) -> list[Entry]:
    """Return what was recorded from that moment on, or after something that was.

    A clock that was set back must not hide the entries before it, nor those after it; one that
    once stood far ahead must not make all that came after it new for ever.
    """
    # The sum keeps the database from walking all numbers upwards in search of the first.
    first = sa.select(sa.func.min(entries.c.seq + 0)).where(
        entries.c.recorded_at >= to_micros(moment),
        entries.c.recorded_at <= to_micros(now + _SET_BACK),
    )
    query = (
        sa.select(entries)
        .where(entries.c.seq >= first.scalar_subquery(), entries.c.kind.in_(list(kinds)))
        .order_by(entries.c.seq.desc())
        .limit(newest)
    )
    return [to_entry(row) for row in connection.execute(query)][::-1]


def tags_since(connection: sa.Connection, seq: int) -> list[str]:
    """Return the pumps that entries after a sequence number belong to."""
    tags = connection.execute(_TAGS_SINCE, {"seq": seq}).scalars()
    return list(dict.fromkeys(tag for tag in tags if tag is not None))


def newest_of_kind(connection: sa.Connection, kind: str) -> int:
    """Return the sequence number of the newest entry of a kind, 0 where there is none."""
    return int(connection.execute(_NEWEST_OF_KIND, {"kind": kind}).scalar() or 0)


# Neither the tag nor "each once" is asked of the database: it would walk the whole index of tags.
_TAGS_SINCE = sa.select(entries.c.tag).where(entries.c.seq > sa.bindparam("seq"))
_NEWEST_OF_KIND = sa.select(sa.func.max(entries.c.seq)).where(
    entries.c.kind == sa.bindparam("kind")
)


def newest_recorded_at(connection: sa.Connection) -> datetime | None:
    """Return the latest time at which an entry was recorded."""
    newest = connection.execute(sa.select(sa.func.max(entries.c.recorded_at))).scalar()
    return None if newest is None else from_micros(newest)


def by_ids(connection: sa.Connection, ids: Iterable[str]) -> dict[str, Entry]:
    """Return the entries with these ids; an id that is not there is left out."""
    wanted = list(ids)
    found: dict[str, Entry] = {}
    for start in range(0, len(wanted), 500):  # a statement takes only so many values
        rows = connection.execute(_BY_IDS, {"ids": wanted[start : start + 500]})
        found |= {row.id: to_entry(row) for row in rows}
    return found


_BY_IDS = sa.select(entries).where(entries.c.id.in_(sa.bindparam("ids", expanding=True)))


def _same(column: sa.Column[Any], value: str | None) -> sa.ColumnElement[bool]:
    return column.is_(None) if value is None else column == value


def _lazily(
    connection: sa.Connection,
    query: sa.Select[Any],
    rows: int,
    given: Mapping[str, Any] | None = None,
) -> Iterator[sa.Row[Any]]:
    yield from connection.execute(query, given, execution_options={"yield_per": rows})
