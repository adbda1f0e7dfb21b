"""Which check to make next: what it is expected to tell, per minute and with its hazard counted."""

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np

from gaugewalk.diagnose.inference import Posterior
from gaugewalk.diagnose.knowledge import Knowledge
from gaugewalk.diagnose.network import Floats
from gaugewalk.diagnose.trade import Finding

# Judgement, no source: what a hazard costs in minutes, and what any check costs beside its time.
HAZARD_MINUTES = {"none": 0.0, "some": 2.0, "high": 20.0}
OVERHEAD_MINUTES = 0.5
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
    knowledge: Knowledge, posterior: Posterior, known: Collection[str], *, most: int = 5
) -> tuple[NextCheck, ...]:
    """Return the checks worth making, best first.

    Parameters
    ----------
    knowledge : Knowledge
    posterior : Posterior
    known : collection of str
        Findings already answered.
    most : int
        How many to return at most.
    """
    chance, gain = information(knowledge, posterior)
    candidates = [
        (gain[column] / _cost(finding), finding, column)
        for column, finding in enumerate(knowledge.findings.values())
        if finding.asked and finding.id not in known and gain[column] >= LEAST_GAIN
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


def information(knowledge: Knowledge, posterior: Posterior) -> tuple[Floats, Floats]:
    """Return, for every finding, the chance that it is there and what looking tells. [bit]

    What looking tells is the mutual information between the finding and the set of causes at work.
    """
    network = knowledge.network
    sets = posterior.sets[:MOST_SETS]
    kept = len(sets)
    columns = np.arange(len(network.findings))
    given = np.vstack([network.given(sets, columns), network.odd])
    weight = np.append(posterior.probability[:kept], posterior.unexplained)
    weight = weight / weight.sum()
    chance = weight @ given
    return chance, _entropy(chance) - weight @ _entropy(given)


def _entropy(p: Floats) -> Floats:
    """Return the entropy of a yes or no with these probabilities. [bit]"""
    q = np.clip(p, 1e-12, 1.0 - 1e-12)
    return np.asarray(-(q * np.log2(q) + (1.0 - q) * np.log2(1.0 - q)))


def _cost(finding: Finding) -> float:
    return OVERHEAD_MINUTES + finding.minutes + HAZARD_MINUTES[finding.hazard]
