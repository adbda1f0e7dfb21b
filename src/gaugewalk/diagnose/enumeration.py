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

    def only(self, chosen: NDArray[np.bool_]) -> "Evidence":
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
    """Return the products for sets one member larger, from slices (see `_members`)."""
    count = single.weight.size
    ends = [comb(last, size) for last in range(count)]
    width = sum(ends)
    quiet = np.empty((small.quiet.shape[0], width))
    calm = np.empty((small.calm.shape[0], width))
    weight = np.empty(width)
    start = 0
    for last, end in enumerate(ends):
        stop = start + end
        one = slice(last, last + 1)
        np.multiply(small.quiet[:, :end], single.quiet[:, one], out=quiet[:, start:stop])
        np.multiply(small.calm[:, :end], single.calm[:, one], out=calm[:, start:stop])
        np.multiply(small.weight[:end], single.weight[one], out=weight[start:stop])
        start = stop
    return _Products(quiet, calm, weight)


def _total_weights(products: _Products, evidence: Evidence, calmed: NDArray[np.intp]) -> Floats:
    """Return odds times likelihood of every set."""
    factor = products.quiet + evidence.if_there[:, None]
    factor[calmed] -= products.calm
    likelihood = np.multiply.reduce(factor, axis=0)
    if evidence.salience != 1.0:
        likelihood = np.power(likelihood, evidence.salience)
    return np.asarray(products.weight * likelihood)


def _grown_weights(
    small: _Products, single: _Products, size: int, evidence: Evidence, calmed: NDArray[np.intp]
) -> Floats:
    """Return the weights of sets one member larger, slice by slice: nothing larger is kept."""
    blocks = []
    for last in range(single.weight.size):
        end = comb(last, size)
        one = slice(last, last + 1)
        block = _Products(
            small.quiet[:, :end] * single.quiet[:, one],
            small.calm[:, :end] * single.calm[:, one],
            small.weight[:end] * single.weight[one],
        )
        blocks.append(_total_weights(block, evidence, calmed))
    return np.concatenate(blocks)


def enumerate_sets(
    network: Network, evidence: Evidence, rows: NDArray[np.intp], odds: Floats, most: int
) -> list[Floats]:
    """Return the weights of all sets of the given rows, one array a size, 0 to `most`.

    `odds` are those of the rows.
    """
    columns = evidence.columns
    slope = evidence.if_not - evidence.if_there
    calms = network.calms[np.ix_(rows, columns)].T
    calmed = np.flatnonzero((calms > 0).any(axis=1))
    leak = evidence.share * network.leak[columns]
    # Where no cause calms the finding, the leak is one more constant factor.
    base = slope * np.where((calms > 0).any(axis=1), 1.0, 1.0 - leak)
    shown = 1.0 - evidence.share[:, None] * network.shows[np.ix_(rows, columns)].T
    single = _Products(shown, shown[calmed] * (1.0 - calms[calmed]), odds)
    current = _Products(base[:, None], (slope * leak)[calmed][:, None], np.ones(1))
    weights = [_total_weights(current, evidence, calmed)]
    top = min(most, len(rows))
    whole = top if top <= 2 else top - 1  # small tables are made at once
    for size in range(whole):
        current = _grow(current, single, size)
        weights.append(_total_weights(current, evidence, calmed))
    if top > whole:
        weights.append(_grown_weights(current, single, whole, evidence, calmed))
    return weights


@dataclass(frozen=True, slots=True)
class Chains:
    """Roots and consequences among the touched causes.

    `leads[r, c]` is true where `r` leads to `c`; `lift[c, k]` is by how much `k` roots at work
    raise the odds of `c`.
    """

    leads: NDArray[np.bool_]
    lift: Floats

    def couple(self, weights: list[Floats]) -> None:
        """Raise, in place, the weights of sets that hold a root and its consequence."""
        count = len(self.leads)
        linked = self.leads | self.leads.T
        for size in range(2, len(weights)):
            members = members_of(count, size)
            hit = np.zeros(members.shape[1], dtype=bool)
            for one, other in combinations(range(size), 2):
                hit |= linked[members[one], members[other]]
            where = np.flatnonzero(hit)
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
    none = np.power(1.0 - CHAIN, np.arange(most + 1))
    idle = (1.0 - prior[rows])[:, None] * none
    odds = (1.0 - idle) / idle
    return Chains(leads, odds / odds[:, :1])
