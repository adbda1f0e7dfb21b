"""What a check-list must hold to: known words, a care beside every deed, no slot left empty."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from gaugewalk.errors import Problem, UnitError, nearest_word
from gaugewalk.plant.points import all_points
from gaugewalk.units import kinds
from gaugewalk.watch.deeds import DEEDS, EVENTS
from gaugewalk.watch.procedure import WORDS, Applies, Procedure, Procedures, Setting, Step
from gaugewalk.watch.procedure_fit import SLOTS, VOCABULARY, known_point, slots_in

PEOPLE = (
    "operator",
    "operator, trained for it",
    "lubricator",
    "shift lead",
    "control room",
    "maintenance",
    "electrician",
    "instrument technician",
    "engineer",
)
Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finder:
    """A file: its name, and on which line a key stands."""

    name: str
    line_of: Callable[[Path], int | None]

    def problem(self, at: Path, given: str, expected: str, nearest: str | None = None) -> Problem:
        """Make a problem at a key of the file."""
        where = ".".join(str(part + 1) if isinstance(part, int) else part for part in at)
        return Problem(
            where=f"{self.name}, {where}",
            given=given,
            expected=expected,
            line=self.line_of(at) or self.line_of((*at, 0)),  # a list begins at its first table
            nearest=nearest,
        )


def unknown(find: Finder, at: Path, word: object, known: Iterable[str]) -> Problem:
    """Make a problem of a word that is not among the known ones."""
    words = sorted(known)
    near = nearest_word(str(word), words)
    few = ", ".join(words[:8]) + (", …" if len(words) > 8 else "")
    return find.problem(at, repr(str(word)[:40]), f"one of {few}", near)


def check_procedures(book: Procedures) -> list[Problem]:
    """Return what is wrong with the lists and settings as they stand together."""
    found = [problem for one in book.settings.values() for problem in _of_setting(one)]
    for one in book.lists.values():
        found += _of_list(book, one)
    return found


def _of_setting(setting: Setting) -> Iterator[Problem]:
    where = f"setting {setting.id}"
    if setting.kind != WORDS and setting.kind not in kinds():
        yield _wrong(where, setting.kind, (*kinds(), WORDS))
    elif setting.kind != WORDS:
        try:
            _ = setting.quantity
        except UnitError as error:
            yield Problem(where=where, given=repr(setting.value), expected=error.expected)


def _of_list(book: Procedures, one: Procedure) -> Iterator[Problem]:
    where = f"procedure {one.id}"
    yield from _people(where, one.who)
    yield from _applies(where, one.applies)
    yield from _sources(where, one.sources, book)
    ids = [step.id for step in one.steps]
    for id in {id for id in ids if ids.count(id) > 1}:
        yield Problem(where=where, given=f"two steps {id!r}", expected="each step its own id")
    for step in one.steps:
        yield from _of_step(book, f"{where}, step {step.id}", step)


def _of_step(book: Procedures, where: str, step: Step) -> Iterator[Problem]:
    if step.who:
        yield from _people(where, step.who)
    yield from _applies(where, step.applies)
    yield from _sources(where, step.sources, book)
    if not step.look and not step.caution.strip():
        expected = "a caution, or look = true where nothing is touched"
        yield Problem(where=where, given="no caution", expected=expected)
    for name in step.readings:
        if not known_point(name):
            yield _wrong(where, name, all_points())
    if step.event and step.event not in (*EVENTS, *DEEDS):
        yield _wrong(where, step.event, (*EVENTS, *DEEDS))
    yield from _times(book, where, step)
    for slot in slots_in(f"{step.text} {step.caution} {step.again_what} {step.hold}"):
        if slot not in (*SLOTS, *book.settings):
            yield _wrong(f"{where}, {{{slot}}}", slot, (*SLOTS, *book.settings))


def _times(book: Procedures, where: str, step: Step) -> Iterator[Problem]:
    lasting = [id for id, one in book.settings.items() if one.kind == "duration"]
    for name in (step.wait, step.again):
        if name and name not in lasting:
            yield _wrong(where, name, lasting)
    if bool(step.again) != bool(step.again_what):
        yield Problem(where=where, given="one of again, again_what", expected="both, or none")
    if step.trial and not step.results:
        yield Problem(where=where, given="a trial without results", expected="results = [...]")


def _people(where: str, who: str) -> Iterator[Problem]:
    if who not in PEOPLE:
        yield _wrong(f"{where}, who", who, PEOPLE)


def _applies(where: str, applies: Applies) -> Iterator[Problem]:
    for fact, words in applies.items():
        if fact not in VOCABULARY:
            yield _wrong(f"{where}, applies", fact, VOCABULARY)
            continue
        for word in words:
            if word not in VOCABULARY[fact]:
                yield _wrong(f"{where}, applies.{fact}", word, VOCABULARY[fact])


def _sources(where: str, sources: Iterable[str], book: Procedures) -> Iterator[Problem]:
    named = tuple(sources)
    if not named:
        yield Problem(where=where, given="no source", expected='sources = ["practice"], or better')
    for key in named:
        if key not in book.sources:
            yield _wrong(f"{where}, sources", key, book.sources)


def _wrong(where: str, word: str, known: Iterable[str]) -> Problem:
    words = list(known)
    few = ", ".join(words[:8]) + (", …" if len(words) > 8 else "")
    return Problem(
        where=where, given=repr(word[:40]), expected=f"one of {few}",
        nearest=nearest_word(word, words),
    )  # fmt: skip
