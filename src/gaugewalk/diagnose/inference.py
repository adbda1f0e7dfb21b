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

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gaugewalk.diagnose.enumeration import (
    CHAIN,
    Chains,
    Evidence,
    chains_among,
    enumerate_sets,
    members_of,
)
from gaugewalk.diagnose.network import Floats, Network, elementary_sums

# Beyond this estimated mass cut off at three causes, sets of four are looked at too (judgement).
CUT_OFF_MATTERS = 0.02
SLIGHT = 0.006  # a leak not worth calming where the finding is not there
FOURTH_AMONG = 20  # sets of four are built from so many of the likeliest causes


@dataclass(frozen=True, slots=True, kw_only=True)
class Posterior:
    """What the evidence says of the causes.

    Parameters
    ----------
    marginal : array, shape (causes,)
        Probability that the cause is at work, alone or with others.
    sets : tuple of tuple of int
        Sets of causes (rows of the network), likeliest first; what else is at work that no
        evidence touches, and sets too unlikely to list, are counted with the listed set that they
        contain. The empty set is nothing at all.
    probability : array, shape (sets,)
    unexplained : float
        Probability that something is wrong that the knowledge does not hold.
    cut_off : float
        Estimated probability of sets of more causes than were looked at.
    """

    marginal: Floats
    sets: tuple[tuple[int, ...], ...]
    probability: Floats
    unexplained: float
    cut_off: float


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
    touched = _by_weight(network, joint, np.flatnonzero(touches), odds)
    chains = chains_among(network, prior, touched, most + 1)
    odds[touched] *= np.power(1.0 - CHAIN, chains.leads.sum(axis=1))
    return _Split(
        joint=joint,
        touched=touched,
        chains=chains,
        apart=np.flatnonzero(possible & ~touches),
        odds=odds,
        constant=constant,
    )


def _by_weight(
    network: Network, joint: Evidence, rows: NDArray[np.intp], odds: Floats
) -> NDArray[np.intp]:
    """Return the rows in order of the weight of each cause alone, greatest first."""
    single = enumerate_sets(network, joint, rows, odds[rows], 1)
    return rows[np.argsort(-single[1], kind="stable")] if len(single) > 1 else rows


def _unexplained_weight(network: Network, evidence: Evidence, prior: float) -> float:
    """Return the weight of something being wrong that the knowledge does not hold."""
    odd = evidence.share * network.odd[evidence.columns]
    likelihood = np.prod(evidence.if_there * odd + evidence.if_not * (1.0 - odd))
    return float(prior / (1.0 - prior) * likelihood**evidence.salience)


def _tail(odds: Floats, most: int) -> Floats:
    """Return, for how many other causes are in, the weight of adding untouched ones.

    Element `s` is e0 + ... + e_(most - s).
    """
    sums = np.cumsum(elementary_sums(odds, most))
    return np.asarray(sums[::-1])


@dataclass(frozen=True, slots=True)
class _Table:
    """Weights of all sets of touched causes, by size, with what untouched causes add."""

    split: _Split
    weights: list[Floats]
    tail: Floats


def _touched_marginals(table: _Table) -> Floats:
    count = len(table.split.touched)
    total = np.zeros(count)
    for size, weight in enumerate(table.weights):
        for place in members_of(count, size):
            total += table.tail[size] * np.bincount(place, weights=weight, minlength=count)
    return total


def _apart_marginals(table: _Table) -> Floats:
    """Return the weight of every untouched cause being at work, alone or with others."""
    most = len(table.weights) - 1
    odds = table.split.odds[table.split.apart]
    sums = elementary_sums(odds, most)
    without = np.ones((most + 1, len(odds)))
    for order in range(1, most + 1):
        without[order] = sums[order] - odds * without[order - 1]
    total = np.zeros(len(odds))
    for size, weight in enumerate(table.weights[:most]):
        total += weight.sum() * odds * without[: most - size].sum(axis=0)
    return total


def _listed(table: _Table, total: float, least: float) -> list[tuple[tuple[int, ...], float]]:
    """Return the sets worth listing with their mass, the rest counted with what it contains.

    The touched causes stand in order of their weight (see `_by_weight`), so the likeliest member
    of a set is its first.
    """
    touched = table.split.touched.tolist()
    mass: dict[tuple[int, ...], float] = {(): float(table.weights[0][0])}
    single = np.zeros(len(touched))
    for size in range(1, len(table.weights)):
        members = members_of(len(touched), size)
        weight = table.weights[size] * table.tail[size]
        if size > 1:
            big = np.flatnonzero(weight >= least * total)
            for column, probability in zip(big.tolist(), weight[big].tolist(), strict=True):
                mass[tuple(touched[row] for row in members[:, column].tolist())] = probability
            weight[big] = 0.0
        single += np.bincount(members[0], weights=weight, minlength=len(touched))
    mass |= {(row,): float(one) for row, one in zip(touched, single, strict=True)}
    _add_apart(mass, table)
    return sorted(mass.items(), key=lambda item: (-item[1], item[0]))


