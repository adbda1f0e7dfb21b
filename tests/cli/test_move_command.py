"""`gaugewalk move`, and what is said when a journal's end is missing."""

import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from gaugewalk.cli.main import app
from gaugewalk.errors import ArgumentError, NotFoundError

PLANT = Path(__file__).parents[1] / "watch" / "pair.toml"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    shutil.copy(PLANT, tmp_path / "plant.toml")
    assert at(tmp_path, "read", "C1A", "discharge_pressure=3.1 barg").exception is None
    return tmp_path


def at(folder: Path, name: str, *words: str) -> Result:
    plant = ["--plant", str(folder / "plant.toml")]
    return CliRunner().invoke(app, [name, *words, *plant])


def move(*words: str) -> Result:
    return CliRunner().invoke(app, ["move", *words])


def test_a_watch_goes_on_in_postgresql(folder: Path, postgres_url: str) -> None:
    first = move(str(folder / "watch.db"), postgres_url)
    assert "1 entries copied; every one verified in its chain" in first.output
    again = move(str(folder / "watch.db"), postgres_url)
    assert "0 entries copied, 1 were there before" in again.output
    there = at(folder, "read", "C1A", "discharge_pressure=2.0 barg", "--journal", postgres_url)
    assert "2 barg is below the act limit 2.2 barg" in there.output
    whole = at(folder, "rebuild", "--journal", postgres_url)
    assert "The journal is whole" in whole.output
    assert "C1A" in at(folder, "handover", "--journal", postgres_url).output


@pytest.mark.parametrize(
    ("words", "error", "said"),
    [
        (["nowhere.db", "there.db"], NotFoundError, "no journal in 'nowhere.db'"),
        ([" ", "there.db"], ArgumentError, "FROM is empty"),
        (["mysql://x/y", "there.db"], ArgumentError, "expected a file path"),
    ],
)
def test_what_cannot_be_moved_is_told(words: list[str], error: type[Exception], said: str) -> None:
    failed = move(*words).exception
    assert isinstance(failed, error)
    assert said in str(failed)


def test_a_lost_end_is_told_once_on_the_screen_and_at_every_handover(folder: Path) -> None:
    kept = shutil.copy(folder / "watch.db", folder / "old.db")
    at(folder, "read", "C1A", "discharge_pressure=3.2 barg")
    shutil.copy(kept, folder / "watch.db")
    said = "entry 2 had been acknowledged and cannot be found"
    assert said in at(folder, "rebuild").output
    for _ in range(2):
        assert said in at(folder, "handover").output
    assert said not in at(folder, "rebuild").output
