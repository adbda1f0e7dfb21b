"""From the weights of all sets of causes to probabilities, plain or sharpened.

Probabilities that are worked out from judged strengths come out too timid or too bold as a whole.
`read_off` can sharpen them: the sets are parted by their leading cause, the parts are raised to a
power, and inside each part everything keeps its proportions (Jeffrey's rule). So the result is a
probability over the same sets, the leading cause stays the leading one, and what is nothing
wrong, innocent or unexplained keeps its share.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gaugewalk.diagnose.enumeration import members_of
from gaugewalk.diagnose.network import Floats, elementary_sums

LEAST = 0.004  # sets of two and more below this probability are not listed by themselves


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
class Fourth:
    """Sets of four of the touched causes, shape (4, sets), with their weights."""

    members: NDArray[np.intp]
    weight: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """Weights of all sets of causes.

    Parameters
    ----------
    causes : int
    touched : array of int
        Rows of the causes of which some evidence speaks, the weightiest first.
    apart : array of int
        Rows of the others.
    apart_odds : array
        Odds of the others.
    weights : list of array
        Of all sets of touched causes, by size, in the order of `members_of`.
    unknown : float
        Weight of something being wrong that the knowledge does not hold.
    fourth : Fourth, optional
        Sets of four, where three are too few.
    """

    causes: int
    touched: NDArray[np.intp]
    apart: NDArray[np.intp]
    apart_odds: Floats
    weights: list[Floats]
    unknown: float
    fourth: Fourth | None = None

    @property
    def most(self) -> int:
        """Return the size of the largest sets."""
        return len(self.weights) - 1

    def tail(self) -> Floats:
        """Return, for how many touched causes are in, the weight of adding untouched ones.

        Element `s` is e0 + ... + e_(most - s).
        """
        return np.asarray(np.cumsum(elementary_sums(self.apart_odds, self.most))[::-1])

    def by_size(self) -> list[float]:
        """Return the weight of all sets of 0, 1, 2, ... causes, touched and untouched."""
        sums = elementary_sums(self.apart_odds, self.most)
        touched = [float(weight.sum()) for weight in self.weights]
        return [
            sum(touched[part] * float(sums[size - part]) for part in range(size + 1))
            for size in range(len(touched))
        ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """The weights put together for reading off probabilities, plain or sharpened.

    Parameters
    ----------
    weighed : Weighed
    led : array, shape (touched, touched)
        Weight of the sets led by the cause of the row that hold the cause of the column; the
        leader of a set is its first member among the touched.
    large : list of (set, leader, weight)
        Sets of two and more worth listing, as rows of the network.
    total, cut_off : float
        Weight of everything looked at, and the estimated weight of what was not.
    """

    weighed: Weighed
    led: Floats
    large: list[tuple[tuple[int, ...], int, float]]
    total: float
    cut_off: float


def count(weighed: Weighed, *, least: float = LEAST) -> Counted:
    """Go once over all sets.

    Parameters
    ----------
    weighed : Weighed
    least : float
        Sets of two and more below this probability are not listed by themselves.
    """
    beyond = 0.0 if weighed.fourth is None else float(weighed.fourth.weight.sum())
    sizes = weighed.by_size()
    total = sum(sizes) + weighed.unknown + beyond
    touched = weighed.touched.tolist()
    led = np.zeros(len(touched) ** 2)
    large: list[tuple[tuple[int, ...], int, float]] = []
    tail = weighed.tail()
    for size in range(1, len(weighed.weights)):
        members = members_of(len(touched), size)
        weight = weighed.weights[size] * tail[size]
        _add_led(led, members, weight)
        if size > 1:
            for column in np.flatnonzero(weight >= least * total).tolist():
                places = members[:, column].tolist()
                rows = tuple(touched[place] for place in places)
                large.append((rows, places[0], float(weight[column])))
    if weighed.fourth is not None:
        _add_led(led, weighed.fourth.members, weighed.fourth.weight)
    return Counted(
        weighed=weighed,
        led=led.reshape(len(touched), len(touched)),
        large=large,
        total=total,
        cut_off=max(_estimate_cut_off(sizes) - beyond, 0.0),
    )


def _add_led(led: Floats, members: NDArray[np.intp], weight: Floats) -> None:
    """Add sets, in place, to the flat table of leaders and members."""
    start = members[0] * round(len(led) ** 0.5)
    for place in members:
        led += np.bincount(start + place, weights=weight, minlength=len(led))


def _apart_marginals(table: Weighed) -> Floats:
    """Return the weight of every untouched cause being at work, alone or with others."""
    most = table.most
    odds = table.apart_odds
    sums = elementary_sums(odds, most)
    without = np.ones((most + 1, len(odds)))
    for order in range(1, most + 1):
        without[order] = sums[order] - odds * without[order - 1]
    total = np.zeros(len(odds))
    for size, weight in enumerate(table.weights[:most]):
        total += weight.sum() * odds * without[: most - size].sum(axis=0)
    return total


def _add_apart(mass: dict[tuple[int, ...], float], table: Weighed) -> None:
    """Add the causes no evidence touches: sets of them are counted with their likeliest member."""
    apart, odds, most = table.apart, table.apart_odds, table.most
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


def sharpening(table: Counted, power: float, spared: NDArray[np.bool_]) -> Floats:
    """Return the factor of the part led by each touched cause that sharpens the whole.

    Parameters
    ----------
    table : Counted
    power : float
        Above 1: the leading cause gets more, the others less.
    spared : array of bool, shape (causes,)
        Causes whose part keeps its weight: the innocent reasons.

    Notes
    -----
    With `q` the parts of the causes not spared, each is multiplied by
    q ** (power - 1) * sum(q) / sum(q ** power): their sum stays what it is.
    """
    part = np.diagonal(table.led)
    free = ~spared[table.weighed.touched] & (part > 0.0)
    factor = np.ones(len(part))
    if free.any():
        share = part[free] / part[free].max()
        factor[free] = share ** (power - 1.0) * share.sum() / (share**power).sum()
    return factor


def read_off(table: Counted, factor: Floats | None = None) -> Posterior:
    """Return the probabilities, with the part led by each touched cause times its factor."""
    weighed = table.weighed
    factor = np.ones(len(weighed.touched)) if factor is None else factor
    marginal = np.zeros(weighed.causes)
    marginal[weighed.touched] = factor @ table.led
    marginal[weighed.apart] = _apart_marginals(weighed)
    single = np.diagonal(table.led) * factor
    mass: dict[tuple[int, ...], float] = {(): float(weighed.weights[0][0])}
    for members, leader, weight in table.large:
        mass[members] = weight * float(factor[leader])
        single[leader] -= mass[members]
    # What is left of a part is counted with its leader, but for roundings below nothing.
    rest = np.maximum(single, 0.0).tolist()
    mass |= {(row,): one for row, one in zip(weighed.touched.tolist(), rest, strict=True)}
    _add_apart(mass, weighed)
    listed = sorted(mass.items(), key=lambda item: (-item[1], item[0]))
    return Posterior(
        marginal=marginal / table.total,
        sets=tuple(members for members, _ in listed),
        probability=np.array([weight for _, weight in listed]) / table.total,
        unexplained=weighed.unknown / table.total,
        cut_off=table.cut_off / (table.total + table.cut_off),
    )
