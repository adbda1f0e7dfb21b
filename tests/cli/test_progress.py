"""A bar stands on a terminal only, and never in what is written."""

import io

import pytest
from rich.console import Console

from gaugewalk.cli import progress


def shown(monkeypatch: pytest.MonkeyPatch, *, terminal: bool) -> str:
    into = io.StringIO()
    monkeypatch.setattr(
        progress, "Console", lambda stderr: Console(file=into, force_terminal=terminal, width=80)
    )
    with progress.bar("Walking the chain …") as tell:
        for share in (0.0, 0.5, 1.0):
            tell(share)
    return into.getvalue()


def test_a_terminal_sees_it_move(monkeypatch: pytest.MonkeyPatch) -> None:
    said = shown(monkeypatch, terminal=True)
    assert "Walking the chain …" in said
    assert "100%" in said


def test_a_file_or_pipe_sees_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    assert shown(monkeypatch, terminal=False) == ""


def test_it_is_never_on_standard_output(capsys: pytest.CaptureFixture[str]) -> None:
    with progress.bar("Writing …") as tell:
        tell(0.5)
    assert capsys.readouterr().out == ""
