"""Grease: how much, how often, and how many turns of the cup."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.errors import ArgumentError, OutOfRangeError
from gaugewalk.physics.arguments import Array, positive
from gaugewalk.physics.constants import ZERO_CELSIUS

CHARGE = 5.0  # [kg/m2]; 0.005 g/mm2 (public relubrication standards, trade magazines)
GREASE_DENSITY = 900.0  # [kg/m3]; common practice, no source
TYPE_FACTOR = {"ball": 10.0, "cylindrical roller": 5.0, "other roller": 1.0}
HOT = 70 + ZERO_CELSIUS  # [K]; above it the interval halves for every HALVING
HALVING = 15.0  # [K]
HIGHEST = 120 + ZERO_CELSIUS  # [K]; ordinary lithium greases no longer last; common practice

# Trade table of correction factors; published in lubrication trade magazines, from memory,
# unverified.
CONTAMINATION_FACTOR = {
    "light dust": 1.0, "severe dust": 0.7, "light abrasive": 0.4, "severe abrasive": 0.2,
}  # fmt: skip
MOISTURE_FACTOR = {"dry": 1.0, "humid": 0.7, "condensation": 0.4, "water on housing": 0.1}
_INTERVAL_SOURCE = "t = K (14e6 / (n sqrt d) - 4 d), n in r/min, d in mm"

Kind = Literal["ball", "cylindrical roller", "other roller"]


def charge_mass(outside_diameter: ArrayLike, width: ArrayLike) -> Array:
    """Mass of grease for one regreasing.

    Parameters
    ----------
    outside_diameter, width : float or array
        Of the bearing. [m]

    Returns
    -------
    float or array
        [kg]

    Notes
    -----
    The inch form with 0.114 gives the same; one corporate standard prints 0.1, 12 % less. Too much
    heats a bearing as surely as too little; leave the drain open while it runs out.

    References
    ----------
    .. [1] G = 0.005 D B (g, mm): corporate relubrication standards and trade magazines.

    Examples
    --------
    >>> round(float(charge_mass(0.100, 0.025)) * 1e3, 3)
    12.5
    """
    return CHARGE * positive("outside_diameter", outside_diameter) * positive("width", width)


@dataclass(frozen=True, slots=True, kw_only=True)
class GreaseService:
    """How a greased bearing is used; what is not given does not shorten the interval."""

    temperature: float | None = None  # of the bearing, [K]
    vertical: bool = False
    contamination: str = "light dust"
    moisture: str = "dry"

    def factor(self) -> float:
        """Return the product of the corrections, at most 1, [-]."""
        result = 0.5 if self.vertical else 1.0
        for name, given, known in (
            ("contamination", self.contamination, CONTAMINATION_FACTOR),
            ("moisture", self.moisture, MOISTURE_FACTOR),
        ):
            if given not in known:
                raise ArgumentError(f"{name} = {given!r}: expected one of {', '.join(known)}.")
            result *= known[given]
        if self.temperature is None:
            return result
        if self.temperature > HIGHEST:
            raise OutOfRangeError(
                "temperature", self.temperature, ZERO_CELSIUS, HIGHEST,
                "ordinary lithium grease, common practice",
                "Ask for a high-temperature grease and its own interval.",
            )  # fmt: skip
        return result * float(0.5 ** max((self.temperature - HOT) / HALVING, 0.0))


def regrease_interval(
    speed: ArrayLike, bore: ArrayLike, kind: Kind = "ball", service: GreaseService | None = None
) -> Array:
    """Running time after which a bearing should be regreased.

    Parameters
    ----------
    speed : float or array
        [1/s]
    bore : float or array
        [m]
    kind : str
        ``ball``, ``cylindrical roller`` (also needle) or ``other roller`` (spherical, taper,
        thrust).
    service : GreaseService, optional
        Corrections; none: up to 70 °C, horizontal, clean and dry.

    Returns
    -------
    float or array
        Running time. [s]

    Raises
    ------
    OutOfRangeError
        So fast that the formula gives nothing.

    Notes
    -----
    An orientation, good to a factor of two. The bearing and grease makers' word comes first.

    References
    ----------
    .. [1] "Classical empirical formula" of public engineering guides; halving for every 15 K above
       70 °C and for a vertical shaft from a bearing maker's public table.

    Examples
    --------
    >>> round(float(regrease_interval(1500 / 60, 0.045)) / 3600, 1)
    12113.3
    """
    if kind not in TYPE_FACTOR:
        raise ArgumentError(f"kind = {kind!r}: expected one of {', '.join(TYPE_FACTOR)}.")
    n, d = positive("speed", speed) * 60, positive("bore", bore) * 1e3
    hours = TYPE_FACTOR[kind] * (14e6 / (n * np.sqrt(d)) - 4 * d)
    if np.any(hours <= 0):
        fastest = float(np.min(14e6 / (4 * d**1.5)))
        raise OutOfRangeError("speed in r/min", float(np.max(n)), 0.0, fastest, _INTERVAL_SOURCE)
    interval: Array = hours * 3600 * (service or GreaseService()).factor()
    return interval


def cup_mass_per_turn(
    plunger_diameter: ArrayLike, thread_pitch: ArrayLike, density: ArrayLike = GREASE_DENSITY
) -> Array:
    """Mass of grease that one full turn of a screw-down grease cup pushes out.

    Parameters
    ----------
    plunger_diameter : float or array
        Inside diameter of the cup. [m]
    thread_pitch : float or array
        Travel of the cap in one turn. [m]
    density : float or array
        Of the grease. [kg/m3]

    Returns
    -------
    float or array
        [kg]

    References
    ----------
    .. [1] Volume of a cylinder; density 900 kg/m3 common practice, no source.

    Examples
    --------
    >>> round(float(cup_mass_per_turn(0.030, 0.0015)) * 1e3, 3)
    0.954
    """
    area: Array = np.pi / 4 * positive("plunger_diameter", plunger_diameter) ** 2
    return area * positive("thread_pitch", thread_pitch) * positive("density", density)


def cup_turns(mass: ArrayLike, mass_per_turn: ArrayLike) -> Array:
    """Turns of a grease cup that give a mass of grease.

    Examples
    --------
    >>> round(float(cup_turns(0.0125, 0.954e-3)), 1)
    13.1
    """
    return positive("mass", mass) / positive("mass_per_turn", mass_per_turn)


def cup_turns_per_round(
    charge: ArrayLike, interval: ArrayLike, round_every: ArrayLike, mass_per_turn: ArrayLike
) -> Array:
    """Turns at each round that spread one charge evenly over its interval.

    Parameters
    ----------
    charge : float or array
        Mass for one regreasing. [kg]
    interval, round_every : float or array
        Regreasing interval, and time between two rounds. [s]
    mass_per_turn : float or array
        [kg]

    Returns
    -------
    float or array
        Turns each round. [-]

    References
    ----------
    .. [1] Mass balance. A cup turned "once a watch" usually gives far more than this.

    Examples
    --------
    >>> round(float(cup_turns_per_round(0.0125, 2000 * 3600, 24 * 3600, 0.954e-3)), 2)
    0.16
    """
    share_of_interval = positive("round_every", round_every) / positive("interval", interval)
    return cup_turns(charge, mass_per_turn) * share_of_interval
