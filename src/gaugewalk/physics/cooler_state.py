"""What an oil cooler's four temperatures say: too much water, too little, fouled, warm, or fine.

The heat that the bearings give is taken as given, so that each cause has its own share of the
departure of the oil temperature, in kelvin. The words are for a person at the cooler.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.arguments import Array, array, positive
from gaugewalk.physics.constants import ZERO_CELSIUS
from gaugewalk.physics.cooler import Arrangement, conductance, heat_carried

CoolerCause = Literal[
    "none", "too-much-water", "too-little-water", "fouled", "better-surface",
    "warm-water", "cold-water", "more-heat", "less-heat", "readings-do-not-fit",
]  # fmt: skip
LEAST_RISE = 0.5  # K; a smaller rise or drop is lost in the thermometers


@dataclass(frozen=True, slots=True, kw_only=True)
class CoolerInOrder:
    """The same cooler as it was when in order: what the readings are held against."""

    oil_capacity_rate: float  # [W/K]
    clean_conductance: float  # U A of the clean surface, [W/K]
    water_capacity_rate: float  # usual, [W/K]
    water_in: float  # usual, [K]
    duty: float  # usual heat, [W]
    oil_out_low: float  # window of the oil supply temperature, [K]
    oil_out_high: float
    arrangement: Arrangement = "counterflow"

    def __post_init__(self) -> None:
        for name in ("oil_capacity_rate", "clean_conductance", "water_capacity_rate", "duty"):
            positive(name, getattr(self, name))
        if not self.oil_out_low < self.oil_out_high:
            raise ArgumentError(
                f"oil_out_low = {self.oil_out_low:g} K: expected below oil_out_high = "
                f"{self.oil_out_high:g} K."
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class CoolerSays:
    """What the four temperatures say, with the numbers behind it."""

    cause: CoolerCause  # the one with the largest share; `none` while the oil is in its window
    sentence: str
    duty: float  # heat carried over now, [W]; NaN where the readings do not fit
    conductance: float  # U A now, [W/K]
    water_capacity_rate: float  # now, [W/K]
    shares: Mapping[CoolerCause, float]  # shift of the oil outlet due to each, [K]


def cooler_says(
    oil_in: float, oil_out: float, water_in: float, water_out: float, in_order: CoolerInOrder
) -> CoolerSays:
    """Tell from four temperatures why the oil leaves a cooler too hot or too cold.

    Parameters
    ----------
    oil_in, oil_out, water_in, water_out : float
        Temperatures read now, steady. [K]
    in_order : CoolerInOrder
        The cooler when in order, and the window of the oil temperature.

    Returns
    -------
    CoolerSays
        Cause, sentence and the share of each cause in the departure of the oil temperature.

    Notes
    -----
    Holds for steady temperatures and an oil flow that has not changed (a positive-displacement
    oil pump). A three-way valve that sends oil past the cooler looks like a fouled one. Where the
    rise of the water is below half a kelvin its flow cannot be told and is taken as unusually
    large. The shares add up to the departure of `oil_out` from that of the cooler in order.

    References
    ----------
    .. [1] Effectiveness-NTU method; in a loop the heat is given and the temperatures follow:
       oil_out = water_in + Q / (e C_min) - Q / C_oil.

    Examples
    --------
    >>> usual = CoolerInOrder(oil_capacity_rate=860.0, clean_conductance=600.0,
    ...     water_capacity_rate=1160.7, water_in=301.15, duty=11180.0,
    ...     oil_out_low=313.15, oil_out_high=323.15)
    >>> cooler_says(342.15, 329.15, 301.15, 310.78, usual).cause
    'fouled'
    """
    misfit = _misfit(oil_in, oil_out, water_in, water_out)
    if misfit:
        return _unanswered(misfit)
    oil_rate = in_order.oil_capacity_rate
    heat = oil_rate * (oil_in - oil_out)
    water_rate = heat / max(water_out - water_in, LEAST_RISE)
    surface = float(
        conductance(oil_in, oil_out, water_in, oil_rate, water_rate, in_order.arrangement)
    )
    if np.isnan(surface):
        return _unanswered(
            "No surface could cool the oil that far with this rise of the water; read all four "
            "temperatures again, and check that the oil flow is the usual one."
        )
    shares = _shares(heat, surface, water_rate, water_in, in_order)
    cause = _leading(oil_out, shares, in_order)
    return CoolerSays(
        cause=cause,
        sentence=_sentence(cause, oil_out, shares, surface, water_rate, in_order),
        duty=heat,
        conductance=surface,
        water_capacity_rate=water_rate,
        shares=shares,
    )


def _misfit(oil_in: float, oil_out: float, water_in: float, water_out: float) -> str:
    """Return why the four readings cannot be those of a cooler at work, or an empty text."""
    four = positive("temperatures", [oil_in, oil_out, water_in, water_out])
    if np.isnan(four).any():
        return "One of the four temperatures is missing; read all four."
    if water_in >= oil_in:
        return "The water comes in as hot as the oil: two thermometers may be swapped."
    if oil_out < water_in or water_out > oil_in:
        return "An outlet lies outside the two inlets: one of the four readings is wrong."
    if oil_in - oil_out < LEAST_RISE:
        return (
            "The oil hardly changes in the cooler: it flows past it, the oil stands still, "
            "or a thermometer is wrong."
        )
    return ""


def _unanswered(why: str) -> CoolerSays:
    unknown = float("nan")
    return CoolerSays(
        cause="readings-do-not-fit",
        sentence=why,
        duty=unknown,
        conductance=unknown,
        water_capacity_rate=unknown,
        shares={},
    )


def _oil_out(
    heat: float, surface: float, water_rate: float, water_in: float, in_order: CoolerInOrder
) -> float:
    """Oil outlet temperature at which the given heat is carried over, [K]."""
    per_kelvin = float(
        heat_carried(
            1.0, 0.0, in_order.oil_capacity_rate, water_rate, surface, in_order.arrangement
        )
    )
    return water_in + heat / per_kelvin - heat / in_order.oil_capacity_rate


def _shares(
    heat: float, surface: float, water_rate: float, water_in: float, in_order: CoolerInOrder
) -> dict[CoolerCause, float]:
    """Shift of the oil outlet due to each departure, put in one after the other, [K]."""
    usual = (in_order.duty, in_order.clean_conductance, in_order.water_capacity_rate)
    before = _oil_out(*usual, in_order.water_in, in_order)
    steps = (
        (heat, usual[1], usual[2]),
        (heat, usual[1], water_rate),
        (heat, surface, water_rate),
    )
    shifts = []
    for step in steps:
        after = _oil_out(*step, in_order.water_in, in_order)
        shifts.append(after - before)
        before = after
    by_heat, by_water, by_surface = shifts
    by_inlet = water_in - in_order.water_in
    return {
        "more-heat" if by_heat > 0 else "less-heat": by_heat,
        "too-little-water" if by_water > 0 else "too-much-water": by_water,
        "fouled" if by_surface > 0 else "better-surface": by_surface,
        "warm-water" if by_inlet > 0 else "cold-water": by_inlet,
    }


def _leading(
    oil_out: float, shares: Mapping[CoolerCause, float], in_order: CoolerInOrder
) -> CoolerCause:
    if in_order.oil_out_low <= oil_out <= in_order.oil_out_high:
        return "none"
    sign = 1.0 if oil_out > in_order.oil_out_high else -1.0
    return max(shares, key=lambda cause: sign * shares[cause])


_WORDS: dict[CoolerCause, str] = {
    "too-much-water": "more cooling water than usual flows",
    "too-little-water": "less cooling water than usual flows",
    "fouled": "the surface carries less heat than when clean (fouled, or oil goes past it)",
    "better-surface": "the surface carries more heat than when clean (check the oil flow)",
    "warm-water": "the cooling water comes in warmer than usual",
    "cold-water": "the cooling water comes in colder than usual",
    "more-heat": "the oil brings more heat than usual",
    "less-heat": "the oil brings less heat than usual (just started, heater off, or light load)",
}


def _sentence(
    cause: CoolerCause,
    oil_out: float,
    shares: Mapping[CoolerCause, float],
    surface: float,
    water_rate: float,
    in_order: CoolerInOrder,
) -> str:
    low, high = (limit - ZERO_CELSIUS for limit in (in_order.oil_out_low, in_order.oil_out_high))
    place = f"Oil leaves at {oil_out - ZERO_CELSIUS:.1f} °C, window {low:.0f} to {high:.0f} °C"
    numbers = (
        f"Water flow {water_rate / in_order.water_capacity_rate:.0%} of usual, "
        f"surface {surface / in_order.clean_conductance:.0%} of clean."
    )
    if cause == "none":
        return f"{place}: inside. {numbers}"
    side = "hot" if oil_out > in_order.oil_out_high else "cold"
    return (
        f"{place}: too {side}, mostly because {_WORDS[cause]} ({shares[cause]:+.1f} K). {numbers}"
    )


def fouling_resistance(conductance: ArrayLike, clean_conductance: ArrayLike) -> Array:
    """Resistance that dirt has added to the surface.

    Parameters
    ----------
    conductance, clean_conductance : float or array
        U A now and when clean, at the same two flows. [W/K]

    Returns
    -------
    float or array
        Added resistance, over the whole surface. [K/W] Negative: cleaner than "clean".

    Notes
    -----
    Conductance falls with either flow too; compare only at like flows.

    References
    ----------
    .. [1] R = 1/UA - 1/UA_clean, definition.

    Examples
    --------
    >>> round(float(fouling_resistance(420.0, 600.0)) * 1e3, 4)
    0.7143
    """
    now = positive("conductance", conductance)
    return 1 / now - 1 / positive("clean_conductance", clean_conductance)


def fouling_rate(times: ArrayLike, resistances: ArrayLike) -> float:
    """Speed at which dirt builds up, robust against single wrong readings.

    Parameters
    ----------
    times : array, shape (n,)
        [s]
    resistances : array, shape (n,)
        From `fouling_resistance`. [K/W]

    Returns
    -------
    float
        Median of the slopes of all pairs. [K/(W s)]

    Raises
    ------
    ArgumentError
        Fewer than three readings at different times.

    References
    ----------
    .. [1] Sen, Estimates of the regression coefficient based on Kendall's tau, J. Am. Stat. Assoc.
       63 (1968).

    Examples
    --------
    >>> fouling_rate([0.0, 1.0, 2.0, 3.0, 4.0], [0.0, 2.0, 4.0, 6.0, 90.0])
    2.0
    """
    t, r = array("times", times), array("resistances", resistances)
    if t.shape != r.shape or t.ndim != 1:
        raise ArgumentError(
            f"times and resistances: expected two rows of equal length, given {t.shape} and "
            f"{r.shape}."
        )
    known = ~(np.isnan(t) | np.isnan(r))
    t, r = t[known], r[known]
    first, second = np.triu_indices(t.size, k=1)
    apart = t[second] - t[first]
    if np.unique(t).size < 3:
        raise ArgumentError("times: expected at least three readings at different times.")
    return float(np.median((r[second] - r[first])[apart != 0] / apart[apart != 0]))
