"""What a diagnosis costs, how often it is right on published cases, and how far it may be trusted.

Published cases and simulated troubles are kept apart: the first say something about the knowledge,
the second only whether the machinery does what it claims.
"""

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import product
from pathlib import Path
from statistics import mean, median
from typing import Any

import numpy as np
import pyagrum as gum

from bench.common import Row, measure, show
from gaugewalk.diagnose.case import Case
from gaugewalk.diagnose.case_file import read_case
from gaugewalk.diagnose.diagnosis import Diagnosis, diagnose
from gaugewalk.diagnose.enumeration import Evidence
from gaugewalk.diagnose.evidence import as_evidence, gather
from gaugewalk.diagnose.inference import infer
from gaugewalk.diagnose.knowledge import Knowledge, load_knowledge
from gaugewalk.diagnose.knowledge_check import FACTS
from gaugewalk.diagnose.network import Network
from gaugewalk.diagnose.next_check import fits
from gaugewalk.diagnose.readings import judge_readings, pieces_of

CASES = Path(__file__).parent.parent / "tests" / "cases"
FULL = "H068"  # a full case: readings, usual values, a rated duty and seven observations
SMALL = 10  # causes that a general library can still hold with every finding's table
TROUBLES = 60
SURE = 0.8
MOST_CHECKS = 40
Asked = Callable[[Diagnosis, set[str]], str | None]


def rows() -> list[Row]:
    """Time a full diagnosis, and the enumeration beside a general exact library."""
    return [_full(), _beside_library()]


def _load(pattern: str) -> list[dict[str, Any]]:
    return [json.loads(path.read_text("utf-8")) for path in sorted(CASES.glob(pattern))]


def _full() -> Row:
    case = read_case(next(one["case"] for one in _load("*.json") if one["id"] == FULL))
    knowledge = load_knowledge()
    small, evidence = _small_network(case, knowledge)
    return measure(
        f"a full diagnosis among {len(knowledge.causes)} causes, three at once",
        lambda: diagnose(case, knowledge),
        f"pyAgrum, the same evidence among {SMALL} causes only",
        lambda: _by_library(small, evidence),
    )


def _beside_library() -> Row:
    case = read_case(next(one["case"] for one in _load("*.json") if one["id"] == FULL))
    small, evidence = _small_network(case, load_knowledge())
    ours = infer(small, small.prior, evidence, unexplained_prior=0.0, most=SMALL).marginal
    apart = float(np.abs(ours - _by_library(small, evidence)).max())
    return measure(
        f"every set of {SMALL} causes",
        lambda: infer(small, small.prior, evidence, unexplained_prior=0.0, most=SMALL),
        "pyAgrum, the same network",
        lambda: _by_library(small, evidence),
        note=f"marginals apart by {apart:.1e}",
    )


def _small_network(case: Case, knowledge: Knowledge) -> tuple[Network, Evidence]:
    """Cut the network down to the causes the evidence speaks of most, without chains."""
    pieces, _ = gather(case, knowledge, pieces_of(judge_readings(case, knowledge), knowledge))
    evidence = replace(as_evidence(pieces, knowledge.network), salience=1.0)
    evidence = replace(evidence, if_there=np.maximum(evidence.if_there, 1e-9))
    weight = knowledge.network.shows[:, evidence.columns].sum(axis=1)
    kept = np.argsort(-weight, kind="stable")[:SMALL]
    network = knowledge.network
    return (
        replace(
            network,
            causes=tuple(network.causes[row] for row in kept),
            prior=network.prior[kept],
            shows=network.shows[kept],
            calms=network.calms[kept],
            innocent=network.innocent[kept],
            leads=np.zeros((SMALL, SMALL), dtype=bool),
        ),
        replace(evidence, share=np.ones(len(evidence.columns))),
    )


