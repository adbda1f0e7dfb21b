"""Reading the knowledge files and checking them: every fault is named, none is passed over."""

import tomllib
from collections.abc import Mapping
from dataclasses import MISSING, Field, fields
from importlib.resources import files
from pathlib import Path
from types import MappingProxyType
from typing import Any, TypeVar

from gaugewalk.diagnose.knowledge_check import ReadKnowledge, check_knowledge, unknown_word
from gaugewalk.diagnose.network import PRIOR, WITHOUT_CAUSE
from gaugewalk.diagnose.reading_rules import rule_of
from gaugewalk.diagnose.trade import Action, Cause, Danger, DoneRule, Finding, Link, ReadingRow
from gaugewalk.errors import FileError, NotFoundError, Problem

FILES = (
    "sources.toml",
    "findings.toml",
    "suction.toml",
    "hydraulic.toml",
    "strainers.toml",
    "seal.toml",
    "bearings.toml",
    "oil.toml",
    "driver.toml",
    "instruments.toml",
    "innocent.toml",
    "done.toml",
    "readings.toml",
    "dangers.toml",
)
_WORDS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "prior": tuple(PRIOR),
        "without": tuple(WITHOUT_CAUSE),
        "urgency": ("normal", "watch", "act", "stop"),
        "danger": ("", "watch", "act", "stop"),
        "hazard": ("none", "some", "high"),
        "state": ("", "low", "high", "swinging", "zero"),
        "change": ("", "ratio", "difference"),
        "word": ("watch", "act", "stop"),
        "kind": ("now", "temporary", "cure", "report", "stop"),
    }
)
TABLES = ("source", "finding", "cause", "innocent", "done", "reading", "danger")
_Row = TypeVar("_Row", Link, Action, Cause, DoneRule, Finding, ReadingRow, Danger)
Raw = dict[str, Any]


def read_files(extra: Path | None) -> ReadKnowledge:
    """Read the built-in files and lay a plant's own file over them.

    Raises
    ------
    FileError
        With every fault found.
    NotFoundError
        There is no such file.
    """
    merged: Raw = {
        "source": {},
        "finding": {},
        "cause": {},
        "done": [],
        "reading": [],
        "danger": [],
    }
    problems: list[Problem] = []
    for name in FILES:
        text = files("gaugewalk.diagnose").joinpath("knowledge", name).read_text("utf-8")
        _lay_over(merged, _parse(text, name), name, problems)
    if extra is not None:
        _lay_over(merged, _parse(_text_of(extra), extra.name), extra.name, problems)
    read = _build(merged, problems)
    problems += check_knowledge(read)
    if problems:
        name = extra.name if extra is not None else "knowledge"
        raise FileError(f"{name}: {len(problems)} faults in the knowledge", problems)
    return read


