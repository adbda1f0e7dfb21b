"""From the text of one input of the handbook to SI, with its uncertainty where one is given."""

import re
from dataclasses import dataclass

import numpy as np

from gaugewalk import units
from gaugewalk.errors import ArgumentError, GaugewalkError, UnitError, nearest_word
from gaugewalk.physics.liquids import find_liquid
from gaugewalk.watch.calculation import Input

_PLUS_MINUS = re.compile(r"\s*(?:±|\+\s?/?\s?[-−–])\s*")
_NUMBER_AND_WORD = re.compile(r"([0-9][0-9.,' ]*?(?:[eE][-+]?[0-9]+)?)\s*([^\d\s.,'].*)?")
_SHARE = re.compile(r"^(?P<name>.+?)[\s,]+(?P<share>[0-9]+(?:[.,][0-9]+)?)\s*%$")
_GAP = re.compile(r"\s*;\s*|\s*,\s+|\s+")
_YES = {"yes": True, "y": True, "true": True, "no": False, "n": False, "false": False}
HALF_RANGE = 3**0.5  # half a swing over this is its standard uncertainty (GUM 4.3.7)


@dataclass(frozen=True, slots=True, kw_only=True)
class Entered:
    """One input in SI: a number, a row, a word, a liquid; `uncertainty` is one standard one."""

    value: object
    unit: str = ""
    uncertainty: float = 0.0
    swing: bool = False
    note: str = ""


def read_input(one: Input, text: str, *, barometric: float) -> Entered:
    """Read the text of one input.

    Raises
    ------
    ArgumentError
        Names the key, what was given and what is expected.
    """
    try:
        return _READERS[one.form](one, text.strip(), barometric)
    except GaugewalkError as problem:
        raise ArgumentError(f"{one.name} = {text!r}: {_reason(problem, text)}") from problem


def _reason(problem: GaugewalkError, text: str) -> str:
    """Return the message without the entry it repeats."""
    return str(problem).removeprefix(f"{text.strip()!r}: ").removeprefix(f"{text!r}: ")


def _quantity(one: Input, text: str, barometric: float) -> Entered:
    parts = _PLUS_MINUS.split(text)
    if len(parts) > 2:
        raise UnitError("expected one ± at most, as in '3.1 ± 0.05 barg'.")
    if len(parts) == 1 or not parts[0]:
        read = units.parse(text, one.kind, default_unit=one.unit, barometric=barometric)
        if read.low is None or read.high is None:
            return Entered(value=read.value, unit=read.unit)
        half = (read.high - read.low) / 2
        return Entered(value=read.value, unit=read.unit, uncertainty=half / HALF_RANGE, swing=True)
    number, word = _number_and_word(parts[1])
    # "3.1 ± 0.05 barg": one unit, behind both; "3.1 barg ± 5 kPa": each its own.
    behind = word if word and _has_no_unit(parts[0]) and word != "%" else one.unit
    read = units.parse(parts[0], one.kind, default_unit=behind, barometric=barometric)
    if read.low is not None:
        raise UnitError("expected a swing or a ±, not both.")
    return Entered(
        value=read.value,
        unit=read.unit,
        uncertainty=_spread(read, number, word or "", barometric),
    )


def _has_no_unit(text: str) -> bool:
    match = _NUMBER_AND_WORD.fullmatch(text.strip().lstrip("+-−"))
    return match is not None and not match.group(2)


def _number_and_word(text: str) -> tuple[str, str | None]:
    match = _NUMBER_AND_WORD.fullmatch(text.strip())
    if match is None:
        raise UnitError(f"expected a number after ±, as in '± 0.05'; given {text!r}.")
    return match.group(1), match.group(2)


def _spread(read: units.Quantity, number: str, word: str, barometric: float) -> float:
    """Return an uncertainty in SI: in the entry's unit, in its own, or in percent of the value."""
    if word == "%" and read.kind != "fraction":
        shown = units.from_si(read.value, read.unit, barometric=barometric)
        width = units.parse(number, "number").value / 100 * abs(shown)
        return abs(units.to_si(width, read.unit) - units.to_si(0.0, read.unit))
    difference = {"pressure": "pressure_difference", "temperature": "temperature_difference"}
    if read.kind in difference and word:
        row = units.table().get(units.parse(f"0 {word}", _both(read.kind, difference)).unit)
        return units.parse(number, "number").value * abs(row.factor if row else 1.0)
    if word:
        return units.parse(f"{number} {word}", read.kind, barometric=barometric).value
    width = units.parse(number, "number").value
    return abs(units.to_si(width, read.unit) - units.to_si(0.0, read.unit))


def _both(kind: str, difference: dict[str, str]) -> tuple[str, str]:
    return difference[kind], kind


def _row(one: Input, text: str, barometric: float) -> Entered:
    """Read a row such as "0, 20, 40, 60 m3/h": one unit, behind the last number."""
    match = re.fullmatch(r"(?P<numbers>[-+−0-9.,;\s eE]+?)\s*(?P<unit>[^\d\s.,;+−-].*)?", text)
    if match is None:
        raise UnitError(
            f"expected numbers parted by blanks or ';' and one unit, as in '0; 20; 40 {one.unit}'."
        )
    unit = match.group("unit") or one.unit
    numbers = [part for part in _GAP.split(match.group("numbers").strip(" ,;")) if part]
    read = [units.parse(f"{part} {unit}", one.kind, barometric=barometric) for part in numbers]
    return Entered(value=np.array([item.value for item in read]), unit=read[0].unit)


def _liquid(one: Input, text: str, barometric: float) -> Entered:
    share = _SHARE.match(text)
    found = (
        find_liquid(share["name"], float(share["share"].replace(",", ".")) / 100)
        if share
        else find_liquid(text)
    )
    return Entered(value=found, note=found.assumption)


def _choice(one: Input, text: str, barometric: float) -> Entered:
    folded = {known.casefold(): known for known in one.choices}
    plain = " ".join(text.casefold().replace("_", " ").replace("-", " ").split())
    for key in (text.casefold(), plain):
        if key in folded:
            return Entered(value=folded[key])
    near = nearest_word(text, one.choices)
    hint = f" Did you mean {near!r}?" if near else ""
    raise ArgumentError(f"expected one of {'; '.join(one.choices)}.{hint}")


def _count(one: Input, text: str, barometric: float) -> Entered:
    if not re.fullmatch(r"[0-9]{1,6}", text):
        raise ArgumentError("expected a whole number, as in '6'.")
    return Entered(value=int(text))


def _yes_no(one: Input, text: str, barometric: float) -> Entered:
    if text.casefold() not in _YES:
        raise ArgumentError("expected yes or no.")
    return Entered(value=_YES[text.casefold()])


def _text(one: Input, text: str, barometric: float) -> Entered:
    if not text:
        raise ArgumentError("expected a word.")
    return Entered(value=text)


_READERS = {
    "quantity": _quantity,
    "row": _row,
    "liquid": _liquid,
    "choice": _choice,
    "count": _count,
    "yes-no": _yes_no,
    "text": _text,
}