def _by_library(network: Network, evidence: Evidence) -> np.ndarray:
    net = gum.BayesNet("bench")
    for name, prior in zip(network.causes, network.prior, strict=True):
        net.add(gum.LabelizedVariable(name, "", 2))
        net.cpt(name).fillWith([1 - prior, prior])
    states = np.array(list(product((0, 1), repeat=len(network.causes))), dtype=bool)
    for column in evidence.columns:
        name = network.findings[column]
        net.add(gum.LabelizedVariable(name, "", 2))
        for cause in reversed(network.causes):
            net.addArc(cause, name)
        anyway = network.leak[column] * np.prod(
            np.where(states, 1 - network.calms[:, column], 1.0), axis=1
        )
        absent = (1 - anyway) * np.prod(np.where(states, 1 - network.shows[:, column], 1.0), axis=1)
        net.cpt(name).fillWith(np.stack([absent, 1 - absent], axis=1).ravel().tolist())
    engine = gum.LazyPropagation(net)
    engine.setEvidence(
        {
            network.findings[column]: [float(absent), float(there)]
            for column, there, absent in zip(
                evidence.columns, evidence.if_there, evidence.if_not, strict=True
            )
        }
    )
    engine.makeInference()
    return np.array([float(engine.posterior(name)[1]) for name in network.causes])


@dataclass(frozen=True, slots=True)
class Answer:
    """What came out for one case with a known cause."""

    kind: str
    probability: float  # of the first cause
    truth: tuple[bool, bool]  # first, among the first three
    accepted: tuple[bool, bool]


def published(pattern: str, title: str) -> None:
    """Print how often the right cause leads, false alarms, urgency and calibration."""
    answers: list[Answer] = []
    judged: dict[str, list[bool]] = {}
    for case in _load(pattern):
        found = diagnose(read_case(case["case"]))
        if case["truth"]:
            answers.append(_answer(case, found))
        if case.get("verdict_accept"):
            fits = str(found.verdict) in case["verdict_accept"]
            judged.setdefault(case["kind"], []).append(fits)
    print(f"\n{title}")
    for kind in sorted({answer.kind for answer in answers}):
        _print_hits(kind, [answer for answer in answers if answer.kind == kind])
    for kind, fits in sorted(judged.items()):
        what = "no alarm on a healthy pump" if kind == "healthy" else f"urgency ({kind})"
        print(f"  {what:<38} {sum(fits)} of {len(fits)}")
    _print_calibration([(a.probability, a.truth[0]) for a in answers], "against the text's cause")
    _print_calibration([(a.probability, a.accepted[0]) for a in answers], "against accepted causes")


def _answer(case: dict[str, Any], found: Diagnosis) -> Answer:
    first = [one.cause for one in found.causes[:3]]
    truth = set(case["truth"])
    accepted = truth | set(case.get("accept") or [])
    return Answer(
        kind=case["kind"],
        probability=found.causes[0].probability,
        truth=(first[0] in truth, bool(truth.intersection(first))),
        accepted=(first[0] in accepted, bool(accepted.intersection(first))),
    )


def _print_hits(kind: str, answers: Sequence[Answer]) -> None:
    def share(pick: Callable[[Answer], bool]) -> str:
        return f"{mean(pick(answer) for answer in answers):4.0%}"

    print(
        f"  {kind:<9} {len(answers):3d} cases"
        f"   the text's cause first {share(lambda a: a.truth[0])},"
        f" among three {share(lambda a: a.truth[1])};"
        f"  an accepted one first {share(lambda a: a.accepted[0])},"
        f" among three {share(lambda a: a.accepted[1])}"
    )


def expected_calibration_error(pairs: Sequence[tuple[float, bool]], bins: int = 5) -> float:
    """Return the mean gap between what was said and what came, weighted by how often."""
    said = np.array([one for one, _ in pairs])
    came = np.array([float(one) for _, one in pairs])
    place = np.minimum((said * bins).astype(int), bins - 1)
    return float(
        sum(
            abs(came[place == b].mean() - said[place == b].mean()) * (place == b).mean()
            for b in set(place.tolist())
        )
    )


