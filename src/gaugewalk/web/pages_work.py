"""Work it out: the calculations of the handbook, with a pump's own data filled in."""

from collections.abc import Mapping
from dataclasses import dataclass

from markupsafe import Markup

from gaugewalk.watch.calculation import Calculation, Input
from gaugewalk.watch.handbook import Answer
from gaugewalk.web.frame import Frame


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """One calculation in the list."""

    title: str
    href: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkGroup:
    """Calculations of one topic."""

    name: str
    works: tuple[Work, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkListPage:
    """Every calculation by topic, for one pump or for none."""

    frame: Frame
    groups: tuple[WorkGroup, ...]
    tags: tuple[tuple[str, str], ...]
    tag: str


@dataclass(frozen=True, slots=True, kw_only=True)
class InputField:
    """One input as it is typed."""

    name: str
    label: str
    words: str
    value: str
    choices: tuple[str, ...]
    required: bool
    filled: bool  # from the pump's own data
    example: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """One value of the answer."""

    title: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkPage:
    """One calculation with its inputs and, where they are given, its answer."""

    frame: Frame
    tags: tuple[tuple[str, str], ...]
    tag: str
    inputs: tuple[InputField, ...]
    results: tuple[Result, ...]
    cautions: tuple[str, ...]
    assumptions: tuple[str, ...]
    formula: str
    source: str
    error: str = ""
    chart: Markup | None = None


def work_list_page(
    frame: Frame,
    calculations: Mapping[str, Calculation],
    tags: tuple[tuple[str, str], ...],
    tag: str,
) -> WorkListPage:
    """List the calculations by topic."""
    groups: dict[str, list[Work]] = {}
    for one in calculations.values():
        href = f"/work-it-out/{one.name}" + (f"?tag={tag}" if tag else "")
        groups.setdefault(one.group, []).append(Work(title=one.title, href=href))
    return WorkListPage(
        frame=frame,
        groups=tuple(WorkGroup(name=name, works=tuple(works)) for name, works in groups.items()),
        tags=tags,
        tag=tag,
    )


def work_page(
    frame: Frame,
    one: Calculation,
    *,
    tags: tuple[tuple[str, str], ...],
    tag: str,
    typed: Mapping[str, str],
    filled: Mapping[str, str],
    answer: Answer | None,
    error: str,
    chart: str = "",
) -> WorkPage:
    """Build the page of one calculation: what was typed stands before what was filled in."""
    return WorkPage(
        frame=frame,
        tags=tags,
        tag=tag,
        inputs=tuple(_field(given, one, typed, filled) for given in one.inputs),
        results=tuple(Result(title=v.title, text=v.text) for v in answer.values) if answer else (),
        cautions=answer.cautions if answer else one.cautions,
        assumptions=answer.assumptions if answer else (),
        formula=one.formula,
        source=one.source,
        error=error,
        chart=Markup(chart) or None,  # noqa: S704 # every word in it is escaped where it is drawn
    )


def _field(
    given: Input, one: Calculation, typed: Mapping[str, str], filled: Mapping[str, str]
) -> InputField:
    value = typed.get(given.name) or filled.get(given.name) or ""
    choices = ("yes", "no") if given.form == "yes-no" else given.choices
    return InputField(
        name=given.name,
        label=given.name.replace("_", " ").capitalize(),
        words=given.words,
        value=value or (given.default or "" if choices else ""),
        choices=choices,
        required=given.required,
        filled=given.name in filled and not typed.get(given.name),
        example=given.default or one.example.get(given.name, ""),
    )
