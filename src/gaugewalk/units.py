"""The border for units: text as people write it to SI and back, from one closed table.

Inside the house every value is SI and every pressure absolute. Here "12.5 psig", "3,1 barg",
"-0.3 bar(g)", "140 °F", "2 1/2 in", "40 drops/min" or "2.8 to 4.1 barg" become numbers, and numbers
become text again. The table is `units.toml`; the phone's page is served the same rows by
`as_json`, so that server and page judge alike.

How numbers are read:

* A point is always the decimal mark, a comma is one too ("3,1" is 3.1), unless both stand: then the
  last one is the decimal mark ("1,480.5" and "1.480,5" are 1480.5).
* Several equal marks, blanks or apostrophes in groups of three are thousands ("1 480 000").
* One comma before exactly three digits ("1,480") may mean 1480 or 1.48. In units that nobody reads
  to a thousandth (`thousands` in the table: rpm, V, drops/min, ...) it is 1480; in all others it is
  refused with the two ways to write it. "0,480" can only be 0.48.

Bare "bar" or "psi" where a pressure is wanted is refused: it may be gauge or absolute.
"""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache

from gaugewalk.errors import UnitError, nearest_word
from gaugewalk.unit_table import (
    STANDARD_PRESSURE,
    Kind,
    Unit,
    as_json,
    ask_for,
    kinds,
    mixes_milli_and_mega,
    rows_of,
    table,
)
from gaugewalk.unit_text import number_of, split_entry, squeeze, tidy