def _print_calibration(pairs: Sequence[tuple[float, bool]], what: str) -> None:
    said, came = mean(one for one, _ in pairs), mean(one for _, one in pairs)
    error = expected_calibration_error(pairs)
    print(f"  first cause {what}: said {said:.0%}, came {came:.0%}, calibration error {error:.3f}")


@dataclass(frozen=True, slots=True)
class Trouble:
    """A simulated trouble: the pump, its cause, and which findings would be there."""

    facts: dict[str, object]
    cause: str
    there: dict[str, bool]
    complaint: str


def troubles(knowledge: Knowledge, count: int, seed: int = 7) -> list[Trouble]:
    """Draw troubles from the knowledge itself: one cause each, its findings by its strengths."""
    rng = np.random.default_rng(seed)
    network = knowledge.network
    made: list[Trouble] = []
    while len(made) < count:
        facts = {key: values[rng.integers(len(values))] for key, values in FACTS.items()}
        prior = knowledge.prior(facts, {}) * ~network.innocent
        row = int(rng.choice(len(prior), p=prior / prior.sum()))
        chance = network.given([(row,)], np.arange(len(network.findings)))[0]
        there = rng.random(len(chance)) < chance
        there &= [fits(one, facts) for one in knowledge.findings.values()]
        shown = np.flatnonzero(there & (network.shows[row] >= 0.4))
        if not len(shown):
            continue
        complaint = network.findings[int(rng.choice(shown))]
        names = dict(zip(network.findings, there.tolist(), strict=True))
        made.append(Trouble(facts, network.causes[row], names, complaint))
    return made


def _walk(trouble: Trouble, knowledge: Knowledge, ask: Asked) -> tuple[int, float, bool, float]:
    """Ask until sure; return checks made, minutes spent, whether right, and how sure."""
    known = {trouble.complaint: True}
    minutes = 0.0
    for count in range(MOST_CHECKS + 1):
        found = diagnose(Case(facts=trouble.facts, observations=known, told=False), knowledge)
        first = found.causes[0]
        finding = ask(found, set(known))
        if first.probability >= SURE or finding is None or count == MOST_CHECKS:
            return count, minutes, first.cause == trouble.cause, first.probability
        known[finding] = trouble.there[finding]
        minutes += knowledge.findings[finding].minutes
    raise AssertionError("the loop returns")


def _best(found: Diagnosis, known: set[str]) -> str | None:
    return found.next_checks[0].finding if found.next_checks else None


def _fixed(knowledge: Knowledge) -> Asked:
    """Go down the findings in the order of the list, those of this kind of pump only."""

    def ask(found: Diagnosis, known: set[str]) -> str | None:
        possible = {one.cause for one in found.causes}
        return next(
            (
                finding.id
                for finding in knowledge.findings.values()
                if finding.asked
                and finding.id not in known
                and any(knowledge.causes[id].strength(finding.id) for id in possible)
            ),
            None,
        )

    return ask


def simulated() -> None:
    """Print calibration on simulated troubles, and what the next check saves."""
    knowledge = load_knowledge()
    made = troubles(knowledge, TROUBLES)
    print(f"\nSimulated troubles ({TROUBLES}, one complaint each): the machinery, not the trade")
    for name, ask in (("the next check asked for", _best), ("a fixed list", _fixed(knowledge))):
        walks = [_walk(trouble, knowledge, ask) for trouble in made]
        right = [walk[2] for walk in walks]
        print(
            f"  {name:<26} checks {median(w[0] for w in walks):4.1f} (mean"
            f" {mean(w[0] for w in walks):4.1f}), minutes {mean(w[1] for w in walks):5.1f},"
            f" right {mean(right):.0%}"
        )
        _print_calibration([(w[3], w[2]) for w in walks], "at the end")


def main() -> None:
    """Print everything."""
    show(rows())
    published("*.json", "Open cases of published texts")
    published("published/*.json", "Cases of our own finding in published texts")
    simulated()


if __name__ == "__main__":
    main()
