"""Affinity laws: the same pump at another speed, or with its impeller trimmed."""

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.physics.arguments import Array, array, complete, positive, within
from gaugewalk.physics.curve import PumpCurve

_TRIM_SOURCE = "common practice: trim not more than 20 %"


def flow_at_speed(flow: ArrayLike, speed: ArrayLike, new_speed: ArrayLike) -> Array:
    """Return the flow of the corresponding point at another speed, Q n2/n1.

    Parameters
    ----------
    flow : float or array
        [m3/s]
    speed, new_speed : float or array
        [1/s] (any unit, but the same for both)

    Returns
    -------
    array
        [m3/s]

    References
    ----------
    .. [1] DOE-HDBK-1012/3-92, Fluid Flow, Eq. 3-23.

    Examples
    --------
    >>> float(flow_at_speed(100.0, 50.0, 60.0))
    120.0
    """
    return np.asarray(array("flow", flow) * _ratio(speed, new_speed))[()]


def head_at_speed(head: ArrayLike, speed: ArrayLike, new_speed: ArrayLike) -> Array:
    """Return the head of the corresponding point at another speed, H (n2/n1)².

    Parameters
    ----------
    head : float or array
        [m]
    speed, new_speed : float or array
        [1/s]

    Returns
    -------
    array
        [m]

    References
    ----------
    .. [1] DOE-HDBK-1012/3-92, Fluid Flow, Eq. 3-24.

    Examples
    --------
    >>> round(float(head_at_speed(32.0, 50.0, 60.0)), 2)
    46.08
    """
    return np.asarray(array("head", head) * _ratio(speed, new_speed) ** 2)[()]


def power_at_speed(power: ArrayLike, speed: ArrayLike, new_speed: ArrayLike) -> Array:
    """Return the shaft power of the corresponding point at another speed, P (n2/n1)³.

    Parameters
    ----------
    power : float or array
        [W]
    speed, new_speed : float or array
        [1/s]

    Returns
    -------
    array
        [W]

    Notes
    -----
    Losses in bearings and seal do not follow the cube: at low speed the true power is higher.

    References
    ----------
    .. [1] DOE-HDBK-1012/3-92, Fluid Flow, Eq. 3-25.

    Examples
    --------
    >>> round(float(power_at_speed(11e3, 50.0, 60.0)))
    19008
    """
    return np.asarray(array("power", power) * _ratio(speed, new_speed) ** 3)[()]


def trimmed(curve: PumpCurve, diameter_ratio: float) -> PumpCurve:
    """Return the curve with the impeller trimmed, by the simple diameter laws.

    Parameters
    ----------
    curve : PumpCurve
        With the full impeller.
    diameter_ratio : float
        New over old diameter, 0.8 to 1. [-]

    Returns
    -------
    PumpCurve
        Flow scaled with the ratio, head with its square, power with its cube; NPSH required kept
        at its flow, because the eye is not touched.

    Raises
    ------
    OutOfRangeError
        Ratio below 0.8 or above 1.

    Notes
    -----
    Only an estimate: a trimmed impeller is not geometrically similar to the full one. The true
    head falls more than the law says and the efficiency drops too, the more so the higher the
    specific speed; cut in steps and test, or ask the maker.

    References
    ----------
    .. [1] Common practice; no single published source.

    Examples
    --------
    >>> curve = PumpCurve(speed=49.0, flow=[0.0, 0.01], head=[40.0, 36.0])
    >>> round(float(trimmed(curve, 0.9).head[0]), 1)
    32.4
    """
    ratio = float(within("diameter_ratio", complete("diameter_ratio", diameter_ratio), 0.8, 1.0,
                         _TRIM_SOURCE))  # fmt: skip
    flow = curve.flow * ratio
    npshr = None if curve.npshr is None else np.interp(flow, curve.flow, curve.npshr)
    return PumpCurve(
        speed=curve.speed,
        flow=flow,
        head=curve.head * ratio**2,
        power=None if curve.power is None else curve.power * ratio**3,
        npshr=npshr,
        density=curve.density,
    )


def _ratio(speed: ArrayLike, new_speed: ArrayLike) -> Array:
    """Return new over old speed."""
    return np.asarray(positive("new_speed", new_speed) / positive("speed", speed))
