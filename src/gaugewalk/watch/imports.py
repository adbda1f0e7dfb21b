"""Readings from a CSV file: time, tag, point, value, unit. The same file twice changes nothing."""

import csv
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from itertools import islice
from pathlib import Path
from uuid import UUID, uuid5

from gaugewalk.errors import FileError, GaugewalkError, Problem
from gaugewalk.units import Quantity
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.sitting import sitting
from gaugewalk.watch.stamp import stamp
from gaugewalk.watch.take import read_text, take_into
from gaugewalk.watch.views import Imported
from gaugewalk.watch.wall import read_time

COLUMNS = ("time", "tag", "point", "value")  # and "unit", where it is not in the value
_ROWS_AT_ONCE = 500  # in one transaction: others may write in between
_NAMESPACE = UUID("6f1e3a52-8c57-4a5e-9d2b-0e5d6c1b7a94")  # of ids made from a row's content


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    id: UUID
    tag: str
    point: str
    quantity: Quantity
    seen_at: datetime


def import_csv(
    desk: Desk,
    path: Path,
    who: str,
    now: datetime,
    *,
    tell: Callable[[float], None] = lambda share: None,
) -> Imported:
    """Store the readings of a file in the order in which they were seen.

    A row that cannot be read is reported with its line; the others are stored. A row's id follows
    from its content, so a file may be brought in again after it has grown. `tell` is told now and
    then which share is stored, 0 to 1.

    Raises
    ------
    FileError
        The file cannot be read at all, or lacks a column; nothing of it is stored then.
    """
    problems: list[Problem] = []
    try:
        good = sorted(_rows(desk, path, problems), key=lambda row: row.seen_at)
    except csv.Error as error:
        problem = Problem(where=str(path), given=str(error), expected="a table, nothing else in it")
        raise FileError(f"{path.name} cannot be read", [problem]) from error
    stored, done, rows = 0, 0, iter(good)
    while batch := list(islice(rows, _ROWS_AT_ONCE)):
        stored += _store(desk, batch, who, now)
        done += len(batch)
        tell(done / len(good))
    return Imported(stored=stored, known=len(good) - stored, problems=tuple(problems))


def _store(desk: Desk, batch: Iterable[_Row], who: str, now: datetime) -> int:
    with sitting(desk, now) as work:
        before = work.ledger.last_seq()
        known = work.ledger.find(row.id for row in batch)
        fresh = {row.id: row for row in batch if row.id not in known}
        for row in fresh.values():
            by = stamp(who, now=now, seen_at=row.seen_at, id=row.id)
            take_into(work, row.tag, row.point, row.quantity, by)
        work.flush()
        return len(fresh) if work.ledger.last_seq() > before else 0


def _rows(desk: Desk, path: Path, problems: list[Problem]) -> Iterator[_Row]:
    try:
        text = path.read_text("utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        given = getattr(error, "strerror", None) or "no UTF-8 text"
        problem = Problem(where=str(path), given=given, expected="a CSV file in UTF-8")
        raise FileError(f"{path.name} cannot be read", [problem]) from error
    lines = text.splitlines()
    reader = csv.DictReader(lines, delimiter=_delimiter(lines[0] if lines else ""))
    reader.fieldnames = [name.strip().lower() for name in reader.fieldnames or []]
    missing = [name for name in COLUMNS if name not in reader.fieldnames]
    if missing:
        given = ", ".join(reader.fieldnames) or "an empty file"
        problem = Problem(where="first line", line=1, given=given, expected=", ".join(COLUMNS))
        raise FileError(f"{path.name} lacks {', '.join(missing)}", [problem])
    for cells in reader:
        try:
            yield _row(desk, cells)
        except (GaugewalkError, ValueError) as error:
            given = " ".join(str(cells.get(name) or "") for name in (*COLUMNS, "unit")).strip()
            problems.append(
                Problem(where="row", line=reader.line_num, given=given, expected=str(error))
            )


def _delimiter(head: str) -> str:
    """Return the separator that parts the first line most often.

    Examples
    --------
    >>> _delimiter("time;tag;point;value"), _delimiter("time,tag"), _delimiter("time")
    (';', ',', ',')
    """
    return max((",", ";", "\t"), key=head.count)


def _row(desk: Desk, cells: Mapping[str, str | None]) -> _Row:
    time, tag, point, value, unit = ((cells.get(n) or "").strip() for n in (*COLUMNS, "unit"))
    return _Row(
        id=uuid5(_NAMESPACE, "|".join((time, tag, point, value, unit))),
        tag=tag,
        point=point,
        quantity=read_text(desk, tag, point, value, unit or None),
        seen_at=read_time(time, desk.zone),
    )
