"""Control charts: EWMA and CUSUM of deviations in usual scatters, and how often they cry wolf.

The average run length (ARL) is the mean number of readings until an alert. With nothing wrong it
is the price (one false alert in so many readings), with a shift it is the delay. Both charts are
computed by the integral equation of the run length, so that the limits are not folklore.
"""

from dataclasses import dataclass, replace

import numpy as np

from gaugewalk.errors import ArgumentError

# Roberts' EWMA and Page's CUSUM with the weights of the published tables; the limits are set
# farther out than the tables' because a round takes hundreds of readings a day. Alone 500 readings
# (EWMA, L = 2.814) and 465 (CUSUM, h = 5) would pass between false alerts.
WEIGHT = 0.1
EWMA_LIMIT = 3.45
ALLOWANCE = 0.5
CUSUM_LIMIT = 8.0
FALSE_ALERT_ARL = 3300.0  # readings between false alerts of both charts together, by simulation
_CLIP = 4.5  # one wild reading alone must not move a chart over its limit


@dataclass(frozen=True, slots=True, kw_only=True)
class Charts:
    """Where both charts of one point stand, in usual scatters."""

    ewma: float = 0.0
    up: float = 0.0
    down: float = 0.0

    def add(self, deviation: float) -> "Charts":
        """Return the charts after one more deviation [usual scatters]."""
        z = max(-_CLIP, min(_CLIP, deviation))
        return replace(
            self,
            ewma=(1.0 - WEIGHT) * self.ewma + WEIGHT * z,
            up=max(0.0, self.up + z - ALLOWANCE),
            down=max(0.0, self.down - z - ALLOWANCE),
        )

    @property
    def alert(self) -> bool:
        """Tell whether one of the charts is over its limit."""
        return abs(self.ewma) > ewma_half_width() or max(self.up, self.down) > CUSUM_LIMIT

    @property
    def calm(self) -> bool:
        """Tell whether the moving average is back within half its limit: the episode is over."""
        return abs(self.ewma) < 0.5 * ewma_half_width()


def ewma_half_width(weight: float = WEIGHT, limit: float = EWMA_LIMIT) -> float:
    """Return the steady half width of the EWMA's limits, L sqrt(w / (2 - w)) [usual scatters].

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4.

    Examples
    --------
    >>> round(50 + 2.0539 * ewma_half_width(0.3, 3.0), 4)  # the handbook's example: 52.5884
    52.5884
    """
    return limit * float(np.sqrt(weight / (2.0 - weight)))


def ewma_arl(weight: float, limit: float, shift: float = 0.0, nodes: int = 200) -> float:
    """Return the average run length of a two-sided EWMA chart with steady limits.

    Parameters
    ----------
    weight, limit
        Weight of the newest value (0 to 1) and L, the limit in standard deviations of the EWMA.
    shift
        Shift of the mean, [standard deviations].
    nodes
        Gauss-Legendre nodes of the integral equation.

    References
    ----------
    .. [1] S. V. Crowder, Technometrics 29 (1987) 401: integral equation (from memory).
    .. [2] Montgomery, Introduction to Statistical Quality Control: ARL table (from memory).

    Examples
    --------
    >>> round(ewma_arl(0.1, 2.814), 1)  # table: 500
    499.6
    """
    if not 0.0 < weight <= 1.0:
        raise ArgumentError(f"weight = {weight:g}; expected more than 0, up to 1.")
    half = ewma_half_width(weight, limit)
    x, w = _nodes(-half, half, nodes)
    kernel = w * _density((x[None, :] - (1.0 - weight) * x[:, None]) / weight - shift) / weight
    lengths = np.linalg.solve(np.eye(nodes) - kernel, np.ones(nodes))
    from_zero = w * _density(x / weight - shift) / weight
    return float(1.0 + from_zero @ lengths)


def cusum_arl(allowance: float, limit: float, shift: float = 0.0, nodes: int = 200) -> float:
    """Return the average run length of a one-sided upper CUSUM that starts at zero.

    Both sides together: 1/ARL = 1/ARL(shift) + 1/ARL(-shift).

    References
    ----------
    .. [1] E. S. Page, Biometrika 41 (1954) 100: integral equation (from memory).
    .. [2] Montgomery, Introduction to Statistical Quality Control: ARL table (from memory).

    Examples
    --------
    >>> round(cusum_arl(0.5, 5.0))  # table: 930 (recomputed 930.89)
    931
    """
    from scipy.special import ndtr  # heavy; the running charts need no scipy

    x, w = _nodes(0.0, limit, nodes)
    # Unknowns: the run length from zero (an atom), then from each node.
    matrix = np.zeros((nodes + 1, nodes + 1))
    starts = np.concatenate([[0.0], x])
    matrix[:, 0] = ndtr(allowance - shift - starts)
    matrix[:, 1:] = w * _density(x[None, :] - starts[:, None] + allowance - shift)
    lengths = np.linalg.solve(np.eye(nodes + 1) - matrix, np.ones(nodes + 1))
    return float(lengths[0])


def _nodes(low: float, high: float, count: int) -> tuple[np.ndarray, np.ndarray]:
    x, w = np.polynomial.legendre.leggauss(count)
    return 0.5 * (high - low) * x + 0.5 * (high + low), 0.5 * (high - low) * w


def _density(z: np.ndarray) -> np.ndarray:
    return np.asarray(np.exp(-0.5 * z**2) / np.sqrt(2.0 * np.pi))
