"""The few errors of the house.

Every message says what was given, what was expected and what to do. Each class also derives from
a builtin, so that a caller who knows only Python can still catch it.
"""

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from difflib import get_close_matches


def nearest_word(word: str, known: Iterable[str]) -> str | None:
    """Return the known word that looks most like a given one, or none if nothing does.

    Examples
    --------
    >>> nearest_word("dischrge_pressure", ["suction_pressure", "discharge_pressure"])
    'discharge_pressure'
    """
    folded = {text.casefold(): text for text in known}
    close = get_close_matches(word[:80].casefold(), folded, n=1, cutoff=0.6)
    return folded[close[0]] if close else None


class GaugewalkError(Exception):
    """Base of every error that a user may see; the message is fit to be shown as it is."""


class OutOfRangeError(GaugewalkError, ValueError):
    """An argument lies outside the range in which its source holds.

    Examples
    --------
    >>> print(OutOfRangeError("temperature", 82.0, 273.15, 647.096, "IAPWS R7-97"))
    temperature = 82 is outside 273.15 to 647.096 (IAPWS R7-97).
    """

    def __init__(
        self, name: str, value: float, low: float, high: float, source: str, hint: str = ""
    ) -> None:
        self.name, self.value, self.low, self.high = name, value, low, high
        self.source = source
        text = f"{name} = {value:g} is outside {low:g} to {high:g} ({source})."
        super().__init__(f"{text} {hint}".strip())


class ArgumentError(GaugewalkError, ValueError):
    """An argument makes no sense: the message names it, what was given and what is expected."""


class UnitError(GaugewalkError, ValueError):
    """A text with a unit could not be read, or its unit is of the wrong kind.

    `expected` and `nearest` say the same as the message in parts, for a list of faults.
    """

    def __init__(self, message: str, *, expected: str = "", nearest: str | None = None) -> None:
        self.expected, self.nearest = expected or message, nearest
        super().__init__(message)


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One fault in a file: where it stands, what was given, what is expected, the nearest word.

    One that is not `grave` is a remark: the file is good, but something will not be judged.
    """

    where: str
    given: str
    expected: str
    line: int | None = None
    nearest: str | None = None
    grave: bool = True

    def __str__(self) -> str:
        place = f"line {self.line}, {self.where}" if self.line else self.where
        place = place if self.grave else f"remark, {place}"
        hint = f" Did you mean {self.nearest!r}?" if self.nearest else ""
        return f"{place}: given {self.given}; expected {self.expected}.{hint}"


class FileError(GaugewalkError, ValueError):
    """A file has one or more faults; all of them are listed at once in `problems`."""

    def __init__(self, title: str, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join([title, *(f"  - {problem}" for problem in self.problems)]))


class CaseError(FileError):
    """A case for `why` has an unknown key, finding, point or unit; all faults are listed."""


class NotFoundError(GaugewalkError, LookupError):
    """A pump, point, cause, finding or record of that name does not exist."""


class ConflictError(GaugewalkError):
    """A record with the same id but different content is already in the journal."""


class StorageError(GaugewalkError, OSError):
    """The journal could not be opened, read or written; nothing was acknowledged."""


class SignInError(GaugewalkError, PermissionError):
    """Nobody has signed in, or could not; `wait` says after how many seconds to try again."""

    def __init__(self, message: str, *, wait: int = 0) -> None:
        self.wait = wait
        super().__init__(message)


class NotAllowedError(GaugewalkError, PermissionError):
    """Who has signed in may not do this: the message says which roles may."""


@contextmanager
def extra(name: str, what: str, instead: str = "") -> Iterator[None]:
    """Stand around the import of a library that only some installations have.

    Raises
    ------
    ArgumentError
        It is not installed; says by which extra it comes, and what can be done without it.

    Examples
    --------
    >>> with extra("pdf", "PDF", "take plain text"):
    ...     import a_typesetter_that_is_not_here
    Traceback (most recent call last):
    gaugewalk.errors.ArgumentError: PDF needs the extra 'pdf': install gaugewalk[pdf], or take
        plain text.
    """
    try:
        yield
    except ImportError as error:
        without = f", or {instead}" if instead else ""
        raise ArgumentError(
            f"{what} needs the extra {name!r}: install gaugewalk[{name}]{without}."
        ) from error
