"""Oil cooler: heat carried over, worth of the surface, water that is needed."""

import math
from collections.abc import Callable
from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.arguments import Array, array, not_negative, positive

Arrangement = Literal[
    "counterflow", "parallel", "shell and tube", "crossflow", "crossflow, larger mixed",
    "crossflow, smaller mixed",
]  # fmt: skip
ARRANGEMENTS: tuple[Arrangement, ...] = get_args(Arrangement)
HIGHEST_NTU = 500.0  # beyond it the effectiveness no longer changes visibly
HALVINGS = 80
WATER_SEARCH = 1e6  # water capacity rate is sought between the oil's over and times this


def capacity_rate(flow: ArrayLike, density: ArrayLike, specific_heat: ArrayLike) -> Array:
    """Heat that a stream carries per kelvin.

    Parameters
    ----------
    flow : float or array
        Volume flow. [m3/s]
    density : float or array
        [kg/m3]
    specific_heat : float or array
        [J/(kg K)]

    Returns
    -------
    float or array
        Capacity rate C. [W/K]

    References
    ----------
    .. [1] C = rho Q c_p, definition.

    Examples
    --------
    >>> round(float(capacity_rate(30 / 60e3, 860.0, 2000.0)), 3)
    860.0
    """
    mass_flow = not_negative("flow", flow) * positive("density", density)
    return mass_flow * positive("specific_heat", specific_heat)


def duty(capacity_rate: ArrayLike, inlet: ArrayLike, outlet: ArrayLike) -> Array:
    """Heat that a stream gives off between two temperatures.

    Parameters
    ----------
    capacity_rate : float or array
        [W/K]
    inlet, outlet : float or array
        Temperatures. [K]

    Returns
    -------
    float or array
        Heat given off; negative where the stream takes heat up. [W]

    References
    ----------
    .. [1] Q = C (T_in - T_out), energy balance.

    Examples
    --------
    >>> round(float(duty(860.0, 331.15, 318.15)), 2)
    11180.0
    """
    return not_negative("capacity_rate", capacity_rate) * (
        positive("inlet", inlet) - positive("outlet", outlet)
    )


def mean_temperature_difference(
    hot_in: ArrayLike,
    hot_out: ArrayLike,
    cold_in: ArrayLike,
    cold_out: ArrayLike,
    arrangement: Literal["counterflow", "parallel"] = "counterflow",
) -> Array:
    """Logarithmic mean temperature difference.

    Parameters
    ----------
    hot_in, hot_out, cold_in, cold_out : float or array
        Temperatures on one scale. [K]
    arrangement : str
        ``counterflow`` or ``parallel``.

    Returns
    -------
    float or array
        LMTD; at equal end differences their common value. [K]

    Raises
    ------
    ArgumentError
        The temperatures cross, which no cooler of that arrangement can do.

    References
    ----------
    .. [1] Any heat transfer textbook, for instance Incropera and DeWitt, section 11.3.

    Examples
    --------
    >>> round(float(mean_temperature_difference(423.15, 363.15, 298.15, 353.15)), 1)
    67.5
    """
    hot_1, hot_2 = array("hot_in", hot_in), array("hot_out", hot_out)
    cold_1, cold_2 = array("cold_in", cold_in), array("cold_out", cold_out)
    if arrangement == "parallel":
        first, second = hot_1 - cold_1, hot_2 - cold_2
    elif arrangement == "counterflow":
        first, second = hot_1 - cold_2, hot_2 - cold_1
    else:
        raise ArgumentError(f"arrangement = {arrangement!r}: expected counterflow or parallel.")
    if np.any((first <= 0) | (second <= 0)):
        raise ArgumentError(
            f"End differences of {np.min(first):.3g} K and {np.min(second):.3g} K in "
            f"{arrangement}: expected both above zero; the temperatures cross, so one reading "
            "or the arrangement is wrong."
        )
    ratio = first / second
    near = np.isclose(ratio, 1.0, rtol=1e-6, atol=0.0)
    # Near equal ends the logarithm loses its digits; the series of second order does not.
    logarithm = np.log(np.where(near, 2.0, ratio))
    mean = np.where(near, (first + second) / 2, (first - second) / logarithm)
    return mean[()]


