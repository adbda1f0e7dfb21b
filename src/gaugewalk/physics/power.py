"""Power and efficiency of a pump."""

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.physics.arguments import Array, array, not_negative, positive, share
from gaugewalk.physics.constants import GRAVITY


def hydraulic_power(flow: ArrayLike, head: ArrayLike, density: ArrayLike) -> Array:
    """Return the power that the pump gives to the liquid, ρ g Q H.

    Parameters
    ----------
    flow : float or array
        [m3/s]
    head : float or array
        [m]
    density : float or array
        [kg/m3]

    Returns
    -------
    array
        Hydraulic power. [W]

    References
    ----------
    .. [1] ISO 9906:2012, definition of the pump power output.

    Examples
    --------
    >>> round(float(hydraulic_power(100 / 3600, 50.0, 998.2)), 1)
    13595.8
    """
    q, h = not_negative("flow", flow), array("head", head)
    return np.asarray(positive("density", density) * GRAVITY * q * h)[()]


def shaft_power(
    flow: ArrayLike, head: ArrayLike, density: ArrayLike, efficiency: ArrayLike
) -> Array:
    """Return the power that the pump takes at its shaft, ρ g Q H / η.

    Parameters
    ----------
    flow, head, density : float or array
        [m3/s, m, kg/m3]
    efficiency : float or array
        Pump efficiency, above 0 and at most 1. [-]

    Returns
    -------
    array
        Shaft power. [W]

    Examples
    --------
    >>> round(float(shaft_power(0.02, 25.0, 998.2, 0.65)))
    7530
    """
    eta = share("efficiency", efficiency)
    return np.asarray(hydraulic_power(flow, head, density) / eta)[()]


def pump_efficiency(
    flow: ArrayLike, head: ArrayLike, density: ArrayLike, power: ArrayLike
) -> Array:
    """Return the efficiency of a pump, ρ g Q H / P.

    Parameters
    ----------
    flow, head, density : float or array
        [m3/s, m, kg/m3]
    power : float or array
        Shaft power, above zero. [W]

    Returns
    -------
    array
        Efficiency. [-] Above 1 a reading is wrong; that is for the caller to judge.

    Examples
    --------
    >>> round(float(pump_efficiency(100 / 3600, 50.0, 998.2, 18_500.0)), 4)
    0.7349
    """
    return np.asarray(hydraulic_power(flow, head, density) / positive("power", power))[()]
