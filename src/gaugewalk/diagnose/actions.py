"""What to do: chosen by expected consequence over all causes, not by the likeliest alone.

A small chance of a seal running dry outweighs a large one of a harmless drift: each cause weighs
its probability times what it costs if nothing is done.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from gaugewalk.diagnose.explain import Ranked
from gaugewalk.diagnose.knowledge import Knowledge
from gaugewalk.diagnose.trade import Action, Cause
from gaugewalk.judge.severity import Severity

# What a cause costs if nothing is done, by its urgency (judgement, no source).
COST: Mapping[str, float] = {"normal": 0.2, "watch": 1.0, "act": 4.0, "stop": 16.0}
CHOSEN = 0.2  # a cause whose expected cost is this share of the greatest is acted on
LIKELY = 0.15  # cures are named for causes at least this likely
MOST_NOW = 6
MAKE_SAFE = Action(
    kind="now",
    do="Make the pump safe now under the site's procedure: stop it from a distance, start the "
    "standby, isolate, keep others away",
    who="operator",
    caution="Site procedure comes first. Do not stay beside it, and do not restart it to see.",
    verify="Pump at a standstill, standby at its usual point",
    within="at once",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """One action with the causes it is for and what it weighs."""

    action: Action
    causes: tuple[str, ...]
    weight: float


def choose(knowledge: Knowledge, ranked: Sequence[Ranked], word: Severity) -> tuple[Advice, ...]:
    """Return what to do, most important first within each kind: now, temporary, cure, report."""
    costs = {
        one.cause: one.probability * COST[knowledge.causes[one.cause].urgency] for one in ranked
    }
    greatest = max(costs.values(), default=0.0)
    chosen = [
        knowledge.causes[id]
        for id in sorted(costs, key=lambda id: (-costs[id], id))
        if costs[id] >= CHOSEN * greatest and costs[id] > 0.02
    ]
    likely = [knowledge.causes[one.cause] for one in ranked if one.probability >= LIKELY]
    advice: list[Advice] = []
    if word == Severity.STOP:
        advice.append(Advice(action=MAKE_SAFE, causes=(), weight=COST["stop"]))
    advice += _of_kind("now", chosen, costs)[:MOST_NOW]
    for kind in ("temporary", "cure", "report"):
        advice += _of_kind(kind, likely or chosen[:1], costs)
    return tuple(advice)


def stop_when(knowledge: Knowledge, ranked: Sequence[Ranked]) -> tuple[str, ...]:
    """Return at what signs the pump is to be stopped, for the causes that may be at work."""
    texts = [
        action.do
        for one in ranked
        if one.probability >= LIKELY
        for action in knowledge.causes[one.cause].actions
        if action.kind == "stop"
    ]
    return tuple(dict.fromkeys(texts))


def _of_kind(kind: str, causes: Sequence[Cause], costs: Mapping[str, float]) -> list[Advice]:
    """Return the actions of one kind; one that several causes ask for stands once."""
    found: dict[str, Advice] = {}
    for cause in causes:
        for action in cause.actions:
            if action.kind != kind or action.do.startswith("None"):
                continue  # "none" answers the question for the knowledge, not for the operator
            old = found.get(action.do)
            found[action.do] = Advice(
                action=action,
                causes=(*(old.causes if old else ()), cause.id),
                weight=costs.get(cause.id, 0.0) + (old.weight if old else 0.0),
            )
    return sorted(found.values(), key=lambda one: -one.weight)
