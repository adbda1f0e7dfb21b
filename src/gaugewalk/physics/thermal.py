"""Heat in a pump: temperature rise, the flow that carries it off, and the time to boil without.

All losses are taken to go into the liquid, and the compression of the liquid is left out. A pump
that runs against closed valves can burst: the times here are for judging, never for waiting.
"""

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.arguments import Array, array, not_negative, positive, share
from gaugewalk.physics.constants import GRAVITY
from gaugewalk.physics.curve import PumpCurve, head_at, power_at

CUSTOMARY_RISE = 15 / 1.8
"""Temperature rise commonly allowed at minimum flow, [K]; 15 °F in pump handbooks."""


def temperature_rise(head: ArrayLike, efficiency: ArrayLike, specific_heat: ArrayLike) -> Array:
    """Return how much a liquid warms on its way through a pump, g H (1 - η)/(η c_p).

    Parameters
    ----------
    head : float or array
        [m]
    efficiency : float or array
        At that flow, above 0 and at most 1. [-]
    specific_heat : float or array
        [J/(kg K)]

    Returns
    -------
    array
        Temperature rise. [K]

    References
    ----------
    .. [1] Energy balance; pump handbooks print ΔT = H/(778 c) (1/η - 1) in US units.

    Examples
    --------
    >>> round(float(temperature_rise(100.0, 0.20, 4184.0)), 4)
    0.9375
    """
    eta = share("efficiency", efficiency)
    c = positive("specific_heat", specific_heat)
    return np.asarray(GRAVITY * array("head", head) * (1 - eta) / (eta * c))[()]


def temperature_rise_from_power(
    power: ArrayLike,
    flow: ArrayLike,
    head: ArrayLike,
    density: ArrayLike,
    specific_heat: ArrayLike,
) -> Array:
    """Return how much a liquid warms on its way through a pump, (P - ρ g Q H)/(ρ Q c_p).

    Parameters
    ----------
    power : float or array
        Shaft power. [W]
    flow : float or array
        Above zero. [m3/s]
    head, density, specific_heat : float or array
        [m, kg/m3, J/(kg K)]

    Returns
    -------
    array
        Temperature rise. [K]

    Examples
    --------
    >>> round(float(temperature_rise_from_power(7530.0, 0.02, 25.0, 998.2, 4184.0)), 4)
    0.0316
    """
    mass_flow = positive("density", density) * positive("flow", flow)
    loss = array("power", power) - mass_flow * GRAVITY * array("head", head)
    return np.asarray(loss / (mass_flow * positive("specific_heat", specific_heat)))[()]


def minimum_thermal_flow(
    power: ArrayLike,
    density: ArrayLike,
    specific_heat: ArrayLike,
    allowed_rise: ArrayLike = CUSTOMARY_RISE,
) -> Array:
    """Return the flow that keeps the temperature rise within bounds, P/(ρ c_p ΔT).

    Parameters
    ----------
    power : float or array
        Shaft power near shut-off, all of it taken as heat. [W]
    density, specific_heat : float or array
        [kg/m3, J/(kg K)]
    allowed_rise : float or array
        [K]; for a liquid near boiling it must be smaller than its margin.

    Returns
    -------
    array
        Minimum continuous thermal flow. [m3/s]

    Notes
    -----
    The stable minimum flow, which the maker states, is nearly always greater.

    References
    ----------
    .. [1] Pump handbooks: Q = P/(2.95 c SG) in US gpm and hp for a rise of 15 °F.

    Examples
    --------
    >>> round(float(minimum_thermal_flow(25e3, 998.2, 4184.0)) * 3600, 2)
    2.59
    """
    heat = positive("density", density) * positive("specific_heat", specific_heat)
    rise = positive("allowed_rise", allowed_rise)
    return np.asarray(not_negative("power", power) / (heat * rise))[()]


