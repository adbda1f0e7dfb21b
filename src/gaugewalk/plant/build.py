"""Build the plant's frozen data from TOML tables, led by the types of the fields.

One reader for every class of `pump.py`: an annotation says the kind of quantity, a `Literal` the
allowed words, a nested dataclass the nested table. Faults are collected, never raised, and where a
value is unusable something harmless stands in for it, so that the rest is still looked at.
"""

import dataclasses
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from types import UnionType
from typing import Annotated, Any, Literal, TypeVar, Union, get_args, get_origin, get_type_hints

from gaugewalk import units
from gaugewalk.errors import UnitError, nearest_word
from gaugewalk.plant import words
from gaugewalk.plant.faults import Faults, Path, shown
from gaugewalk.plant.points import all_points

T = TypeVar("T")

_BOUNDS: Mapping[str, tuple[str, Callable[[float], bool]]] = {
    "": ("", lambda _: True),
    "above zero": ("a value above zero", lambda v: v > 0),
    "not negative": ("a value of zero or more", lambda v: v >= 0),
    "share": ("a share from 0 to 1 (0 to 100 %)", lambda v: 0 <= v <= 1),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """Where the reader stands: the table, the key in it, and what all readers need."""

    faults: Faults
    barometric: float
    table: Mapping[str, Any]
    path: Path  # of the table

    def fault(self, key: str, given: object, expected: str, nearest: str | None = None) -> None:
        """Add a fault at a key of this table."""
        self.faults.add((*self.path, key), shown(given), expected, nearest)


Reader = Callable[[Spot, str, Any], Any]
"""Reads one value; returns `BAD` after it has added a fault."""


class _Bad:
    """Stands for a value that could not be read."""


BAD = _Bad()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Field:
    """How one field is read: its key in the file, its reader, what stands in for it."""

    key: str
    name: str
    read: Reader
    required: bool
    stand_in: Callable[[Spot], Any]
    has_unit: bool  # whether `<key>_unit` may stand beside it


def build(cls: type[T], spot: Spot, *, leave_out: tuple[str, ...] = ()) -> T:
    """Build one object from the table at a spot; every fault goes to `spot.faults`.

    Parameters
    ----------
    cls : type
        A dataclass of `pump.py`.
    spot : Spot
        The table and where it stands.
    leave_out : tuple of str
        Fields that do not come from this table; they keep their default.

    Returns
    -------
    cls
        Complete, but not to be used if a fault was added.
    """
    hashable: Any = cls  # mypy holds a class for not hashable
    fields = [f for f in _fields(hashable) if f.name not in leave_out]
    _refuse_unknown(spot, fields)
    values: dict[str, Any] = {}
    for one in fields:
        value = spot.table.get(one.key)
        if value is not None:
            value = one.read(spot, one.key, value)
        elif one.required:
            value = _missing(spot, one)
        else:
            continue
        if value is not BAD:
            values[one.name] = value
        elif one.required:
            values[one.name] = one.stand_in(spot)
    return cls(**values)


def _missing(spot: Spot, one: _Field) -> Any:
    if one.read is _unit:
        return _default_unit(spot)
    spot.faults.add((*spot.path, one.key), "nothing", f"{one.key} must be given")
    return BAD


def _refuse_unknown(spot: Spot, fields: list[_Field]) -> None:
    known = {f.key for f in fields} | {f"{f.key}_unit" for f in fields if f.has_unit}
    for key in spot.table:
        if key not in known:
            near = nearest_word(key, known)
            spot.faults.add(
                (*spot.path, key), f"key {key[:40]!r}", "a known key of this table", near
            )


@cache
def _fields(cls: type) -> tuple[_Field, ...]:
    hints = get_type_hints(cls, include_extras=True)
    return tuple(_field(f, hints[f.name]) for f in dataclasses.fields(cls))


def _field(field: "dataclasses.Field[Any]", hint: Any) -> _Field:
    required = field.default is dataclasses.MISSING and field.default_factory is dataclasses.MISSING
    inner = _without_none(hint)
    listed = get_origin(inner) is tuple and dataclasses.is_dataclass(get_args(inner)[0])
    read, stand_in = _reader(inner)
    return _Field(
        key=field.name.removesuffix("s") if listed else field.name,
        name=field.name,
        read=read,
        required=required,
        stand_in=stand_in,
        has_unit=_quantity_kind(inner) not in ("", "any", "any_difference"),
    )


def _without_none(hint: Any) -> Any:
    if get_origin(hint) in (Union, UnionType):
        return next(arg for arg in get_args(hint) if arg is not type(None))
    return hint


def _quantity_kind(hint: Any) -> str:
    hint = get_args(hint)[0] if get_origin(hint) is tuple else hint
    is_quantity = get_origin(hint) is Annotated and get_args(hint)[0] is float
    return str(get_args(hint)[1]) if is_quantity else ""


# ------------------------------------------------------------------ one reader a type


def _reader(hint: Any) -> tuple[Reader, Callable[[Spot], Any]]:
    origin, args = get_origin(hint), get_args(hint)
    if origin is tuple:
        return _list_reader(args[0]), lambda _: ()
    if origin is Annotated:
        return _annotated_reader(args[0], args[1:])
    if origin is Literal:
        return _word_reader(args), lambda _: ""
    if dataclasses.is_dataclass(hint) and isinstance(hint, type):
        return _table_reader(hint), lambda spot: build(hint, _nowhere(spot))
    return _PLAIN[hint]


def _nowhere(spot: Spot) -> Spot:
    """A table that is missing is one fault, not one for each key in it."""
    return dataclasses.replace(spot, faults=Faults(), table={})


def _annotated_reader(base: type, notes: tuple[Any, ...]) -> tuple[Reader, Callable[[Spot], Any]]:
    if base is float:
        bound = notes[1] if len(notes) > 1 else ""
        return _quantity_reader(notes[0], bound), lambda _: math.nan
    if base is int:
        return _whole_reader(notes[0]), lambda _: 0
    if notes[0] == "unit":
        return _unit, lambda _: ""
    return _checked_reader(*words.CHECKED[notes[0]]), lambda _: ""


def _table_reader(cls: type) -> Reader:
    def read(spot: Spot, key: str, value: Any) -> Any:
        if not isinstance(value, Mapping):
            name = ".".join(str(p) for p in (*spot.path, key) if isinstance(p, str))
            spot.fault(key, value, f"a table [{name}]")
            return BAD
        return build(cls, dataclasses.replace(spot, table=value, path=(*spot.path, key)))

    return read


def _list_reader(item: Any) -> Reader:
    if dataclasses.is_dataclass(item) and isinstance(item, type):
        return _tables_reader(item)
    read_one, _ = _reader(item)

    def read(spot: Spot, key: str, value: Any) -> Any:
        if not isinstance(value, list):
            spot.fault(key, value, f"a list, as {key} = [..., ...]")
            return BAD
        found = [read_one(spot, key, one) for one in value]
        return BAD if BAD in found else tuple(found)

    return read


def _tables_reader(cls: type) -> Reader:
    def read(spot: Spot, key: str, value: Any) -> Any:
        if not isinstance(value, list) or not all(isinstance(v, Mapping) for v in value):
            name = ".".join(str(p) for p in (*spot.path, key) if isinstance(p, str))
            spot.fault(key, value, f"tables [[{name}]], with double brackets")
            return BAD
        return tuple(
            build(cls, dataclasses.replace(spot, table=one, path=(*spot.path, key, index)))
            for index, one in enumerate(value)
        )

    return read


def _word_reader(options: tuple[str, ...]) -> Reader:
    expected = "one of " + ", ".join(repr(option) for option in options)

    def read(spot: Spot, key: str, value: Any) -> Any:
        if value in options and isinstance(value, str):
            return value
        near = nearest_word(value, options) if isinstance(value, str) else None
        spot.fault(key, value, expected, near)
        return BAD

    return read


def _checked_reader(check: Callable[[str], bool], expected: str, known: words.Known) -> Reader:
    def read(spot: Spot, key: str, value: Any) -> Any:
        if isinstance(value, str) and check(value):
            return value
        near = nearest_word(value, known()) if isinstance(value, str) else None
        spot.fault(key, value, expected, near)
        return BAD

    return read


def _plain_reader(kind: type, expected: str) -> Reader:
    def read(spot: Spot, key: str, value: Any) -> Any:
        wanted = (int, float) if kind is float else kind
        if isinstance(value, wanted) and not (isinstance(value, bool) and kind is not bool):
            if kind is not float:
                return value
            if math.isfinite(number := _as_float(value)):
                return number
        spot.fault(key, value, expected)
        return BAD

    return read


def _whole_reader(bound: str) -> Reader:
    read_whole = _plain_reader(int, "a whole number without quotes")
    words_of_bound, holds = _BOUNDS[bound]

    def read(spot: Spot, key: str, value: Any) -> Any:
        number = read_whole(spot, key, value)
        if number is BAD or (holds(number) and number <= 1_000_000):
            return number
        spot.fault(key, value, words_of_bound)
        return BAD

    return read


_PLAIN: Mapping[type, tuple[Reader, Callable[[Spot], Any]]] = {
    str: (_plain_reader(str, "a text in quotes"), lambda _: ""),
    float: (_plain_reader(float, "a number without quotes"), lambda _: math.nan),
    int: (_whole_reader(""), lambda _: 0),
    bool: (_plain_reader(bool, "true or false, without quotes"), lambda _: False),
}


def _as_float(value: Any) -> float:
    try:
        return float(value)
    except OverflowError:  # a whole number of more than 308 digits
        return math.inf


# ------------------------------------------------------------------ quantities


_DIFFERENCE_OF = {"pressure": "pressure_difference", "temperature": "temperature_difference"}


def _quantity_reader(kind: str, bound: str) -> Reader:
    expected, holds = _BOUNDS[bound]

    def read(spot: Spot, key: str, value: Any) -> Any:
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            spot.fault(key, value, "a text with its unit, as " + _example(spot, kind))
            return BAD
        if (wanted := _wanted(spot, kind)) is None:
            return BAD  # the point is unknown, and that has been said
        try:
            number = _number(spot, key, value, wanted, kind)
        except UnitError as error:
            spot.fault(key, value, *_expected(error, value))
            return BAD
        if number is not BAD and not holds(number):
            spot.fault(key, value, expected)
            return BAD
        return number

    return read


def _wanted(spot: Spot, kind: str) -> tuple[str, ...] | None:
    if not kind.startswith("any"):
        return (kind,)
    point = all_points().get(_text_at(spot, "point"))
    if point is None:
        return None
    if kind == "any":
        return point.kinds
    return tuple(_DIFFERENCE_OF.get(k, k) for k in point.kinds)


def _text_at(spot: Spot, key: str) -> str:
    value = spot.table.get(key)
    return value if isinstance(value, str) else ""


def _number(spot: Spot, key: str, value: Any, wanted: tuple[str, ...], kind: str) -> Any:
    """Read a text with its unit, or a plain number whose unit stands beside it."""
    if isinstance(value, str):
        quantity = units.parse(value, wanted, barometric=spot.barometric)
        if quantity.low is not None:
            raise UnitError(f"{value!r}: one value is wanted here, not a swing.")
        return quantity.value
    if kind.startswith("any"):
        return _in_unit_of_point(spot, value, difference=kind == "any_difference")
    return _in_unit_beside(spot, key, value, wanted)


def _in_unit_beside(spot: Spot, key: str, value: Any, wanted: tuple[str, ...]) -> Any:
    beside = spot.table.get(f"{key}_unit")
    if beside is None and wanted == ("fraction",):
        return _finite(value)
    if not isinstance(beside, str):
        example = units.kinds()[wanted[0]].example
        raise UnitError(f"a text with its unit, as {example!r}, or {key}_unit beside it")
    try:
        row = units.unit_for(beside, wanted)
    except UnitError as error:
        spot.fault(f"{key}_unit", beside, *_expected(error, beside))
        return BAD
    return _finite(units.to_si(_as_float(value), row.name, barometric=spot.barometric))


def _in_unit_of_point(spot: Spot, value: float, *, difference: bool) -> Any:
    kind = all_points()[spot.table["point"]]
    try:
        row = units.unit_for(_text_at(spot, "unit") or kind.default_unit, kind.kinds)
    except UnitError:
        return BAD  # said at the key `unit`
    slope, shift = row.line(spot.barometric)
    number = _as_float(value)
    return _finite(number * abs(slope) if difference else number * slope + shift)


def _finite(value: float) -> float:
    if not math.isfinite(value := _as_float(value)):
        raise UnitError("a number that can be a reading")
    return value


def _expected(error: UnitError, value: object) -> tuple[str, str | None]:
    return error.expected.removeprefix(f"{value!r}: ").removesuffix("."), error.nearest


def _example(spot: Spot, kind: str) -> str:
    wanted = _wanted(spot, kind)
    return repr(units.kinds()[wanted[0]].example if wanted else "3.1 barg")


def _unit(spot: Spot, key: str, value: Any) -> Any:
    """Read the unit of a point; it must measure what the point is."""
    kind = all_points().get(_text_at(spot, "point"))
    try:
        if isinstance(value, str):
            return units.unit_for(value, kind.kinds).name if kind else units.unit_named(value).name
        spot.fault(key, value, "a unit in quotes, as 'barg'")
    except UnitError as error:
        spot.fault(key, value, *_expected(error, value))
    return BAD


def _default_unit(spot: Spot) -> Any:
    kind = all_points().get(_text_at(spot, "point"))
    return kind.default_unit if kind else BAD
