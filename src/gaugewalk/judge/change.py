"""What kind of change: a step, a drift, a swing, or a gauge that has stopped moving.

All look at the last readings only, as deviations from the own normal in usual scatters.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from gaugewalk.judge.verdict import Change

RECENT = 32  # readings looked back at
_EXPLAINED = 0.25  # of the variation; the best split of pure noise explains about 0.15
# A step can fit noise at more places than a ramp can; with this share steps of 1.5 to 6 scatters
# and ramps of 0.08 to 0.4 scatters a reading were named equally well in simulation.
_RAMP = 0.95
_SEEN = 0.25  # of a ramp that lies before the last reading
_CLEARLY = 0.9  # of the other's sum of squares, before a named change is named anew
_FROZEN_CHANCE = 1e-6  # of as many equal readings in a row while the gauge is alive
_FROZEN_RUN = 8  # a coarse gauge repeats itself, and neighboring readings are alike
_FROZEN_PAIRS = 8  # pairs of readings seen before a gauge may be called frozen
_SWING_SPAN = 8  # readings
_SWING = 6.0  # times the usual variance from reading to reading; chi-square(4..7): about 1 in 10^5


def shape(
    times: Sequence[float], deviations: Sequence[float], *, before: Change = "steady"
) -> Change:
    """Tell a step from a drift: which of both explains the last readings better.

    Parameters
    ----------
    times
        When, rising. [s]
    deviations
        From the own normal. [usual scatters]
    before
        What the same episode was called before: the name changes only for a clearly better one.

    Returns
    -------
    str
        `step` (one level, then another), `drift` (level, then a ramp; or a ramp throughout), or
        `steady` where neither explains a quarter of the variation, or fewer than five readings.

    Notes
    -----
    Both models have the same number of parameters (the moment and two coefficients), so their sums
    of squares compare directly.

    Examples
    --------
    >>> shape(range(8), [0, 0.1, -0.1, 0, 5, 5.1, 4.9, 5])
    'step'
    >>> shape(range(8), [0, 0.1, -0.1, 1, 2, 3.1, 3.9, 5])
    'drift'
    >>> shape(range(8), [0, 0.1, -0.1, 0, 0.1, 0, -0.1, 6])
    'step'
    >>> shape(range(8), [2.0] * 8)
    'steady'
    """
    if len(times) < 5:
        return "steady"
    t, z = np.asarray(times, dtype=float), np.clip(np.asarray(deviations, dtype=float), -12, 12)
    total = float(np.sum((z - z.mean()) ** 2))
    if total <= 1e-12 or t[-1] <= t[0]:
        return "steady"
    t = (t - t[0]) / (t[-1] - t[0])
    # A ramp needs two readings to be seen: the first that is off is a step until the next is read.
    starts = [k for k in range(len(z) - 2) if t[-2] - t[k] >= _SEEN * (t[-1] - t[k])]
    step = min(_squares(np.where(np.arange(len(z)) >= k, 1.0, 0.0), z) for k in range(1, len(z)))
    ramp = min((_squares(np.maximum(0.0, t - t[k]), z) for k in starts), default=float("inf"))
    if min(step, ramp) > (1.0 - _EXPLAINED) * total:
        return "steady"
    favor = _RAMP * {"drift": _CLEARLY, "step": 1.0 / _CLEARLY}.get(before, 1.0)
    return "drift" if ramp * favor < step else "step"


def swinging(deviations: Sequence[float]) -> bool:
    """Tell whether the last readings jump to and fro far more than usual.

    Uses the mean square of successive differences (von Neumann), which a drift or a single step
    hardly raises.

    Examples
    --------
    >>> swinging([4, -4, 4, -4, 4, -4, 4, -4]), swinging([0, 1, 2, 3, 4, 5, 6, 7])
    (True, False)
    """
    z = np.asarray(deviations[-_SWING_SPAN:], dtype=float)
    if len(z) < _SWING_SPAN:
        return False
    squares = np.sort(np.diff(z) ** 2)[:-2]  # without the two largest: a spike is no swing
    return bool(squares.mean() / 2.0 > _SWING)


def frozen(run: int, pairs: int, equal: int) -> bool:
    """Tell whether a gauge has stopped moving.

    Parameters
    ----------
    run
        Equal readings in a row up to now.
    pairs, equal
        Pairs of successive readings before this run, and how many of them were equal: a coarse
        gauge repeats itself often and is not called frozen for that.

    Examples
    --------
    >>> frozen(run=8, pairs=40, equal=2), frozen(run=8, pairs=40, equal=36)
    (True, False)
    """
    if run < _FROZEN_RUN or pairs < _FROZEN_PAIRS:
        return False
    chance = (equal + 1.0) / (pairs + 2.0)
    return bool(chance ** (run - 1) < _FROZEN_CHANCE)


def _squares(term: NDArray[np.float64], z: NDArray[np.float64]) -> float:
    """Return the sum of squares left over by a level and one term."""
    term, z = term - term.mean(), z - z.mean()
    along = float(term @ term)
    if along <= 1e-12:
        return float(z @ z)
    slope = float(term @ z) / along
    return float(np.sum((z - slope * term) ** 2))
