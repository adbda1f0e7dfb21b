"""How people write numbers and units: marks, groups, fractions, swings. Text in, text out."""

import re
from collections.abc import Callable
from fractions import Fraction

from gaugewalk.errors import UnitError

LONGEST = 80
"""An entry longer than this is not a reading. [characters]"""

_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_SAME = str.maketrans(
    {
        **dict.fromkeys("\u2212\u2010\u2011\ufe63\uff0d", "-"),  # minus signs and hyphens
        **dict.fromkeys("\u2012\u2013\u2014", "–"),  # dashes
        **dict.fromkeys("\u00a0\u202f\u2009\u2007\u2002\u2003\t\n\r", " "),  # blanks
        **dict.fromkeys("º˚", "°"),
        **dict.fromkeys("µμ", "u"),
        **dict.fromkeys("’‘´`′", "'"),
        **dict.fromkeys("“”″", '"'),
        **dict.fromkeys("×∙⋅", "·"),
        "²": "2",
        "³": "3",
        "⁻": "-",
        "¹": "1",
        "℃": "°C",
        "℉": "°F",
        "⁄": "/",
        "∕": "/",
    }
)

# A digit group is parted by a mark or a blank; a blank only in front of exactly three digits.
_PLAIN = r"(?:[0-9]+(?:[.,'][0-9]+|\ [0-9]{3}(?![0-9]))*[.,]?|[.,][0-9]+)(?:[eE][-+]?[0-9]+)?"
_FRACTION = r"(?:[0-9]+[ ]+)?[0-9]+\ ?/\ ?[0-9]+"
_NUMBER = re.compile(rf"[-+]?\ ?(?:{_FRACTION}|{_PLAIN})(?![0-9])")
_BETWEEN = re.compile(r"\s*(?:\bto\b|\buntil\b|\.\.\.?|…|–|-)\s*", re.IGNORECASE)
_DROPPED = str.maketrans("", "", " ().^*·_-")


def tidy(text: str) -> str:
    """Bring the many signs of a phone's keyboard down to the few we read.

    Examples
    --------
    >>> tidy("  \u22120.3 m³/h "), tidy("2½ in")
    ('-0.3 m3/h', '2 1/2 in')
    """
    for sign, plain in _VULGAR.items():
        if sign in text:
            text = text.replace(sign, f" {plain} ")
    return " ".join(text.translate(_SAME).split())


def squeeze(word: str) -> str:
    """Bring a unit's word to the form it is looked up by: "bar(g)" and "bar g" are one.

    Examples
    --------
    >>> squeeze("bar (g)"), squeeze("°C"), squeeze("m^3/h")
    ('barg', 'degC', 'm3/h')
    """
    return tidy(word).replace("°", "deg").translate(_DROPPED)


def split_entry(
    text: str, example: str, is_unit: Callable[[str], bool]
) -> tuple[tuple[str, str], ...]:
    """Split an entry into one or two pairs of number and unit word, still as text.

    Parameters
    ----------
    text : str
        What was typed.
    example : str
        What an entry may look like, for the message.
    is_unit : callable
        Whether a word is a unit; "25 s-1" is one number, "25-30 s" are two.

    Raises
    ------
    UnitError
        If there is no number to read.

    Examples
    --------
    >>> split_entry("2.8-4.1 barg", "3 barg", {"barg"}.__contains__)
    (('2.8', ''), ('4.1', 'barg'))
    """
    if not isinstance(text, str):
        raise UnitError(f"Given {text!r}; expected a text such as {example!r}.")
    if len(text) > LONGEST:
        raise UnitError(
            f"'{text[:30]}...' has {len(text)} characters; expected a short text, as {example!r}."
        )
    clean = tidy(text)
    if not clean:
        raise UnitError(f"Nothing was entered; expected a number with its unit, as {example!r}.")
    number, rest = _number(clean)
    if not number:
        raise UnitError(f"{text!r} has no number to read; write it as {example!r}.")
    if not rest or is_unit(rest):
        return ((number, rest),)
    return _two(number, rest) or ((number, _unit_word(text, rest, example)),)