def minimum_thermal_flow_on_curve(
    curve: PumpCurve, density: float, specific_heat: float, allowed_rise: float = CUSTOMARY_RISE
) -> float:
    """Return the smallest flow of a curve at which the temperature rise is within bounds.

    Parameters
    ----------
    curve : PumpCurve
        At the speed at which the pump runs, with a power row.
    density, specific_heat : float
        [kg/m3, J/(kg K)]
    allowed_rise : float
        [K]

    Returns
    -------
    float
        Flow. [m3/s]

    Raises
    ------
    ArgumentError
        The rise is too large at every flow of the curve, or the curve has no power row.

    Examples
    --------
    >>> curve = PumpCurve(speed=49.0, flow=[0.0, 0.01], head=[40.0, 36.0], power=[2e3, 5e3])
    >>> flow = minimum_thermal_flow_on_curve(curve, 998.2, 4184.0)
    >>> 5e-5 < flow < 6e-5
    True
    """
    rise = float(positive("allowed_rise", allowed_rise))

    def excess(flow: float) -> float:
        power = float(power_at(curve, flow, density))
        head = float(head_at(curve, flow))
        return power - density * flow * (GRAVITY * head + specific_heat * rise)

    low, high = float(curve.flow[0]), float(curve.flow[-1])
    if excess(low) <= 0:
        return low
    if excess(high) > 0:
        raise ArgumentError(f"allowed_rise = {rise:g} K is passed at every flow of the curve.")
    for _ in range(100):
        middle = (low + high) / 2
        low, high = (middle, high) if excess(middle) > 0 else (low, middle)
    return high


def heating_rate(
    power: ArrayLike,
    liquid_mass: ArrayLike,
    specific_heat: ArrayLike,
    *,
    metal_mass: ArrayLike = 0.0,
    metal_specific_heat: float = 460.0,
) -> Array:
    """Return how fast a pump without flow warms, P/(m c + M C).

    Parameters
    ----------
    power : float or array
        Shaft power at shut-off. [W]
    liquid_mass : float or array
        Liquid shut in. [kg]
    specific_heat : float or array
        Of the liquid. [J/(kg K)]
    metal_mass : float or array
        Of the casing that warms along; 0 is on the cautious side. [kg]
    metal_specific_heat : float
        Of the casing; about 460 for cast iron and steel (common practice). [J/(kg K)]

    Returns
    -------
    array
        Rate of temperature rise. [K/s]

    References
    ----------
    .. [1] Energy balance. A pump maker's newsletter (2006) prints 0.3 °C/s for 25 kW in 20 L of
       water.

    Examples
    --------
    >>> round(float(heating_rate(25e3, 20.0, 4184.0)), 2)
    0.3
    """
    capacity = positive("liquid_mass", liquid_mass) * positive("specific_heat", specific_heat)
    metal = not_negative("metal_mass", metal_mass) * positive(
        "metal_specific_heat", metal_specific_heat
    )
    return np.asarray(not_negative("power", power) / (capacity + metal))[()]


def time_to_temperature(
    rate: ArrayLike,
    temperature: ArrayLike,
    target: ArrayLike,
    *,
    ambient: ArrayLike | None = None,
    time_constant: ArrayLike | None = None,
) -> Array:
    """Return how long a pump without flow takes to reach a temperature, such as boiling.

    Without loss (T2 - T1)/rate; with heat lost to the surroundings, the first-order answer.

    Parameters
    ----------
    rate : float or array
        As by `heating_rate`, above zero. [K/s]
    temperature, target : float or array
        Now, and the one to be reached. [K]
    ambient : float or array, optional
        Of the surroundings, together with the time constant. [K]
    time_constant : float or array, optional
        Heat capacity of pump and liquid over the heat lost per kelvin. [s]

    Returns
    -------
    array
        Time; 0 where it is reached already, infinite where it never is. [s]

    Raises
    ------
    ArgumentError
        Rate or time constant not above zero, ambient without time constant or the reverse.

    Notes
    -----
    Never a licence to wait: stop a deadheaded pump at once under the site's procedure.

    Examples
    --------
    >>> round(float(time_to_temperature(0.3, 293.15, 373.12)))
    267
    """
    speed, start, end = (
        positive("rate", rate),
        array("temperature", temperature),
        array("target", target),
    )
    if (ambient is None) != (time_constant is None):
        raise ArgumentError("ambient and time_constant belong together; give both or none.")
    if ambient is None or time_constant is None:
        return np.maximum((end - start) / speed, 0.0)[()]
    tau = positive("time_constant", time_constant)
    final = array("ambient", ambient) + speed * tau
    with np.errstate(divide="ignore", invalid="ignore"):
        time = tau * np.log((final - start) / (final - end))
    time = np.where(end >= final, np.inf, time)
    return np.where(end <= start, 0.0, time)[()]
