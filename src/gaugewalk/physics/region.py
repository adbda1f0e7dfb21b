"""Where a duty lies between no flow and run-out: preferred, allowable, or outside."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.arguments import Array, not_negative, positive

HIGH_SPECIFIC_SPEED = 4500.0
"""Specific speed in US units above which the preferred region is narrower, HI 9.6.3."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Region:
    """Position of a duty against the best efficiency point."""

    share: Array  # flow over best efficiency flow
    preferred: NDArray[np.bool_]
    allowable: NDArray[np.bool_]
    word: NDArray[np.str_]  # "preferred", "allowable", "too low", "too high"


def preferred_limits(specific_speed_us: float | None = None) -> tuple[float, float]:
    """Return the limits of the preferred operating region as shares of best efficiency flow.

    Parameters
    ----------
    specific_speed_us : float, optional
        In US units; none: an ordinary pump.

    Returns
    -------
    tuple of float
        0.70 and 1.20; above a specific speed of 4500, 0.80 and 1.15.

    Notes
    -----
    For high specific speed one public text prints 120 % and another 115 %; the narrower is taken.

    References
    ----------
    .. [1] ANSI/HI 9.6.3 and API 610 as cited in public pump texts; the standards were not opened.

    Examples
    --------
    >>> preferred_limits()
    (0.7, 1.2)
    """
    if specific_speed_us is None:
        return 0.70, 1.20
    high = float(positive("specific_speed_us", specific_speed_us)) > HIGH_SPECIFIC_SPEED
    return (0.80, 1.15) if high else (0.70, 1.20)


def operating_region(
    flow: ArrayLike,
    best_efficiency_flow: ArrayLike,
    *,
    minimum_flow: float,
    maximum_flow: float,
    specific_speed_us: float | None = None,
) -> Region:
    """Return where a flow lies: preferred, allowable, too low or too high.

    Parameters
    ----------
    flow : float or array
        [m3/s]
    best_efficiency_flow : float or array
        Of the impeller as fitted, at the speed at which it runs. [m3/s]
    minimum_flow : float
        Minimum continuous flow: the greatest of the stable and the thermal one, which the maker
        states. [m3/s]
    maximum_flow : float
        End of the allowable region, at most the curve's end. [m3/s]
    specific_speed_us : float, optional
        In US units, for the width of the preferred region.

    Returns
    -------
    Region
        Limits count as inside.

    Raises
    ------
    ArgumentError
        Best efficiency flow not above zero, flow below zero, limits the wrong way round.

    References
    ----------
    .. [1] API 610, definitions of preferred and allowable operating region.

    Examples
    --------
    >>> duty = operating_region(0.008, 0.01, minimum_flow=0.003, maximum_flow=0.014)
    >>> str(duty.word)
    'preferred'
    """
    low, high = (
        float(not_negative("minimum_flow", minimum_flow)),
        float(positive("maximum_flow", maximum_flow)),
    )
    if low >= high:
        raise ArgumentError("minimum_flow must be below maximum_flow.")
    q = not_negative("flow", flow)
    share = np.asarray(q / positive("best_efficiency_flow", best_efficiency_flow))
    near, far = preferred_limits(specific_speed_us)
    slack = 1e-12  # a limit counts as inside, also after a division
    preferred = (share >= near - slack) & (share <= far + slack)
    allowable = (q >= low) & (q <= high)
    word = np.select(
        [q < low, q > high, preferred, allowable],
        ["too low", "too high", "preferred", "allowable"],
        default="unknown",
    )
    return Region(
        share=share[()],
        preferred=np.asarray(preferred & allowable)[()],
        allowable=np.asarray(allowable)[()],
        word=word[()],
    )
