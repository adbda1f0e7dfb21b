"""Rolling bearings: how thick the oil must be, and how long the bearing should last (ISO 281)."""

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.errors import ArgumentError, OutOfRangeError
from gaugewalk.physics.arguments import Array, array, not_negative, positive, within
from gaugewalk.physics.oil import ViscosityLine

BearingKind = Literal["ball", "roller"]
EXPONENT = {"ball": 3.0, "roller": 10 / 3}

# ISO 281:2007, Table 12: reliability in percent and factor a1; from memory, unverified. The 1990
# edition had 0.62, 0.53, 0.44, 0.33 and 0.21 instead.
RELIABILITY_FACTOR = {
    90.0: 1.0, 95.0: 0.64, 96.0: 0.55, 97.0: 0.47, 98.0: 0.37, 99.0: 0.25,
}  # fmt: skip

# ISO 281:2007, Table 13: contamination factor for a pitch diameter below 100 mm, and from 100 mm;
# from memory, unverified.
CONTAMINATION = {
    "extreme cleanliness": ((1.0, 1.0), (1.0, 1.0)),
    "high cleanliness": ((0.6, 0.8), (0.8, 0.9)),
    "normal cleanliness": ((0.5, 0.6), (0.6, 0.8)),
    "slight contamination": ((0.3, 0.5), (0.4, 0.6)),
    "typical contamination": ((0.1, 0.3), (0.2, 0.4)),
    "severe contamination": ((0.0, 0.1), (0.0, 0.1)),
    "very severe contamination": ((0.0, 0.0), (0.0, 0.0)),
}
LARGE_PITCH = 0.1  # [m]

KAPPA_LOW, KAPPA_HIGH = 0.1, 4.0  # range of the equations; above 4 counts as 4
LIFE_FACTOR_LIMIT = 50.0
BRANCH_SPEED = 1000 / 60  # [1/s]; the two branches of nu1 meet here with a step of 2.3 %
_SOURCE = "ISO 281:2007, Equations 31 to 36, from memory, unverified"


def reference_viscosity(speed: ArrayLike, pitch_diameter: ArrayLike) -> Array:
    """Viscosity nu1 that the oil must have at working temperature for a sufficient film.

    Parameters
    ----------
    speed : float or array
        [1/s]
    pitch_diameter : float or array
        About half the sum of bore and outside diameter. [m]

    Returns
    -------
    float or array
        Reference kinematic viscosity. [m2/s]

    Notes
    -----
    Diagrams of a bearing maker read 18 to 20 % less (8.15 against 9.65 mm2/s for a 6309 at
    3000 r/min), so the formula is on the safe side. It steps down by 2.3 % at 1000 r/min.

    References
    ----------
    .. [1] ISO 281:2007, reference viscosity equations, from memory, unverified: in mm2/s, r/min and
       mm, nu1 = 45000 n^-0.83 D^-0.5 below 1000 r/min and 4500 n^-0.5 D^-0.5 from there.

    Examples
    --------
    >>> round(float(reference_viscosity(3000 / 60, 0.0725)) * 1e6, 3)
    9.649
    """
    n, d = positive("speed", speed) * 60, positive("pitch_diameter", pitch_diameter) * 1e3
    slow = n < BRANCH_SPEED * 60
    by_speed = np.where(slow, 45000 * n**-0.83, 4500 * n**-0.5)
    nu: Array = by_speed * d**-0.5 * 1e-6
    return nu


def viscosity_ratio(viscosity: ArrayLike, reference: ArrayLike) -> Array:
    """Viscosity ratio kappa: viscosity at working temperature over reference viscosity.

    Examples
    --------
    >>> round(float(viscosity_ratio(20e-6, 8.15e-6)), 2)
    2.45
    """
    return positive("viscosity", viscosity) / positive("reference", reference)


