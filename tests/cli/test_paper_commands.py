"""Handover, work request, export, backup, restore, verify: each as a person types it."""

import csv
import io
import json
import shutil
import sqlite3
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from gaugewalk.cli.main import app
from gaugewalk.errors import (
    ArgumentError,
    ConflictError,
    GaugewalkError,
    NotFoundError,
    StorageError,
)
from gaugewalk.journal.store import Journal

PLANT = Path(__file__).parents[1] / "watch" / "pair.toml"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    shutil.copy(PLANT, tmp_path / "plant.toml")
    return tmp_path


def run(folder: Path, *words: str) -> Result:
    name, *rest = words
    return CliRunner().invoke(app, [name, *rest, "--plant", str(folder / "plant.toml")])


def said(folder: Path, *words: str) -> str:
    """What a command that works says."""
    result = run(folder, *words)
    assert result.exception is None, result.exception
    return result.stdout


def fault(folder: Path, kind: type[GaugewalkError], *words: str) -> str:
    """What a command that is refused says."""
    error = run(folder, *words).exception
    assert isinstance(error, kind), error
    return str(error)


def trouble(folder: Path) -> None:
    said(folder, "read", "C1A", "discharge_pressure=2.0 barg", "--who", "r. vale")


def test_a_handover_is_signed_and_taken_over_from_the_terminal(folder: Path) -> None:
    trouble(folder)
    assert "Handed over by: r. vale" in said(folder, "handover", "--sign", "--who", "r. vale")
    take = ("handover", "--take", "--who", "s. marsh")
    assert "Not yet read: C1A" in fault(folder, ConflictError, *take)
    assert "Taken over by:  s. marsh" in said(folder, *take, "--read", "C1A")
    assert "--who NAME" in fault(folder, ArgumentError, "handover", "--sign", "--who", " ")


def test_a_handover_is_written_as_json_and_pdf(folder: Path) -> None:
    trouble(folder)
    told = json.loads(said(folder, "handover", "--json"))
    assert [item["tag"] for item in told["to_read"]] == ["C1A"]
    pdf = folder / "h.pdf"
    assert "Written to" in said(folder, "handover", "--pdf", str(pdf))
    assert pdf.read_bytes().startswith(b"%PDF-")
    assert "--replace" in fault(folder, ArgumentError, "handover", "--pdf", str(pdf))
    said(folder, "handover", "--pdf", str(pdf), "--replace")


def test_a_work_request_in_three_forms(folder: Path) -> None:
    trouble(folder)
    text = said(folder, "work-request", "C1A")
    for part in ("WORK REQUEST  C1A Condensate pump A", "LIKELY CAUSE", "BEFORE IT IS OPENED",
                 "CAN IT RUN UNTIL THEN", "lockout-tagout"):  # fmt: skip
        assert part in text
    assert json.loads(said(folder, "work-request", "C1A", "--json"))["tag"] == "C1A"
    said(folder, "work-request", "C1A", "--pdf", str(folder / "w.pdf"))
    assert (folder / "w.pdf").read_bytes().startswith(b"%PDF-")
    assert "No trouble is open at S3" in fault(folder, NotFoundError, "work-request", "S3")


def test_export_to_a_file_and_to_the_terminal(folder: Path) -> None:
    trouble(folder)
    rows = list(csv.DictReader(io.StringIO(said(folder, "export", "readings"))))
    assert [row["entered"] for row in rows] == ["2.0 barg"]
    file = folder / "troubles.json"
    assert "1 troubles written" in said(folder, "export", "troubles", str(file))
    assert "--replace" in fault(folder, ArgumentError, "export", "troubles", str(file))
    nothing = said(folder, "export", "readings", "--tag", "S3", "--since", "2025-01-01")
    assert len(nothing.splitlines()) == 1
    assert ".xlsx" in fault(folder, ArgumentError, "export", "rounds", "rounds.doc")


def entries(file: Path) -> int:
    journal = Journal.open(file)
    found = journal.verify().count
    journal.close()
    return found


def test_backup_verify_restore(folder: Path) -> None:
    trouble(folder)
    copy, head = folder / "b.db", json.loads(said(folder, "verify", "--json"))["head"]
    text = said(folder, "backup", str(copy))
    assert f"The last hash is {head}." in text
    assert "plant file" in text
    assert "--replace" in fault(folder, ArgumentError, "backup", str(copy))
    said(folder, "read", "C1A", "discharge_pressure=2.1 barg")
    assert "is that of entry" in said(folder, "verify", "--was", head)
    assert "--replace" in fault(folder, ArgumentError, "restore", str(copy))
    before = entries(folder / "watch.db")
    text = said(folder, "restore", str(copy), "--replace")
    assert "entries put back" in text
    (aside,) = folder.glob("watch.before-*.db")
    assert str(aside) in text
    assert (entries(aside), entries(folder / "watch.db")) == (before, entries(copy))
    assert json.loads(said(folder, "verify", "--json"))["head"] == head


def test_verify_tells_what_was_changed_or_cut_off(folder: Path) -> None:
    trouble(folder)
    said(folder, "read", "S3", "discharge_pressure=1.2 barg")
    head = json.loads(said(folder, "verify", "--json"))["head"]
    with sqlite3.connect(folder / "watch.db") as raw:
        raw.execute("DROP TRIGGER entries_no_UPDATE")
        raw.execute("UPDATE entries SET value = 1 WHERE seq = 1")
    raw.close()
    assert "entry 1 (" in fault(folder, StorageError, "verify")
    with sqlite3.connect(folder / "watch.db") as raw:
        raw.execute("DROP TRIGGER entries_no_DELETE")
        raw.execute("DELETE FROM entries")
        raw.execute("DELETE FROM states")
    raw.close()
    assert "no entry has the hash" in fault(folder, StorageError, "verify", "--was", head)


def test_what_is_not_there_is_not_made(folder: Path) -> None:
    for words in (("verify",), ("backup", str(folder / "b.db")), ("restore", "none.db")):
        fault(folder, NotFoundError, *words)
    assert not (folder / "watch.db").exists()


def test_a_journal_in_a_database_is_restored_otherwise(folder: Path) -> None:
    (folder / "b.db").touch()
    words = ("restore", str(folder / "b.db"), "--journal", "postgresql://watch@db/larkmoor")
    assert "pg_restore" in fault(folder, ArgumentError, *words)
