"""The closed table of units, `units.toml`, and how a written word finds its row in it."""

import json
import tomllib
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any, Literal

from gaugewalk.unit_text import squeeze

STANDARD_PRESSURE = 101325.0
"""Standard atmosphere, ISO 2533: used where neither elevation nor pressure is given. [Pa]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """One row of the closed table; see the head of `units.toml` for what the fields mean."""

    name: str
    kinds: tuple[str, ...]
    factor: float
    symbol: str
    offset: float = 0.0
    reference: Literal["none", "gauge", "absolute", "vacuum"] = "none"
    thousands: bool = False
    aliases: tuple[str, ...] = ()
    note: str = ""

    def line(self, barometric: float = STANDARD_PRESSURE) -> tuple[float, float]:
        """Return slope and shift of ``si = value * slope + shift``, also for whole columns."""
        if self.reference == "vacuum":
            return -self.factor, barometric - self.offset
        return self.factor, self.offset + (barometric if self.reference == "gauge" else 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """A kind of quantity: what it is called, its SI unit, how an entry may look."""

    name: str
    words: str
    si: str
    example: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """A word that leaves a question open, with what to write instead."""

    question: str
    write: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Table:
    units: Mapping[str, Unit]
    kinds: Mapping[str, Kind]
    exact: Mapping[str, tuple[Unit, ...]]  # squeezed word -> rows
    folded: Mapping[str, tuple[Unit, ...]]  # the same without letter case
    asks: Mapping[str, Ask]


def _unit(row: dict[str, Any]) -> Unit:
    lists = {key: tuple(row.get(key, ())) for key in ("kinds", "aliases")}
    return Unit(**({"symbol": row["name"]} | row | lists))


def _index(units: Mapping[str, Unit], *, fold: bool) -> Mapping[str, tuple[Unit, ...]]:
    found: dict[str, tuple[Unit, ...]] = {}
    for unit in units.values():
        for word in dict.fromkeys(squeeze(w) for w in (unit.name, unit.symbol, *unit.aliases)):
            word = word.casefold() if fold else word
            if word and unit not in found.get(word, ()):
                found[word] = (*found.get(word, ()), unit)
    return found


@cache
def _table() -> _Table:
    data = tomllib.loads(files("gaugewalk").joinpath("units.toml").read_text(encoding="utf-8"))
    units = {row["name"]: _unit(row) for row in data["unit"]}
    asks = {
        squeeze(word).casefold(): Ask(question=row["question"], write=tuple(row["write"]))
        for row in data["ask"]
        for word in (row["word"], *row["aliases"])
    }
    return _Table(
        units=MappingProxyType(units),
        kinds=MappingProxyType({k: Kind(name=k, **row) for k, row in data["kind"].items()}),
        exact=_index(units, fold=False),
        folded=_index(units, fold=True),
        asks=asks,
    )


def table() -> Mapping[str, Unit]:
    """Return the closed table, by canonical unit name."""
    return _table().units


def kinds() -> Mapping[str, Kind]:
    """Return every kind of quantity, by name."""
    return _table().kinds


@cache
def as_json() -> str:
    """Return the whole table as JSON, for the page that judges without the server."""
    data = _table()
    return json.dumps(
        {
            "units": [asdict(unit) for unit in data.units.values()],
            "kinds": {name: asdict(kind) for name, kind in data.kinds.items()},
            "asks": {word: asdict(ask) for word, ask in data.asks.items()},
        },
        ensure_ascii=False,
    )


def rows_of(word: str) -> tuple[Unit, ...]:
    """Return every row a word may mean, of whatever kind."""
    key = squeeze(word)
    if (rows := _table().exact.get(key)) is not None:
        return rows
    folded = _table().folded.get(key.casefold(), ())
    return tuple(row for row in folded if not mixes_milli_and_mega(key, row.name))


def mixes_milli_and_mega(key: str, name: str) -> bool:
    """Milli and mega differ by letter case only; "mW" must never become 1e9 times itself."""
    clash = key[:1] in "mM" and name[:1] in "mM" and key[:1] != name[:1]
    return clash and len(key) > 1 and key not in (key.lower(), key.upper())


def ask_for(word: str) -> Ask | None:
    """Return the question a word leaves open, or none."""
    return _table().asks.get(squeeze(word).casefold())
