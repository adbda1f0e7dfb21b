"""The knowledge as numbers: which cause shows which finding, how strongly, how often.

The strengths of the knowledge files are judgement, and so are the numbers of this page: they turn
a word into a probability and nothing more. They stand in one place so that they can be argued with.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

# Probability that a cause of this strength shows the finding by itself (judgement, no source).
SHOWS = {4: 0.97, 3: 0.85, 2: 0.48, 1: 0.14}
# By how much a cause that speaks against a finding cuts its chance of being there anyway.
CALMS = {-1: 0.40, -2: 0.75, -3: 0.95}
# Probability that a finding is there, or is reported, though none of the causes shows it.
WITHOUT_CAUSE = {
    "never": 0.0004,
    "seldom": 0.0015,
    "sometimes": 0.005,
    "often": 0.08,
    "usual": 0.2,
    "mostly": 0.6,
}
# Probability that a cause is at work when somebody starts to ask.
PRIOR = {
    "usual": 0.06,
    "expected": 0.03,
    "very common": 0.02,
    "common": 0.011,
    "occasional": 0.005,
    "rare": 0.0015,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Network:
    """Causes (rows) and findings (columns) with their numbers.

    Parameters
    ----------
    causes, findings : tuple of str
        Ids, in the order of rows and columns.
    prior : array, shape (causes,)
        Probability of each cause before anything is known about the pump.
    shows : array, shape (causes, findings)
        Probability that the cause by itself shows the finding.
    calms : array, shape (causes, findings)
        Share by which the cause lowers the chance that the finding is there anyway.
    leak : array, shape (findings,)
        Probability that the finding is there though no cause shows it.
    odd : array, shape (findings,)
        Probability of the finding where something is wrong that is not in the knowledge.
    innocent : array of bool, shape (causes,)
        True where the row is no fault but an ordinary reason, such as more demand.
    leads : array of bool, shape (causes, causes)
        True where the cause of the row leads to that of the column.
    """

    causes: tuple[str, ...]
    findings: tuple[str, ...]
    prior: Floats
    shows: Floats
    calms: Floats
    leak: Floats
    odd: Floats
    innocent: NDArray[np.bool_]
    leads: NDArray[np.bool_]

    def column(self, finding: str) -> int:
        """Return the column of a finding."""
        return self.findings.index(finding)

    def given(self, sets: Sequence[tuple[int, ...]], columns: NDArray[np.intp]) -> Floats:
        """Return the probability of findings for each set of causes.

        Parameters
        ----------
        sets : sequence of tuple of int
            Rows of the causes at work; the empty tuple is none.
        columns : array of int, shape (findings wanted,)

        Returns
        -------
        array, shape (sets, findings wanted)
        """
        quiet = np.ones((len(sets), len(columns)))
        anyway = np.tile(self.leak[columns], (len(sets), 1))
        longest = max((len(one) for one in sets), default=0)
        for place in range(longest):
            with_it = np.array([i for i, one in enumerate(sets) if len(one) > place])
            rows = np.array([one[place] for one in sets if len(one) > place])
            quiet[with_it] *= 1.0 - self.shows[np.ix_(rows, columns)]
            anyway[with_it] *= 1.0 - self.calms[np.ix_(rows, columns)]
        return np.asarray(1.0 - (1.0 - anyway) * quiet)

    def alone(self, columns: NDArray[np.intp]) -> Floats:
        """Return the probability of findings with each cause by itself at work."""
        anyway = self.leak[columns] * (1.0 - self.calms[:, columns])
        return np.asarray(1.0 - (1.0 - anyway) * (1.0 - self.shows[:, columns]))


def strengths_to_numbers(strengths: NDArray[np.int_]) -> tuple[Floats, Floats]:
    """Turn strengths -3..4 into what a cause shows and what it calms.

    Examples
    --------
    >>> shows, calms = strengths_to_numbers(np.array([[3, 0, -2]]))
    >>> shows.tolist(), calms.tolist()
    ([[0.85, 0.0, 0.0]], [[0.0, 0.0, 0.75]])
    """
    shows = np.zeros(strengths.shape)
    calms = np.zeros(strengths.shape)
    for strength, probability in SHOWS.items():
        shows[strengths == strength] = probability
    for strength, share in CALMS.items():
        calms[strengths == strength] = share
    return shows, calms


def elementary_sums(odds: Floats, order: int) -> Floats:
    """Return the elementary symmetric sums e0..e_order of the odds.

    e_k is the total weight of all sets of k causes that touch no evidence.

    Examples
    --------
    >>> elementary_sums(np.array([1.0, 2.0, 3.0]), 3).tolist()
    [1.0, 6.0, 11.0, 6.0]
    """
    sums = np.zeros(order + 1)
    sums[0] = 1.0
    for value in odds:
        sums[1:] += value * sums[:-1]
    return sums


def ids_to_columns(findings: Sequence[str], ids: Sequence[str]) -> NDArray[np.intp]:
    """Return the columns of the given finding ids."""
    place = {finding: column for column, finding in enumerate(findings)}
    return np.array([place[one] for one in ids], dtype=np.intp)
