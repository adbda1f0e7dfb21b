"""Vibration of bearing housings: zones of severity, and conversions of a sine."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.arguments import Array, not_negative, positive

Zone = Literal["A", "B", "C", "D"]
ROOT_2 = float(np.sqrt(2.0))
INCH = 0.0254

_ISO_7 = "ISO 10816-7:2009, Table A.1 and A.2, public one-page summary"
_ISO_3 = "ISO 10816-3:2009, from memory, unverified; public pages print differing tables"
_ISO_1 = "ISO 10816-1:1995, Annex B (superseded), public reference page"
_API = "API 610, 12th edition, secondary public table"
SEVERITY_BAND = (10.0, 1000.0)  # [Hz], ISO 2954; ISO 10816-7 goes down to 2 Hz for slow pumps
LARGE_POWER = 200e3  # [W] above it ISO 10816-7 allows more


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneLimits:
    """Boundaries of the zones of severity, rms velocity [m/s]."""

    ab: float
    bc: float
    cd: float
    source: str

    def zone(self, velocity: float) -> Zone:
        """Zone of a velocity; on a boundary the better one counts.

        A: as new. B: fit for unrestricted service. C: not for long; find the cause at the next
        chance. D: may do damage.
        """
        value = float(not_negative("velocity", velocity))
        if value <= self.bc:
            return "A" if value <= self.ab else "B"
        return "C" if value <= self.cd else "D"


# Printed values, mm/s rms: (A/B, B/C, C/D).
PUMP_ZONES_MMS = {
    ("I", "small"): (2.5, 4.0, 6.6),
    ("I", "large"): (3.5, 5.0, 7.6),
    ("II", "small"): (3.2, 5.1, 8.5),
    ("II", "large"): (4.2, 6.1, 9.5),
}
# Largest alarm and trip of the same table, about 1.25 times B/C and C/D.
PUMP_ALARM_TRIP_MMS = {
    ("I", "small"): (5.0, 8.3),
    ("I", "large"): (6.3, 9.5),
    ("II", "small"): (6.4, 10.6),
    ("II", "large"): (7.6, 11.9),
}
# Acceptance: (site preferred, site allowable, shop preferred, shop allowable). The lower row is
# given to the site: the row labels of the public summary are garbled, so from memory.
PUMP_ACCEPTANCE_MMS = {
    ("I", "small"): (2.5, 3.4, 3.3, 4.0),
    ("I", "large"): (3.5, 4.4, 4.3, 5.0),
    ("II", "small"): (3.2, 4.2, 4.2, 5.1),
    ("II", "large"): (4.2, 5.2, 5.2, 6.1),
}
DISPLACEMENT_ZONES_UM = (50.0, 80.0, 130.0)  # peak to peak, same source
MACHINE_ZONES_MMS = {
    (1, "rigid"): (2.3, 4.5, 7.1),
    (1, "flexible"): (3.5, 7.1, 11.0),
    (2, "rigid"): (1.4, 2.8, 4.5),
    (2, "flexible"): (2.3, 4.5, 7.1),
}
CLASS_ZONES_MMS = {
    "I": (0.71, 1.8, 4.5),
    "II": (1.12, 2.8, 7.1),
    "III": (1.8, 4.5, 11.2),
    "IV": (2.8, 7.1, 18.0),
}
# API 610 on the bearing housing, mm/s rms: overall in the preferred and the allowable region
# (1.3 times), and at one frequency (0.67 of it). Vertical: 5.0 from memory; a public table
# prints 5.1.
API_610_MMS = {"horizontal": (3.0, 3.9, 2.0), "vertical": (5.0, 6.5, 3.4)}


def _limits(printed: tuple[float, float, float], source: str) -> ZoneLimits:
    ab, bc, cd = (value * 1e-3 for value in printed)
    return ZoneLimits(ab=ab, bc=bc, cd=cd, source=source)


def _size(category: str, power: float) -> tuple[str, str]:
    if category not in ("I", "II"):
        raise ArgumentError(
            f"category = {category!r}: expected I (high reliability, availability or safety asked "
            "for: toxic, flammable, critical) or II (general)."
        )
    return category, "large" if float(positive("power", power)) > LARGE_POWER else "small"


def pump_zones(category: str, power: float) -> ZoneLimits:
    """Zone boundaries of a rotodynamic pump by category and power.

    Parameters
    ----------
    category : str
        ``I``: high demands (hazardous liquid, critical service). ``II``: general.
    power : float
        Shaft power; the step is at 200 kW. [W]

    Returns
    -------
    ZoneLimits

    Notes
    -----
    Pumps above 1 kW with more than three vanes, measured on the bearing housing, 10 to 1000 Hz.
    A rise against the pump's own usual value says more than a zone.

    References
    ----------
    .. [1] ISO 10816-7:2009, Table A.1 and A.2, as summarized publicly.

    Examples
    --------
    >>> pump_zones("I", 55e3).zone(4.2e-3)
    'C'
    """
    return _limits(PUMP_ZONES_MMS[_size(category, power)], _ISO_7)


def pump_alarm_and_trip(category: str, power: float) -> tuple[float, float]:
    """Largest alarm and trip settings of ISO 10816-7, rms velocity [m/s].

    Examples
    --------
    >>> [round(v * 1e3, 1) for v in pump_alarm_and_trip("II", 55e3)]
    [6.4, 10.6]
    """
    alarm, trip = PUMP_ALARM_TRIP_MMS[_size(category, power)]
    return alarm * 1e-3, trip * 1e-3


def pump_acceptance(
    category: str, power: float, *, place: Literal["site", "shop"], preferred_region: bool
) -> float:
    """Acceptance limit of ISO 10816-7, rms velocity [m/s].

    Notes
    -----
    Which row is site and which is shop is from memory, unverified.

    Examples
    --------
    >>> round(pump_acceptance("I", 55e3, place="site", preferred_region=False) * 1e3, 1)
    3.4
    """
    if place not in ("site", "shop"):
        raise ArgumentError(f"place = {place!r}: expected site or shop.")
    row = PUMP_ACCEPTANCE_MMS[_size(category, power)]
    return row[2 * (place == "shop") + (not preferred_region)] * 1e-3


def machine_zones(group: int, support: str) -> ZoneLimits:
    """Zone boundaries of industrial machines by group and support.

    Parameters
    ----------
    group : int
        1: above 300 kW. 2: 15 to 300 kW.
    support : str
        ``rigid`` or ``flexible``.

    References
    ----------
    .. [1] ISO 10816-3:2009, from memory, unverified.

    Examples
    --------
    >>> machine_zones(2, "rigid").zone(3.0e-3)
    'C'
    """
    if (group, support) not in MACHINE_ZONES_MMS:
        raise ArgumentError(
            f"group = {group!r}, support = {support!r}: expected group 1 or 2 and rigid or "
            "flexible."
        )
    return _limits(MACHINE_ZONES_MMS[group, support], _ISO_3)


def class_zones(machine_class: str) -> ZoneLimits:
    """Zone boundaries of the superseded general classes I to IV.

    References
    ----------
    .. [1] ISO 10816-1:1995, Annex B.

    Examples
    --------
    >>> class_zones("II").zone(2.0e-3)
    'B'
    """
    if machine_class not in CLASS_ZONES_MMS:
        raise ArgumentError(
            f"machine_class = {machine_class!r}: expected one of {', '.join(CLASS_ZONES_MMS)}."
        )
    return _limits(CLASS_ZONES_MMS[machine_class], _ISO_1)


@dataclass(frozen=True, slots=True, kw_only=True)
class ApiLimits:
    """Limits of API 610 on the bearing housing, rms velocity [m/s]."""

    preferred: float  # overall, in the preferred region
    allowable: float  # overall, in the allowable region
    one_frequency: float
    source: str


def api_610_limits(orientation: str = "horizontal") -> ApiLimits:
    """Acceptance limits of API 610 for new pumps.

    Parameters
    ----------
    orientation : str
        ``horizontal`` (overhung or between bearings) or ``vertical`` (vertically suspended).

    References
    ----------
    .. [1] API 610, 12th edition, secondary public table; the vertical row is from memory,
       unverified.

    Examples
    --------
    >>> round(api_610_limits().preferred * 1e3, 1)
    3.0
    """
    if orientation not in API_610_MMS:
        raise ArgumentError(f"orientation = {orientation!r}: expected horizontal or vertical.")
    preferred, allowable, single = (value * 1e-3 for value in API_610_MMS[orientation])
    source = _API if orientation == "horizontal" else "API 610, from memory, unverified"
    return ApiLimits(preferred=preferred, allowable=allowable, one_frequency=single, source=source)


def velocity_from_displacement(peak_to_peak: ArrayLike, frequency: ArrayLike) -> Array:
    """Rms velocity of a sine of known peak-to-peak displacement.

    Parameters
    ----------
    peak_to_peak : float or array
        [m]
    frequency : float or array
        [Hz]

    Returns
    -------
    float or array
        [m/s]

    Notes
    -----
    For one frequency only; an overall value of a mixed vibration cannot be converted.

    References
    ----------
    .. [1] v = pi f s / sqrt 2, derivative of a sine.

    Examples
    --------
    >>> round(float(velocity_from_displacement(50e-6, 25.0)) * 1e3, 4)
    2.7768
    """
    rate = np.pi * positive("frequency", frequency)
    return rate * not_negative("peak_to_peak", peak_to_peak) / ROOT_2


def displacement_from_velocity(velocity: ArrayLike, frequency: ArrayLike) -> Array:
    """Peak-to-peak displacement [m] of a sine of known rms velocity [m/s].

    Examples
    --------
    >>> round(float(displacement_from_velocity(2.7768e-3, 25.0)) * 1e6, 2)
    50.0
    """
    rate = np.pi * positive("frequency", frequency)
    return not_negative("velocity", velocity) * ROOT_2 / rate


def acceleration_from_velocity(velocity: ArrayLike, frequency: ArrayLike) -> Array:
    """Rms acceleration [m/s2] of a sine of known rms velocity [m/s].

    Examples
    --------
    >>> round(float(acceleration_from_velocity(4.5e-3, 100.0)), 4)
    2.8274
    """
    rate = 2 * np.pi * positive("frequency", frequency)
    return not_negative("velocity", velocity) * rate


def velocity_from_acceleration(acceleration: ArrayLike, frequency: ArrayLike) -> Array:
    """Rms velocity [m/s] of a sine of known rms acceleration [m/s2].

    Examples
    --------
    >>> round(float(velocity_from_acceleration(9.80665, 100.0)) * 1e3, 2)
    15.61
    """
    rate = 2 * np.pi * positive("frequency", frequency)
    return not_negative("acceleration", acceleration) / rate


def peak_of_rms(rms: ArrayLike) -> Array:
    """Peak of a pure sine from its rms value; a real vibration has a higher one.

    Examples
    --------
    >>> round(float(peak_of_rms(3.0e-3)) / INCH, 5)
    0.16703
    """
    return not_negative("rms", rms) * ROOT_2


def rms_of_peaks(*peaks: ArrayLike) -> Array:
    """Rms of a sum of sines of different frequencies, from their peaks.

    References
    ----------
    .. [1] Parseval: half the sum of the squares of the peaks, under the root.

    Examples
    --------
    >>> round(float(rms_of_peaks(3.0, 4.0)), 6)
    3.535534
    """
    if not peaks:
        raise ArgumentError("peaks: expected at least one.")
    total: Array = np.sqrt(sum(not_negative("peak", peak) ** 2 for peak in peaks) / 2)
    return total
