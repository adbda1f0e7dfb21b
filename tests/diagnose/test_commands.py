"""The doors `why`, `causes` and `findings`: what they print and what they refuse."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from gaugewalk.cli.main import app
from gaugewalk.errors import ArgumentError, CaseError, NotFoundError

from .test_case_file import DESIGN


def run(*words: str, given: str = "") -> Result:
    return CliRunner().invoke(app, list(words), input=given)


def test_why_answers_a_case_from_standard_input_as_json() -> None:
    result = run("why", "--case", "-", "--json", given=json.dumps(DESIGN))
    assert result.exit_code == 0
    assert json.loads(result.stdout)["version"] == 1


def test_why_says_it_in_words(tmp_path: Path) -> None:
    path = tmp_path / "case.json"
    path.write_text(json.dumps(DESIGN), "utf-8")
    text = run("why", "--case", str(path)).stdout
    for part in ("Verdict:", "Causes", "Points to it", "What to do (site procedures come first)"):
        assert part in text


@pytest.mark.parametrize(
    ("words", "given", "error"),
    [
        (("why",), "", ArgumentError),
        (("why", "P-1", "--case", "-"), "{}", ArgumentError),
        (("why", "--case", "-"), "{", CaseError),
        (("why", "--case", "nowhere.json"), "", NotFoundError),
        (("causes", "air-traped"), "", NotFoundError),
        (("findings", "noise-his"), "", NotFoundError),
    ],
)
def test_what_makes_no_sense_is_refused(
    words: tuple[str, ...], given: str, error: type[Exception]
) -> None:
    assert isinstance(run(*words, given=given).exception, error)


def test_causes_are_listed_and_explained() -> None:
    assert "air-trapped" in run("causes").stdout
    text = run("causes", "air-trapped").stdout
    for part in ("usually", "judgement", "Care:", "Looks like"):
        assert part in text
    assert json.loads(run("causes", "air-trapped", "--json").stdout)["causes"][0]["links"]


def test_findings_are_listed_and_explained() -> None:
    assert "noise-hiss" in run("findings").stdout
    assert "air-through-suction-joint" in run("findings", "noise-hiss").stdout


def test_a_plants_own_knowledge_is_laid_over(tmp_path: Path) -> None:
    own = tmp_path / "own.toml"
    own.write_text('[[cause]]\nid = "air-trapped"\ntitle = "Air, as we say here"\n', "utf-8")
    assert "Air, as we say here" in run("causes", "air-trapped", "--knowledge", str(own)).stdout