def oil_temperature_window(
    line: ViscosityLine,
    speed: float,
    pitch_diameter: float,
    *,
    kappa_low: float = 1.0,
    kappa_high: float = KAPPA_HIGH,
) -> tuple[float, float]:
    """Oil temperatures between which the film is neither too thin nor needlessly thick.

    Parameters
    ----------
    line : ViscosityLine
        Of the oil in use.
    speed : float
        [1/s]
    pitch_diameter : float
        [m]
    kappa_low : float
        Below this the oil is too hot: metal may touch. 1 is the textbook limit; many want 1.5.
    kappa_high : float
        Above this the oil is too cold: more film adds no life, only churning and slow flow.

    Returns
    -------
    tuple of float
        Coldest and hottest oil temperature in the bearing. [K]

    Notes
    -----
    The temperature is that of the oil in the bearing: a few kelvin above the sump and, as a rule,
    about 11 K above the housing surface. Aging of the oil, seals and the maker's limits may ask
    for less than the upper one.

    References
    ----------
    .. [1] ISO 281:2007 (kappa 0.1 to 4); ASTM D341 for the oil.

    Examples
    --------
    >>> from gaugewalk.physics.oil import line_of_grade
    >>> window = oil_temperature_window(line_of_grade(68), 2950 / 60, 0.0725)
    >>> [round(t - 273.15) for t in window]
    [52, 95]
    """
    if not 0 < kappa_low < kappa_high:
        raise ArgumentError(
            f"kappa_low = {kappa_low:g}, kappa_high = {kappa_high:g}: expected "
            "0 < kappa_low < kappa_high."
        )
    reference = float(reference_viscosity(speed, pitch_diameter))
    cold, hot = line.temperature([kappa_high * reference, kappa_low * reference])
    return float(cold), float(hot)


def rating_life(load_rating: ArrayLike, load: ArrayLike, kind: BearingKind = "ball") -> Array:
    """Basic rating life L10 in revolutions.

    Parameters
    ----------
    load_rating : float or array
        Basic dynamic load rating C. [N]
    load : float or array
        Dynamic equivalent load P. [N]
    kind : str
        ``ball`` or ``roller``.

    Returns
    -------
    float or array
        Revolutions that nine of ten bearings reach. [-]

    References
    ----------
    .. [1] ISO 281: L10 = (C / P)^p in millions, p = 3 for ball and 10/3 for roller bearings.

    Examples
    --------
    >>> round(float(rating_life(55.3e3, 10e3)) / 1e6)
    169
    """
    if kind not in EXPONENT:
        raise ArgumentError(f"kind = {kind!r}: expected ball or roller.")
    ratio = positive("load_rating", load_rating) / positive("load", load)
    life: Array = 1e6 * ratio ** EXPONENT[kind]
    return life


def life_duration(revolutions: ArrayLike, speed: ArrayLike) -> Array:
    """Time in which a bearing makes a number of revolutions.

    Returns
    -------
    float or array
        [s]

    Examples
    --------
    >>> round(float(life_duration(169.1e6, 3000 / 60)) / 3600)
    939
    """
    return not_negative("revolutions", revolutions) / positive("speed", speed)


def reliability_factor(reliability: float) -> float:
    """Life factor a1 for a reliability in percent.

    Raises
    ------
    ArgumentError
        Not one of the tabulated reliabilities; the standard gives none in between.

    References
    ----------
    .. [1] ISO 281:2007, Table 12, from memory, unverified.

    Examples
    --------
    >>> reliability_factor(95)
    0.64
    """
    if reliability not in RELIABILITY_FACTOR:
        known = ", ".join(f"{r:g}" for r in RELIABILITY_FACTOR)
        raise ArgumentError(f"reliability = {reliability:g} %: expected one of {known} %.")
    return RELIABILITY_FACTOR[reliability]


def contamination_factor(cleanliness: str, pitch_diameter: float) -> tuple[float, float]:
    """Range of the contamination factor e_C for a state of the oil in words.

    Parameters
    ----------
    cleanliness : str
        One of `CONTAMINATION`.
    pitch_diameter : float
        [m]

    Returns
    -------
    tuple of float
        Lower and upper factor. [-]

    References
    ----------
    .. [1] ISO 281:2007, Table 13, from memory, unverified.

    Examples
    --------
    >>> contamination_factor("normal cleanliness", 0.0725)
    (0.5, 0.6)
    """
    if cleanliness not in CONTAMINATION:
        raise ArgumentError(
            f"cleanliness = {cleanliness!r}: expected one of {', '.join(CONTAMINATION)}."
        )
    large = float(positive("pitch_diameter", pitch_diameter)) >= LARGE_PITCH
    return CONTAMINATION[cleanliness][large]


def fatigue_load_limit(
    static_load_rating: ArrayLike, pitch_diameter: ArrayLike, kind: BearingKind = "ball"
) -> Array:
    """Fatigue load limit C_u by the simplified formula, where the catalog gives none.

    Parameters
    ----------
    static_load_rating : float or array
        Basic static load rating C_0. [N]
    pitch_diameter : float or array
        [m]
    kind : str
        ``ball`` or ``roller``.

    Returns
    -------
    float or array
        [N]

    References
    ----------
    .. [1] ISO 281:2007, Annex B simplified method, from memory, unverified.

    Examples
    --------
    >>> round(float(fatigue_load_limit(31.5e3, 0.0725)))
    1432
    """
    if kind not in EXPONENT:
        raise ArgumentError(f"kind = {kind!r}: expected ball or roller.")
    divisor, power = (22.0, 0.5) if kind == "ball" else (8.2, 0.3)
    size = np.maximum(positive("pitch_diameter", pitch_diameter) / LARGE_PITCH, 1.0)
    limit: Array = positive("static_load_rating", static_load_rating) / divisor * size**-power
    return limit


