"""The commands of the watch, each run as a person types it, on a real plant and journal."""

import json
import shutil
import sqlite3
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from gaugewalk.cli.main import app
from gaugewalk.cli.main import run as main
from gaugewalk.errors import GaugewalkError
from gaugewalk.journal.store import Journal

PLANT = Path(__file__).parents[1] / "watch" / "pair.toml"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    shutil.copy(PLANT, tmp_path / "plant.toml")
    return tmp_path


def run(folder: Path, *words: str, typed: str | None = None) -> Result:
    name, *rest = words
    plant = ["--plant", str(folder / "plant.toml")]
    return CliRunner().invoke(app, [name, *rest, *plant], input=typed)


def entries(folder: Path) -> list[tuple[str, str | None, str | None]]:
    journal = Journal.open(folder / "watch.db")
    found = [(e.kind, e.point, e.entered) for e in journal.entries()]
    journal.close()
    return found


def test_read_says_the_verdict_at_once_and_what_to_check(folder: Path) -> None:
    result = run(folder, "read", "C1A", "discharge_pressure=2.0 barg", "motor_current=31 A")
    assert result.exception is None
    assert "ACT" in result.output
    assert "2 barg is below the act limit 2.2 barg" in result.output
    assert "Worth checking now:" in result.output
    assert "NORMAL Motor current 31 A" in result.output


def test_read_stores_what_it_can_and_names_the_rest(folder: Path) -> None:
    result = run(folder, "read", "C1A", "motor_current=31 A", "leak_off=many", "nonsense")
    assert isinstance(result.exception, GaugewalkError)
    assert "2 of 3 values were not stored" in str(result.exception)
    assert "leak_off=many" in str(result.exception)
    assert entries(folder) == [("reading", "motor_current", "31 A")]


def test_read_as_json_and_with_its_own_time(folder: Path) -> None:
    result = run(
        folder, "read", "C1A", "discharge_pressure=3.1", "--seen", "2025-07-01 06:40", "--json"
    )
    (taken,) = json.loads(result.stdout)
    assert taken["verdict"]["severity"] == "normal"
    assert taken["entered"] == "3.1"
    journal = Journal.open(folder / "watch.db")
    (entry,) = journal.entries()
    journal.close()
    assert entry.seen_at.isoformat() == "2025-07-01T05:40:00+00:00"  # summer in London


def test_read_refuses_a_time_that_is_none(folder: Path) -> None:
    result = run(folder, "read", "C1A", "discharge_pressure=3.1", "--seen", "at dawn")
    assert "2025-11-03 06:40" in str(result.exception)


def test_a_round_is_walked_with_numbers_reasons_and_second_thoughts(folder: Path) -> None:
    typed = "0.4\n3.1\n- no light\n2.5 barg\n30 A\n3.1\n"
    result = run(folder, "round", "boiler house", typed=typed)
    assert result.exception is None, result.output
    assert "expected a current" in result.output.replace("\n", " ")
    assert "The round is finished." in result.output
    kinds = [(kind, point) for kind, point, _ in entries(folder)]
    assert kinds == [
        ("round", None),
        ("reading", "suction_pressure"),
        ("reading", "discharge_pressure"),
        ("skipped", "leak_off"),
        ("reading", "motor_current"),
        ("reading", "discharge_pressure"),
        ("round", None),
    ]


def test_a_round_that_is_left_goes_on_where_it_was(folder: Path) -> None:
    left = run(folder, "round", "boiler house", typed="0.4\nq\n")
    assert "stays open" in left.output
    again = run(folder, "round", "boiler house", typed="3.1\n40\n30\n3.1\n")
    assert "The round is finished." in again.output
    assert [kind for kind, _, _ in entries(folder)].count("round") == 2


def test_points_left_open_need_one_reason_at_the_end(folder: Path) -> None:
    result = run(folder, "round", "boiler house", typed="0.4\n\n\n\n\ncalled away\n")
    assert "4 points are open" in result.output
    assert "The round is finished." in result.output
    assert [kind for kind, _, _ in entries(folder)].count("skipped") == 4


def test_without_a_name_the_round_most_due_is_walked(folder: Path) -> None:
    assert "Round " in run(folder, "round", typed="q\n").output


def test_import_tells_what_was_stored_and_what_not(folder: Path) -> None:
    good = "time,tag,point,value,unit\n2025-11-03 08:00,C1A,discharge_pressure,3.1,barg\n"
    (folder / "a.csv").write_text(good + "x,C1A,flow,3,\n")
    result = run(folder, "import", str(folder / "a.csv"))
    assert "1 readings stored, 0 were known before." in result.output
    assert "line 3" in str(result.exception)
    (folder / "a.csv").write_text(good)
    again = run(folder, "import", str(folder / "a.csv"))
    assert "0 readings stored, 1 were known before." in again.output
    assert again.exception is None


def test_handover_names_every_section(folder: Path) -> None:
    run(folder, "read", "C1A", "discharge_pressure=2.0 barg")
    text = run(folder, "handover").output
    assert text.startswith("HANDOVER  Test House")
    assert "C1A Condensate pump A: act" in text
    for section in ("TEMPORARY REMEDIES", "FOLLOW-UPS", "NOT TAKEN", "ROUNDS", "STANDING NOTES"):
        assert section in text


def test_rebuild_verifies_first_and_refuses_an_altered_journal(folder: Path) -> None:
    run(folder, "read", "C1A", "discharge_pressure=3.1 barg")
    assert "1 entries in a chain" in run(folder, "rebuild").output
    with sqlite3.connect(folder / "watch.db") as raw:
        raw.execute("DROP TRIGGER entries_no_UPDATE")
        raw.execute("UPDATE entries SET value = 1")
    raw.close()
    assert "was altered" in str(run(folder, "rebuild").exception)


def test_ahead_with_nothing_to_say_says_so(folder: Path) -> None:
    assert "Nothing moves" in run(folder, "ahead").output


def test_what_nobody_foresaw_is_told_without_a_traceback(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("gaugewalk.cli.verify.verify", lambda *_, **__: 1 / 0)
    monkeypatch.setattr("tempfile.tempdir", str(folder))
    monkeypatch.setattr("sys.argv", ["gaugewalk", "verify", "--plant", str(folder / "plant.toml")])
    with pytest.raises(SystemExit) as ended:
        main()
    told = capsys.readouterr().err
    assert ended.value.code == 70
    assert "a fault of this program (ZeroDivisionError: division by zero)" in told
    assert "Traceback" not in told
    [kept] = folder.glob("gaugewalk-*.txt")
    assert "Traceback" in kept.read_text("utf-8")
