"""The diagnosis: from a case to causes, the next check, the careful action and the word.

This is the only place where the parts of the room are put together.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from gaugewalk.diagnose.actions import Advice, choose, stop_when
from gaugewalk.diagnose.case import Case, facts_of
from gaugewalk.diagnose.evidence import Piece, answered, as_evidence, gather
from gaugewalk.diagnose.explain import Ranked, rank
from gaugewalk.diagnose.inference import weigh
from gaugewalk.diagnose.knowledge import Knowledge, load_knowledge
from gaugewalk.diagnose.learned import prior_shares
from gaugewalk.diagnose.next_check import NextCheck, next_checks
from gaugewalk.diagnose.numbers import Number, work_out
from gaugewalk.diagnose.posterior import Posterior, read_off, sharpening
from gaugewalk.diagnose.readings import judge_readings, pieces_of
from gaugewalk.diagnose.signature import together, with_signature
from gaugewalk.diagnose.standing import leave_out_standstill
from gaugewalk.diagnose.verdict import Belief, Urgency, decide
from gaugewalk.judge.severity import Severity

VERSION = 1
# Power to which the parts of the leading causes are raised before they are told (see `posterior`
# and docs/decisions/0005): set by the published cases under `tests/cases/published`.
SHARPNESS = 1.8
LEADING = 0.05  # causes at least this likely are looked at for chains and look-alikes
TOGETHER = (
    0.25  # of a consequence's probability: with so much of it at work with the root it is one
)
MOST_ALIKE = 3  # so many of the first causes are told with what looks like them


@dataclass(frozen=True, slots=True, kw_only=True)
class Hypothesis:
    """Causes at work together, with the probability of just these (and what no sign tells of)."""

    causes: tuple[str, ...]
    probability: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LookAlike:
    """Causes that cannot be told apart from the floor by what is known, and how they can be."""

    causes: tuple[str, ...]
    tell_apart: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """A root and the consequence it leads to, both of them likely."""

    root: str
    consequence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """A cause that closed troubles were put down to: how often, and what it does to its odds."""

    cause: str
    title: str
    count: float
    factor: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Diagnosis:
    """The answer. `no_fault` + the hypotheses + `unexplained` make one."""

    verdict: Severity
    reasons: tuple[str, ...]
    causes: tuple[Ranked, ...]
    hypotheses: tuple[Hypothesis, ...]
    no_fault: float
    innocent: tuple[str, ...]  # titles of the innocent reasons likely at work
    unexplained: float
    cut_off: float
    look_alikes: tuple[LookAlike, ...]
    chains: tuple[Chain, ...]
    next_checks: tuple[NextCheck, ...]
    actions: tuple[Advice, ...]
    stop_when: tuple[str, ...]
    numbers: tuple[Number, ...]
    contradictions: tuple[str, ...]
    notes: tuple[str, ...]
    pieces: tuple[Piece, ...]
    learned: tuple[Learned, ...] = ()

    def to_json(self) -> dict[str, object]:
        """Return the answer as it goes over the border (see the design's section 6)."""
        return {
            "version": VERSION,
            "verdict": str(self.verdict),
            "verdict_because": list(self.reasons),
            "causes": [_cause_json(one) for one in self.causes],
            "hypotheses": [
                {"causes": list(one.causes), "probability": one.probability}
                for one in self.hypotheses
            ],
            "no_fault": self.no_fault,
            "innocent": list(self.innocent),
            "unexplained": self.unexplained,
            "cut_off": self.cut_off,
            "look_alikes": [list(one.causes) for one in self.look_alikes],
            "tell_apart": [one.tell_apart for one in self.look_alikes],
            "chains": [[one.root, one.consequence] for one in self.chains],
            "next_checks": [_check_json(one) for one in self.next_checks],
            "actions": [_action_json(one) for one in self.actions],
            "stop_when": list(self.stop_when),
            "numbers": [_number_json(one) for one in self.numbers],
            "learned": [
                {"cause": one.cause, "title": one.title, "count": one.count, "factor": one.factor}
                for one in self.learned
            ],
            "contradictions": list(self.contradictions),
            "notes": list(self.notes),
        }


def _cause_json(one: Ranked) -> dict[str, object]:
    return {
        "cause": one.cause,
        "title": one.title,
        "probability": one.probability,
        "for": [f"{reason.sentence} ({reason.word})" for reason in one.reasons_for],
        "against": [f"{reason.sentence} ({reason.word})" for reason in one.reasons_against],
        "because": one.because,
    }


def _check_json(one: NextCheck) -> dict[str, object]:
    return {
        "finding": one.finding,
        "ask": one.ask,
        "how": one.how,
        "gain": one.gain,
        "minutes": one.minutes,
        "caution": one.caution,
    }


def _action_json(one: Advice) -> dict[str, object]:
    return {
        "do": one.action.do,
        "kind": one.action.kind,
        "who": one.action.who,
        "caution": one.action.caution,
        "verify": one.action.verify,
        "within": one.action.within,
        "causes": list(one.causes),
    }


def _number_json(one: Number) -> dict[str, object]:
    return {
        "quantity": one.quantity,
        "value": one.value,
        "unit": one.unit,
        "formula": one.formula,
        "source": one.source,
    }


def diagnose(
    case: Case,
    knowledge: Knowledge | None = None,
) -> Diagnosis:
    """Find the causes, the check that decides and the careful action.

    Parameters
    ----------
    case : Case
    knowledge : Knowledge, optional
        The built-in knowledge where none is given.

    Examples
    --------
    >>> from gaugewalk.diagnose.case_file import read_case
    >>> case = read_case({"pump": {"shaft_seal": "packing"},
    ...                   "observations": [{"finding": "gland-smoke", "present": True}]})
    >>> str(diagnose(case).verdict)
    'stop'
    """
    knowledge = knowledge or load_knowledge()
    case, standing = leave_out_standstill(case)
    knowledge = replace(knowledge, network=with_signature(case, knowledge))
    joint = together(case, knowledge)
    learned = prior_shares(case.confirmed, knowledge) if case.confirmed else {}
    worked = work_out(case)
    judged = judge_readings(case, knowledge)
    read = [*pieces_of(judged, knowledge), *worked.pieces]
    pieces, contradictions = gather(case, knowledge, read)
    counted = weigh(
        knowledge.network,
        knowledge.prior(facts_of(case), _factors(learned, joint.factors)),
        as_evidence(pieces, knowledge.network),
    )
    blunt = read_off(counted)
    sharpness = SHARPNESS if case.told else 1.0
    posterior = read_off(counted, sharpening(counted, sharpness, knowledge.network.innocent))
    ranked = rank(knowledge, posterior, pieces)
    hypotheses, no_fault, innocent = _strip_innocent(knowledge, posterior)
    belief = _belief(knowledge, *_strip_innocent(knowledge, blunt)[:2])
    urgency = decide(case, knowledge, pieces, judged, belief)
    return Diagnosis(
        verdict=urgency.word,
        reasons=urgency.reasons,
        causes=ranked,
        hypotheses=hypotheses,
        no_fault=no_fault,
        innocent=innocent,
        unexplained=posterior.unexplained,
        cut_off=posterior.cut_off,
        look_alikes=_look_alikes(knowledge, ranked),
        chains=_chains(knowledge, ranked, hypotheses),
        next_checks=next_checks(knowledge, blunt, answered(pieces), facts=case.facts),
        actions=_actions(knowledge, ranked, urgency),
        stop_when=stop_when(knowledge, ranked),
        numbers=worked.numbers,
        contradictions=contradictions,
        notes=(*standing, *worked.notes, *((joint.note,) if joint.note else ())),
        pieces=pieces,
        learned=_learned(knowledge, case.confirmed, learned),
    )


def _learned(
    knowledge: Knowledge, counts: Mapping[str, float], factors: Mapping[str, float]
) -> tuple[Learned, ...]:
    return tuple(
        Learned(cause=id, title=knowledge.causes[id].title, count=count, factor=factors[id])
        for id, count in sorted(counts.items(), key=lambda one: (-one[1], one[0]))
        if id in factors
    )


def _factors(learned: Mapping[str, float], joint: Mapping[str, float]) -> dict[str, float]:
    return {id: learned.get(id, 1.0) * joint.get(id, 1.0) for id in learned.keys() | joint.keys()}


def _actions(
    knowledge: Knowledge, ranked: Sequence[Ranked], urgency: Urgency
) -> tuple[Advice, ...]:
    return choose(knowledge, ranked, urgency.word) if urgency.word != Severity.NORMAL else ()


def _strip_innocent(
    knowledge: Knowledge, posterior: Posterior
) -> tuple[tuple[Hypothesis, ...], float, tuple[str, ...]]:
    """Take the innocent reasons out of the sets; sets of nothing else are no fault."""
    causes = list(knowledge.causes.values())
    mass: dict[tuple[str, ...], float] = {}
    for members, probability in zip(posterior.sets, posterior.probability, strict=True):
        key = tuple(causes[row].id for row in members if not causes[row].innocent)
        mass[key] = mass.get(key, 0.0) + float(probability)
    no_fault = mass.pop((), 0.0)
    hypotheses = [
        Hypothesis(causes=key, probability=probability) for key, probability in mass.items()
    ]
    hypotheses.sort(key=lambda one: (-one.probability, one.causes))
    innocent = tuple(
        causes[row].title
        for row in range(len(causes))
        if causes[row].innocent and posterior.marginal[row] >= 0.3
    )
    return tuple(hypotheses), no_fault, innocent


def _belief(knowledge: Knowledge, hypotheses: Sequence[Hypothesis], no_fault: float) -> Belief:
    def with_urgency(words: set[str]) -> float:
        return sum(
            one.probability
            for one in hypotheses
            if any(knowledge.causes[id].urgency in words for id in one.causes)
        )

    return Belief(
        no_fault=no_fault,
        stop_causes=with_urgency({"stop"}),
        act_causes=with_urgency({"stop", "act"}),
    )


def _look_alikes(knowledge: Knowledge, ranked: Sequence[Ranked]) -> tuple[LookAlike, ...]:
    """Name leading causes that look alike together, with how they are told apart."""
    leading = [one.cause for one in ranked if one.probability >= LEADING]
    found: list[LookAlike] = []
    seen: set[frozenset[str]] = set()
    for id in leading[:MOST_ALIKE]:
        cause = knowledge.causes[id]
        group = (id, *(other for other in cause.look_alikes if other in leading))
        if len(group) > 1 and frozenset(group) not in seen:
            seen.add(frozenset(group))
            found.append(LookAlike(causes=group, tell_apart=cause.tell_apart))
    return tuple(found)


def _chains(
    knowledge: Knowledge, ranked: Sequence[Ranked], hypotheses: Sequence[Hypothesis]
) -> tuple[Chain, ...]:
    """Name each likely root with the consequence it leads to, where both are likely at once."""
    leading = {one.cause: one.probability for one in ranked if one.probability >= LEADING}

    def both(root: str, other: str) -> float:
        return sum(one.probability for one in hypotheses if {root, other}.issubset(one.causes))

    return tuple(
        Chain(root=id, consequence=other)
        for id in leading
        for other in knowledge.causes[id].leads_to
        if other in leading and both(id, other) >= TOGETHER * leading[other]
    )
