"""What makes knowledge contradictory or incomplete: checked once when it is read."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from gaugewalk.diagnose.reading_rules import ReadingRule
from gaugewalk.diagnose.trade import Cause, Danger, DoneRule, Finding, Link
from gaugewalk.errors import Problem, nearest_word

# Facts of a pump that `applies` may name, with the values they may have.
FACTS: Mapping[str, tuple[object, ...]] = MappingProxyType(
    {
        "shaft_seal": ("packing", "single mechanical seal", "double mechanical seal"),
        "lubrication": (
            "grease",
            "grease cup",
            "oil sump",
            "constant-level oiler",
            "oil ring",
            "forced feed",
        ),
        "driver": ("electric motor", "turbine", "engine"),
        "suction": ("flooded", "lift", "vessel", "sump"),
        "suction_strainer": (True, False),
        "discharge_strainer": (True, False),
        "minimum_flow_line": (True, False),
        "variable_speed": (True, False),
        "standby": (True, False),
        "check_valve": (True, False),
        "heat_traced": (True, False),
        "orientation": ("horizontal", "vertical"),
    }
)

# Facts that follow from others (see `case.facts_of`): `applies` may name them, a case does not.
DERIVED: Mapping[str, tuple[object, ...]] = MappingProxyType(
    {"watery": (True, False), "near_boiling": (True, False), "dirty": (True, False)}
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadKnowledge:
    """What the files hold, checked."""

    causes: Mapping[str, Cause]
    findings: Mapping[str, Finding]
    done_rules: tuple[DoneRule, ...]
    reading_rules: tuple[ReadingRule, ...]
    dangers: tuple[Danger, ...]
    sources: Mapping[str, str]


def unknown_word(where: str, word: str, known: Iterable[str]) -> Problem:
    """Return the problem of a word that is not known."""
    expected = ", ".join(known)
    return Problem(
        where=where,
        given=repr(word)[:80],
        expected=f"one of {expected}" if len(expected) < 200 else "a known word",
        nearest=nearest_word(word, known) if isinstance(word, str) else None,
    )


def check_knowledge(read: ReadKnowledge) -> list[Problem]:
    """Return what is contradictory or missing in causes, findings and rules."""
    problems: list[Problem] = []
    for cause in read.causes.values():
        problems += _check_links(cause, read)
        problems += _check_names(cause, read)
        if not cause.innocent:
            problems += _check_actions(cause)
    problems += _check_chains(read)
    linked = {link.finding for cause in read.causes.values() for link in cause.links}
    for finding in read.findings.values():
        problems += _check_finding(finding, read, linked)
    named = [(f"done {rule.action}", rule.finding) for rule in read.done_rules]
    named += [("danger", id) for danger in read.dangers for id in (*danger.all, *danger.any)]
    named += [("reading", rule.finding) for rule in read.reading_rules]
    problems += [
        unknown_word(where, finding, read.findings)
        for where, finding in named
        if finding not in read.findings
    ]
    return problems


def _check_chains(read: ReadKnowledge) -> list[Problem]:
    """Name each cause that leads, over others, back to itself: a root must stay a root."""
    problems = []
    for start in read.causes:
        seen: set[str] = set()
        waiting = [start]
        while waiting:
            cause = read.causes.get(waiting.pop())
            fresh = set(cause.leads_to) - seen if cause is not None else set()
            seen |= fresh
            waiting += fresh
        if start in seen:
            problems.append(
                Problem(
                    where=f"cause {start}",
                    given="leads_to that comes back to it",
                    expected="chains from root to consequence",
                )
            )
    return problems


def _check_finding(finding: Finding, read: ReadKnowledge, linked: set[str]) -> list[Problem]:
    where = f"finding {finding.id}"
    problems = [
        unknown_word(where, other, read.findings)
        for other in (*finding.excludes, *finding.implies)
        if other not in read.findings
    ]
    problems += _check_facts(f"{where}, needs", finding.needs)
    if finding.id not in linked:
        problems.append(
            Problem(where=where, given="no cause linked", expected="a link in some cause")
        )
    return problems


def _check_links(cause: Cause, read: ReadKnowledge) -> list[Problem]:
    where = f"cause {cause.id}"
    problems = []
    if not any(link.strength > 0 for link in cause.links):
        problems.append(
            Problem(where=where, given="no finding for it", expected="a strength of 1, 2, 3 or 4")
        )
    for link in cause.links:
        if link.finding not in read.findings:
            problems.append(unknown_word(where, link.finding, read.findings))
            continue
        if link.strength not in (-3, -2, -1, 1, 2, 3, 4):
            problems.append(
                Problem(
                    where=f"{where}, {link.finding}",
                    given=f"strength {link.strength}",
                    expected="-3, -2, -1, 1, 2, 3 or 4",
                )
            )
        if link.source not in read.sources:
            problems.append(unknown_word(f"{where}, {link.finding}", link.source, read.sources))
        problems += _contradictions(cause, link, read)
    return problems


def _contradictions(cause: Cause, link: Link, read: ReadKnowledge) -> list[Problem]:
    """Two findings that exclude each other cannot both be usual signs of one cause."""
    if link.strength < 3:
        return []
    clash = [o for o in read.findings[link.finding].excludes if cause.strength(o) >= 3]
    return [
        Problem(
            where=f"cause {cause.id}",
            given=f"strength 3 or 4 for {link.finding} and for {other}",
            expected="one of them below 3: they exclude each other",
        )
        for other in clash
    ]


def _check_names(cause: Cause, read: ReadKnowledge) -> list[Problem]:
    where = f"cause {cause.id}"
    problems = [
        unknown_word(where, other, read.causes)
        for other in (*cause.leads_to, *cause.look_alikes)
        if other not in read.causes
    ]
    problems += _check_facts(f"{where}, applies", cause.applies)
    problems += [
        Problem(where=f"{where}, {name}", given=str(value), expected="0 to 1")
        for name, value in (("otherwise", cause.otherwise), ("unknown", cause.unknown))
        if not 0.0 <= value <= 1.0
    ]
    if not 0.1 <= cause.in_dirt <= 10.0:
        given = str(cause.in_dirt)
        problems.append(Problem(where=f"{where}, in_dirt", given=given, expected="0.1 to 10"))
    return problems


def _check_facts(where: str, facts: Mapping[str, tuple[object, ...]]) -> list[Problem]:
    """Name each fact of a pump that is not known, and each word that it cannot have."""
    known = {**FACTS, **DERIVED}
    problems = [unknown_word(where, key, known) for key in facts if key not in known]
    return problems + [
        unknown_word(f"{where} {key}", str(value), [str(word) for word in known[key]])
        for key, values in facts.items()
        if key in known
        for value in values
        if value not in known[key]
    ]


def _check_actions(cause: Cause) -> list[Problem]:
    where = f"cause {cause.id}"
    kinds = {action.kind for action in cause.actions}
    problems = [
        Problem(where=where, given=f"no action of kind {kind!r}", expected=f"kind = {kind!r}")
        for kind in ("now", "cure", "report")
        if kind not in kinds
    ]
    problems += [
        Problem(where=where, given=f"action without {name}", expected=f"{name} = ...")
        for action in cause.actions
        for name in ("do", "who", "caution")
        if not getattr(action, name).strip()
    ]
    return problems
