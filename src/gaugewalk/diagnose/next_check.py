"""Which check to make next: what it is expected to tell, per minute and with its hazard counted.

A check is only asked for where its answer may change what is done first; when no check would, the
asking stops.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from gaugewalk.diagnose.actions import COST
from gaugewalk.diagnose.knowledge import Knowledge
from gaugewalk.diagnose.network import Floats
from gaugewalk.diagnose.posterior import Posterior
from gaugewalk.diagnose.trade import Finding

# Judgement, no source: what a hazard costs in minutes, and what any check costs beside its time.
HAZARD_MINUTES = {"none": 0.0, "some": 2.0, "high": 20.0}
OVERHEAD_MINUTES = 0.5
FAR_FETCHED = 0.03  # an answer less likely than this is not waited for
LEAST_GAIN = 0.02  # [bit] below this a check is not worth asking for
MOST_SETS = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class NextCheck:
    """A check worth making: what it is expected to tell [bit], how long it takes [min]."""

    finding: str
    title: str
    ask: str
    how: str
    gain: float
    chance: float  # that it will be found
    minutes: float
    caution: str


def next_checks(
    knowledge: Knowledge,
    posterior: Posterior,
    known: Collection[str],
    *,
    facts: Mapping[str, object] = MappingProxyType({}),
    most: int = 5,
) -> tuple[NextCheck, ...]:
    """Return the checks worth making, best first.

    Parameters
    ----------
    knowledge : Knowledge
    posterior : Posterior
    known : collection of str
        Findings already answered.
    facts : mapping
        What is known of the pump: nothing is asked about what it does not have.
    most : int
        How many to return at most.
    """
    chance, gain, decides = information(knowledge, posterior)
    candidates = [
        (gain[column] / _cost(finding), finding, column)
        for column, finding in enumerate(knowledge.findings.values())
        if finding.asked
        and finding.id not in known
        and fits(finding, facts)
        and gain[column] >= LEAST_GAIN
        and decides[column]
    ]
    candidates.sort(key=lambda one: (-one[0], one[1].id))
    return tuple(
        NextCheck(
            finding=finding.id,
            title=finding.title,
            ask=finding.ask,
            how=finding.how,
            gain=float(gain[column]),
            chance=float(chance[column]),
            minutes=finding.minutes,
            caution=finding.caution,
        )
        for _, finding, column in candidates[:most]
    )


def fits(finding: Finding, facts: Mapping[str, object]) -> bool:
    """Return whether a pump of which these facts are known has what the finding is about.

    Examples
    --------
    >>> from gaugewalk.diagnose.knowledge import load_knowledge
    >>> pot = load_knowledge().finding("seal-pot-level-rising")
    >>> fits(pot, {"shaft_seal": "packing"}), fits(pot, {})
    (False, True)
    """
    return all(facts[key] in words for key, words in finding.needs.items() if key in facts)


def information(
    knowledge: Knowledge, posterior: Posterior
) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """Return, for every finding, what looking for it is expected to bring.

    Returns
    -------
    chance : array, shape (findings,)
        Probability that it is there.
    gain : array, shape (findings,)
        Mutual information between the finding and the set of causes at work. [bit]
    decides : array of bool, shape (findings,)
        Whether an answer that is not far-fetched changes which cause is acted on first.
    """
    network = knowledge.network
    sets = posterior.sets[:MOST_SETS]
    given = np.vstack([network.given(sets, np.arange(len(network.findings))), network.odd])
    weight = np.append(posterior.probability[:MOST_SETS], posterior.unexplained)
    weight = weight / weight.sum()
    chance = weight @ given
    gain = _entropy(chance) - weight @ _entropy(given)
    decides = np.zeros(len(gain), dtype=bool)
    worth = np.flatnonzero(gain >= LEAST_GAIN)
    decides[worth] = _decides(_stakes(knowledge, sets), weight, given[:, worth])
    return chance, gain, decides


def _stakes(knowledge: Knowledge, sets: Sequence[tuple[int, ...]]) -> Floats:
    """Return what each cause of a set costs if nothing is done, shape (sets + 1, causes)."""
    costs = [0.0 if one.innocent else COST[one.urgency] for one in knowledge.causes.values()]
    stakes = np.zeros((len(sets) + 1, len(costs)))
    rows = [row for row, members in enumerate(sets) for _ in members]
    places = [member for members in sets for member in members]
    stakes[rows, places] = np.array(costs)[places]
    return stakes[:, stakes.any(axis=0)]


def _decides(stakes: Floats, weight: Floats, given: Floats) -> NDArray[np.bool_]:
    """Return which findings may change the cause with the greatest expected cost."""
    now = int(np.argmax(weight @ stakes))
    decides = np.zeros(given.shape[1], dtype=bool)
    for answer in (given, 1.0 - given):
        after = weight[:, None] * answer
        # Not a matrix product: on a busy machine its threads cost more than they save.
        first = np.argmax(np.einsum("sf,sc->fc", after, stakes), axis=1)
        decides |= (first != now) & (after.sum(axis=0) >= FAR_FETCHED)
    return decides


def _entropy(p: Floats) -> Floats:
    """Return the entropy of a yes or no with these probabilities. [bit]"""
    q = np.clip(p, 1e-12, 1.0 - 1e-12)
    return np.asarray(-(q * np.log2(q) + (1.0 - q) * np.log2(1.0 - q)))


def _cost(finding: Finding) -> float:
    return OVERHEAD_MINUTES + finding.minutes + HAZARD_MINUTES[finding.hazard]
