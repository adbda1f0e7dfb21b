"""The same rows in every form, read back by another program; nothing in them runs as a formula."""

import csv
import io
import json
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import duckdb
import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.errors import ArgumentError, NotFoundError
from gaugewalk.judge.severity import Severity
from gaugewalk.watch.export import READING_COLUMNS, TABLES, Span, Table, table
from gaugewalk.watch.export_file import (
    WRITERS,
    Heading,
    form_of,
    harmless,
    write_csv,
    write_table,
)

from .watch_day import Day

WHO = "r. vale"
EVIL = '=HYPERLINK("http://evil.example";"x")'
# In 2025 the clocks in London went back on 26 October at 01:00 UTC; 01:30 came twice.
TWICE = [datetime(2025, 10, 26, 0, 30, tzinfo=UTC), datetime(2025, 10, 26, 1, 30, tzinfo=UTC)]


def written(day: Day, file: Path, what: str = "readings", **span: Any) -> int:
    whole = {"since": day.at(-1000), "until": day.at(1000)}
    with day.watch.journal.reading() as ledger:
        made = table(day.watch.desk, ledger, what, Span(**(whole | span)))
        return write_table(made, file, heading(day))


def heading(day: Day) -> Heading:
    return Heading(plant="Test House", zone=day.watch.desk.zone, written_at=day.at(9))


def as_csv(file: Path) -> list[dict[str, Any]]:
    return list(csv.DictReader(io.StringIO(file.read_text("utf-8-sig"))))


def as_json(file: Path) -> list[dict[str, Any]]:
    return list(json.loads(file.read_text("utf-8"))["rows"])


def as_xlsx(file: Path) -> list[dict[str, Any]]:
    first, *rows = openpyxl.load_workbook(file).active.iter_rows(values_only=True)
    return [dict(zip(first, row, strict=True)) for row in rows]


def as_parquet(file: Path) -> list[dict[str, Any]]:
    with duckdb.connect() as connection:
        connection.execute("SET TimeZone = 'UTC'")
        found = connection.read_parquet(str(file))
        return [dict(zip(found.columns, row, strict=True)) for row in found.fetchall()]


READ_BACK: dict[str, Callable[[Path], list[dict[str, Any]]]] = {
    "csv": as_csv, "json": as_json, "xlsx": as_xlsx, "parquet": as_parquet,
}  # fmt: skip


def some_day(day: Day) -> None:
    for at in TWICE:
        day.watch.take_reading("C1A", "discharge_pressure", "3.1", who=WHO, now=day.at(0),
                               seen_at=at)  # fmt: skip
    day.read(0, "2.9 to 3.3 barg")
    wrong = day.read(1, "31")
    day.watch.correct(wrong.entry.id, "3.1", who=WHO, why="slip", now=day.at(1.1))
    day.read(2, "1.2", tag="S3")


@pytest.mark.parametrize("form", WRITERS)
def test_every_form_has_the_same_rows(day: Day, tmp_path: Path, form: str) -> None:
    some_day(day)
    file = tmp_path / f"readings.{form}"
    assert written(day, file) == 5
    rows = READ_BACK[form](file)
    assert [row["tag"] for row in rows] == ["S3", "C1A", "C1A", "C1A", "C1A"]
    assert [float(row["value"]) for row in rows] == [1.2, 3.1, 3.1, 3.1, 3.1]
    assert [row["entered"] for row in rows][3:] == ["2.9 to 3.3 barg", "3.1"]
    assert (float(rows[3]["low"]), float(rows[3]["high"])) == (2.9, 3.3)
    assert rows[0]["low"] in (None, "")
    assert [row["corrected"] in (True, "yes") for row in rows] == [False] * 4 + [True]
    assert {row["unit"] for row in rows} == {"barg"}
    assert float(rows[4]["value_si"]) == pytest.approx(3.1e5 + day.watch.desk.barometric)


def test_both_hours_of_the_autumn_change_differ_in_every_form(day: Day, tmp_path: Path) -> None:
    some_day(day)
    for form in WRITERS:
        written(day, tmp_path / f"r.{form}", tags=("C1A",))
    wanted = ["2025-10-26T01:30:00+01:00", "2025-10-26T01:30:00+00:00"]
    assert [row["seen"] for row in as_csv(tmp_path / "r.csv")][:2] == wanted
    assert [row["seen"] for row in as_json(tmp_path / "r.json")][:2] == wanted
    assert [row["seen"] for row in as_parquet(tmp_path / "r.parquet")][:2] == TWICE
    sheet = as_xlsx(tmp_path / "r.xlsx")
    assert sheet[0]["seen"] == sheet[1]["seen"] == datetime(2025, 10, 26, 1, 30)  # noqa: DTZ001
    assert [row["seen_from_utc"] for row in sheet][:2] == ["+0100", "+0000"]


@pytest.mark.parametrize("form", WRITERS)
def test_what_people_write_is_never_run(day: Day, tmp_path: Path, form: str) -> None:
    id = day.watch.open_trouble("S3", EVIL, Severity.ACT, who=WHO, now=day.at(0))
    file = tmp_path / f"troubles.{form}"
    assert written(day, file, "troubles") == 1
    (row,) = READ_BACK[form](file)
    assert row["sentence"] == (f"'{EVIL}" if form == "csv" else EVIL)
    assert row["id"] == id
    if form == "xlsx":
        cells = [c for line in openpyxl.load_workbook(file).active.iter_rows() for c in line]
        assert not [cell for cell in cells if cell.data_type == "f" or cell.hyperlink]