def _text_of(path: Path) -> str:
    try:
        return path.read_text("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise NotFoundError(f"knowledge file {str(path)!r} could not be read: {error}") from error


def _parse(text: str, name: str) -> Raw:
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:  # also a number of thousands of digits
        problem = Problem(where=name, given=str(error), expected="valid TOML")
        raise FileError(f"{name}: not TOML", [problem]) from error


def _lay_over(merged: Raw, data: Raw, name: str, problems: list[Problem]) -> None:
    problems += [unknown_word(name, key, TABLES) for key in data.keys() - set(TABLES)]
    merged["source"].update(data.get("source", {}))
    for row in data.get("finding", []):
        _add(merged["finding"], row, name, problems)
    for row in data.get("cause", []):
        _add(merged["cause"], row, name, problems)
    for row in data.get("innocent", []):
        _add(merged["cause"], row | {"innocent": True}, name, problems)
    merged["done"] += data.get("done", [])
    merged["danger"] += data.get("danger", [])
    # A plant's own rule for a finding takes the place of ours.
    own = {row.get("finding") for row in data.get("reading", [])}
    kept = [row for row in merged["reading"] if row.get("finding") not in own]
    merged["reading"] = kept + data.get("reading", [])


def _add(known: dict[str, Raw], row: Raw, name: str, problems: list[Problem]) -> None:
    id = row.get("id")
    if not isinstance(id, str) or not id:
        problems.append(Problem(where=name, given=f"a row without id: {row}", expected="id = ..."))
        return
    old = known.get(id, {})
    links = {link.get("id"): link for link in [*old.get("finding", []), *row.get("finding", [])]}
    known[id] = old | row | ({"finding": list(links.values())} if links else {})


def _build(merged: Raw, problems: list[Problem]) -> ReadKnowledge:
    findings = {
        id: row
        for id, raw in merged["finding"].items()
        if (row := row_of(Finding, _with_words(raw, "needs"), f"finding {id}", problems))
        is not None
    }
    causes = {
        id: made
        for id, raw in merged["cause"].items()
        if (made := _cause(raw, problems)) is not None
    }
    done = [row_of(DoneRule, raw, f"done {raw.get('action')}", problems) for raw in merged["done"]]
    dangers = [row_of(Danger, raw, "danger", problems) for raw in merged["danger"]]
    rows = [
        row_of(ReadingRow, raw, f"reading {raw.get('finding')}", problems)
        for raw in merged["reading"]
    ]
    rules = [rule_of(row, problems) for row in rows if row is not None]
    return ReadKnowledge(
        dangers=tuple(danger for danger in dangers if danger is not None),
        reading_rules=tuple(rule for rule in rules if rule is not None),
        causes=MappingProxyType(causes),
        findings=MappingProxyType(findings),
        done_rules=tuple(rule for rule in done if rule is not None),
        sources=MappingProxyType(merged["source"]),
    )


def _cause(raw: Raw, problems: list[Problem]) -> Cause | None:
    where = f"cause {raw['id']}"
    links = []
    for link in raw.get("finding", []):
        row = {"finding": link.get("id")} | {k: v for k, v in link.items() if k != "id"}
        links.append(row_of(Link, row, f"{where}, finding {link.get('id')}", problems))
    actions = [row_of(Action, row, f"{where}, action", problems) for row in raw.get("action", [])]
    plain = {k: v for k, v in _with_words(raw, "applies").items() if k not in {"finding", "action"}}
    plain |= {
        "links": tuple(link for link in links if link is not None),
        "actions": tuple(action for action in actions if action is not None),
    }
    return row_of(Cause, plain, where, problems)


def _with_words(raw: Raw, key: str) -> Raw:
    """Return the row with each fact of that key as the tuple of its words."""
    facts = {
        fact: tuple(words) if isinstance(words, list) else (words,)
        for fact, words in raw.get(key, {}).items()
    }
    return {**raw, key: facts}


def row_of(kind: type[_Row], raw: Raw, where: str, problems: list[Problem]) -> _Row | None:
    """Make one dataclass of a table, or name what is wrong with it."""
    known = {f.name: f for f in fields(kind)}
    before = len(problems)
    problems += [unknown_word(where, key, known) for key in raw.keys() - known.keys()]
    for name, one in known.items():
        if one.default is MISSING and one.default_factory is MISSING and name not in raw:
            problems.append(Problem(where=where, given=f"no {name}", expected=f"{name} = ..."))
    for key, words in _WORDS.items():
        if key in raw and key in known and raw[key] not in words:
            problems.append(unknown_word(f"{where}, {key}", raw[key], words))
    problems += _wrong_types(known, raw, where)
    if len(problems) > before:
        return None
    values: dict[str, Any] = {k: tuple(v) if isinstance(v, list) else v for k, v in raw.items()}
    return kind(**values)


def _wrong_types(known: Mapping[str, Field[Any]], raw: Raw, where: str) -> list[Problem]:
    plain: dict[object, tuple[type, ...]] = {
        str: (str,),
        int: (int,),
        float: (int, float),
        bool: (bool,),
    }
    problems = []
    for key, value in raw.items():
        wanted = plain.get(known[key].type) if key in known else None
        if wanted is not None and not isinstance(value, wanted):
            words = getattr(known[key].type, "__name__", "")
            problems.append(
                Problem(where=f"{where}, {key}", given=repr(value)[:60], expected=f"a {words}")
            )
    return problems
