"""How soon the command line answers, beside importing the library it is written with."""

import subprocess
import sys

from bench.common import Row, measure, show


def _run(*words: str) -> None:
    subprocess.run([sys.executable, *words], check=True, capture_output=True)


def rows() -> list[Row]:
    """`--help` and `--version`, each against `python -c "import typer"`."""
    peer = 'python -c "import typer"'
    return [
        measure(
            f"gaugewalk {option}",
            lambda option=option: _run("-m", "gaugewalk", option),
            peer,
            lambda: _run("-c", "import typer"),
            repeat=9,
            note="asked for: under 3 x",
        )
        for option in ("--help", "--version")
    ]


if __name__ == "__main__":
    show(rows())
