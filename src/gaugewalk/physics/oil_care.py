"""Care of the oil: how clean, how long, how hot, and how many drops from a hand oiler."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.arguments import Array, not_negative, temperature_within
from gaugewalk.physics.constants import ZERO_CELSIUS

# ISO 4406:1999/2017, upper end of each scale number from 0, particles per mL. Rounded by the
# standard (640, 1300, 2500), not powers of two.
SCALE_UPPER = (
    0.01, 0.02, 0.04, 0.08, 0.16, 0.32, 0.64, 1.3, 2.5, 5, 10, 20, 40, 80, 160, 320, 640, 1300,
    2500, 5000, 10_000, 20_000, 40_000, 80_000, 160_000, 320_000, 640_000, 1_300_000, 2_500_000,
)  # fmt: skip

# Oil bath change interval: (oil temperature [K], months); a bearing maker's public catalog page.
CHANGE_COOL = (50 + ZERO_CELSIUS, 12.0)
CHANGE_HOT = (100 + ZERO_CELSIUS, 3.0)
MONTH = 365.25 / 12 * 86400.0  # [s]

# MIL-HDBK-1164, Table 15: most starts a day and drops per minute of a hand oiler.
HAND_OILER = (
    (2.0, 1 / 15, 1 / 15),
    (12.0, 1 / 4, 1 / 4),
    (50.0, 1 / 2, 1 / 2),
    (float("inf"), 2.0, 4.0),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BearingLimit:
    """One published limit of oil or bearing temperature."""

    what: str
    limit: float  # [K]; a temperature, or a rise where `rise` is set
    rise: bool
    source: str


def _limit(what: str, celsius: float, source: str) -> BearingLimit:
    return BearingLimit(what=what, limit=celsius + ZERO_CELSIUS, rise=False, source=source)


def _rise(what: str, kelvin: float, source: str) -> BearingLimit:
    return BearingLimit(what=what, limit=kelvin, rise=True, source=source)


_API_610 = "API 610, 6.10.2.4, as quoted publicly"
_API_612 = "API 612 (2014), 10.4.1, as quoted publicly"
BEARING_LIMITS = {
    "forced feed": (
        _limit("oil leaving the bearing", 70, _API_610),
        _limit("bearing metal", 93, _API_610),
        _rise("oil through the bearing, shop test", 28, _API_610),
        _limit("oil coming in, above which special care is needed", 50, _API_612),
    ),
    "ring or splash": (
        _limit("oil in the sump", 82, "API 610, from memory, unverified"),
        _rise("sump over ambient, shop test", 40, _API_610),
    ),
    "turbine": (
        _limit("oil leaving the bearing", 80, _API_612),
        _rise("oil through the bearing", 30, _API_612),
    ),
    "compressor": (_limit("bearing metal, design", 100, "API 617 (2014), 4.9.1.3, as quoted"),),
}
USUAL_BALL_BEARING = (49 + ZERO_CELSIUS, 82 + ZERO_CELSIUS)  # VG 68, process-pump manual (public)
SURFACE_BELOW_BEARING = 11.0  # [K], rule of the same manual
SUPPLY_WINDOW = (40 + ZERO_CELSIUS, 50 + ZERO_CELSIUS)  # VG 32/46, common practice, no source


def scale_number(particles_per_ml: float) -> int:
    """Scale number of ISO 4406 for a count of particles per mL.

    Examples
    --------
    >>> scale_number(3000.0)
    19
    """
    count = float(not_negative("particles_per_ml", particles_per_ml))
    if count > SCALE_UPPER[-1]:
        raise ArgumentError(
            f"particles_per_ml = {count:g}: expected at most {SCALE_UPPER[-1]:g}, the end of "
            "ISO 4406."
        )
    return int(np.searchsorted(SCALE_UPPER, count, side="left"))


def cleanliness_code(above_4: float, above_6: float, above_14: float) -> str:
    """Cleanliness code of an oil.

    Parameters
    ----------
    above_4, above_6, above_14 : float
        Particles larger than 4, 6 and 14 um(c). [1/mL]

    Returns
    -------
    str
        Three scale numbers, for instance ``19/16/10``.

    References
    ----------
    .. [1] ISO 4406:2017, Table 1.

    Examples
    --------
    >>> cleanliness_code(3000.0, 500.0, 7.0)
    '19/16/10'
    """
    if not above_4 >= above_6 >= above_14:
        raise ArgumentError(
            f"counts {above_4:g}, {above_6:g}, {above_14:g}: expected not rising with size."
        )
    return "/".join(str(scale_number(count)) for count in (above_4, above_6, above_14))


def oil_change_interval(temperature: ArrayLike) -> Array:
    """Time after which a clean oil bath should be changed.

    Parameters
    ----------
    temperature : float or array
        Of the oil, 0 to 100 °C. [K]

    Returns
    -------
    float or array
        [s]; 12 months up to 50 °C, 3 months at 100 °C, in between straight in the logarithm.

    Notes
    -----
    For clean oil. Water, dirt or a dark or milky look ask for a change now, whatever the date.

    References
    ----------
    .. [1] Public catalog page of a bearing maker (the two end points).

    Examples
    --------
    >>> round(float(oil_change_interval(348.15)) / MONTH, 1)
    6.0
    """
    t = temperature_within(
        "temperature", temperature, ZERO_CELSIUS, CHANGE_HOT[0], "bearing catalog"
    )
    months = np.interp(t, (CHANGE_COOL[0], CHANGE_HOT[0]), np.log((CHANGE_COOL[1], CHANGE_HOT[1])))
    interval: Array = np.exp(months) * MONTH
    return interval


def hand_oiler_rate(starts_per_day: float) -> tuple[float, float]:
    """Drops per minute to set on a hand oiler of a sleeve bearing.

    Parameters
    ----------
    starts_per_day : float
        Of the machine. [-]

    Returns
    -------
    tuple of float
        Lowest and highest rate. [drops/min]

    References
    ----------
    .. [1] MIL-HDBK-1164, Table 15.

    Examples
    --------
    >>> hand_oiler_rate(8)
    (0.25, 0.25)
    """
    starts = float(not_negative("starts_per_day", starts_per_day))
    return next((low, high) for most, low, high in HAND_OILER if starts <= most)


def bearing_limits(lubrication: str) -> tuple[BearingLimit, ...]:
    """Published temperature limits for a way of lubricating.

    Parameters
    ----------
    lubrication : str
        ``forced feed``, ``ring or splash``, ``turbine`` or ``compressor``.

    Examples
    --------
    >>> [round(limit.limit - 273.15) for limit in bearing_limits("forced feed")][:2]
    [70, 93]
    """
    if lubrication not in BEARING_LIMITS:
        raise ArgumentError(
            f"lubrication = {lubrication!r}: expected one of {', '.join(BEARING_LIMITS)}."
        )
    return BEARING_LIMITS[lubrication]
