"""Gas dissolved in the liquid: it comes out in the suction before the liquid boils.

An estimate to be read with caution. It takes the liquid as saturated with gas at the surface it
comes from, and the gas as free to come out at once; in truth it needs time, and a liquid that stood
long under vacuum holds less. What the pump then stands is not given by the NPSH required alone.
"""

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.physics import water
from gaugewalk.physics.arguments import (
    Array,
    absolute_pressure,
    positive,
    temperature_within,
    within,
)

TOLERATED_SHARE = 0.02
"""Free gas that most pumps stand without a marked loss of head; common practice, 2 to 3 %."""

CAUTION = (
    "an estimate: the liquid is taken as saturated with gas at its surface, and the gas as coming "
    "out at once"
)
"""To be shown beside every number from here."""

_GAS_CONSTANT = 8.314462618  # [J/(mol K)] CODATA 2018
_WATER_MOLAR_MASS = 0.018015268  # [kg/mol] IAPWS
# IAPWS G7-04, Table 2: A, B, C of Henry's constant; share of dry air by mole (argon with nitrogen).
_NITROGEN = (-9.67578, 4.72162, 11.70585, 0.79)
_OXYGEN = (-9.44833, 4.43822, 11.42005, 0.21)


def air_in_water(temperature: ArrayLike) -> Array:
    """Return the volume of air that a volume of water dissolves (Ostwald coefficient).

    Parameters
    ----------
    temperature : float or array
        273.15 to 373.15; below 278.12 K the source's equation is extended. [K]

    Returns
    -------
    array
        Volume of air, at the temperature and partial pressure with which the water is in balance,
        per volume of water. It does not depend on that pressure. [-]

    Raises
    ------
    OutOfRangeError
        Outside 273.15 to 373.15 K.

    References
    ----------
    .. [1] IAPWS G7-04, Guideline on the Henry's constant, Eq. 3 and Table 2.

    Examples
    --------
    >>> round(float(air_in_water(293.15)), 4)
    0.0205
    """
    t = temperature_within("temperature", temperature, 273.15, 373.15, "IAPWS G7-04, extended")
    reduced = t / water.CRITICAL
    tau = 1 - reduced
    pressure = np.asarray(water.saturation_pressure_extended(t))
    solubility = np.zeros_like(pressure)
    for a, b, c, part in (_NITROGEN, _OXYGEN):
        exponent = a / reduced + b * tau**0.355 / reduced + c * reduced**-0.41 * np.exp(tau)
        solubility = solubility + part / (pressure * np.exp(exponent))
    moles = np.asarray(water.density(t)) / _WATER_MOLAR_MASS
    return np.asarray(moles * _GAS_CONSTANT * t * solubility)[()]


def gas_evolution_pressure(
    surface_pressure: ArrayLike,
    vapor_pressure: ArrayLike,
    solubility: ArrayLike,
    *,
    gas_share: float = TOLERATED_SHARE,
) -> Array:
    """Return the pressure at which so much gas has come out that the pump feels it.

    p = (S p_surface + r p_v)/(S + r) with r = φ/(1 - φ)

    Parameters
    ----------
    surface_pressure : float or array
        Absolute pressure on the surface at which the liquid took up its gas. [Pa]
    vapor_pressure : float or array
        Absolute. [Pa]
    solubility : float or array
        Ostwald coefficient S, as by `air_in_water`; oils and hydrocarbons dissolve several times
        more than water. [-]
    gas_share : float
        φ, the share of the volume that may be gas and vapor, above 0 and below 0.5. [-]

    Returns
    -------
    array
        Absolute pressure; put it in the place of the vapor pressure to get the practical NPSH
        available. [Pa]

    Raises
    ------
    ArgumentError
        A pressure below a perfect vacuum, solubility not above zero.

    Notes
    -----
    See `CAUTION`. For air-saturated cold water it comes near the published rule that the effective
    vapor pressure is the mean of surface and vapor pressure.

    References
    ----------
    .. [1] Derived from Henry's law and the ideal gas.
    .. [2] Rule of the mean: Pumps & Systems, Understanding NPSH, third article, citing Chan.

    Examples
    --------
    >>> round(float(gas_evolution_pressure(101_325.0, 2339.0, 0.0205)))
    51943
    """
    surface = absolute_pressure("surface_pressure", surface_pressure)
    vapor = absolute_pressure("vapor_pressure", vapor_pressure)
    s = positive("solubility", solubility)
    phi = float(within("gas_share", gas_share, 1e-4, 0.5, "share of volume"))
    ratio = phi / (1 - phi)
    return np.asarray((s * np.maximum(surface, vapor) + ratio * vapor) / (s + ratio))[()]


def free_gas_share(
    pressure: ArrayLike,
    surface_pressure: ArrayLike,
    vapor_pressure: ArrayLike,
    solubility: ArrayLike,
) -> Array:
    """Return the share of the volume that is free gas and vapor at a pressure.

    Parameters
    ----------
    pressure : float or array
        Absolute pressure at the place, above the vapor pressure for a share below 1. [Pa]
    surface_pressure, vapor_pressure : float or array
        As for `gas_evolution_pressure`. [Pa]
    solubility : float or array
        As for `gas_evolution_pressure`. [-]

    Returns
    -------
    array
        Share, 0 where nothing has come out, 1 at and below the vapor pressure. [-]

    Examples
    --------
    >>> round(float(free_gas_share(51_943.0, 101_325.0, 2339.0, 0.0205)), 3)
    0.02
    """
    p = absolute_pressure("pressure", pressure)
    surface = absolute_pressure("surface_pressure", surface_pressure)
    vapor = absolute_pressure("vapor_pressure", vapor_pressure)
    s = positive("solubility", solubility)
    over = np.asarray(p - vapor, dtype=float)
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = s * np.maximum(surface - p, 0.0) / over
        share = np.where(over > 0, ratio / (1 + ratio), 1.0)
    return np.where(np.isnan(over), np.nan, share)[()]
