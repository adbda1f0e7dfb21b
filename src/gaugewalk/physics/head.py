"""Head of a pump from its two gauges, after the definition of ISO 9906."""

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.arguments import Array, absolute_pressure, array, positive
from gaugewalk.physics.constants import GRAVITY


def velocity(flow: ArrayLike, diameter: ArrayLike) -> Array:
    """Return the mean velocity in a pipe.

    Parameters
    ----------
    flow : float or array
        Volume flow. [m3/s]
    diameter : float or array
        Inside diameter. [m]

    Returns
    -------
    array
        Velocity. [m/s]

    Examples
    --------
    >>> round(float(velocity(100 / 3600, 0.100)), 3)
    3.537
    """
    bore = positive("diameter", diameter)
    return np.asarray(array("flow", flow) / (np.pi / 4 * bore**2))[()]


def velocity_head(flow: ArrayLike, diameter: ArrayLike) -> Array:
    """Return the velocity head U²/2g in a pipe.

    Parameters
    ----------
    flow : float or array
        Volume flow. [m3/s]
    diameter : float or array
        Inside diameter at the gauge. [m]

    Returns
    -------
    array
        Velocity head. [m]

    References
    ----------
    .. [1] ISO 9906:2012, definition of the velocity head.

    Examples
    --------
    >>> round(float(velocity_head(100 / 3600, 0.100)), 3)
    0.638
    """
    return np.asarray(velocity(flow, diameter) ** 2 / (2 * GRAVITY))[()]


def differential_head(
    suction_pressure: ArrayLike,
    discharge_pressure: ArrayLike,
    density: ArrayLike,
    *,
    suction_elevation: ArrayLike = 0.0,
    discharge_elevation: ArrayLike = 0.0,
    flow: ArrayLike = 0.0,
    suction_diameter: ArrayLike | None = None,
    discharge_diameter: ArrayLike | None = None,
) -> Array:
    """Return the total head of a pump from the readings of its two gauges.

    H = (p2 - p1)/(ρ g) + z2 - z1 + (U2² - U1²)/(2 g)

    Parameters
    ----------
    suction_pressure, discharge_pressure : float or array
        Absolute pressures as the gauges show them. [Pa]
    density : float or array
        Density of the liquid at the pumping temperature. [kg/m3]
    suction_elevation, discharge_elevation : float or array
        Elevation of each gauge above one datum. [m]
    flow : float or array
        Volume flow, for the velocity heads. [m3/s]
    suction_diameter, discharge_diameter : float or array, optional
        Inside diameter of the pipe at each gauge; none: velocity heads left out. [m]

    Returns
    -------
    array
        Total head. [m]

    Raises
    ------
    ArgumentError
        A pressure below a perfect vacuum, a density or diameter not above zero, one diameter
        without the other.

    Notes
    -----
    The connecting tube of each gauge must be filled as assumed: with liquid, the elevation is that
    of the gauge; with air (a vacuum gauge above the pipe), that of the tapping.

    References
    ----------
    .. [1] ISO 9906:2012, definition of the pump total head.

    Examples
    --------
    >>> round(float(differential_head(146_325.0, 721_325.0, 998.2)), 2)
    58.74
    """
    p1 = absolute_pressure("suction_pressure", suction_pressure)
    p2 = absolute_pressure("discharge_pressure", discharge_pressure)
    rho = positive("density", density)
    rise = array("discharge_elevation", discharge_elevation) - array(
        "suction_elevation", suction_elevation
    )
    head = (p2 - p1) / (rho * GRAVITY) + rise
    if (suction_diameter is None) != (discharge_diameter is None):
        raise ArgumentError(
            "suction_diameter and discharge_diameter belong together; give both or none."
        )
    if suction_diameter is not None and discharge_diameter is not None:
        head = (
            head + velocity_head(flow, discharge_diameter) - velocity_head(flow, suction_diameter)
        )
    return np.asarray(head)[()]


def head_of_pressure(pressure_difference: ArrayLike, density: ArrayLike) -> Array:
    """Return the head of a liquid column that a pressure difference holds.

    Parameters
    ----------
    pressure_difference : float or array
        [Pa]
    density : float or array
        [kg/m3]

    Returns
    -------
    array
        Head. [m]

    Examples
    --------
    >>> round(float(head_of_pressure(5.0e5, 500.0)), 3)
    101.972
    """
    rho = positive("density", density)
    return np.asarray(array("pressure_difference", pressure_difference) / (rho * GRAVITY))[()]


def pressure_of_head(head: ArrayLike, density: ArrayLike) -> Array:
    """Return the pressure difference of a head of liquid, ρ g H.

    Parameters
    ----------
    head : float or array
        [m]
    density : float or array
        [kg/m3]

    Returns
    -------
    array
        Pressure difference. [Pa]

    Examples
    --------
    >>> round(float(pressure_of_head(10.0, 998.2)))
    97890
    """
    return np.asarray(array("head", head) * positive("density", density) * GRAVITY)[()]
