from pathlib import Path

import pytest

from gaugewalk.errors import FileError

from .watch_day import Day


def bring(day: Day, path: Path, text: str, encoding: str = "utf-8") -> tuple[int, int, list[str]]:
    path.write_text(text, encoding)
    done = day.watch.import_csv(path, who="import", now=day.at(100))
    return done.stored, done.known, [str(problem) for problem in done.problems]


ROWS = """time,tag,point,value,unit
2025-11-03 08:00,C1A,discharge_pressure,3.1,barg
2025-11-03T09:00+01:00,C1A,motor_current,31,A
2025-07-03 08:00,S3,discharge_pressure,18 psig,
"""


def test_rows_are_stored_in_the_order_seen_with_the_plants_own_time(
    day: Day, tmp_path: Path
) -> None:
    assert bring(day, tmp_path / "a.csv", ROWS) == (3, 0, [])
    seen = [(str(e.tag), e.seen_at.isoformat()[:16]) for e in day.watch.journal.entries()]
    assert seen == [
        ("S3", "2025-07-03T07:00"),  # summer in London
        ("C1A", "2025-11-03T08:00"),
        ("C1A", "2025-11-03T08:00"),
    ]


def test_the_same_file_twice_changes_nothing_and_a_grown_one_adds(day: Day, tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    bring(day, path, ROWS)
    states = day.watch.journal.load_states("")
    assert bring(day, path, ROWS) == (0, 3, [])
    assert day.watch.journal.load_states("") == states
    grown = ROWS + "2025-11-03 10:00,C1A,discharge_pressure,3.2,barg\n"
    assert bring(day, path, grown) == (1, 3, [])


def test_what_cannot_be_read_is_named_by_its_line_and_the_rest_is_stored(
    day: Day, tmp_path: Path
) -> None:
    rows = ROWS + "soon,C1A,flow,3,m3/h\n2025-11-03 08:00,C9,flow,3,m3/h\n2025-11-03 08:00,C1A\n"
    stored, _, problems = bring(day, tmp_path / "a.csv", rows)
    assert stored == 3
    assert [problem.split(",")[0] for problem in problems] == ["line 5", "line 6", "line 7"]
    assert "2025-11-03 06:40" in problems[0]
    assert "C9" in problems[1]


@pytest.mark.parametrize("mark", [";", "\t"])
def test_other_separators_comma_decimals_and_a_byte_order_mark(
    day: Day, tmp_path: Path, mark: str
) -> None:
    rows = "Time,Tag,Point,Value,Unit\n2025-11-03 08:00,C1A,discharge_pressure,3.1,barg\n"
    text = rows.replace(",", mark).replace("3.1", "3,1")
    assert bring(day, tmp_path / "a.csv", text, "utf-8-sig") == (1, 0, [])


@pytest.mark.parametrize(
    ("text", "said"),
    [("", "an empty file"), ("time,tag,value\n", "lacks point"), ("a\n", "lacks time")],
)
def test_a_file_without_its_columns_says_which(
    day: Day, tmp_path: Path, text: str, said: str
) -> None:
    with pytest.raises(FileError, match=said):
        bring(day, tmp_path / "a.csv", text)


def test_no_file_and_no_text_are_told(day: Day, tmp_path: Path) -> None:
    with pytest.raises(FileError, match="cannot be read"):
        day.watch.import_csv(tmp_path / "none.csv", who="import", now=day.at(0))
    (tmp_path / "b.csv").write_bytes(b"\xff\xfe\x00time")
    with pytest.raises(FileError, match="cannot be read"):
        day.watch.import_csv(tmp_path / "b.csv", who="import", now=day.at(0))


@pytest.mark.parametrize("head", [True, False])
def test_a_cell_without_end_is_told_and_nothing_is_stored(
    day: Day, tmp_path: Path, head: bool
) -> None:
    longest = "x" * 140_000
    text = ROWS.replace("unit", longest) if head else ROWS.replace("31", longest)
    with pytest.raises(FileError, match=r"a\.csv cannot be read(.|\n)*field larger than"):
        bring(day, tmp_path / "a.csv", text)
    assert day.watch.journal.last_seq() == 0


def test_old_readings_open_no_trouble_but_teach_what_is_normal(day: Day, tmp_path: Path) -> None:
    rows = [
        f"2025-10-{d:02d} 08:00,C1A,discharge_pressure,{3.1 + 0.01 * (d % 3):.2f},barg"
        for d in range(1, 31)
    ]
    rows.append("2025-10-31 08:00,C1A,discharge_pressure,2.0,barg")
    bring(day, tmp_path / "a.csv", "\n".join(["time,tag,point,value,unit", *rows]))
    assert day.watch.troubles(day.at(100)) == ()
    assert day.read(100, "3.11").verdict.rests_on > 20
