"""`due` and `procedure` as a person types them."""

import json
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from gaugewalk.cli.main import app
from gaugewalk.errors import ArgumentError, FileError, NotFoundError

PLANT = Path(__file__).parents[1] / "watch" / "care.toml"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    shutil.copy(PLANT, tmp_path / "plant.toml")
    return tmp_path


def run(folder: Path, *words: str) -> Result:
    return CliRunner().invoke(app, [*words, "--plant", str(folder / "plant.toml")])


def test_due_says_what_and_why_by_walking_order(folder: Path) -> None:
    run(folder, "read", "W1A", "suction_strainer_dp=0.35 bar")
    shown = run(folder, "due")
    assert shown.exception is None
    assert "Care House: 1 overdue" in shown.output
    assert "W1A Cooling water pump A (Hall)" in shown.output
    assert "OVERDUE   Clean the suction strainer" in shown.output
    assert "lockout-tagout" in shown.output
    assert shown.output.index("W1A") < shown.output.index("G3 Sump pump")
    assert "Grease the drive end" not in shown.output
    everything = run(folder, "due", "--all").output
    assert "NOT KNOWN Grease the drive end: 12.5 g, 10 strokes" in everything
    assert "formula" in everything


def test_due_as_json_has_what_a_program_needs(folder: Path) -> None:
    items = json.loads(run(folder, "due", "--all", "--json").output)["items"]
    grease = next(item for item in items if item["kind"] == "grease")
    assert (grease["tag"], grease["deed"], grease["place"]) == ("W1A", "greased", "de")
    assert grease["amount"] == pytest.approx(0.0125)
    assert grease["caution"]
    pressing = json.loads(run(folder, "due", "--json").output)["items"]
    assert {item["state"] for item in pressing} <= {"overdue", "due", "soon"}


def test_procedures_are_listed_and_written(folder: Path) -> None:
    listed = run(folder, "procedure").output
    assert "isolation" in listed
    assert "seal-leak" in listed
    text = run(folder, "procedure", "isolation").output
    assert "HOLD: Every isolation of the plan is locked" in text
    assert "Only where driver: turbine." in text
    assert "29 CFR 1910.147" in text


def test_a_procedure_fits_its_pump(folder: Path) -> None:
    text = run(folder, "procedure", "round-running", "W1A").output
    assert "wanted are 9 to 36 drops/min" in text
    assert "Read: flow, motor_current" in text
    assert "sight flow" not in text
    only = json.loads(_json(folder, "procedure", "--json"))
    assert len(only["procedures"]) == 21
    with_tag = run(folder, "procedure", "start-up", "H4").output
    assert "Turbine" in with_tag
    assert "bump" not in with_tag  # no motor, no direction to find out
    wrong = run(folder, "procedure", "packing-adjustment", "H4")
    assert isinstance(wrong.exception, ArgumentError)
    assert isinstance(run(folder, "procedure", "isolaton").exception, NotFoundError)


def _json(folder: Path, *words: str) -> str:
    return run(folder, *words).output


def test_the_plants_own_lists_come_from_beside_the_plant_file(folder: Path) -> None:
    own = folder / "procedures.toml"
    own.write_text('[setting.first_minutes]\nvalue = "20 min"\nsource = "Sheet 4"\n', "utf-8")
    text = run(folder, "procedure", "start-up", "W1A").output
    assert "Stay 20 min" in text
    assert "20 min (Sheet 4, this plant's own)" in " ".join(text.split())
    assert "Stay 20 min" in run(folder, "procedure", "start-up").output
    own.write_text('[setting.first_minuts]\nvalue = "20 min"\n', "utf-8")
    for words in (("procedure", "start-up"), ("due",)):
        wrong = run(folder, *words).exception
        assert isinstance(wrong, FileError)
        assert "Did you mean 'first_minutes'?" in str(wrong)


def test_what_was_done_is_recorded_with_what_to_mind(folder: Path) -> None:
    listed = run_plain("did").output
    assert "greased" in listed
    assert "(de, nde, driver_de, driver_nde); amount in gram" in listed
    shown = run(folder, "did", "W1A", "greased", "--place", "de", "--amount", "40 g").output
    assert "W1A: Greased, drive end, 40 g" in shown
    assert "Mind: 40 g is more than the set 12.5 g" in shown
    assert "Look again: Bearing temperature, drive end" in shown
    assert "Last " in run(folder, "due", "--all").output
    past = run(folder, "did", "W1A", "strainer cleaned", "--seen", "2025-11-03 06:00")
    assert past.exception is None
    assert isinstance(run(folder, "did", "W1A").exception, ArgumentError)


def run_plain(*words: str) -> Result:
    return CliRunner().invoke(app, list(words))
