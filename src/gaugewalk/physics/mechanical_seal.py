"""Mechanical seals: heat at the faces, flush that carries it away, barrier pressure, leak limit."""

import math

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.arguments import Array, absolute_pressure, not_negative, positive, share

PRESSURE_DROP_COEFFICIENT = 0.5  # parallel faces, liquid that does not flash: API 682, Annex
FRICTION = 0.07  # carbon on tungsten carbide or ceramic in water: Lobanoff and Ross, Table 17-1
LEAST_BARRIER = 1.4e5  # [Pa] above the chamber; API 682, from memory, unverified
PLAN_54_BARRIER = (20 * 6894.757293168, 30 * 6894.757293168)  # [Pa]; supplier's sheet: 20-30 psi
LEAK_LIMIT = 5.6e-3 / 3600  # [kg/s]; API 682 qualification, 5.6 g/h, from memory, unverified
LEAST_ORIFICE = 3.2e-3  # [m]; seal makers' public plan pages: 1/8 in
DISCHARGE_COEFFICIENT = 0.61  # sharp-edged orifice, textbook

# What each piping plan does; public facts of API 682, seen in seal makers' public plan pages
# (11, 13, 21) or restated from memory (the others).
PLANS = {
    "11": "from the pump discharge through an orifice to the seal chamber",
    "13": "from the seal chamber through an orifice back to suction",
    "21": "as plan 11, with a cooler before the seal chamber",
    "23": "around from the seal chamber through a cooler by a pumping ring",
    "32": "clean flush from outside",
    "52": "buffer liquid without pressure in a reservoir, for a dual seal",
    "53A": "barrier liquid in a reservoir under gas pressure, for a dual seal",
    "54": "barrier liquid under pressure from outside, for a dual seal",
    "62": "quench from outside on the atmospheric side",
}


def face_heat(
    pressure_difference: ArrayLike,
    speed: ArrayLike,
    *,
    face_outside: float,
    face_inside: float,
    balance_diameter: float,
    spring_force: float,
    pressure_drop_coefficient: float = PRESSURE_DROP_COEFFICIENT,
    friction: float = FRICTION,
) -> Array:
    """Heat made by the faces of a seal with pressure on the outside, as an estimate.

    Parameters
    ----------
    pressure_difference : float or array
        Across the faces. [Pa]
    speed : float or array
        [1/s]
    face_outside, face_inside, balance_diameter : float
        [m]
    spring_force : float
        At working length. [N]
    pressure_drop_coefficient : float
        0.5 to 0.8 in practice. [-]
    friction : float
        Effective coefficient of friction. [-]

    Returns
    -------
    float or array
        [W]

    Notes
    -----
    Both coefficients are uncertain; the answer is good to a factor of about two. Heat soaked in
    from a hot pump comes on top.

    References
    ----------
    .. [1] API 682, annex on heat generation, in its own symbols (public copies): face pressure
       dp (B - K) + F_sp / A, torque p A f D_m / 2.

    Examples
    --------
    >>> round(float(face_heat(2e6, 50.0, face_outside=0.0616, face_inside=0.0489,
    ...     balance_diameter=0.0524, spring_force=190.0)))
    447
    """
    if not 0 < face_inside < face_outside:
        raise ArgumentError(
            f"face_inside = {face_inside:g} m, face_outside = {face_outside:g} m: expected "
            "0 < face_inside < face_outside."
        )
    balance = (face_outside**2 - balance_diameter**2) / (face_outside**2 - face_inside**2)
    area = math.pi / 4 * (face_outside**2 - face_inside**2)
    net = balance - pressure_drop_coefficient
    spring = float(not_negative("spring_force", spring_force)) / area
    pressure = not_negative("pressure_difference", pressure_difference) * net + spring
    if np.any(pressure < 0):
        raise ArgumentError(
            f"balance_diameter = {balance_diameter:g} m: the faces would be pushed open (balance "
            f"{balance:.2f}); expected a balance above the pressure drop coefficient."
        )
    surface_speed = math.pi * (face_outside + face_inside) / 2 * not_negative("speed", speed)
    heat: Array = pressure * area * float(not_negative("friction", friction)) * surface_speed
    return heat


