"""Read the check-lists: the house's own, and a plant's `procedures.toml` laid over them.

In a plant's file a `[[procedure]]` with a known id changes the fields that it names; where it has
steps of its own, they replace all steps. A new id adds a list. A `[setting.NAME]` changes a waiting
time, a band or an amount. Every fault is named at once.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from gaugewalk.errors import FileError, Problem
from gaugewalk.plant.toml_text import line_finder, read_toml
from gaugewalk.watch.procedure import Procedure, Procedures, Setting, Step
from gaugewalk.watch.procedure_check import Finder, check_procedures, unknown

FILES = (
    "settings.toml",
    "rounds.toml",
    "running.toml",
    "strainers.toml",
    "seal.toml",
    "lubrication.toml",
    "maintenance.toml",
    "season.toml",
)
OWN = "site"  # source of what a plant's own file says
_TABLES = ("procedure", "setting", "source")
_LISTS = ("readings", "results", "sources")
Raw = dict[str, Any]


@dataclass(slots=True, kw_only=True)
class _Merged:
    """The tables of all files, one laid over the other, and the faults found."""

    lists: dict[str, Raw] = field(default_factory=dict)
    settings: dict[str, Raw] = field(default_factory=dict)
    sources: dict[str, str] = field(default_factory=lambda: {OWN: "This plant's own instruction"})
    problems: list[Problem] = field(default_factory=list)


def load_procedures(extra: Path | None = None) -> Procedures:
    """Return the check-lists, with a plant's own file laid over them where one is given.

    Raises
    ------
    FileError
        The plant's file cannot be read or has faults; all of them are listed.

    Examples
    --------
    >>> load_procedures().named("venting").title
    'Vent and prime'
    """
    return _built_in() if extra is None else _load(extra)


@cache
def _built_in() -> Procedures:
    return _load(None)


def _load(extra: Path | None) -> Procedures:
    merged = _Merged()
    folder = files("gaugewalk.watch").joinpath("procedures")
    for name in FILES:
        _lay_over(merged, folder.joinpath(name).read_text("utf-8"), name, own=False)
    if extra is not None:
        _lay_over(merged, _text_of(extra), extra.name, own=True)
    made = _make(merged)
    merged.problems += check_procedures(made)
    if merged.problems:
        name = extra.name if extra else "procedures"
        count = len(merged.problems)
        raise FileError(f"{name}: {count} fault{'s' * (count != 1)}.", merged.problems)
    return made


def _text_of(path: Path) -> str:
    try:
        return path.read_text("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        reason = Problem(where=str(path), given=str(error), expected="a readable file in UTF-8")
        raise FileError(f"{path.name} cannot be read.", [reason]) from error


def _lay_over(merged: _Merged, text: str, name: str, *, own: bool) -> None:
    data, syntax = read_toml(text)
    merged.problems += syntax
    find = Finder(name=name, line_of=line_finder(text))
    for key in data.keys() - set(_TABLES):
        merged.problems.append(unknown(find, (key,), key, _TABLES))
    merged.sources.update(data.get("source", {}))
    for id, row in data.get("setting", {}).items():
        _lay_setting(merged, id, row, find, own=own)
    for number, row in enumerate(data.get("procedure", [])):
        _lay_list(merged, row, find, ("procedure", number), own=own)


def _lay_setting(merged: _Merged, id: str, row: Raw, find: Finder, *, own: bool) -> None:
    at = ("setting", id)
    known = merged.settings.get(id)
    if own and known is None:
        merged.problems.append(unknown(find, at, id, merged.settings))
        return
    allowed = {f.name for f in fields(Setting)} - {"id", "own"}
    merged.problems += [
        unknown(find, (*at, key), key, allowed) for key in row.keys() - allowed - {"own"}
    ]
    merged.settings[id] = {
        **(known or {}),
        **({"source": merged.sources[OWN], "note": ""} if own else {}),
        **row,
        "own": own,
        "find": find,
    }


def _lay_list(
    merged: _Merged, row: Raw, find: Finder, at: tuple[str | int, ...], *, own: bool
) -> None:
    id = row.get("id")
    if not isinstance(id, str) or not id:
        merged.problems.append(find.problem(at, "no id", 'id = "..."'))
        return
    mine: Raw = {"own": own, "find": find, "at": at}
    if own:
        mine["sources"] = [OWN]
    if own and "step" in row:
        row = {**row, "step": [{"sources": [OWN], **step} for step in row["step"]]}
    merged.lists[id] = {**merged.lists.get(id, {}), **mine, **row}


# ------------------------------------------------------------------ from tables to lists


def _make(merged: _Merged) -> Procedures:
    settings = {id: _setting(id, row, merged) for id, row in merged.settings.items()}
    lists = {id: _list(row, merged) for id, row in merged.lists.items()}
    return Procedures(
        lists={id: one for id, one in lists.items() if one is not None},
        settings={id: one for id, one in settings.items() if one is not None},
        sources=merged.sources,
    )


def _setting(id: str, row: Raw, merged: _Merged) -> Setting | None:
    find: Finder = row.pop("find")
    values = {"id": id, **row}
    made: Setting | None = _build(Setting, values, find, ("setting", id), merged)
    return made


def _list(row: Raw, merged: _Merged) -> Procedure | None:
    find, at = row.pop("find"), row.pop("at")
    raw_steps = row.pop("step", None)
    if not isinstance(raw_steps, list) or not raw_steps:
        merged.problems.append(find.problem(at, "no steps", "[[procedure.step]]"))
        return None
    steps = [
        _build(Step, _plain(step), find, (*at, "step", number), merged)
        for number, step in enumerate(raw_steps)
    ]
    values = {**_plain(row), "steps": tuple(step for step in steps if step is not None)}
    made: Procedure | None = _build(Procedure, values, find, at, merged)
    return made


def _plain(row: Raw) -> Raw:
    """Write lists as tuples, and a yes or no of the facts as a word."""
    values = {key: tuple(v) if isinstance(v, list) else v for key, v in row.items()}
    if isinstance(row.get("applies"), Mapping):
        values["applies"] = {fact: _words(words) for fact, words in row["applies"].items()}
    return values


def _words(value: object) -> tuple[str, ...]:
    if isinstance(value, bool):
        return ("yes" if value else "no",)
    return tuple(str(one) for one in value) if isinstance(value, list) else (str(value),)


def _build(
    cls: Callable[..., Any], values: Raw, find: Finder, at: tuple[str | int, ...], merged: _Merged
) -> Any:
    """Make one frozen value of a table, or name what is wrong with it."""
    known = {f.name: f for f in fields(cls)}  # type: ignore[arg-type]  # a dataclass
    before = len(merged.problems)
    for key in values.keys() - known.keys():
        merged.problems.append(unknown(find, (*at, key), key, known))
    needed = ["id", "text"] if cls is Step else ["title", "group", "when", "who", "caution"]
    needed = ["what", "kind", "value", "source"] if cls is Setting else needed
    for key in needed:
        if not isinstance(values.get(key), str) or not values[key].strip():
            merged.problems.append(find.problem(at, f"no {key}", f'{key} = "..."'))
    for key, value in values.items():
        wanted: type = _type_of(key)
        if key in known and not isinstance(value, wanted):
            given = repr(value)[:40]
            merged.problems.append(find.problem((*at, key), given, f"a {wanted.__name__}"))
    return cls(**values) if len(merged.problems) == before else None


def _type_of(key: str) -> type:
    if key in (*_LISTS, "steps"):
        return tuple
    if key in ("look", "partner", "own"):
        return bool
    return dict if key == "applies" else str