def _parallel(ntu: Array, ratio: Array) -> Array:
    grown: Array = -np.expm1(-ntu * (1 + ratio))
    return grown / (1 + ratio)


def _counterflow(ntu: Array, ratio: Array) -> Array:
    apart = 1 - ratio
    near = apart < 1e-12
    grown = -np.expm1(-ntu * apart)
    usual: Array = grown / np.where(near, 1.0, apart + ratio * grown)
    return np.where(near, ntu / (1 + ntu), usual)


def _shell_and_tube(ntu: Array, ratio: Array) -> Array:
    root = np.sqrt(1 + ratio**2)
    falling = np.exp(-ntu * root)
    resistance: Array = 1 + ratio + root * (1 + falling) / np.maximum(1 - falling, 1e-300)
    return 2 / resistance


def _crossflow(ntu: Array, ratio: Array) -> Array:
    """Both streams unmixed, Mason's series: products of the tails of two Poisson distributions."""
    surface = np.minimum(ntu, HIGHEST_NTU)
    other = np.maximum(ratio, 1e-6) * surface
    term_1, term_2 = np.exp(-surface), np.exp(-other)
    tail_1, tail_2 = -np.expm1(-surface), -np.expm1(-other)
    total: Array = tail_1 * tail_2
    highest = float(np.nanmax(surface, initial=0.0))
    for n in range(1, int(highest + 12 * math.sqrt(highest)) + 40):
        term_1, term_2 = term_1 * surface / n, term_2 * other / n
        tail_1, tail_2 = tail_1 - term_1, tail_2 - term_2
        total = total + tail_1 * tail_2
    divisor: Array = np.where(other > 0, other, 1.0)
    return total / divisor


def _larger_mixed(ntu: Array, ratio: Array) -> Array:
    grown = -np.expm1(-ntu)
    near = ratio < 1e-9
    usual = -np.expm1(-ratio * grown) / np.where(near, 1.0, ratio)
    return np.where(near, grown, usual)


def _smaller_mixed(ntu: Array, ratio: Array) -> Array:
    near = ratio < 1e-9
    grown = np.where(near, ntu, -np.expm1(-ratio * ntu) / np.where(near, 1.0, ratio))
    mixed: Array = -np.expm1(-grown)
    return mixed


_EFFECTIVENESS: dict[str, Callable[[Array, Array], Array]] = {
    "counterflow": _counterflow,
    "parallel": _parallel,
    "shell and tube": _shell_and_tube,
    "crossflow": _crossflow,
    "crossflow, larger mixed": _larger_mixed,
    "crossflow, smaller mixed": _smaller_mixed,
}


def effectiveness(
    ntu: ArrayLike, capacity_ratio: ArrayLike, arrangement: Arrangement = "counterflow"
) -> Array:
    """Heat carried over the most that could be carried.

    Parameters
    ----------
    ntu : float or array
        Number of transfer units, conductance over the smaller capacity rate. [-]
    capacity_ratio : float or array
        Smaller over larger capacity rate, 0 to 1. [-]
    arrangement : str
        ``counterflow``, ``parallel``, ``shell and tube`` (one shell pass, an even number of tube
        passes), ``crossflow`` (both streams unmixed), ``crossflow, larger mixed`` or
        ``crossflow, smaller mixed`` (the stream of that capacity rate mixed, the other not).

    Returns
    -------
    float or array
        Effectiveness, 0 to 1. [-]

    References
    ----------
    .. [1] Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, Table 11.3.
    .. [2] Mason, Heat transfer in crossflow, Proc. 2nd U.S. Nat. Congr. Appl. Mech. 1955 (series
       for both streams unmixed; exact, where Table 11.3 gives an approximation).

    Examples
    --------
    >>> round(float(effectiveness(5.0, 0.7)), 7)
    0.9206704
    """
    if arrangement not in _EFFECTIVENESS:
        raise ArgumentError(
            f"arrangement = {arrangement!r}: expected one of {'; '.join(ARRANGEMENTS)}."
        )
    units = not_negative("ntu", ntu)
    ratio = not_negative("capacity_ratio", capacity_ratio)
    if np.any(ratio > 1):
        raise ArgumentError(
            f"capacity_ratio = {np.nanmax(ratio):g}: expected smaller over larger, at most 1."
        )
    return _EFFECTIVENESS[arrangement](units, ratio)[()]


