"""Write a table as CSV, JSON, XLSX or Parquet; the file is there whole or not at all."""

import csv
import json
import tempfile
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from types import MappingProxyType
from typing import IO, Any
from zoneinfo import ZoneInfo

from gaugewalk.errors import ArgumentError, extra
from gaugewalk.watch.export import Cell, Kind, Row, Table
from gaugewalk.watch.wall import exact

XLSX_ROWS = 1_048_575  # below the heading; the most a sheet can hold
# A text that begins so is run as a formula by a spreadsheet: OWASP, "CSV Injection"
# (https://owasp.org/www-community/attacks/CSV_Injection), with the wide forms of the same signs.
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """What a file says of itself."""

    plant: str
    zone: ZoneInfo
    written_at: datetime


def harmless(text: str) -> str:
    """Put an apostrophe before a text that a spreadsheet would run as a formula.

    Examples
    --------
    >>> harmless("=1+1"), harmless("-0.3 barg"), harmless("3.1 barg")
    ("'=1+1", "'-0.3 barg", '3.1 barg')
    """
    return f"'{text}" if text.startswith(_FORMULA) else text


def form_of(file: Path) -> str:
    """Return the form that a file's name asks for.

    Raises
    ------
    ArgumentError
        The ending is none of ours.
    """
    form = file.suffix.lower().removeprefix(".")
    if form not in WRITERS:
        known = ", ".join(f".{known}" for known in WRITERS)
        raise ArgumentError(f"file = {file.name!r}: expected a name that ends in one of {known}.")
    return form


def write_table(
    made: Table, file: Path, heading: Heading, *, form: str = "", replace: bool = False
) -> int:
    """Write a table to a file; return how many rows.

    Parameters
    ----------
    made : Table
    file : Path
        Its ending says the form, unless `form` does.
    heading : Heading
    form : str, optional
        One of `WRITERS`.
    replace : bool
        Whether a file that is there may be written over.

    Raises
    ------
    ArgumentError
        The file is there already or cannot be written, or a part that is needed is not installed.
    """
    write = WRITERS[form or form_of(file)]
    with _whole(file, replace=replace) as part:
        return write(made, part, heading)


@contextmanager
def _whole(file: Path, *, replace: bool) -> Iterator[Path]:
    if file.exists() and not replace:
        raise ArgumentError(f"{str(file)!r} is there already; nothing was written. Use --replace.")
    part = file.with_name(f"{file.name}.part")
    try:
        yield part
        part.replace(file)
    except OSError as problem:
        raise ArgumentError(
            f"{str(file)!r} cannot be written ({problem.strerror or problem}); expected a folder "
            "that exists, may be written to and has room."
        ) from problem
    finally:
        part.unlink(missing_ok=True)


# ------------------------------------------------------------------ text forms


def write_csv(made: Table, into: IO[str], heading: Heading) -> int:
    """Write CSV to an open text file; texts that look like formulas are made harmless."""
    lines, count = csv.writer(into), 0
    lines.writerow([name for name, _ in made.columns])
    for row in made.rows:
        lines.writerow([_plain(cell, heading.zone) for cell in row])
        count += 1
    return count


def _plain(cell: Cell, zone: ZoneInfo) -> str:
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, datetime):
        return exact(cell, zone)
    return harmless(cell) if isinstance(cell, str) else repr(cell)


def write_json(made: Table, into: IO[str], heading: Heading) -> int:
    """Write JSON to an open text file: what it is, then one object a row and line."""
    names = [name for name, _ in made.columns]
    head = {
        "version": 1,
        "plant": heading.plant,
        "time_zone": heading.zone.key,
        "written": exact(heading.written_at, heading.zone),
        "table": made.name,
        "columns": dict(made.columns),
    }
    into.write(json.dumps(head, ensure_ascii=False)[:-1] + ', "rows": [')
    count = 0
    for row in made.rows:
        cells = [exact(c, heading.zone) if isinstance(c, datetime) else c for c in row]
        line = json.dumps(dict(zip(names, cells, strict=True)), ensure_ascii=False)
        into.write(f"{',' if count else ''}\n{line}")
        count += 1
    into.write("\n]}\n")
    return count


def _csv_file(made: Table, file: Path, heading: Heading) -> int:
    # The mark at the beginning tells a spreadsheet that it is UTF-8.
    with file.open("w", encoding="utf-8-sig", newline="") as into:
        return write_csv(made, into, heading)


def _json_file(made: Table, file: Path, heading: Heading) -> int:
    with file.open("w", encoding="utf-8") as into:
        return write_json(made, into, heading)


