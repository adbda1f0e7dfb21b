"""Going through every set of causes: weights by size, and the chains that couple them.

Tables for sets of one size are built from slices of the tables one size below, so that no set is
looked up by its members.
"""

from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from math import comb

import numpy as np
from numpy.typing import NDArray

from gaugewalk.diagnose.network import Floats, Network

CHAIN = 0.12  # chance that a root brings its consequence along (judgement, no source)


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """What is known, as columns of the network with their two likelihoods.

    Parameters
    ----------
    columns : array of int, shape (pieces,)
    if_there, if_not : array, shape (pieces,)
        Likelihood of what was noted where the finding is there, and where it is not.
    share : array, shape (pieces,)
        Chance that the finding, shown by a cause, would have been noted at all: 1 where it was
        looked for; less where only something near it was, so that silence says less.
    salience : float
        Power to which the likelihood counts: above 1 where the pieces were picked because they
        tell something, as people do who describe a trouble.
    """

    columns: NDArray[np.intp]
    if_there: Floats
    if_not: Floats
    share: Floats
    salience: float = 1.0

    def only(self, chosen: NDArray[np.bool_ | np.intp]) -> "Evidence":
        """Return the chosen pieces."""
        return Evidence(
            columns=self.columns[chosen],
            if_there=self.if_there[chosen],
            if_not=self.if_not[chosen],
            share=self.share[chosen],
            salience=self.salience,
        )


@lru_cache(maxsize=128)
def members_of(count: int, size: int) -> NDArray[np.intp]:
    """Return all sets of `size` out of `count`, shape (size, sets), ordered by their last member.

    With this order the sets whose last member is `k` are the sets one smaller of the first `k`,
    so that tables for a size are built from slices of the tables one size below.
    """
    if size == 0:
        return np.zeros((0, 1), dtype=np.intp)
    flat = np.array(list(combinations(range(count), size)), dtype=np.intp).reshape(-1, size).T
    order = np.lexsort(flat)
    return np.ascontiguousarray(flat[:, order])


@dataclass(frozen=True, slots=True)
class _Products:
    """Products over the members of each set, one row a piece of evidence.

    `quiet` is the scaled chance that no member shows the finding, `calm` the same times the
    chance that it is there anyway; `weight` is the product of odds.
    """

    quiet: Floats
    calm: Floats
    weight: Floats


def _grow(small: _Products, single: _Products, size: int) -> _Products:
    """Return the products for sets one member larger (see `members_of`)."""
    count = single.weight.size
    last = members_of(count, size + 1)[-1]
    place = np.concatenate([np.arange(comb(one, size)) for one in range(count)])
    return _Products(
        small.quiet[:, place] * single.quiet[:, last],
        small.calm[:, place] * single.calm[:, last],
        small.weight[place] * single.weight[last],
    )


def _total_weights(products: _Products, evidence: Evidence) -> Floats:
    """Return odds times likelihood of every set."""
    factor = products.quiet + evidence.if_there[:, None]
    factor[: len(products.calm)] -= products.calm
    likelihood = np.multiply.reduce(factor, axis=0)
    if evidence.salience != 1.0:
        likelihood **= evidence.salience
    return np.asarray(products.weight * likelihood)


def _grown_weights(small: _Products, single: _Products, size: int, evidence: Evidence) -> Floats:
    """Return the weights of sets one member larger, slice by slice: nothing larger is kept."""
    ends = [comb(last, size) for last in range(single.weight.size)]
    likelihood, weight = np.empty(sum(ends)), np.empty(sum(ends))
    net = small.quiet.copy()
    net[: len(small.calm)] -= small.calm
    space = np.empty((len(net), ends[-1]))
    calming = single.calm != single.quiet[: len(single.calm)]
    there = evidence.if_there[:, None]
    start = 0
    for last, end in enumerate(ends):
        stop = start + end
        factor = space[:, :end]
        np.multiply(net[:, :end], single.quiet[:, last : last + 1], out=factor)
        for row in np.flatnonzero(calming[:, last]).tolist():  # few causes calm anything
            shown, calm = single.quiet[row, last], single.calm[row, last]
            factor[row] = small.quiet[row, :end] * shown - small.calm[row, :end] * calm
        np.add(factor, there, out=factor)
        np.multiply.reduce(factor, axis=0, out=likelihood[start:stop])
        np.multiply(small.weight[:end], single.weight[last], out=weight[start:stop])
        start = stop
    if evidence.salience != 1.0:
        likelihood **= evidence.salience
    weight *= likelihood
    return weight


