"""Which causes are at work: exact enumeration over all sets of up to three causes.

The model is a two-layer noisy-OR. A cause at work shows its findings, each by its own chance; a
finding can also be there without a cause (leak); a cause that speaks against a finding lowers
that leak and nothing else, so that it never hides what another cause shows. With `h` the set of
causes at work::

    P(finding absent | h) = (1 - leak * prod(1 - calms)) * prod(1 - shows)

Each piece of evidence is a pair (how likely what was noted is if the finding is there, how likely
if it is not): (1, 0) seen, (0, 1) looked for and not there, anything between for a reading.

Causes that no piece of evidence tells apart from nothing need no enumeration: their sets enter
through the elementary symmetric sums of their odds, which is exact and keeps the work small.

Causes come in chains: a root at work makes its consequence likelier, by a noisy-OR again::

    P(consequence not at work | roots) = (1 - prior) * (1 - CHAIN) ** (roots at work)

Chains couple only causes of which something noted speaks; elsewhere the coupling changes nothing
that is looked at and is left out.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gaugewalk.diagnose.enumeration import (
    Chains,
    Evidence,
    chains_among,
    enumerate_sets,
    members_of,
)
from gaugewalk.diagnose.network import Floats, Network
from gaugewalk.diagnose.posterior import LEAST, Counted, Fourth, Posterior, Weighed, count, read_off

# Beyond this estimated mass cut off at three causes, sets of four are looked at too (judgement).
CUT_OFF_MATTERS = 0.02
SLIGHT = 0.006  # a leak not worth calming where the finding is not there
FOURTH_AMONG = 20  # sets of four are built from so many of the likeliest causes
UNEXPLAINED = 0.02  # chance that something is wrong that the knowledge does not hold (judgement)


@dataclass(frozen=True, slots=True)
class _Split:
    """Evidence and causes, parted into what must be enumerated and what factors out."""

    joint: Evidence
    touched: NDArray[np.intp]
    apart: NDArray[np.intp]
    odds: Floats
    constant: float
    chains: Chains


def _split(network: Network, prior: Floats, evidence: Evidence, most: int) -> _Split:
    """Fold findings that are plainly absent into the odds; part the causes by the rest.

    A finding looked for and not there multiplies each cause's odds by one minus what it shows;
    that is exact as long as no cause at hand calms the finding, and wrong by less than the leak
    where the leak is so small that calming it changes nothing.
    """
    odds = prior / (1.0 - prior)
    possible = prior > 0
    calmed = (network.calms[possible][:, evidence.columns] > 0).any(axis=0)
    slight = evidence.share * network.leak[evidence.columns] <= SLIGHT
    plain = (evidence.if_there == 0.0) & (~calmed | slight)
    gone = evidence.only(plain)
    shown = gone.share * network.shows[:, gone.columns]
    odds = odds * np.prod(1.0 - shown, axis=1) ** evidence.salience
    anyway = gone.share * network.leak[gone.columns]
    constant = float(np.prod((1.0 - anyway) * gone.if_not)) ** evidence.salience
    joint = evidence.only(~plain)
    linked = (network.shows[:, joint.columns] > 0) | (network.calms[:, joint.columns] > 0)
    touches = linked.any(axis=1) & possible
    touched = np.flatnonzero(touches)
    chains = chains_among(network, prior, touched, most + 1)
    odds[touched] *= chains.alone
    order = _by_weight(network, joint, odds[touched], touched)
    return _Split(
        joint=joint,
        touched=touched[order],
        chains=chains.of(order),
        apart=np.flatnonzero(possible & ~touches),
        odds=odds,
        constant=constant,
    )


def _by_weight(
    network: Network, joint: Evidence, odds: Floats, rows: NDArray[np.intp]
) -> NDArray[np.intp]:
    """Return the order of the rows by the weight of each cause alone, greatest first."""
    single = enumerate_sets(network, joint, rows, odds, 1)
    return np.argsort(-single[1], kind="stable") if len(single) > 1 else np.arange(len(rows))


def _unexplained_weight(network: Network, evidence: Evidence, prior: float) -> float:
    """Return the weight of something being wrong that the knowledge does not hold."""
    odd = evidence.share * network.odd[evidence.columns]
    likelihood = np.prod(evidence.if_there * odd + evidence.if_not * (1.0 - odd))
    return float(prior / (1.0 - prior) * likelihood**evidence.salience)


def _fourth(network: Network, split: _Split, marginals: Floats) -> Fourth:
    """Return the sets of four among the likeliest touched causes, with their weights."""
    chosen = np.sort(np.argsort(-marginals, kind="stable")[:FOURTH_AMONG])
    rows = split.touched[chosen]
    weights = enumerate_sets(network, split.joint, rows, split.odds[rows], 4)
    split.chains.of(chosen).couple(weights)
    return Fourth(chosen[members_of(len(chosen), 4)], split.constant * weights[4])


def weigh(
    network: Network,
    prior: Floats,
    evidence: Evidence,
    *,
    unexplained_prior: float = UNEXPLAINED,
    most: int = 3,
    least: float = LEAST,
) -> Counted:
    """Return the weights of all sets of up to `most` causes, put together (see `infer`)."""
    split = _split(network, prior, evidence, most)
    odds = split.odds[split.touched]
    plain = enumerate_sets(network, split.joint, split.touched, odds, most)
    split.chains.couple(plain)
    weights = [split.constant * weight for weight in plain]
    weights += [np.zeros(0) for _ in range(most + 1 - len(weights))]
    weighed = Weighed(
        causes=len(network.causes),
        touched=split.touched,
        apart=split.apart,
        apart_odds=split.odds[split.apart],
        weights=weights,
        unknown=_unexplained_weight(network, evidence, unexplained_prior),
    )
    counted = count(weighed, least=least)
    if counted.cut_off <= CUT_OFF_MATTERS * counted.total or len(split.touched) < 4:
        return counted
    fourth = _fourth(network, split, counted.led.sum(axis=0))
    return count(replace(weighed, fourth=fourth), least=least)


def infer(
    network: Network,
    prior: Floats,
    evidence: Evidence,
    *,
    unexplained_prior: float = UNEXPLAINED,
    most: int = 3,
    least: float = LEAST,
) -> Posterior:
    """Return the posterior over all sets of up to `most` causes.

    Parameters
    ----------
    network : Network
    prior : array, shape (causes,)
        Probability of each cause for this pump; zero where the cause cannot be.
    evidence : Evidence
    unexplained_prior : float
        Probability that something is wrong that the knowledge does not hold.
    most : int
        Largest number of causes at work at once.
    least : float
        Sets of two and more below this probability are counted with the likeliest single cause
        they contain.

    Returns
    -------
    Posterior
    """
    return read_off(
        weigh(
            network,
            prior,
            evidence,
            unexplained_prior=unexplained_prior,
            most=most,
            least=least,
        )
    )
