"""Files in and out: separators, faults with the nearest word, and the flags as written."""

import math

import pytest

from gaugewalk.errors import FileError
from gaugewalk.judge.screen import screen
from gaugewalk.judge.screen_io import (
    FLAG_COLUMNS,
    read_points,
    read_record,
    seconds_of,
    write_flags,
)


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("t;Flow\n2026-01-01 00:00:00;3,5\n2026-01-01 00:00:01;\n", 3.5),
        ("t,Flow\n2026-01-01T00:00:00Z,3.5\n2026-01-01T00:00:01Z,nan\n", 3.5),
        ("t\tFlow\n01.01.2026 00:00\t3.5\n01.01.2026 00:00:01\t--\n", 3.5),
        ("\ufefft|Flow\n1767225600|3.5\n1767225601|x\n", 3.5),
    ],
)
def test_separator_is_found_by_itself(tmp_path, text, first):
    path = tmp_path / "a.csv"
    path.write_text(text, "utf-8")
    record = read_record(path, "t", read_points(["Flow=flow:m3/h"]))
    assert record.values[0] == (first,)
    assert math.isnan(record.values[1][0])
    assert record.times[1] - record.times[0] == 1.0
    assert record.times[0] == 1767225600.0


@pytest.mark.parametrize("text", ["t,F,{}\n2026-01-01 00:00,2,3\n", "t,F\n2026-01-01 00:00,{}\n"])
def test_a_cell_without_end_is_told(tmp_path, text):
    path = tmp_path / "a.csv"
    path.write_text(text.format("x" * 140_000), "utf-8")
    with pytest.raises(FileError, match=r"a\.csv cannot be read as a table: field larger than"):
        read_record(path, "t", read_points(["F=flow:m3/h"]))


def test_unreadable_times_are_counted(tmp_path):
    path = tmp_path / "a.csv"
    path.write_text("t,F\nyesterday,1\n2026-01-01 00:00,2\n2026-01-01 00:01\n", "utf-8")
    record = read_record(path, "t", read_points(["F=flow:m3/h"]))
    assert record.unreadable_times == 2
    assert len(record.stamps) == 1
    assert math.isnan(seconds_of("yesterday"))


def test_parquet_reads_like_csv(tmp_path):
    duckdb = pytest.importorskip("duckdb", reason="the extra 'fleet' is not installed")
    path = tmp_path / "a.parquet"
    duckdb.sql("SELECT TIMESTAMP '2026-01-01 00:00:00' AS t, 3.5 AS F").write_parquet(str(path))
    record = read_record(path, "t", read_points(["F=flow:m3/h"]))
    assert record.values == ((3.5,),)
    assert record.times == (1767225600.0,)


def test_every_fault_of_the_points_is_listed_at_once():
    with pytest.raises(FileError) as caught:
        read_points(["F:m3/h", "P=discharge_presure:barg", "Q=flow:barg", "S=flow:m3/h",
                     "V=flow:m3/h", "X=discharge_pressure:bar"])  # fmt: skip
    text = str(caught.value)
    assert "COLUMN=POINT:UNIT" in text
    assert "discharge_pressure" in text
    assert "flow twice" in text
    assert "gauge or absolute" in text
    assert len(caught.value.problems) == 5


def test_a_missing_column_names_the_nearest(tmp_path):
    path = tmp_path / "a.csv"
    path.write_text("datetime;Volume Flow RateRMS\n1;2\n", "utf-8")
    with pytest.raises(FileError, match="Did you mean 'Volume Flow RateRMS'"):
        read_record(path, "datetime", read_points(["Volume Flow Rate=flow:L/min"]))
    with pytest.raises(FileError, match="is not a file"):
        read_record(tmp_path / "b.csv", "t", [])


def test_flags_as_written(tmp_path):
    points = read_points(["F=flow:m3/h"])
    values = [50.0, 50.2] * 50 + [40.0] * 20
    result = screen({"F": values}, range(120), points, learn_rows=80)
    write_flags(result.rows, path := tmp_path / "flags.csv")
    lines = path.read_text("utf-8").splitlines()
    assert lines[0] == ",".join(FLAG_COLUMNS)
    assert len(lines) == 1 + 40
    assert lines[1].startswith("80,0,")
    assert lines[-1].split(",")[1] == "1"
    assert '"flow low: 40 m3/h, usual 50.1 m3/h"' in lines[-1]
