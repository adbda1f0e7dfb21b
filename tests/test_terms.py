"""The vocabulary is binding: arguments of the physics floor against `docs/terms.md`."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[1]
PHYSICS = ROOT / "src" / "gaugewalk" / "physics"
TERMS = (ROOT / "docs" / "terms.md").read_text("utf-8")

# The same unit, written for the eye or for the word.
_SAME_UNIT = {"1": "-", "": "-", "µm": "um"}


def listed(text: str) -> dict[str, str]:
    """Unit by name in code, from the tables of the vocabulary."""
    units: dict[str, str] = {}
    for line in text.splitlines():
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        if len(cells) == 6 and "`" in cells[1]:
            for name in re.findall(r"`(\w+)`", cells[1]):
                assert name not in units, f"{name} is defined twice"
                units[name] = cells[3]
    return units


def functions(root: Path) -> Iterator[tuple[str, ast.FunctionDef]]:
    """Every public function and method of a room, with its dotted name."""
    for path in sorted(root.glob("*.py")):
        tree = ast.parse(path.read_text("utf-8"))
        yield from _public(path.stem, tree)


def _public(prefix: str, node: ast.Module | ast.ClassDef) -> Iterator[tuple[str, ast.FunctionDef]]:
    for child in node.body:
        if isinstance(child, ast.FunctionDef) and not child.name.startswith("_"):
            yield f"{prefix}.{child.name}", child
        if isinstance(child, ast.ClassDef) and not child.name.startswith("_"):
            yield from _public(f"{prefix}.{child.name}", child)


def arguments(function: ast.FunctionDef) -> list[str]:
    args = function.args
    every = [*args.posonlyargs, *args.args, *args.kwonlyargs]
    return [arg.arg for arg in every if arg.arg not in ("self", "cls")]


def documented_units(function: ast.FunctionDef) -> dict[str, str]:
    """Unit in brackets of each parameter, where its docstring gives one."""
    found: dict[str, str] = {}
    section = re.search(
        r"Parameters\n-+\n(.*?)(?=\n\n\w+\n---|\Z)", ast.get_docstring(function) or "", re.DOTALL
    )
    for names, text in re.findall(
        r"(?m)^([a-z]\w*(?:, \w+)*) : (.*(?:\n(?: .*|$))*)", section[1] if section else ""
    ):
        words = names.split(", ")
        units = re.findall(r"\[([^\]\[]+)\]", text)
        if len(units) != 1:
            continue
        parts = units[0].split(", ")
        if len(parts) == 1:
            parts *= len(words)
        if len(parts) == len(words):
            found |= dict(zip(words, parts, strict=True))
    return found


def test_every_argument_of_the_physics_floor_is_a_listed_term() -> None:
    known = listed(TERMS)
    missing = {
        f"{where}({name})"
        for where, function in functions(PHYSICS)
        for name in arguments(function)
        if name not in known
    }
    assert missing == set(), "write a row in docs/terms.md, or use the term that is there"


def test_every_listed_name_is_still_used() -> None:
    used = {name for _, function in functions(PHYSICS) for name in arguments(function)}
    assert set(listed(TERMS)) - used == set()


def test_units_in_docstrings_are_those_of_the_vocabulary() -> None:
    known = listed(TERMS)
    wrong = []
    for where, function in functions(PHYSICS):
        for name, unit in documented_units(function).items():
            if name in known and _SAME_UNIT.get(unit, unit) != known[name]:
                wrong.append(f"{where}({name}) [{unit}], in the vocabulary [{known[name]}]")
    assert wrong == []


def test_every_term_has_a_definition_and_a_source() -> None:
    rows = [line for line in TERMS.splitlines() if line.startswith("|") and "`" in line]
    assert len(rows) > 100
    for row in rows:
        cells = [cell.strip() for cell in row.strip("|").split("|")]
        assert len(cells) == 6, row
        assert all(cells), row


# ------------------------------------------------------------------ planted, to see it fail


def test_the_walk_sees_arguments_and_units(tmp_path: Path) -> None:
    tmp_path.joinpath("npsh.py").write_text(
        "def margin(flow, furlongs=1):\n"
        '    """Give.\n\n    Parameters\n    ----------\n'
        "    flow : float\n        Of the pump. [m3/h]\n    furlongs : float\n        [-]\n\n"
        '    Returns\n    -------\n    float\n        [m]\n    """\n'
        "def _private(anything): ...\n"
        "class Curve:\n    def at(self, rod): ...\n"
    )
    found = dict(functions(tmp_path))
    assert set(found) == {"npsh.margin", "npsh.Curve.at"}
    assert arguments(found["npsh.margin"]) == ["flow", "furlongs"]
    assert documented_units(found["npsh.margin"]) == {"flow": "m3/h", "furlongs": "-"}
    known = listed(TERMS)
    assert "furlongs" not in known
    assert known["flow"] != "m3/h"