def _add_apart(mass: dict[tuple[int, ...], float], table: _Table) -> None:
    """Add the causes no evidence touches: sets of them are counted with their likeliest member."""
    apart = table.split.apart
    odds = table.split.odds[apart]
    most = len(table.weights) - 1
    order = np.argsort(odds, kind="stable")
    below = np.zeros(most + 1)  # elementary sums of the causes less likely than this one
    below[0] = 1.0
    for place in order.tolist():
        weight = table.weights[0][0] * odds[place] * below[:most].sum()
        mass[(int(apart[place]),)] = float(weight)
        below[1:] += odds[place] * below[:-1]


def _estimate_cut_off(sizes: list[float]) -> float:
    """Estimate the weight beyond the largest set from how the weights fall off with size.

    Were causes independent, the weight of k + 1 causes would be that of k times a ratio which
    falls like 1 / (k + 1).
    """
    last = len(sizes) - 1
    if last < 2 or sizes[-2] <= 0:
        return 0.0
    ratio = sizes[-1] / sizes[-2] * last / (last + 1)
    return sizes[-1] * ratio / max(1.0 - ratio, 0.5)


def _by_size(table: _Table) -> list[float]:
    """Return the weight of all sets of 0, 1, 2, ... causes, touched and untouched together."""
    sums = elementary_sums(table.split.odds[table.split.apart], len(table.weights) - 1)
    touched = [float(weight.sum()) for weight in table.weights]
    return [
        sum(touched[part] * float(sums[size - part]) for part in range(size + 1))
        for size in range(len(touched))
    ]


def _fourth(network: Network, split: _Split, marginals: Floats) -> tuple[NDArray[np.intp], Floats]:
    """Return the sets of four among the likeliest touched causes, with their weights."""
    chosen = np.sort(np.argsort(-marginals, kind="stable")[:FOURTH_AMONG])
    rows = split.touched[chosen]
    weights = enumerate_sets(network, split.joint, rows, split.odds[rows], 4)
    own = Chains(split.chains.leads[np.ix_(chosen, chosen)], split.chains.lift[chosen])
    own.couple(weights)
    return chosen[members_of(len(chosen), 4)], split.constant * weights[4]


def infer(
    network: Network,
    prior: Floats,
    evidence: Evidence,
    *,
    unexplained_prior: float = 0.02,
    most: int = 3,
    least: float = 0.004,
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
    split = _split(network, prior, evidence, most)
    plain = enumerate_sets(network, split.joint, split.touched, split.odds[split.touched], most)
    split.chains.couple(plain)
    weights = [split.constant * weight for weight in plain]
    weights += [np.zeros(0) for _ in range(most + 1 - len(weights))]
    table = _Table(split, weights, _tail(split.odds[split.apart], most))
    sizes = _by_size(table)
    unknown = _unexplained_weight(network, evidence, unexplained_prior)
    total = sum(sizes) + unknown
    marginal = np.zeros(len(network.causes))
    marginal[split.touched] = _touched_marginals(table)
    marginal[split.apart] = _apart_marginals(table)
    listed = _listed(table, total, least)
    cut_off = _estimate_cut_off(sizes)
    if cut_off > CUT_OFF_MATTERS * total and len(split.touched) >= 4:
        total, cut_off = _widen(network, split, marginal, listed, (total, cut_off))
    return Posterior(
        marginal=marginal / total,
        sets=tuple(members for members, _ in listed),
        probability=np.array([weight for _, weight in listed]) / total,
        unexplained=unknown / total,
        cut_off=cut_off / (total + cut_off),
    )


def _widen(
    network: Network,
    split: _Split,
    marginal: Floats,
    listed: list[tuple[tuple[int, ...], float]],
    sums: tuple[float, float],
) -> tuple[float, float]:
    """Add the sets of four to marginals and list in place; return the new total and cut-off."""
    total, cut_off = sums
    members, weight = _fourth(network, split, marginal[split.touched])
    for place in members:
        np.add.at(marginal, split.touched[place], weight)
    largest = np.argmax(marginal[split.touched[members]], axis=0)
    kept = split.touched[np.take_along_axis(members, largest[None, :], axis=0)[0]]
    spare = np.bincount(kept, weights=weight, minlength=len(network.causes))
    for index, (key, mass) in enumerate(listed):
        if len(key) == 1:
            listed[index] = (key, mass + float(spare[key[0]]))
    added = float(weight.sum())
    return total + added, max(cut_off - added, 0.0)