def transfer_units(
    effectiveness_reached: ArrayLike,
    capacity_ratio: ArrayLike,
    arrangement: Arrangement = "counterflow",
) -> Array:
    """Number of transfer units that gives an effectiveness: the inverse of `effectiveness`.

    Returns
    -------
    float or array
        NTU. [-] NaN where no surface of that arrangement reaches the effectiveness.

    References
    ----------
    .. [1] Inverted by halving, so that all arrangements share one formula.

    Examples
    --------
    >>> round(float(transfer_units(0.9206704, 0.7)), 3)
    5.0
    """
    sought, ratio = np.broadcast_arrays(
        not_negative("effectiveness_reached", effectiveness_reached),
        not_negative("capacity_ratio", capacity_ratio),
    )
    low, high = np.zeros(sought.shape), np.full(sought.shape, HIGHEST_NTU)
    reachable = sought <= effectiveness(high, ratio, arrangement)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        below = effectiveness(middle, ratio, arrangement) < sought
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return np.where(reachable, (low + high) / 2, np.nan)[()]


def heat_carried(
    hot_in: ArrayLike,
    cold_in: ArrayLike,
    hot_capacity_rate: ArrayLike,
    cold_capacity_rate: ArrayLike,
    conductance: ArrayLike,
    arrangement: Arrangement = "counterflow",
) -> Array:
    """Heat that a cooler of known conductance carries over.

    Parameters
    ----------
    hot_in, cold_in : float or array
        Inlet temperatures. [K]
    hot_capacity_rate, cold_capacity_rate : float or array
        Of the two streams. [W/K]
    conductance : float or array
        U A of the surface. [W/K]
    arrangement : str
        As for `effectiveness`.

    Returns
    -------
    float or array
        Heat from the hot to the cold stream; negative where the "cold" one is hotter. [W]

    References
    ----------
    .. [1] Effectiveness-NTU method, textbook.

    Examples
    --------
    >>> round(float(heat_carried(331.15, 301.15, 860.0, 1863.0, 600.0)) / 1e3, 2)
    11.83
    """
    hot = positive("hot_capacity_rate", hot_capacity_rate)
    cold = positive("cold_capacity_rate", cold_capacity_rate)
    smaller, larger = np.minimum(hot, cold), np.maximum(hot, cold)
    units = not_negative("conductance", conductance) / smaller
    reached = effectiveness(units, smaller / larger, arrangement)
    return reached * smaller * (array("hot_in", hot_in) - array("cold_in", cold_in))


def outlet_temperatures(
    hot_in: ArrayLike,
    cold_in: ArrayLike,
    hot_capacity_rate: ArrayLike,
    cold_capacity_rate: ArrayLike,
    conductance: ArrayLike,
    arrangement: Arrangement = "counterflow",
) -> tuple[Array, Array]:
    """Outlet temperatures of both streams.

    Parameters
    ----------
    hot_in, cold_in, hot_capacity_rate, cold_capacity_rate, conductance, arrangement
        As for `heat_carried`.

    Returns
    -------
    tuple of arrays
        Outlet of the hot and of the cold stream. [K]

    References
    ----------
    .. [1] Effectiveness-NTU method, textbook.

    Examples
    --------
    >>> [round(float(t), 2) for t in outlet_temperatures(58.0, 28.0, 860.0, 1863.0, 600.0)]
    [44.24, 34.35]
    """
    carried = heat_carried(
        hot_in, cold_in, hot_capacity_rate, cold_capacity_rate, conductance, arrangement
    )
    hot_out = array("hot_in", hot_in) - carried / array("hot_capacity_rate", hot_capacity_rate)
    cold_out = array("cold_in", cold_in) + carried / array("cold_capacity_rate", cold_capacity_rate)
    return hot_out, cold_out