@given(st.text(max_size=20))
def test_no_text_in_csv_begins_like_a_formula(text: str) -> None:
    made = Table(name="t", columns=(("a", "text"),), rows=iter([(text,)]))
    into = io.StringIO()
    write_csv(made, into, Heading(plant="p", zone=None, written_at=TWICE[0]))  # type: ignore[arg-type]
    _, line = csv.reader(io.StringIO(into.getvalue(), newline=""))
    (cell,) = line or [""]
    assert cell[:1] not in tuple("=+-@\t\r\n＝＋－＠")
    assert cell.removeprefix("'") == text.removeprefix("'") or cell == harmless(text)


def test_troubles_come_with_their_end(day: Day, tmp_path: Path) -> None:
    id = day.read(0, "2.0").trouble_id
    assert id
    proof = day.read(12, "3.1").entry.id
    day.watch.close_trouble(id, cause="dirt", cure="cleaned", proof=proof, who=WHO, now=day.at(12))
    written(day, tmp_path / "t.json", "troubles")
    (row,) = as_json(tmp_path / "t.json")
    assert (row["cause"], row["cure"], row["days_open"]) == ("dirt", "cleaned", 0.5)
    assert row["points"] == "discharge_pressure"
    assert written(day, tmp_path / "later.json", "troubles", since=day.at(13)) == 0


def test_rounds_come_with_their_quality_and_no_name(day: Day, tmp_path: Path) -> None:
    round_id = day.watch.start_round("outside", who=WHO, now=day.at(0)).id
    day.read(0.1, "1.2", tag="S3", round_id=round_id)
    day.watch.finish_round(round_id, who=WHO, now=day.at(0.2))
    day.watch.start_round("outside", who=WHO, now=day.at(8))
    written(day, tmp_path / "rounds.json", "rounds")
    first, second = as_json(tmp_path / "rounds.json")
    assert (first["planned"], first["taken"], first["open"], first["finished"]) == (1, 1, 0, True)
    assert (second["finished"], second["ended"]) == (False, None)
    assert "vale" not in (tmp_path / "rounds.json").read_text()


def test_a_span_and_pumps_are_chosen(day: Day, tmp_path: Path) -> None:
    some_day(day)
    assert written(day, tmp_path / "a.csv", since=day.at(0.5)) == 2
    assert written(day, tmp_path / "b.csv", until=day.at(-1)) == 2
    assert written(day, tmp_path / "c.csv", tags=("S3",)) == 1


def test_the_json_says_what_it_is(day: Day, tmp_path: Path) -> None:
    written(day, tmp_path / "r.json")
    head = json.loads((tmp_path / "r.json").read_text("utf-8"))
    assert (head["version"], head["table"], head["time_zone"]) == (1, "readings", "Europe/London")
    assert head["columns"] == dict(READING_COLUMNS)
    assert head["rows"] == []


def test_what_is_there_is_not_written_over(day: Day, tmp_path: Path) -> None:
    written(day, tmp_path / "r.csv")
    with pytest.raises(ArgumentError, match="--replace"):
        written(day, tmp_path / "r.csv")


@pytest.mark.parametrize("form", WRITERS)
def test_a_file_is_there_whole_or_not_at_all(day: Day, tmp_path: Path, form: str) -> None:
    def broken() -> Any:
        yield ("a",)
        raise RuntimeError("the power went")

    made = Table(name="t", columns=(("a", "text"),), rows=broken())
    with pytest.raises(RuntimeError):
        write_table(made, tmp_path / f"r.{form}", heading(day))
    assert [file.name for file in tmp_path.iterdir() if file.name.startswith("r.")] == []


def test_odd_names_of_files_are_only_names(day: Day, tmp_path: Path) -> None:
    some_day(day)
    file = tmp_path / "it's; DROP TABLE x --.parquet"
    assert written(day, file) == 5
    assert len(as_parquet(file)) == 5


def test_senseless_wishes_say_what_there_is(day: Day, tmp_path: Path) -> None:
    with pytest.raises(ArgumentError, match=r"\.csv, \.json, \.xlsx, \.parquet"):
        form_of(Path("readings.pdf"))
    with pytest.raises(NotFoundError, match="Did you mean 'readings'"):
        written(day, tmp_path / "a.csv", "reading")
    with pytest.raises(NotFoundError, match=r"No pump .C1."):
        written(day, tmp_path / "a.csv", tags=("C1",))
    with pytest.raises(ArgumentError, match="before it begins"):
        written(day, tmp_path / "a.csv", since=day.at(2), until=day.at(1))
    with pytest.raises(ArgumentError, match="cannot be written"):
        written(day, tmp_path / "nowhere" / "a.csv")


@pytest.mark.parametrize("what", TABLES)
def test_an_empty_journal_gives_an_empty_table(day: Day, tmp_path: Path, what: str) -> None:
    for form in WRITERS:
        assert written(day, tmp_path / f"{what}.{form}", what) == 0
        assert READ_BACK[form](tmp_path / f"{what}.{form}") == []


@pytest.mark.parametrize(("form", "module"), [("xlsx", "xlsxwriter"), ("parquet", "duckdb")])
def test_without_its_part_it_says_what_to_install(
    day: Day, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, form: str, module: str
) -> None:
    monkeypatch.setitem(__import__("sys").modules, module, None)
    with pytest.raises(ArgumentError, match=r"install gaugewalk\["):
        written(day, tmp_path / f"r.{form}")