def flush_temperature_rise(
    heat: ArrayLike, flow: ArrayLike, density: ArrayLike, specific_heat: ArrayLike
) -> Array:
    """Temperature rise of the flush that takes up the heat.

    Parameters
    ----------
    heat : float or array
        [W]
    flow : float or array
        [m3/s]
    density, specific_heat : float or array
        [kg/m3], [J/(kg K)]

    Returns
    -------
    float or array
        [K]

    References
    ----------
    .. [1] Energy balance: dT = P / (rho Q c_p).

    Examples
    --------
    >>> round(float(flush_temperature_rise(1000.0, 4.0 / 60e3, 998.0, 4182.0)), 2)
    3.59
    """
    carried = (
        positive("flow", flow)
        * positive("density", density)
        * positive("specific_heat", specific_heat)
    )
    return not_negative("heat", heat) / carried


def flush_flow_needed(
    heat: ArrayLike, temperature_rise: ArrayLike, density: ArrayLike, specific_heat: ArrayLike
) -> Array:
    """Flush flow that holds the temperature rise: the inverse of `flush_temperature_rise`, [m3/s].

    Examples
    --------
    >>> round(float(flush_flow_needed(1000.0, 5.6, 998.0, 4182.0)) * 60e3, 2)
    2.57
    """
    return flush_temperature_rise(heat, temperature_rise, density, specific_heat)


def orifice_flow(
    pressure_difference: ArrayLike,
    bore: float,
    density: ArrayLike,
    *,
    discharge_coefficient: float = DISCHARGE_COEFFICIENT,
) -> Array:
    """Flow through the orifice of a flush line.

    Parameters
    ----------
    pressure_difference : float or array
        Across the orifice. [Pa]
    bore : float
        At least 3.2 mm is asked for, so that it does not plug. [m]
    density : float or array
        [kg/m3]
    discharge_coefficient : float
        [-]

    Returns
    -------
    float or array
        [m3/s]

    References
    ----------
    .. [1] Q = C A sqrt(2 dp / rho); textbook, C = 0.61 for a sharp edge.

    Examples
    --------
    >>> round(float(orifice_flow(2e5, 0.0032, 998.0)) * 60e3, 2)
    5.89
    """
    area = math.pi / 4 * float(positive("bore", bore)) ** 2
    fall = 2 * not_negative("pressure_difference", pressure_difference)
    speed: Array = np.sqrt(fall / positive("density", density))
    return float(share("discharge_coefficient", discharge_coefficient)) * area * speed


def barrier_margin(barrier_pressure: ArrayLike, chamber_pressure: ArrayLike) -> Array:
    """Pressure of the barrier liquid above the seal chamber.

    Parameters
    ----------
    barrier_pressure, chamber_pressure : float or array
        Absolute. [Pa]

    Returns
    -------
    float or array
        [Pa]; below zero the pumped liquid goes into the barrier liquid, not the other way.

    References
    ----------
    .. [1] At least 1.4 bar: API 682, from memory, unverified; 20 to 30 psi for plan 54: supplier's
       public plan sheet.

    Examples
    --------
    >>> round(float(barrier_margin(7.0e5, 5.2e5)))
    180000
    """
    return absolute_pressure("barrier_pressure", barrier_pressure) - absolute_pressure(
        "chamber_pressure", chamber_pressure
    )


def leak_limit(density: ArrayLike) -> Array:
    """Volume flow of the leak that API 682 allows in the qualification test.

    Parameters
    ----------
    density : float or array
        [kg/m3]

    Returns
    -------
    float or array
        [m3/s]

    Notes
    -----
    A test limit, not a right to drip: local rules may count any visible drip as a leak.

    References
    ----------
    .. [1] API 682, 5.6 g/h, from memory, unverified.

    Examples
    --------
    >>> round(float(leak_limit(1000.0)) * 60e6 * 20, 3)
    1.867
    """
    return LEAK_LIMIT / positive("density", density)


def seal_plan(number: str) -> str:
    """Path of the liquid in a piping plan, in words.

    Examples
    --------
    >>> seal_plan("11")
    'from the pump discharge through an orifice to the seal chamber'
    """
    key = number.strip().upper()
    if key not in PLANS:
        raise ArgumentError(f"plan = {number!r}: expected one of {', '.join(PLANS)}.")
    return PLANS[key]