def _film_term(kappa: Array, kind: BearingKind) -> Array:
    """Part of the life factor that the film decides; continuous over its three branches."""
    constants = (2.5671, 2.2649, 1.9987) if kind == "ball" else (1.5859, 1.3993, 1.2348)
    first, thin, usual = constants
    poor = thin / kappa**0.054381
    middle = usual / kappa**0.19087
    good = usual / kappa**0.071739
    term = first - np.where(kappa < 0.4, poor, np.where(kappa < 1, middle, good))
    return term**0.83 if kind == "ball" else term


def life_factor(
    kappa: ArrayLike,
    contamination: ArrayLike,
    fatigue_load_limit: ArrayLike,
    load: ArrayLike,
    kind: BearingKind = "ball",
) -> Array:
    """Life modification factor a_ISO of a radial bearing.

    Parameters
    ----------
    kappa : float or array
        Viscosity ratio, at least 0.1; above 4 counts as 4. [-]
    contamination : float or array
        Factor e_C, 0 to 1. [-]
    fatigue_load_limit, load : float or array
        C_u and P. [N]
    kind : str
        ``ball`` or ``roller``, radial.

    Returns
    -------
    float or array
        a_ISO, 0.1 to 50. [-]

    Raises
    ------
    OutOfRangeError
        kappa below 0.1, where the method does not hold.

    Notes
    -----
    With extreme-pressure additives and good cleanliness the standard lets kappa below 1 count as
    1; that is not done here.

    References
    ----------
    .. [1] ISO 281:2007, Equations 31 to 36, from memory, unverified (the branches meet at kappa
       0.4 and 1, which a wrong digit would break).

    Examples
    --------
    >>> round(float(life_factor(2.0, 0.5, 1340.0, 4000.0)), 2)
    10.4
    """
    if kind not in EXPONENT:
        raise ArgumentError(f"kind = {kind!r}: expected ball or roller.")
    ratio = positive("kappa", kappa)
    if np.any(ratio < KAPPA_LOW):
        raise OutOfRangeError("kappa", float(np.nanmin(ratio)), KAPPA_LOW, np.inf, _SOURCE)
    clean = within("contamination", contamination, 0.0, 1.0, "ISO 281:2007, Table 13")
    relative = clean * positive("fatigue_load_limit", fatigue_load_limit) / positive("load", load)
    power, exponent = (1 / 3, -9.3) if kind == "ball" else (0.4, -9.185)
    base = 1 - _film_term(np.minimum(ratio, KAPPA_HIGH), kind) * relative**power
    # A base near zero or below would be endless life; the standard stops at 50.
    factor = 0.1 * np.maximum(base, 1e-3) ** exponent
    return np.minimum(factor, LIFE_FACTOR_LIMIT)[()]


def modified_life(
    basic_life: ArrayLike, reliability_factor: ArrayLike, life_factor: ArrayLike
) -> Array:
    """Modified rating life L_nm from the basic life and the two factors, in the unit of the first.

    References
    ----------
    .. [1] ISO 281:2007: L_nm = a_1 a_ISO L_10.

    Examples
    --------
    >>> float(modified_life(1000.0, 0.64, 2.0))
    1280.0
    """
    factors = positive("reliability_factor", reliability_factor) * positive(
        "life_factor", life_factor
    )
    return factors * not_negative("basic_life", basic_life)


def speed_factor(speed: ArrayLike, kind: BearingKind = "ball") -> Array:
    """Speed factor f_n of bearing catalogs: (33.3 r/min over the speed) to the power of 1/p.

    Examples
    --------
    >>> round(float(speed_factor(1000 / 60)), 3)
    0.322
    """
    factor: Array = (33.3 / (positive("speed", speed) * 60)) ** (1 / EXPONENT[kind])
    return factor


def hours_factor(life: ArrayLike, kind: BearingKind = "ball") -> Array:
    """Life factor f_h of bearing catalogs: (life [s] over 500 h) to the power of 1/p.

    Examples
    --------
    >>> round(float(hours_factor(20000 * 3600.0)), 2)
    3.42
    """
    factor: Array = (array("life", life) / (500 * 3600)) ** (1 / EXPONENT[kind])
    return factor
