"""Specific speed and suction specific speed, in the three customs that papers use."""

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.physics.arguments import Array, positive
from gaugewalk.physics.constants import GRAVITY

# 1 US gallon = 231 in3 and 1 ft = 0.3048 m, both exact.
_GPM = 231 * 0.0254**3 / 60  # [m3/s]
_FOOT = 0.3048  # [m]
US_OF_METRIC = _FOOT**0.75 / _GPM**0.5
"""N_s in US units (r/min, US gpm, ft) over n_q (r/min, m3/s, m): 51.645."""


def specific_speed(speed: ArrayLike, flow: ArrayLike, head: ArrayLike) -> Array:
    """Return the dimensionless specific speed, ω Q^0.5/(g H)^0.75.

    Parameters
    ----------
    speed : float or array
        [1/s], revolutions per second
    flow : float or array
        At best efficiency; of a double-suction impeller the whole flow. [m3/s]
    head : float or array
        At best efficiency, of one stage. [m]

    Returns
    -------
    array
        ω_s, radian-based. [-]

    Raises
    ------
    ArgumentError
        An argument not above zero.

    References
    ----------
    .. [1] ISO 17769-1, type number K.

    Examples
    --------
    >>> round(float(specific_speed(3550 / 60, 0.0402, 100.0)), 4)
    0.4253
    """
    n, q, h = positive("speed", speed), positive("flow", flow), positive("head", head)
    return np.asarray(2 * np.pi * n * np.sqrt(q) / (GRAVITY * h) ** 0.75)[()]


def specific_speed_metric(speed: ArrayLike, flow: ArrayLike, head: ArrayLike) -> Array:
    """Return the specific speed n_q of the metric custom, n Q^0.5/H^0.75 in r/min, m3/s and m.

    Parameters
    ----------
    speed, flow, head : float or array
        As for `specific_speed`. [1/s, m3/s, m]

    Returns
    -------
    array
        n_q, r/min (m3/s)^0.5 m^-0.75 as it is defined.

    Examples
    --------
    >>> round(float(specific_speed_metric(3550 / 60, 0.0402, 100.0)), 3)
    22.508
    """
    n, q, h = positive("speed", speed), positive("flow", flow), positive("head", head)
    return np.asarray(60 * n * np.sqrt(q) / h**0.75)[()]


def specific_speed_us(speed: ArrayLike, flow: ArrayLike, head: ArrayLike) -> Array:
    """Return the specific speed N_s of the US custom, n Q^0.5/H^0.75 in r/min, US gpm and ft.

    Parameters
    ----------
    speed, flow, head : float or array
        As for `specific_speed`. [1/s, m3/s, m]

    Returns
    -------
    array
        N_s, r/min gpm^0.5 ft^-0.75 as it is defined.

    Examples
    --------
    >>> round(float(specific_speed_us(1760 / 60, 1500 * 6.30902e-5, 100 * 0.3048)))
    2156
    """
    return np.asarray(specific_speed_metric(speed, flow, head) * US_OF_METRIC)[()]


def suction_specific_speed(
    speed: ArrayLike, flow: ArrayLike, npshr: ArrayLike, *, eyes: int = 1
) -> Array:
    """Return the suction specific speed of the metric custom, n (Q/eyes)^0.5/NPSHr^0.75.

    Parameters
    ----------
    speed : float or array
        [1/s]
    flow : float or array
        At best efficiency with the full impeller. [m3/s]
    npshr : float or array
        NPSH required (3 % head drop) at that flow. [m]
    eyes : int
        2 for a double-suction impeller: the flow of one eye counts.

    Returns
    -------
    array
        r/min (m3/s)^0.5 m^-0.75 as it is defined; times `US_OF_METRIC` in US units.

    Notes
    -----
    High values (above about 213, or 11 000 in US units) mean a pump that suffers early from
    recirculation at part flow.

    References
    ----------
    .. [1] The Practical Pumping Handbook, section 4.5 (flow of one eye, border of 11 000).

    Examples
    --------
    >>> round(float(suction_specific_speed(2950 / 60, 250 / 3600, 4.2)), 1)
    265.0
    """
    of_one_eye = positive("flow", flow) / float(positive("eyes", eyes))
    return specific_speed_metric(speed, of_one_eye, positive("npshr", npshr))


def suction_specific_speed_us(
    speed: ArrayLike, flow: ArrayLike, npshr: ArrayLike, *, eyes: int = 1
) -> Array:
    """Return the suction specific speed of the US custom (r/min, US gpm, ft).

    Parameters
    ----------
    speed, flow, npshr : float or array
        As for `suction_specific_speed`. [1/s, m3/s, m]
    eyes : int
        2 for a double-suction impeller.

    Returns
    -------
    array
        r/min gpm^0.5 ft^-0.75 as it is defined.

    Examples
    --------
    >>> round(float(suction_specific_speed_us(2950 / 60, 250 / 3600, 4.2)))
    13685
    """
    metric = suction_specific_speed(speed, flow, npshr, eyes=eyes)
    return np.asarray(metric * US_OF_METRIC)[()]
