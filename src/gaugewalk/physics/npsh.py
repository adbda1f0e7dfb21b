"""Net positive suction head: what the suction side offers, and its margin over what is needed."""

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.physics import liquids
from gaugewalk.physics.arguments import (
    Array,
    absolute_pressure,
    array,
    not_negative,
    positive,
    within,
)
from gaugewalk.physics.constants import GRAVITY, STANDARD_ATMOSPHERE
from gaugewalk.physics.head import velocity_head
from gaugewalk.physics.liquids import Liquid


def npsh_available(
    surface_pressure: ArrayLike,
    vapor_pressure: ArrayLike,
    density: ArrayLike,
    static_head: ArrayLike,
    friction_head: ArrayLike = 0.0,
) -> Array:
    """Return the NPSH available at the pump, from the vessel it draws from.

    NPSHa = (p_surface - p_v)/(ρ g) + z - h_f

    Parameters
    ----------
    surface_pressure : float or array
        Absolute pressure on the liquid's surface: the barometric pressure for an open tank or
        sump, the vessel's pressure for a closed one, the vapor pressure for a boiling one. [Pa]
    vapor_pressure : float or array
        Absolute vapor pressure at the pumping temperature. [Pa]
    density : float or array
        Density at the pumping temperature. [kg/m3]
    static_head : float or array
        Surface above the pump's datum; negative for a suction lift. [m]
    friction_head : float or array
        Head lost in the suction line, strainer and entrance. [m]

    Returns
    -------
    array
        NPSH available. [m] Below zero the liquid boils before it reaches the pump.

    Raises
    ------
    ArgumentError
        A pressure below a perfect vacuum, a density not above zero, a loss below zero.

    Notes
    -----
    Density and vapor pressure must both be those at the pump: hot liquid has less of the first and
    more of the second. Dissolved gas is not counted; see `gas_evolution_pressure`.

    References
    ----------
    .. [1] ISO 9906:2012, definition of the NPSH.

    Examples
    --------
    >>> round(float(npsh_available(101_325.0, 2339.0, 998.2, 1.0, 0.5)), 2)
    10.61
    """
    surface = absolute_pressure("surface_pressure", surface_pressure)
    vapor = absolute_pressure("vapor_pressure", vapor_pressure)
    rho = positive("density", density)
    loss = not_negative("friction_head", friction_head)
    static = array("static_head", static_head)
    return np.asarray((surface - vapor) / (rho * GRAVITY) + static - loss)[()]


def npsh_from_gauge(
    suction_pressure: ArrayLike,
    vapor_pressure: ArrayLike,
    density: ArrayLike,
    *,
    gauge_elevation: ArrayLike = 0.0,
    flow: ArrayLike = 0.0,
    diameter: ArrayLike | None = None,
) -> Array:
    """Return the NPSH available, from the gauge at the pump's suction.

    NPSHa = (p_suction - p_v)/(ρ g) + U²/2g + z_gauge

    Parameters
    ----------
    suction_pressure : float or array
        Absolute pressure as the gauge shows it (gauge reading plus barometric pressure). [Pa]
    vapor_pressure : float or array
        Absolute vapor pressure at the pumping temperature. [Pa]
    density : float or array
        Density at the pumping temperature. [kg/m3]
    gauge_elevation : float or array
        Gauge above the pump's datum. [m]
    flow : float or array
        Volume flow, for the velocity head. [m3/s]
    diameter : float or array, optional
        Inside diameter of the suction pipe at the gauge; none: velocity head left out, which is
        on the cautious side. [m]

    Returns
    -------
    array
        NPSH available. [m]

    Raises
    ------
    ArgumentError
        A pressure below a perfect vacuum, a density or diameter not above zero.

    References
    ----------
    .. [1] ISO 9906:2012, definition of the NPSH. The velocity head is added: the energy of the
       stream is there to be used.

    Examples
    --------
    >>> round(float(npsh_from_gauge(66_325.0, 2339.3, 998.2, gauge_elevation=0.4)), 2)
    6.94
    """
    suction = absolute_pressure("suction_pressure", suction_pressure)
    vapor = absolute_pressure("vapor_pressure", vapor_pressure)
    rho = positive("density", density)
    head = (suction - vapor) / (rho * GRAVITY) + array("gauge_elevation", gauge_elevation)
    if diameter is not None:
        head = head + velocity_head(flow, diameter)
    return np.asarray(head)[()]


def boiling_margin(liquid: Liquid, temperature: ArrayLike, suction_pressure: ArrayLike) -> Array:
    """Return how many kelvins the liquid at the suction is below its boiling point.

    Parameters
    ----------
    liquid : Liquid
        As found by `liquids.find_liquid`.
    temperature : float or array
        Liquid temperature at the suction. [K]
    suction_pressure : float or array
        Absolute pressure at the suction. [Pa]

    Returns
    -------
    array
        Boiling temperature at that pressure less the temperature. [K] Below zero it flashes.

    Raises
    ------
    OutOfRangeError
        Outside the range of the liquid's source.

    Notes
    -----
    At the impeller's eye the pressure is lower still by the NPSH required: a margin of some
    kelvins at the gauge is not yet a margin at the vanes.

    Examples
    --------
    >>> water = liquids.find_liquid("water")
    >>> round(float(boiling_margin(water, 353.15, 101_325.0)), 2)
    19.97
    """
    boiling = liquids.boiling_temperature(liquid, suction_pressure)
    return np.asarray(boiling - array("temperature", temperature))[()]


def barometric_pressure(elevation: ArrayLike) -> Array:
    """Return the pressure of the standard atmosphere at an elevation.

    p = 101325 (1 - 0.0065 h / 288.15)^5.25588, with the geopotential height h

    Parameters
    ----------
    elevation : float or array
        Above sea level, -500 to 11000. [m]

    Returns
    -------
    array
        Absolute pressure. [Pa]

    Raises
    ------
    OutOfRangeError
        Outside the troposphere of the source.

    Notes
    -----
    Weather moves the true barometer by about 3 % to either side.

    References
    ----------
    .. [1] U.S. Standard Atmosphere 1976, Eq. 18 and 33a, Table 4.

    Examples
    --------
    >>> round(float(barometric_pressure(1500.0)))
    84560
    """
    z = within("elevation", elevation, -500.0, 11_000.0, "U.S. Standard Atmosphere 1976")
    height = 6_356_766.0 * z / (6_356_766.0 + z)
    exponent = GRAVITY * 0.0289644 / (8.31432 * 0.0065)
    return np.asarray(STANDARD_ATMOSPHERE * (1 - 0.0065 * height / 288.15) ** exponent)[()]


def npsh_margin_ratio(available: ArrayLike, required: ArrayLike) -> Array:
    """Return NPSH available over NPSH required.

    Parameters
    ----------
    available : float or array
        [m]
    required : float or array
        At the same flow, above zero. [m]

    Returns
    -------
    array
        [-] For what is wanted see `npsh_margin.guidance`.

    Examples
    --------
    >>> float(npsh_margin_ratio(4.5, 3.0))
    1.5
    """
    return np.asarray(array("available", available) / positive("required", required))[()]
