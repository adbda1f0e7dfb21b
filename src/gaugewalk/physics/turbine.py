"""Steam turbine as a driver: power from the steam it takes, always a stated estimate."""

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.arguments import Array, array, not_negative, positive, share

IDLE_SHARE = 0.15  # of the rated steam flow taken at no load; common practice, no source


def power_from_steam(steam_flow: ArrayLike, steam_rate: ArrayLike) -> Array:
    """Power from the steam flow and the steam rate on the plate.

    Parameters
    ----------
    steam_flow : float or array
        Mass flow. [kg/s]
    steam_rate : float or array
        Steam per energy at this load. [kg/J]

    Returns
    -------
    float or array
        Shaft power. [W]

    Notes
    -----
    An estimate: the rate rises at part load, with wet or colder steam and with worn nozzles.

    References
    ----------
    .. [1] Definition of the steam rate.

    Examples
    --------
    >>> round(float(power_from_steam(0.5, 12.0 / 3.6e6)))
    150000
    """
    return not_negative("steam_flow", steam_flow) / positive("steam_rate", steam_rate)


def power_on_steam_line(
    steam_flow: ArrayLike,
    rated_steam_flow: float,
    rated_power: float,
    *,
    idle_share: float = IDLE_SHARE,
) -> Array:
    """Power on the straight line between no load and rated load.

    Parameters
    ----------
    steam_flow : float or array
        [kg/s]
    rated_steam_flow : float
        [kg/s]
    rated_power : float
        [W]
    idle_share : float
        Share of the rated steam flow taken at no load. [-]

    Returns
    -------
    float or array
        Shaft power, zero at and below the steam flow of no load. [W]

    Notes
    -----
    An estimate, good to perhaps 10 % for a throttled single-stage turbine.

    References
    ----------
    .. [1] Willans line, textbook; the idle share of 15 % is common practice, no source.

    Examples
    --------
    >>> round(float(power_on_steam_line(0.575, 1.0, 200e3)))
    100000
    """
    flow = not_negative("steam_flow", steam_flow) / positive("rated_steam_flow", rated_steam_flow)
    idle = float(share("idle_share", idle_share))
    if idle >= 1:
        raise ArgumentError(f"idle_share = {idle:g}: expected below 1.")
    load = (flow - idle) / (1 - idle)
    return positive("rated_power", rated_power) * np.maximum(load, 0.0)


def theoretical_steam_rate(
    inlet_pressure: float, inlet_temperature: float, exhaust_pressure: float
) -> float:
    """Steam that a lossless turbine would take for each joule.

    Parameters
    ----------
    inlet_pressure, exhaust_pressure : float
        Absolute. [Pa]
    inlet_temperature : float
        Above saturation. [K]

    Returns
    -------
    float
        [kg/J]; over the turbine's efficiency (often 0.3 to 0.5 for small single-stage machines,
        common practice) it is the actual steam rate.

    Raises
    ------
    ArgumentError
        The steam is not steam, or the exhaust pressure is not below the inlet's.

    References
    ----------
    .. [1] Isentropic enthalpy drop with the properties of IAPWS-95.

    Examples
    --------
    >>> round(theoretical_steam_rate(4.1e6, 672.0, 0.4e6) * 3.6e6, 2)
    6.78
    """
    if not 0 < exhaust_pressure < inlet_pressure:
        raise ArgumentError(
            f"exhaust_pressure = {exhaust_pressure:g} Pa: expected between zero and the inlet "
            f"pressure, {inlet_pressure:g} Pa, both absolute."
        )
    from CoolProp.CoolProp import PropsSI

    array("inlet_temperature", inlet_temperature)
    try:
        boiling = (
            PropsSI("T", "P", inlet_pressure, "Q", 1, "Water") if inlet_pressure < 22e6 else 0.0
        )
        state = ("P", inlet_pressure, "T", inlet_temperature, "Water")
        enthalpy, entropy = PropsSI("H", *state), PropsSI("S", *state)
        after = PropsSI("H", "P", exhaust_pressure, "S", entropy, "Water")
    except ValueError as problem:
        raise ArgumentError(
            f"inlet_pressure = {inlet_pressure:g} Pa, inlet_temperature = {inlet_temperature:g} K: "
            f"outside the range of IAPWS-95 ({problem})."
        ) from problem
    if inlet_temperature <= boiling:
        raise ArgumentError(
            f"inlet_temperature = {inlet_temperature:g} K: expected above saturation, "
            f"{boiling:.1f} K at this pressure; at or below it this would be wet steam or water."
        )
    return 1 / float(enthalpy - after)
