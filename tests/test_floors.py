"""The floors of the house: a room imports only from lower floors, and nothing goes in circles."""

import ast
import textwrap
from collections.abc import Iterator
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[1] / "src" / "gaugewalk"

UNITS = {"units", "unit_table", "unit_text"}
DOORS = {"web", "cli", "feeds", "fleet", "drill", "__main__"}

# Room -> rooms it may import. `errors` and the package itself are open to all. The border for
# units is open to every room but `physics`, which knows SI only.
FLOORS: dict[str, set[str]] = {
    "errors": set(),
    "unit_text": set(),
    "unit_table": {"unit_text"},
    "units": {"unit_table", "unit_text"},
    "physics": set(),
    "plant": {"physics", *UNITS},
    "judge": {"physics", "plant", *UNITS},
    "journal": {"plant", *UNITS},
    "people": {"journal"},
    "diagnose": {"physics", "plant", "judge", *UNITS},
    "watch": {"physics", "plant", "judge", "journal", "diagnose", *UNITS},
    "web": {"physics", "plant", "judge", "journal", "people", "diagnose", "watch", *UNITS},
    "feeds": {"physics", "plant", "judge", "journal", "diagnose", "watch", *UNITS},
    "fleet": {"physics", "plant", "judge", "journal", "diagnose", "watch", *UNITS},
    "drill": {"physics", "plant", "judge", "journal", "diagnose", "watch", *UNITS},
    "cli": {
        "physics", "plant", "judge", "journal", "people", "diagnose", "watch", *UNITS,
        "web", "feeds", "fleet", "drill",
    },
    "__main__": {"cli"},
}  # fmt: skip


def modules(root: Path) -> dict[str, Path]:
    """Every module of the package under a folder, by dotted name."""
    found = {}
    for path in sorted(root.rglob("*.py")):
        parts = ["gaugewalk", *path.relative_to(root).with_suffix("").parts]
        found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


def imports(name: str, path: Path, known: set[str]) -> Iterator[tuple[str, bool]]:
    """Every module of ours that a module imports, anywhere in it; and whether at its top level."""
    tree = ast.parse(path.read_text("utf-8"))
    tops = {id(node) for node in _at_import_time(tree)}
    for node in ast.walk(tree):
        for target in _targets(node, name, path.name == "__init__.py"):
            if target.split(".")[0] == "gaugewalk":
                yield target if target in known else target.rpartition(".")[0], id(node) in tops


def _targets(node: ast.AST, name: str, is_package: bool) -> list[str]:
    if isinstance(node, ast.Import):
        return [alias.name for alias in node.names]
    if not isinstance(node, ast.ImportFrom):
        return []
    base = node.module or ""
    if node.level:
        up = node.level - is_package
        here = name.split(".")
        base = ".".join([*here[: len(here) - up], *([base] if base else [])])
    return [f"{base}.{alias.name}" for alias in node.names]


def _at_import_time(node: ast.AST) -> Iterator[ast.AST]:
    """Nodes that run when the module is imported: not in functions, not for the type checker."""
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
            continue
        if isinstance(child, ast.If) and "TYPE_CHECKING" in ast.unparse(child.test):
            continue
        yield child
        yield from _at_import_time(child)


def room(name: str) -> str:
    return [*name.split("."), ""][1]


def violations(root: Path) -> list[str]:
    """Every import that goes up or sideways, and every room without a floor."""
    known = modules(root)
    wrong = []
    for name, path in known.items():
        here = room(name)
        if here and here not in FLOORS:
            wrong.append(f"{name}: the room {here!r} stands on no floor")
            continue
        open_to = FLOORS.get(here, set()) | {here, "", "errors"}
        wrong += [
            f"{name} imports {target}"
            for target, _ in imports(name, path, set(known))
            if room(target) not in open_to
        ]
    return wrong


def knots(root: Path) -> list[list[str]]:
    """Sets of modules that import each other at their top level, by depth-first search."""
    known = modules(root)
    graph = {
        name: {t for t, top in imports(name, path, set(known)) if top and t != name}
        for name, path in known.items()
    }
    found: list[list[str]] = []
    done: set[str] = set()

    def walk(name: str, trail: list[str]) -> None:
        if name in trail:
            found.append([*trail[trail.index(name) :], name])
            return
        if name in done or name not in graph:
            return
        for target in sorted(graph[name]):
            walk(target, [*trail, name])
        done.add(name)

    for name in graph:
        walk(name, [])
    return found