def conductance(
    hot_in: ArrayLike,
    hot_out: ArrayLike,
    cold_in: ArrayLike,
    hot_capacity_rate: ArrayLike,
    cold_capacity_rate: ArrayLike,
    arrangement: Arrangement = "counterflow",
) -> Array:
    """Conductance U A of the surface from what it does now.

    Parameters
    ----------
    hot_in, hot_out, cold_in : float or array
        Temperatures. [K]
    hot_capacity_rate, cold_capacity_rate : float or array
        Of the two streams. [W/K]
    arrangement : str
        As for `effectiveness`.

    Returns
    -------
    float or array
        Conductance. [W/K] NaN where no surface could do it: then a reading is wrong.

    References
    ----------
    .. [1] Effectiveness-NTU method, textbook.

    Examples
    --------
    >>> round(float(conductance(58.0, 44.2446, 28.0, 860.0, 1863.0)))
    600
    """
    hot = positive("hot_capacity_rate", hot_capacity_rate)
    cold = positive("cold_capacity_rate", cold_capacity_rate)
    smaller, larger = np.minimum(hot, cold), np.maximum(hot, cold)
    drop = array("hot_in", hot_in) - array("hot_out", hot_out)
    span = array("hot_in", hot_in) - array("cold_in", cold_in)
    if np.any(span == 0):
        raise ArgumentError("hot_in and cold_in are equal: expected a difference to judge by.")
    reached = hot * drop / (smaller * span)
    if np.any(reached < 0):
        raise ArgumentError(
            f"hot_out = {np.max(array('hot_out', hot_out)):g}: expected between hot_in and cold_in."
        )
    return smaller * transfer_units(reached, smaller / larger, arrangement)


def water_needed(
    oil_in: float,
    oil_out: float,
    water_in: float,
    oil_capacity_rate: float,
    conductance: float,
    arrangement: Arrangement = "counterflow",
) -> float:
    """Capacity rate of cooling water that brings the oil to a wanted outlet temperature.

    Parameters
    ----------
    oil_in, oil_out, water_in : float
        Temperatures; `oil_out` is the wanted one. [K]
    oil_capacity_rate : float
        [W/K]
    conductance : float
        U A of the surface, as it is now. [W/K]
    arrangement : str
        As for `effectiveness`.

    Returns
    -------
    float
        Capacity rate of the water; over its density and heat capacity it is the flow. [W/K]

    Raises
    ------
    ArgumentError
        No amount of water reaches it: the surface is too small or fouled, or the water too warm.

    References
    ----------
    .. [1] Root of outlet(water) = wanted at fixed conductance, by halving of the logarithm.

    Examples
    --------
    >>> round(water_needed(331.15, 318.15, 301.15, 860.0, 600.0), 1)
    1160.7
    """
    if not water_in < oil_out < oil_in:
        raise ArgumentError(
            f"oil_out = {oil_out:g} K: expected between water_in = {water_in:g} K and "
            f"oil_in = {oil_in:g} K."
        )
    positive("conductance", conductance)
    oil = float(positive("oil_capacity_rate", oil_capacity_rate))
    wanted = oil * (oil_in - oil_out)

    def carried(log_rate: float) -> float:
        rate = math.exp(log_rate)
        return float(heat_carried(oil_in, water_in, oil, rate, conductance, arrangement))

    low, high = math.log(oil / WATER_SEARCH), math.log(oil * WATER_SEARCH)
    most = carried(high)
    if most < wanted:
        coldest = oil_in - most / oil
        raise ArgumentError(
            f"oil_out = {oil_out:g} K: no amount of water reaches it; with this surface and this "
            f"water the coldest is {coldest:.1f} K ({coldest - 273.15:.1f} °C)."
        )
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if carried(middle) < wanted else (low, middle)
    return math.exp((low + high) / 2)