# ------------------------------------------------------------------ XLSX


def _xlsx_file(made: Table, file: Path, heading: Heading) -> int:
    with extra("sheets", "XLSX", "write .csv"):
        import xlsxwriter
    options = {
        "constant_memory": True,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "strings_to_numbers": False,
    }
    book = xlsxwriter.Workbook(str(file), options)
    book.set_properties(
        {
            "title": f"{heading.plant}: {made.name}",
            "author": heading.plant,
            "created": heading.written_at.astimezone(UTC).replace(tzinfo=None),
        }
    )
    bold = book.add_format({"bold": True, "bottom": 1})
    clock = book.add_format({"num_format": "yyyy-mm-dd hh:mm:ss"})
    sheet = book.add_worksheet(made.name)
    columns = _with_offsets(made.columns)
    for at, (name, kind) in enumerate(columns):
        sheet.write_string(0, at, name, bold)
        sheet.set_column(at, at, _WIDTHS[kind])
    count = 0
    for row in made.rows:
        count += 1
        if count > XLSX_ROWS:
            raise ArgumentError(
                f"More than {XLSX_ROWS} rows: a sheet holds no more. Take a shorter span, or "
                "write .csv or .parquet."
            )
        for at, cell in enumerate(_offset_cells(made.columns, row, heading.zone)):
            _write_cell(sheet, count, at, cell, clock)
    sheet.freeze_panes(1, 0)
    sheet.autofilter(0, 0, count, len(columns) - 1)
    book.close()
    return count


_WIDTHS: Mapping[Kind, float] = MappingProxyType(
    {"text": 22.0, "number": 12.0, "count": 9.0, "flag": 9.0, "time": 20.0}
)


def _with_offsets(columns: tuple[tuple[str, Kind], ...]) -> list[tuple[str, Kind]]:
    """Return the columns with one for the distance from UTC behind each time."""
    made: list[tuple[str, Kind]] = []
    for name, kind in columns:
        made.append((name, kind))
        if kind == "time":
            made.append((f"{name}_from_utc", "flag"))
    return made


def _offset_cells(
    columns: tuple[tuple[str, Kind], ...], row: Row, zone: ZoneInfo
) -> Iterator[Cell]:
    """Yield cells; a sheet knows no zones: a time is the plant's, its distance from UTC beside."""
    for (_, kind), cell in zip(columns, row, strict=True):
        if kind != "time":
            yield cell
        elif isinstance(cell, datetime):
            local = cell.astimezone(zone)
            yield local.replace(tzinfo=None)
            yield f"{local:%z}"
        else:
            yield from (None, None)


def _write_cell(sheet: Any, row: int, at: int, cell: Cell, clock: Any) -> None:
    if isinstance(cell, bool):
        sheet.write_boolean(row, at, cell)
    elif isinstance(cell, datetime):
        sheet.write_datetime(row, at, cell, clock)
    elif isinstance(cell, int | float):
        sheet.write_number(row, at, cell)
    elif cell:
        sheet.write_string(row, at, cell)


# ------------------------------------------------------------------ Parquet

_TYPES: Mapping[Kind, str] = MappingProxyType(
    {
        "text": "VARCHAR",
        "number": "DOUBLE",
        "count": "BIGINT",
        "flag": "BOOLEAN",
        "time": "TIMESTAMPTZ",
    }
)


def _parquet_file(made: Table, file: Path, heading: Heading) -> int:
    with extra("fleet", "Parquet", "write .csv"):
        import duckdb
    names = [name for name, _ in made.columns]
    with tempfile.TemporaryDirectory() as folder:
        lines, count = Path(folder) / "rows.ndjson", 0
        with lines.open("w", encoding="utf-8") as into:
            for row in made.rows:
                cells = [c.isoformat() if isinstance(c, datetime) else c for c in row]
                line = json.dumps(dict(zip(names, cells, strict=True)), ensure_ascii=False)
                into.write(line + "\n")
                count += 1
        columns = {name: _TYPES[kind] for name, kind in made.columns}
        with duckdb.connect() as connection:
            connection.execute("SET TimeZone = 'UTC'")
            rows = connection.read_json(str(lines), columns=columns, format="newline_delimited")
            rows.write_parquet(str(file), compression="zstd")
    return count


WRITERS: Mapping[str, Callable[[Table, Path, Heading], int]] = MappingProxyType(
    {"csv": _csv_file, "json": _json_file, "xlsx": _xlsx_file, "parquet": _parquet_file}
)