def _two(first: str, rest: str) -> tuple[tuple[str, str], ...] | None:
    """Read what follows the first number as "[unit] to number [unit]", if it is that."""
    for between in _BETWEEN.finditer(rest):
        second, unit = _number(rest[between.end() :])
        if second and not _number(unit)[0]:
            return ((first, rest[: between.start()].strip()), (second, unit))
    return None


def _number(text: str) -> tuple[str, str]:
    match = _NUMBER.match(text)
    return (match.group(), text[match.end() :].strip()) if match else ("", text)


def _unit_word(text: str, rest: str, example: str) -> str:
    """A second number that is no end of a swing is a slip of the thumb, not a unit."""
    if rest[0] in "0123456789.,'" and not rest.startswith("1/"):
        raise UnitError(f"{text!r}: more than one number; write one such as {example!r}.")
    return rest


def number_of(text: str, number: str, *, thousands: bool, unit: str) -> float:
    """Read a number as it was written; see the rules at the head of `gaugewalk.units`.

    Parameters
    ----------
    text : str
        The whole entry, for the message.
    number : str
        The number in it, as `split_entry` returns it.
    thousands : bool
        Whether one comma before three digits parts thousands.
    unit : str
        Its unit, for the message.

    Raises
    ------
    UnitError
        If the number may mean two things, or none.

    Examples
    --------
    >>> number_of("", "1,480", thousands=True, unit="rpm")
    1480.0
    >>> number_of("", "2 1/2", thousands=False, unit="in")
    2.5
    """
    sign = -1.0 if number.startswith("-") else 1.0
    bare = number.lstrip("+- ")
    if "/" in bare:
        return sign * _fraction(text, bare)
    digits, mark, power = bare.replace("E", "e").partition("e")
    return sign * float(_decimal(text, digits, thousands=thousands, unit=unit) + mark + power)


def _fraction(text: str, bare: str) -> float:
    whole, _, part = re.sub(r"\ ?/\ ?", "/", bare).rpartition(" ")
    top, _, bottom = part.partition("/")
    if int(bottom) == 0:
        raise UnitError(f"{text!r}: nothing can be divided by 0; write it as '2 1/2 in'.")
    return float(int(whole or 0) + Fraction(int(top), int(bottom)))


def _decimal(text: str, digits: str, *, thousands: bool, unit: str) -> str:
    """Return the digits with a point as the decimal mark and no groups."""
    plain = re.sub(r"[ ']", "", digits)
    last = max(plain.rfind(","), plain.rfind("."))
    if last < 0:
        return plain
    mark, other = plain[last], "." if plain[last] == "," else ","
    head, tail = plain[:last], plain[last + 1 :]
    if mark in head:  # the last mark repeats: all of them part thousands
        return _grouped(text, plain, mark)
    if other in head:
        return _grouped(text, head, other) + "." + tail
    if mark == "," and len(tail) == 3 and 1 <= len(head) <= 3 and head.strip("0"):
        return _one_comma(text, head, tail, thousands=thousands, unit=unit)
    return f"{head}.{tail}"


def _one_comma(text: str, head: str, tail: str, *, thousands: bool, unit: str) -> str:
    if thousands:
        return head + tail
    write = f"'{head}{tail} {unit}' or '{head}.{tail} {unit}'"
    raise UnitError(
        f"{text!r}: {head},{tail} may mean {head}{tail} or {head}.{tail}. Write {write}.",
        expected=write,
    )


def _grouped(text: str, digits: str, mark: str) -> str:
    first, *groups = digits.split(mark)
    if not 1 <= len(first) <= 3 or any(len(group) != 3 or not group.isdigit() for group in groups):
        raise UnitError(f"{text!r}: the marks in {digits} part no thousands; write digits only.")
    return first + "".join(groups)