def enumerate_sets(
    network: Network, evidence: Evidence, rows: NDArray[np.intp], odds: Floats, most: int
) -> list[Floats]:
    """Return the weights of all sets of the given rows, one array a size, 0 to `most`.

    `odds` are those of the rows.
    """
    calms = network.calms[np.ix_(rows, evidence.columns)].T
    calmed = (calms > 0).any(axis=1)
    order = np.argsort(~calmed, kind="stable")  # those that some cause calms come first
    evidence, count = evidence.only(order), int(calmed.sum())
    slope = evidence.if_not - evidence.if_there
    leak = evidence.share * network.leak[evidence.columns]
    # Where no cause calms the finding, the leak is one more constant factor.
    base = slope * np.where(np.arange(len(leak)) < count, 1.0, 1.0 - leak)
    shown = 1.0 - evidence.share[:, None] * network.shows[np.ix_(rows, evidence.columns)].T
    single = _Products(shown, shown[:count] * (1.0 - calms[order[:count]]), odds)
    current = _Products(base[:, None], (slope * leak)[:count, None], np.ones(1))
    weights = [_total_weights(current, evidence)]
    top = min(most, len(rows))
    whole = top if top <= 2 else top - 1  # small tables are made at once
    for size in range(whole):
        current = _grow(current, single, size)
        weights.append(_total_weights(current, evidence))
    if top > whole:
        weights.append(_grown_weights(current, single, whole, evidence))
    return weights


def _holding(linked: NDArray[np.bool_], members: NDArray[np.intp]) -> NDArray[np.intp]:
    """Return which of the sets of `members_of` hold a linked pair."""
    if len(members) != 3:
        hit = np.zeros(members.shape[1], dtype=bool)
        for one, other in combinations(members, 2):
            hit |= linked[one, other]
        return np.flatnonzero(hit)
    # Most sets are of three, and few pairs are linked: their places follow from the members.
    pairs = np.array(np.nonzero(np.triu(linked)))
    third = np.arange(len(linked))
    three = np.empty((3, pairs.shape[1], len(third)), dtype=np.intp)
    three[:2], three[2] = pairs[:, :, None], third
    three.sort(axis=0)
    low, middle, high = three.reshape(3, -1)
    place = high * (high - 1) * (high - 2) // 6 + middle * (middle - 1) // 2 + low
    hit = np.zeros(members.shape[1], dtype=bool)
    hit[place[(low < middle) & (middle < high)]] = True
    return np.flatnonzero(hit)


@dataclass(frozen=True, slots=True)
class Chains:
    """Roots and consequences among the touched causes.

    `leads[r, c]` is true where `r` leads to `c`; `lift[c, k]` is by how much `k` roots at work
    raise the odds of `c`; `alone[r]` is the chance that `r` brings none of its consequences.
    """

    leads: NDArray[np.bool_]
    lift: Floats
    alone: Floats

    def of(self, chosen: NDArray[np.intp]) -> "Chains":
        """Return the chains among the chosen, in their order."""
        return Chains(self.leads[np.ix_(chosen, chosen)], self.lift[chosen], self.alone[chosen])

    def couple(self, weights: list[Floats]) -> None:
        """Raise, in place, the weights of sets that hold a root and its consequence."""
        linked = self.leads | self.leads.T
        for size in range(2, len(weights)):
            members = members_of(len(linked), size)
            where = _holding(linked, members)
            weights[size][where] *= self._lift_of(members[:, where])

    def _lift_of(self, members: NDArray[np.intp]) -> Floats:
        factor = np.ones(members.shape[1])
        for place in members:
            roots = sum(self.leads[other, place].astype(int) for other in members)
            factor *= self.lift[place, roots]
        return factor


def chains_among(network: Network, prior: Floats, rows: NDArray[np.intp], most: int) -> Chains:
    """Return which of the rows lead to which, with what that does to their odds."""
    leads = network.leads[np.ix_(rows, rows)]
    # What hardly can be at this pump is hardly brought along either.
    chain = CHAIN * np.minimum(prior[rows] / network.prior[rows], 1.0)
    idle = (1.0 - prior[rows])[:, None] * np.power(1.0 - chain[:, None], np.arange(most + 1))
    odds = (1.0 - idle) / idle
    return Chains(leads, odds / odds[:, :1], np.prod(np.where(leads, 1.0 - chain, 1.0), axis=1))
