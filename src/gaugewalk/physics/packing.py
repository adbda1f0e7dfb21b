"""Soft packing: drops and milliliters, how much leak-off is wanted, and the heat it takes away."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.physics.arguments import Array, array, not_negative, positive

# Volume of a drop, [m3]. Water 20 drops/mL, oil 15 drops/mL: pharmacy and trade convention; real
# drops differ by 30 to 40 %.
WATER_DROP = 0.05e-6
OIL_DROP = 1e-6 / 15

FRICTION = 0.1  # packing on a wetted sleeve; articles print 0.05 to 0.2. Common practice.
FLATS = 6  # of a hexagon nut
INCH = 0.0254


@dataclass(frozen=True, slots=True, kw_only=True)
class LeakOffPractice:
    """One published wish for leak-off, in drops per second."""

    words: str
    low: float  # [1/s]
    high: float  # [1/s]
    per_inch: bool  # of shaft diameter
    source: str


def _practice(
    words: str, low: float, high: float, source: str, *, per_inch: bool = False
) -> LeakOffPractice:
    return LeakOffPractice(
        words=words, low=low / 60, high=high / 60, per_inch=per_inch, source=source
    )


# Drops per minute as printed; the sources differ by a factor of 60.
LEAK_OFF_PRACTICES = (
    _practice("flexible graphite, fully run in", 1, 1, "US Army TM 5-4210-233-14&P-2, 6-6"),
    _practice("flexible graphite, run in", 10, 15, "US Army TM 5-4210-233-14&P-2, 6-6"),
    _practice("for each inch of shaft", 8, 10, "trade practice, no source", per_inch=True),
    _practice("usual packing", 40, 60, "packing vendor page (public), common practice"),
    _practice("fire pump", 5, 60, "fire-pump maker's article (public)"),
    _practice("water works", 60, 60, "operator examination text (public): a drop a second"),
)


def leak_rate(drop_rate: ArrayLike, drop_volume: ArrayLike = WATER_DROP) -> Array:
    """Volume flow of a count of drops.

    Parameters
    ----------
    drop_rate : float or array
        Drops per second. [1/s]
    drop_volume : float or array
        Of one drop; water by default. [m3]

    Returns
    -------
    float or array
        [m3/s]

    Notes
    -----
    A drop differs by 30 % and more; for a figure that matters catch it in a measuring cup.

    References
    ----------
    .. [1] 20 drops to the milliliter, pharmacy and trade convention.

    Examples
    --------
    >>> round(float(leak_rate(40 / 60)) * 60e6, 3)
    2.0
    """
    return not_negative("drop_rate", drop_rate) * positive("drop_volume", drop_volume)


def drop_rate(leakage: ArrayLike, drop_volume: ArrayLike = WATER_DROP) -> Array:
    """Drops per second of a volume flow [m3/s]: the inverse of `leak_rate`.

    Examples
    --------
    >>> round(float(drop_rate(2.0 / 60e6)) * 60, 3)
    40.0
    """
    return not_negative("leakage", leakage) / positive("drop_volume", drop_volume)


def leak_off_wishes(
    shaft_diameter: float, drop_volume: float = WATER_DROP
) -> tuple[tuple[LeakOffPractice, float, float], ...]:
    """Every published wish for leak-off at this shaft, smallest first.

    Parameters
    ----------
    shaft_diameter : float
        Of the shaft or sleeve. [m]
    drop_volume : float
        [m3]

    Returns
    -------
    tuple of (LeakOffPractice, low, high)
        Leak-off from low to high. [m3/s]

    Notes
    -----
    They differ by a factor of 60, so the right one is a setting of the pump, not of a book: what
    this packing in this liquid needs to stay cool. In light-liquid organic service any drip
    counts as a leak.

    References
    ----------
    .. [1] Named in each practice.

    Examples
    --------
    >>> wishes = leak_off_wishes(0.0508)
    >>> round(wishes[0][1] * 60e6, 3), round(wishes[-1][2] * 60e6, 3)
    (0.05, 3.0)
    """
    inches = float(positive("shaft_diameter", shaft_diameter)) / INCH
    volume = float(positive("drop_volume", drop_volume))
    rows = []
    for practice in LEAK_OFF_PRACTICES:
        size = inches if practice.per_inch else 1.0
        rows.append((practice, practice.low * size * volume, practice.high * size * volume))
    return tuple(sorted(rows, key=lambda row: row[1]))


def leak_off_window(
    shaft_diameter: float, drop_volume: float = WATER_DROP
) -> tuple[float, float, float]:
    """Low, middle and high leak-off for a start, until the pump has its own target.

    Parameters
    ----------
    shaft_diameter : float
        [m]
    drop_volume : float
        [m3]

    Returns
    -------
    tuple of float
        Half and double the trade rule of 8 to 10 drops a minute for each inch of shaft, its
        middle between them. [m3/s]

    Notes
    -----
    Common practice, no source; see `leak_off_wishes` for how widely the books differ.

    Examples
    --------
    >>> [round(q * 60e6, 2) for q in leak_off_window(0.0508)]
    [0.45, 0.9, 1.8]
    """
    inches = float(positive("shaft_diameter", shaft_diameter)) / INCH
    middle = 9 / 60 * inches * float(positive("drop_volume", drop_volume))
    return middle / 2, middle, middle * 2


def friction_heat(
    contact_pressure: ArrayLike,
    shaft_diameter: ArrayLike,
    packed_length: ArrayLike,
    speed: ArrayLike,
    friction: ArrayLike = FRICTION,
) -> Array:
    """Heat made by packing on a turning shaft, as an estimate.

    Parameters
    ----------
    contact_pressure : float or array
        Mean radial pressure of the packing on the shaft; at least the pressure sealed. [Pa]
    shaft_diameter, packed_length : float or array
        [m]
    speed : float or array
        [1/s]
    friction : float or array
        Coefficient of friction. [-]

    Returns
    -------
    float or array
        [W]

    Notes
    -----
    Good to a factor of two: neither the pressure nor the friction is known at a running gland.

    References
    ----------
    .. [1] Friction force times surface speed; the coefficient is common practice, no source.

    Examples
    --------
    >>> round(float(friction_heat(3e5, 0.050, 0.060, 1450 / 60)))
    1073
    """
    diameter = positive("shaft_diameter", shaft_diameter)
    surface = np.pi * diameter * positive("packed_length", packed_length)
    force = not_negative("contact_pressure", contact_pressure) * surface
    surface_speed = np.pi * diameter * not_negative("speed", speed)
    heat: Array = not_negative("friction", friction) * force * surface_speed
    return heat


def leak_temperature_rise(
    heat: ArrayLike, leakage: ArrayLike, density: ArrayLike, specific_heat: ArrayLike
) -> Array:
    """Temperature rise of the leak-off if it alone carried the heat away.

    Parameters
    ----------
    heat : float or array
        [W]
    leakage : float or array
        [m3/s]
    density, specific_heat : float or array
        Of the liquid. [kg/m3], [J/(kg K)]

    Returns
    -------
    float or array
        [K]; an upper bound, since the shaft and the box carry most of the heat.

    References
    ----------
    .. [1] Energy balance.

    Examples
    --------
    >>> round(float(leak_temperature_rise(100.0, 60e-6 / 60, 998.0, 4182.0)), 1)
    24.0
    """
    carried = (
        positive("leakage", leakage)
        * positive("density", density)
        * positive("specific_heat", specific_heat)
    )
    return not_negative("heat", heat) / carried


def gland_travel(flats: ArrayLike, thread_pitch: ArrayLike) -> Array:
    """Travel of the gland when its nuts are turned by a number of flats.

    Parameters
    ----------
    flats : float or array
        One flat is a sixth of a turn; negative loosens. [-]
    thread_pitch : float or array
        Of the studs. [m]

    Returns
    -------
    float or array
        [m]

    References
    ----------
    .. [1] US Army TM 5-4210-233-14&P-2: tighten by one flat, evenly, and wait.

    Examples
    --------
    >>> round(float(gland_travel(1, 0.00175)) * 1e3, 3)
    0.292
    """
    return array("flats", flats) / FLATS * positive("thread_pitch", thread_pitch)
