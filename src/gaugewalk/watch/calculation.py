"""What a calculation of the handbook is: its inputs, its outputs, and the words that go with it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

Result = Mapping[str, object]
"""What a calculation's function gives: SI numbers or words by output name.

Two names are set apart: ``notes``, a tuple of sentences that hold for these inputs, and
``warnings``, a tuple of cautions that these inputs call for.
"""

InputForm = Literal["quantity", "row", "liquid", "choice", "count", "yes-no", "text"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One input: what it is called, what it may be, and where a pump's page finds it."""

    name: str
    form: InputForm = "quantity"
    kind: str = ""  # of quantity, for the forms quantity and row
    unit: str = ""  # default unit, for a bare number
    words: str
    required: bool = True
    default: str | None = None  # taken where nothing is given
    choices: tuple[str, ...] = ()
    fill: str = ""  # where a pump's page finds it: "point:ID" or a path into the pump


@dataclass(frozen=True, slots=True, kw_only=True)
class Output:
    """One output and the unit it is shown in."""

    name: str
    kind: str = "text"  # of quantity, or "text"
    unit: str = ""
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Calculation:
    """One calculation of the handbook."""

    name: str  # kebab-case
    title: str
    group: str
    inputs: tuple[Input, ...]
    outputs: tuple[Output, ...]
    run: Callable[..., Result]  # keyword arguments in SI, named as the inputs
    formula: str
    source: str
    cautions: tuple[str, ...] = ()
    example: Mapping[str, str]
    # A chart as SVG: the inputs in SI, the unit each was given in, and whether it is for a file.
    draw: Callable[[Mapping[str, Any], Mapping[str, str], bool], str] | None = None

    def input(self, name: str) -> Input | None:
        """Return the input of that name, or none."""
        return next((one for one in self.inputs if one.name == name), None)


def need(name: str, kind: str, unit: str, words: str, fill: str = "") -> Input:
    """Return an input that must be given."""
    return Input(name=name, kind=kind, unit=unit, words=words, fill=fill)


def may(
    name: str, kind: str, unit: str, words: str, default: str | None = None, fill: str = ""
) -> Input:
    """Return an input that may be left out."""
    return Input(
        name=name, kind=kind, unit=unit, words=words, required=False, default=default, fill=fill
    )


def row(
    name: str, kind: str, unit: str, words: str, *, required: bool = True, fill: str = ""
) -> Input:
    """Return an input that is a row of numbers with one unit."""
    return Input(
        name=name, form="row", kind=kind, unit=unit, words=words, required=required, fill=fill
    )


def choice(
    name: str, choices: tuple[str, ...], words: str, default: str | None = None, fill: str = ""
) -> Input:
    """Return an input that is one of a few words."""
    return Input(
        name=name, form="choice", words=words, choices=choices, required=default is None,
        default=default, fill=fill,
    )  # fmt: skip


def count(name: str, words: str, default: str | None = None, fill: str = "") -> Input:
    """Return an input that is a whole number."""
    return Input(
        name=name, form="count", words=words, required=default is None, default=default, fill=fill
    )


def yes_no(name: str, words: str, default: str = "no", fill: str = "") -> Input:
    """Return an input that is yes or no."""
    return Input(name=name, form="yes-no", words=words, required=False, default=default, fill=fill)


def liquid(default: str | None = None) -> Input:
    """Return the input for a liquid by its everyday name."""
    return Input(
        name="liquid",
        form="liquid",
        words="everyday name; a solution with its share, as in 'ethylene glycol 30 %'",
        required=default is None,
        default=default,
        fill="liquid.name",
    )


def word(name: str, words: str, default: str | None = None) -> Input:
    """Return an input that is free text."""
    return Input(name=name, form="text", words=words, required=default is None, default=default)


def gives(name: str, kind: str, unit: str, words: str) -> Output:
    """Return an output that is a quantity."""
    return Output(name=name, kind=kind, unit=unit, words=words)


def says(name: str, words: str) -> Output:
    """Return an output that is text."""
    return Output(name=name, words=words)


def known(**values: Any) -> dict[str, Any]:
    """Return the values that are not none, so that an absent input is an absent argument."""
    return {name: value for name, value in values.items() if value is not None}