def heavy(root: Path, room_name: str, libraries: set[str]) -> list[str]:
    """Top-level imports of slow libraries in a room that must be quick to import."""
    wrong = []
    for name, path in modules(root / room_name).items():
        for node in _at_import_time(ast.parse(path.read_text("utf-8"))):
            targets = [a.name for a in node.names] if isinstance(node, ast.Import) else []
            targets += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            wrong += [f"{name}: {t}" for t in targets if t.split(".")[0] in libraries]
    return wrong


def test_every_room_imports_from_lower_floors_only() -> None:
    assert violations(SOURCE) == []


def test_no_module_is_imported_in_a_circle() -> None:
    assert knots(SOURCE) == []


def test_physics_is_quick_to_import() -> None:
    """scipy and CoolProp cost tenths of a second; they are imported where they are used."""
    assert heavy(SOURCE, "physics", {"scipy", "CoolProp", "pandas", "sklearn"}) == []


def test_packages_re_export_nothing() -> None:
    inits = [path for path in SOURCE.rglob("__init__.py") if path.parent != SOURCE]
    assert [str(path) for path in inits if path.read_text("utf-8").strip()] == []


def test_the_floor_table_covers_the_rooms_that_exist() -> None:
    there = {room(name) for name in modules(SOURCE)} - {""}
    assert there <= set(FLOORS)


# ------------------------------------------------------------------ planted, to see it fail


def plant(root: Path, **texts: str) -> Path:
    for dotted, text in texts.items():
        path = root.joinpath(*dotted.split("__")).with_suffix(".py")
        path.parent.mkdir(parents=True, exist_ok=True)
        (path.parent / "__init__.py").touch()
        path.write_text(textwrap.dedent(text))
    return root


PLANTED = [
    ("physics__npsh", "from gaugewalk.units import to_si", "gaugewalk.physics.npsh imports"),
    ("plant__pump", "import gaugewalk.judge.limits", "imports gaugewalk.judge.limits"),
    ("plant__pump", "from gaugewalk import judge", "imports gaugewalk"),
    ("judge__a", "def f():\n    from ..diagnose.case import Case", "imports gaugewalk.diagnose"),
    ("journal__a", "from gaugewalk.judge.limits import x", "imports gaugewalk.judge"),
    ("web__a", "from gaugewalk.cli.main import run", "imports gaugewalk.cli"),
    ("drill__a", "from gaugewalk.web.app import app", "imports gaugewalk.web"),
    ("attic__a", "x = 1", "stands on no floor"),
]


@pytest.mark.parametrize(("where", "text", "said"), PLANTED)
def test_a_planted_violation_is_seen(tmp_path: Path, where: str, text: str, said: str) -> None:
    others = {"judge__limits": "x = 1", "diagnose__case": "", "cli__main": "", "web__app": ""}
    root = plant(tmp_path, units="", **{k: v for k, v in others.items() if k != where})
    assert violations(root) == []
    plant(root, **{where: text})
    assert any(said in wrong for wrong in violations(root))


def test_a_planted_circle_is_seen(tmp_path: Path) -> None:
    plant(tmp_path, plant__a="from gaugewalk.plant import b", plant__b="import gaugewalk.plant.c")
    assert knots(tmp_path) == []
    plant(tmp_path, plant__c="from gaugewalk.plant.a import x")
    assert len(knots(tmp_path)) == 1
    plant(tmp_path, plant__c="def later():\n    from gaugewalk.plant.a import x")
    assert knots(tmp_path) == []


def test_a_planted_heavy_import_is_seen(tmp_path: Path) -> None:
    plant(tmp_path, physics__a="import scipy.optimize", physics__b="def f():\n    import CoolProp")
    assert heavy(tmp_path, "physics", {"scipy", "CoolProp"}) == ["gaugewalk.a: scipy.optimize"]
