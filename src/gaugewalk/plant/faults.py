"""Collect every fault of a plant file before anything is said about the first."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from gaugewalk.errors import Problem

Path = tuple[str | int, ...]
"""Where a value stands in the file: keys and places in lists, ("pump", 3, "seal", "kind")."""

_NAMED_BY = ("tag", "point", "name", "place")


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One fault, by its path; the line is looked up only when there is something to say."""

    path: Path
    given: str
    expected: str
    nearest: str | None = None
    grave: bool = True


@dataclass(frozen=True, slots=True)
class Faults:
    """All faults found so far, in the order found."""

    items: list[Fault] = field(default_factory=list)

    def add(self, path: Path, given: str, expected: str, nearest: str | None = None) -> None:
        """Add a fault that makes the file unusable."""
        self.items.append(Fault(path=path, given=given, expected=expected, nearest=nearest))

    def remark(self, path: Path, given: str, expected: str, nearest: str | None = None) -> None:
        """Add a remark: the file is good, but something will not be judged."""
        self.items.append(
            Fault(path=path, given=given, expected=expected, nearest=nearest, grave=False)
        )

    def touches(self, path: Path, *, grave: bool = False) -> bool:
        """Tell whether something is already said at a path or within it."""
        return any(
            fault.path[: len(path)] == path and (fault.grave or not grave) for fault in self.items
        )


def shown(value: object) -> str:
    """Write a value as given, short enough for one line.

    Examples
    --------
    >>> shown("3 bar"), shown([1, 2, 3]), len(shown("x" * 500))
    ("'3 bar'", '[1, 2, 3]', 60)
    """
    text = repr(value[:80] if isinstance(value, str | list) else value)
    return text if len(text) <= 60 else text[:57] + "..."


def where(data: Mapping[str, object], path: Path) -> str:
    """Name a path as a reader of the file would, by tags and names instead of counts.

    Examples
    --------
    >>> where({"pump": [{"tag": "P-1", "seal": {}}]}, ("pump", 0, "seal", "kind"))
    '[[pump]] P-1, seal.kind'
    """
    words: list[str] = []
    tables: list[str] = []  # keys from the top of the file
    keys: list[str] = []  # keys from the last list of tables
    here: object = data
    for key, after in zip(path, (*path[1:], None), strict=True):
        here = _step(here, key)
        if isinstance(key, int):
            words.append(f"[[{'.'.join(tables)}]] {_label(here, key)}")
            keys = []
        elif isinstance(after, int) and not _holds_tables(here):
            return ", ".join([*words, ".".join([*keys, f"{key}[{after + 1}]"])])
        else:
            tables.append(key)
            keys.append(key)
    return ", ".join([*words, ".".join(keys)] if keys else words) or "the file"


def _step(here: object, key: str | int) -> object:
    if isinstance(here, Mapping) and isinstance(key, str):
        return here.get(key)
    if isinstance(here, Sequence) and isinstance(key, int) and key < len(here):
        return here[key]
    return None


def _holds_tables(here: object) -> bool:
    return isinstance(here, list) and bool(here) and isinstance(here[0], Mapping)


def _label(table: object, index: int) -> str:
    if isinstance(table, Mapping):
        names = [table[key] for key in _NAMED_BY if isinstance(table.get(key), str)]
        if names and names[0].strip():
            return str(names[0])[:40]
    return f"number {index + 1}"


def problems(
    faults: Faults, data: Mapping[str, object], line_of: Callable[[Path], int | None]
) -> tuple[Problem, ...]:
    """Turn the faults into what a person reads, grave ones first, then by line."""
    said = [
        Problem(
            where=where(data, fault.path),
            given=fault.given,
            expected=fault.expected,
            line=line_of(fault.path),
            nearest=fault.nearest,
            grave=fault.grave,
        )
        for fault in dict.fromkeys(faults.items)
    ]
    return tuple(sorted(said, key=lambda p: (not p.grave, p.line or 0)))
