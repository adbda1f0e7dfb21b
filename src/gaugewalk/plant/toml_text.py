"""The text of a TOML file: every syntax fault, and the line on which each key stands."""

import re
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

from gaugewalk.errors import Problem
from gaugewalk.plant.faults import Path

_MOST_SYNTAX_FAULTS = 10
_SLOW_TEXT = 1_000_000  # [characters]; beyond it the file is not read again for a second fault

_AT = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")
_PART = r"""[A-Za-z0-9_-]+|"(?:\\.|[^"\\])*"|'[^']*'"""
_KEYS = rf"(?:{_PART})(?:\s*\.\s*(?:{_PART}))*"
_HEADER = re.compile(rf"\s*(\[\[?)\s*({_KEYS})\s*\]\]?")
_ENTRY = re.compile(rf"\s*({_KEYS})\s*=\s*(.*)")
_NOT_BRACKETS = re.compile(r""""(?:\\.|[^"\\])*"|'[^']*'|\#.*""")


def read_toml(text: str) -> tuple[dict[str, Any], tuple[Problem, ...]]:
    """Read TOML text; with faults in its syntax, read what is left of it.

    Parameters
    ----------
    text : str
        The whole file.

    Returns
    -------
    dict
        What could be read; empty if nothing could.
    tuple of Problem
        The faults of syntax, each with its line.

    Examples
    --------
    >>> data, problems = read_toml('name = "Mill"\\nflow = 3 m3/h\\nhead = 4 m\\nunit = "m"')
    >>> data, [problem.line for problem in problems]
    ({'name': 'Mill', 'unit': 'm'}, [2, 3])
    """
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").split("\n")
    found: list[Problem] = []
    while True:
        try:
            return tomllib.loads("\n".join(lines)), tuple(found)
        except (ValueError, RecursionError) as error:
            found.append(problem := _syntax_problem(error, lines))
        given_up = len(found) >= _MOST_SYNTAX_FAULTS or len(text) > _SLOW_TEXT
        if given_up or not _is_whole_entry(lines, problem):
            return {}, tuple(found)
        lines[(problem.line or 1) - 1] = ""


def _syntax_problem(error: Exception, lines: list[str]) -> Problem:
    if isinstance(error, RecursionError):
        return Problem(where="the file", given="lists within lists", expected="a plant file")
    at = _AT.search(str(error))
    line = int(at[1]) if at and at[1] else len(lines)
    reason = _AT.sub("", str(error))
    given = lines[line - 1].strip()[:60] if 0 < line <= len(lines) else ""
    expected = f'TOML ({reason}). A quantity stands in quotes, as flow = "40 m3/h"'
    return Problem(
        where="syntax", given=given or "the end of the file", expected=expected, line=line
    )


def _is_whole_entry(lines: list[str], problem: Problem) -> bool:
    """Only a line that stands for itself can be left out without faults that are none."""
    line = lines[(problem.line or 1) - 1]
    entry = _ENTRY.match(line)
    return bool(entry and _depth(entry[2]) == 0 and '"""' not in line and "'''" not in line)


@dataclass(slots=True)
class _Scan:
    """Where the scanner stands: the table it is in, and how many of each list of tables."""

    counts: dict[Path, int] = field(default_factory=dict)
    table: Path = ()
    lines: dict[Path, int] = field(default_factory=dict)


def line_finder(text: str) -> Callable[[Path], int | None]:
    """Return a function from a path to its line; what has none gets the line of its table.

    Examples
    --------
    >>> line_of = line_finder('[[pump]]\\ntag = "P-1"\\n[pump.seal]\\nkind = "packing"')
    >>> line_of(("pump", 0, "seal", "kind")), line_of(("pump", 0, "curve", "head"))
    (4, 1)
    """
    scan = _Scan()
    for number, line in _statements(text):
        if (header := _HEADER.match(line)) is not None:
            _enter(scan, _parts(header[2]), listed=header[1] == "[[")
            scan.lines.setdefault(scan.table, number)
        elif (entry := _ENTRY.match(line)) is not None:
            path = scan.table
            for part in _parts(entry[1]):
                path = (*path, part)
                scan.lines.setdefault(path, number)

    def line_of(path: Path) -> int | None:
        known = (scan.lines.get(path[:n]) for n in range(len(path), 0, -1))
        return next((line for line in known if line is not None), None)

    return line_of


def _statements(text: str) -> Iterator[tuple[int, str]]:
    """Yield the first line of each statement with its number; skip what it goes on with."""
    closing = ""
    depth = 0
    for number, line in enumerate(text.removeprefix("\ufeff").split("\n"), 1):
        if closing:
            if closing in line:
                closing = ""
            continue
        if depth > 0:
            depth += _depth(line)
            continue
        yield number, line
        if (entry := _ENTRY.match(line)) is None:
            continue
        value = entry[2]
        closing = value[:3] if value[:3] in ('"""', "'''") else ""
        if closing and closing in value[3:]:
            closing = ""
        depth = 0 if closing else max(_depth(value), 0)


def _depth(text: str) -> int:
    bare = _NOT_BRACKETS.sub("", text)
    return bare.count("[") + bare.count("{") - bare.count("]") - bare.count("}")


def _parts(keys: str) -> list[str]:
    return [part.strip("\"'") for part in re.findall(_PART, keys)]


def _enter(scan: _Scan, parts: list[str], *, listed: bool) -> None:
    path: Path = ()
    for part in parts[:-1]:
        path = (*path, part)
        if path in scan.counts:
            path = (*path, scan.counts[path])
    path = (*path, parts[-1])
    if listed:
        scan.counts[path] = scan.counts.get(path, -1) + 1
        path = (*path, scan.counts[path])
    scan.table = path