__all__ = [
    "STANDARD_PRESSURE",
    "Kind",
    "Quantity",
    "Unit",
    "as_json",
    "from_si",
    "kind_of",
    "kinds",
    "parse",
    "parse_range",
    "show",
    "table",
    "to_si",
    "unit_for",
    "unit_named",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """One thing entered, in SI, with what was typed.

    For a swing `value` is the middle and `low` and `high` are set; otherwise both are none.
    """

    value: float
    low: float | None = None
    high: float | None = None
    kind: str
    unit: str
    entered: str


# ------------------------------------------------------------------ from one number to another


def unit_named(name: str) -> Unit:
    """Return the row of a canonical name, or of an alias that only one row has.

    Raises
    ------
    UnitError
        For an unknown word, or one that stands for several units.
    """
    if (unit := table().get(name)) is not None:
        return unit
    rows = rows_of(name)
    if len(rows) == 1:
        return rows[0]
    if rows:
        raise UnitError(f"Unit {_shown(name)} may be {_or(row.name for row in rows)}; write one.")
    raise _unknown(name, ())


def unit_for(word: str, kind: str | tuple[str, ...]) -> Unit:
    """Return the row that a word means where one of some kinds is wanted.

    Raises
    ------
    UnitError
        For an unknown word or one of another kind; says what to write.

    Examples
    --------
    >>> unit_for("bar(g)", "pressure").name, unit_for("g", "mass").name
    ('barg', 'gram')
    """
    return _row(word, word, (kind,) if isinstance(kind, str) else tuple(kind))


def kind_of(unit: str) -> str:
    """Return the kind a unit measures.

    Examples
    --------
    >>> kind_of("barg"), kind_of("bar"), kind_of("drops/min")
    ('pressure', 'pressure_difference', 'leakage')
    """
    return unit_named(unit).kinds[0]


def to_si(value: float, unit: str, *, barometric: float = STANDARD_PRESSURE) -> float:
    """Convert a number in a unit to SI; a gauge pressure becomes an absolute one.

    Parameters
    ----------
    value : float
        In `unit`.
    unit : str
        A name of the table.
    barometric : float
        Pressure of the air at the gauge. [Pa]

    Examples
    --------
    >>> round(to_si(3.1, "barg"))
    411325
    >>> round(to_si(20, "inHg vac"))
    33597
    """
    slope, shift = unit_named(unit).line(barometric)
    return value * slope + shift


def from_si(value: float, unit: str, *, barometric: float = STANDARD_PRESSURE) -> float:
    """Convert an SI number to a unit; the reverse of `to_si`.

    Examples
    --------
    >>> round(from_si(353.15, "degF"), 6)
    176.0
    """
    slope, shift = unit_named(unit).line(barometric)
    return (value - shift) / slope


def show(
    value: float, unit: str, *, barometric: float = STANDARD_PRESSURE, digits: int | None = None
) -> str:
    """Write an SI value in a unit, with no more digits than a gauge gives.

    Parameters
    ----------
    value : float
        SI. NaN is written "not known".
    unit : str
        A name of the table.
    barometric : float
        Pressure of the air at the gauge. [Pa]
    digits : int, optional
        Significant digits, trailing zeros kept. Without it: three, whole numbers never rounded
        further than to one, trailing zeros dropped.

    Examples
    --------
    >>> show(411325.0, "barg"), show(353.15, "degC"), show(1480 / 60, "rpm")
    ('3.1 barg', '80 °C', '1480 rpm')
    >>> show(411325.0, "barg", digits=3)
    '3.10 barg'
    """
    row = unit_named(unit)
    number = from_si(value, row.name, barometric=barometric)
    return (
        f"{_digits(number, digits)} {row.symbol}".strip() if math.isfinite(number) else "not known"
    )


def _digits(number: float, digits: int | None) -> str:
    significant = 3 if digits is None else digits
    power = math.floor(math.log10(abs(number))) if abs(number) > 1e-12 else 0
    if power < -6 or power > 15:
        return f"{number:.{significant - 1}e}"
    # Temperatures and gauge pressures come back from SI with rounding noise around zero.
    text = f"{number:.{max(significant - 1 - power, 0)}f}"
    if digits is None and "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


# ------------------------------------------------------------------ from text


def parse(
    text: str,
    kind: str | tuple[str, ...],
    *,
    default_unit: str | None = None,
    barometric: float = STANDARD_PRESSURE,
) -> Quantity:
    """Read one entry: a number with its unit, or a swing between two.

    Parameters
    ----------
    text : str
        What was typed.
    kind : str or tuple of str
        What is wanted; with several, the unit decides.
    default_unit : str, optional
        Unit of a bare number. Without it a bare number is refused.
    barometric : float
        Pressure of the air at the gauge. [Pa]

    Returns
    -------
    Quantity
        In SI.

    Raises
    ------
    UnitError
        Says what was given, what was expected and what to write.

    Examples
    --------
    >>> round(parse("-0.3 bar(g)", "pressure").value)
    71325
    >>> swing = parse("18 to 24 A", "current")
    >>> swing.low, swing.value, swing.high
    (18.0, 21.0, 24.0)
    >>> parse("3 bar", "pressure")
    Traceback (most recent call last):
    gaugewalk.errors.UnitError: '3 bar': gauge or absolute? Write '3 barg' or '3 bara'.
    """
    return _parse(text, (kind,) if isinstance(kind, str) else tuple(kind), default_unit, barometric)


# A plant file says the same few thousand quantities again and again: remembered, 2,000 pumps load
# in half the time.
@lru_cache(maxsize=16384)
def _parse(
    text: str, wanted: tuple[str, ...], default_unit: str | None, barometric: float
) -> Quantity:
    entry = split_entry(text, _example(wanted, default_unit), _is_unit(wanted))
    words = [word for _, word in entry if word]
    rows = [_row(text, word, wanted) for word in words] or [_default(text, wanted, default_unit)]
    first, last = rows[0], rows[-1]  # one unit may stand for both ends of a swing
    values = [
        _value(text, number, row, barometric)
        for (number, _), row in zip(entry, (first, last), strict=False)
    ]
    return _quantity(text, wanted, values, last)


def parse_range(
    low_text: str,
    high_text: str,
    kind: str | tuple[str, ...],
    *,
    default_unit: str | None = None,
    barometric: float = STANDARD_PRESSURE,
) -> Quantity:
    """Read a swing given as two texts; the unit may stand in either or both.

    Examples
    --------
    >>> parse_range("18", "24 A", "current").entered
    '18 to 24 A'
    """
    for text in (low_text, high_text):
        if not text.strip():
            raise UnitError(f"A swing needs two numbers; given {low_text!r} and {high_text!r}.")
    entered = f"{low_text.strip()} to {high_text.strip()}"
    return parse(entered, kind, default_unit=default_unit, barometric=barometric)


def _quantity(text: str, wanted: tuple[str, ...], values: list[float], row: Unit) -> Quantity:
    kind = next(k for k in wanted if k in row.kinds)
    for value in values:
        _check_possible(text, value, kind)
    if len(values) == 1:
        return Quantity(value=values[0], kind=kind, unit=row.name, entered=text.strip())
    low, high = min(values), max(values)
    middle = low + (high - low) / 2
    return Quantity(
        value=middle, low=low, high=high, kind=kind, unit=row.name, entered=text.strip()
    )


def _value(text: str, number: str, row: Unit, barometric: float) -> float:
    slope, shift = row.line(barometric)
    value = number_of(text, number, thousands=row.thousands, unit=row.name) * slope + shift
    if not math.isfinite(value):
        raise UnitError(f"{_shown(text)}: the number is too large to be a reading.")
    return value


def _check_possible(text: str, value: float, kind: str) -> None:
    if kind == "pressure" and value < 0:
        raise UnitError(
            f"{_shown(text)}: below a perfect vacuum by {show(-value, 'bar')}; "
            "check the sign and the unit."
        )
    if kind == "temperature" and value < 0:
        raise UnitError(f"{_shown(text)}: below absolute zero (-273.15 degC); check the unit.")


def _default(text: str, wanted: tuple[str, ...], default_unit: str | None) -> Unit:
    if default_unit is not None:
        return _row(text, default_unit, wanted)
    if "number" in wanted:
        return table()["1"]
    expected = f"{_words(wanted)}, such as {_example(wanted, None)!r}"
    raise UnitError(
        f"{_shown(text)}: a number without its unit; expected {expected}.",
        expected=f"{expected}, with its unit",
    )


def _row(text: str, word: str, wanted: tuple[str, ...]) -> Unit:
    """Find the row a word means among the wanted kinds, or say why there is none."""
    unknown_kind = [k for k in wanted if k not in kinds()]
    if unknown_kind:
        raise UnitError(f"Kind {unknown_kind[0]!r} does not exist; known are {_or(kinds())}.")
    rows = rows_of(word)
    fitting = [row for row in rows if any(k in row.kinds for k in wanted)]
    if fitting:
        own = [row for row in fitting if row.kinds[0] in wanted]
        return (own or fitting)[0]
    if (ask := ask_for(word)) is not None:
        message = f"{_shown(text)}: {ask.question}? Write {_or(ask.write)}."
        raise UnitError(message, expected=f"{_or(ask.write)}: {ask.question}")
    if rows:
        raise _wrong_kind(text, word, rows[0], wanted)
    raise _unknown(word, wanted, text)


def _is_unit(wanted: tuple[str, ...]) -> Callable[[str], bool]:
    return lambda word: any(k in row.kinds for row in rows_of(word) for k in wanted)


def _wrong_kind(text: str, word: str, row: Unit, wanted: tuple[str, ...]) -> UnitError:
    number = tidy(text).removesuffix(tidy(word)).strip()
    forms = {u.reference: f"{number} {u.name}".strip() for u in _siblings(row)}
    if row.kinds[0] == "pressure_difference" and "pressure" in wanted:
        write = _or(forms[form] for form in ("gauge", "absolute") if form in forms)
        message = f"{_shown(text)}: gauge or absolute? Write {write}."
        return UnitError(message, expected=f"gauge or absolute, {write}")
    if row.kinds[0] == "pressure" and "pressure_difference" in wanted and "none" in forms:
        return UnitError(
            f"{_shown(text)}: {row.name} counts from the air or from vacuum, but a difference "
            f"between two pressures is wanted. Write {forms['none']!r}.",
            expected=f"a difference between two pressures, {forms['none']!r}",
        )
    expected = f"{_words(wanted)}, such as {_example(wanted, None)!r}"
    return UnitError(
        f"{_shown(text)}: {row.name} is {_words(row.kinds[:1])}; expected {expected}.",
        expected=expected,
    )


def _siblings(row: Unit) -> list[Unit]:
    """Return the gauge, absolute and plain forms of one unit: same factor, similar name."""
    same = [u for u in table().values() if u.factor == row.factor and u.name[:2] == row.name[:2]]
    return [u for u in same if u.kinds[0] in ("pressure", "pressure_difference")]


def _unknown(word: str, wanted: tuple[str, ...], text: str = "") -> UnitError:
    rows = [u for u in table().values() if not wanted or any(k in u.kinds for k in wanted)]
    rows.sort(key=lambda u: u.kinds[0] not in wanted)  # "drops/min" before "m3/h" for a leakage
    names = {w: u.name for u in rows for w in (u.name, *u.aliases) if len(w) > 1 or not wanted}
    likely = (w for w, name in names.items() if not mixes_milli_and_mega(squeeze(word), name))
    near = nearest_word(tidy(word), likely)
    hint = f" Did you mean {names[near]!r}?" if near else ""
    given = f"{_shown(text)}: " if text and text != word else ""
    expected = _or(u.name for u in rows[:6]) if wanted else "a unit of the table"
    return UnitError(
        f"{given}unit {_shown(word)} is not known; expected {expected}.{hint}",
        expected=f"a known unit, as {expected}",
        nearest=names[near] if near else None,
    )


def _example(wanted: tuple[str, ...], default_unit: str | None) -> str:
    if default_unit is not None:
        return f"3.1 {default_unit}"
    known = kinds()
    return known[wanted[0]].example if wanted[0] in known else "3.1 barg"


def _words(wanted: tuple[str, ...]) -> str:
    return " or ".join(kinds()[k].words for k in wanted if k in kinds())


def _or(words: Iterable[str]) -> str:
    return " or ".join(repr(word) for word in words)


def _shown(text: str) -> str:
    return repr(text if len(text) <= 40 else text[:37] + "...")
