"""Recorded history from CSV or Parquet, and the judged rows back to CSV.

The separator is found by itself, a decimal comma is read where the separator is not a comma, and
what cannot be read as a number is no value. A row whose time cannot be read is counted and left
out. Times without a zone are taken as they stand.
"""

import csv
import io
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from gaugewalk.errors import (
    FileError,
    GaugewalkError,
    Problem,
    UnitError,
    extra,
    nearest_word,
)
from gaugewalk.judge.screen_result import PointColumn, Row
from gaugewalk.plant.points import all_points, point_kind
from gaugewalk.units import parse

_SEPARATORS = ";\t|,"
FLAG_COLUMNS = ("time", "flagged", "score", "verdict", "cause")


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """A record opened: rows of (time as written, seconds, values), in the file's order."""

    stamps: tuple[str, ...]
    times: tuple[float, ...]
    values: tuple[tuple[float, ...], ...]
    unreadable_times: int

    def __iter__(self) -> Iterator[tuple[str, float, tuple[float, ...]]]:
        return iter(zip(self.stamps, self.times, self.values, strict=True))


def read_points(specs: Sequence[str]) -> list[PointColumn]:
    """Read `COLUMN=POINT:UNIT` entries; every fault is listed at once.

    Examples
    --------
    >>> read_points(["Volume Flow RateRMS=flow:L/min"])[0].point
    'flow'
    """
    points, problems = [], []
    for spec in specs:
        left, _, unit = spec.rpartition(":")
        column, _, point = left.rpartition("=")
        if not (column and point and unit):
            problems.append(
                Problem(where="--point", given=repr(spec), expected="COLUMN=POINT:UNIT")
            )
            continue
        try:
            name = parse(f"1 {unit.strip()}", point_kind(point.strip()).kinds).unit
        except GaugewalkError as error:
            problems.append(_problem(spec, point.strip(), unit, error))
            continue
        points.append(PointColumn(column=column.strip(), point=point.strip(), unit=name))
    named = [entry.point for entry in points]
    problems += [
        Problem(where="--point", given=f"{name} twice", expected="one column for each point")
        for name in sorted({name for name in named if named.count(name) > 1})
    ]
    if problems:
        raise FileError("The points cannot be read:", problems)
    return points


def _problem(spec: str, point: str, unit: str, error: GaugewalkError) -> Problem:
    where = f"--point {spec!r}"
    if isinstance(error, UnitError):
        return Problem(where=where, given=unit, expected=error.expected.removesuffix("."))
    near = nearest_word(point, all_points())
    return Problem(where=where, given=point, expected="an observation point", nearest=near)


def read_record(path: Path, time_column: str, points: Sequence[PointColumn]) -> Record:
    """Read the time and the named columns of a CSV or Parquet file.

    Raises
    ------
    FileError
        The file is missing, empty, or lacks a named column; the nearest column is named.
    """
    if not path.is_file():
        raise FileError(f"{path} is not a file.", [])
    parquet = path.suffix.lower() in (".parquet", ".pq")
    header, rows, comma = _parquet(path) if parquet else _csv(path)
    wanted = [time_column, *(entry.column for entry in points)]
    missing = [_missing(column, header) for column in wanted if column not in header]
    if missing:
        raise FileError(f"{path.name} lacks columns:", missing)
    places = [header.index(column) for column in wanted]
    try:
        return _record(rows, places, comma)
    except csv.Error as error:
        raise FileError(f"{path.name} cannot be read as a table: {error}.", []) from error


def write_flags(rows: Iterable[Row], path: Path) -> None:
    """Write one line per judged row: time, flagged (1 or 0), score, verdict, cause."""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(FLAG_COLUMNS)
        writer.writerows(flag_line(row) for row in rows)


def flag_line(row: Row) -> tuple[str, int, str, str, str]:
    """Return a judged row as it stands in the file."""
    return row.time, int(row.flagged), f"{row.score:.3f}", row.verdict.value, row.cause


def seconds_of(text: str) -> float:
    """Read a time as seconds; NaN where it is none.

    Reads ISO 8601 with or without zone, `dd.mm.yyyy hh:mm[:ss]`, and bare seconds.

    Examples
    --------
    >>> seconds_of("2026-03-01 06:00:01") - seconds_of("2026-03-01T06:00")
    1.0
    >>> seconds_of("01.03.2026 06:00") - seconds_of("2026-03-01 06:00")
    0.0
    """
    text = text.strip()
    for read in (_iso, _day_first, float):
        try:
            return read(text)
        except ValueError:
            continue
    return math.nan


def _iso(text: str) -> float:
    if not text[:4].isdigit() or "-" not in text[4:5]:
        raise ValueError(text)
    return _stamp(datetime.fromisoformat(text))


def _day_first(text: str) -> float:
    form = "%d.%m.%Y %H:%M:%S" if text.count(":") == 2 else "%d.%m.%Y %H:%M"
    return _stamp(datetime.strptime(text, form).replace(tzinfo=UTC))


def _stamp(moment: datetime) -> float:
    return (moment if moment.tzinfo else moment.replace(tzinfo=UTC)).timestamp()


def _number(text: object, comma: bool) -> float:
    if isinstance(text, int | float):
        return float(text)
    words = str(text or "").strip()
    try:
        return float(words.replace(",", ".") if comma else words)
    except ValueError:
        return math.nan


def _record(rows: Iterable[Sequence[object]], places: Sequence[int], comma: bool) -> Record:
    stamps, times, values, unreadable = [], [], [], 0
    for row in rows:
        if len(row) <= max(places):
            unreadable += 1
            continue
        stamp = str(row[places[0]]).strip()
        time = seconds_of(stamp)
        if not math.isfinite(time):
            unreadable += 1
            continue
        stamps.append(stamp)
        times.append(time)
        values.append(tuple(_number(row[place], comma) for place in places[1:]))
    return Record(
        stamps=tuple(stamps),
        times=tuple(times),
        values=tuple(values),
        unreadable_times=unreadable,
    )


def _csv(path: Path) -> tuple[list[str], Iterable[Sequence[object]], bool]:
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        raise FileError(f"{path.name} is not UTF-8 text: {error.reason}.", []) from error
    first = text.partition("\n")[0]
    separator = max(_SEPARATORS, key=first.count)
    if not first.count(separator):
        raise FileError(
            f"{path.name}: no separator found in its first line; expected one of ; tab | or comma.",
            [],
        )
    rows = csv.reader(io.StringIO(text), delimiter=separator)
    try:
        header = [name.strip() for name in next(rows)]
    except csv.Error as error:
        raise FileError(f"{path.name} cannot be read as a table: {error}.", []) from error
    return header, (row for row in rows if row), separator != ","


def _parquet(path: Path) -> tuple[list[str], Iterable[Sequence[object]], bool]:
    with extra("fleet", "Parquet", "give a CSV file"):
        import duckdb
    try:
        table = duckdb.connect().execute("SELECT * FROM read_parquet(?)", [str(path)])
        header = [column[0] for column in table.description or ()]
        return header, table.fetchall(), False
    except duckdb.Error as error:
        raise FileError(f"{path.name} cannot be read as Parquet: {error}", []) from error


def _missing(column: str, header: Sequence[str]) -> Problem:
    return Problem(
        where="column",
        given=repr(column),
        expected="one of " + ", ".join(map(repr, header)),
        nearest=nearest_word(column, header),
    )
