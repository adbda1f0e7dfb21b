"""Lubricating oil: grades, viscosity at a temperature, viscosity index."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.errors import ArgumentError
from gaugewalk.physics import viscosity_index_table as table
from gaugewalk.physics.arguments import Array, array, positive, temperature_within, within
from gaugewalk.physics.constants import ZERO_CELSIUS

# ISO 3448, kinematic viscosity at 40 °C, middle of the grade in mm2/s; the limits are 10 % either
# side. Grades 2200 and 3200 are of the second edition, from memory, unverified.
ISO_VG_MM2S = (
    2.2, 3.2, 4.6, 6.8, 10, 15, 22, 32, 46, 68, 100, 150, 220, 320, 460, 680, 1000, 1500, 2200,
    3200,
)  # fmt: skip
GRADES = (2, 3, 5, 7, 10, 15, 22, 32, 46, 68, 100, 150, 220, 320, 460, 680, 1000, 1500, 2200, 3200)

T40, T100 = 40 + ZERO_CELSIUS, 100 + ZERO_CELSIUS
LOWEST_MM2S, HIGHEST_MM2S = 2.0, 2e7  # of the short equation of ASTM D341
COLDEST, HOTTEST = 200.0, 600.0  # [K] outside this no lubricating oil is a liquid at work
USUAL_INDEX = 95.0  # plain mineral turbine oils; common practice, no source
_D341 = "ASTM D341, short equation"
HALVINGS = 80


@dataclass(frozen=True, slots=True, kw_only=True)
class ViscosityLine:
    """Straight line of an oil on the viscosity-temperature chart (ASTM D341)."""

    a: float
    b: float

    def viscosity(self, temperature: ArrayLike) -> Array:
        """Kinematic viscosity at a temperature [K], [m2/s].

        Raises
        ------
        OutOfRangeError
            Below 2 mm2/s, where the short equation no longer holds.
        """
        t = temperature_within("temperature", temperature, COLDEST, HOTTEST, _D341)
        nu = 10 ** (10 ** (self.a - self.b * np.log10(t))) - 0.7
        within("viscosity in mm2/s", nu, LOWEST_MM2S, HIGHEST_MM2S, _D341)
        return nu * 1e-6

    def temperature(self, viscosity: ArrayLike) -> Array:
        """Temperature [K] at which the oil has a kinematic viscosity [m2/s]."""
        nu = positive("viscosity", viscosity) * 1e6
        within("viscosity in mm2/s", nu, LOWEST_MM2S, HIGHEST_MM2S, _D341)
        t: Array = 10 ** ((self.a - np.log10(np.log10(nu + 0.7))) / self.b)
        return t


def grade_limits(grade: int) -> tuple[float, float, float]:
    """Least, middle and greatest viscosity at 40 °C of an ISO VG grade.

    Parameters
    ----------
    grade : int
        The number after VG, from 2 to 3200.

    Returns
    -------
    tuple of float
        Kinematic viscosity at 40 °C. [m2/s]

    References
    ----------
    .. [1] ISO 3448, table of viscosity classes.

    Examples
    --------
    >>> [round(v * 1e6, 2) for v in grade_limits(46)]
    [41.4, 46.0, 50.6]
    """
    if grade not in GRADES:
        nearest = min(GRADES, key=lambda known: abs(np.log(known / max(grade, 1))))
        raise ArgumentError(
            f"grade = {grade}: expected an ISO VG grade ({', '.join(map(str, GRADES))}). "
            f"The nearest is {nearest}."
        )
    middle = ISO_VG_MM2S[GRADES.index(grade)]
    least, greatest = round(middle * 0.9, 6), round(middle * 1.1, 6)
    return least * 1e-6, middle * 1e-6, greatest * 1e-6


def grade_of(viscosity_40: float) -> int | None:
    """ISO VG grade in which a viscosity at 40 °C [m2/s] falls; none where it falls between two.

    Examples
    --------
    >>> grade_of(47e-6), grade_of(55e-6)
    (46, None)
    """
    nu = float(positive("viscosity_40", viscosity_40))
    inside = (g for g in GRADES if grade_limits(g)[0] <= nu <= grade_limits(g)[2])
    return next(inside, None)


def line_through(
    temperature_1: float, viscosity_1: float, temperature_2: float, viscosity_2: float
) -> ViscosityLine:
    """Line of an oil through two measured points.

    Parameters
    ----------
    temperature_1, temperature_2 : float
        Different. [K]
    viscosity_1, viscosity_2 : float
        Kinematic, at least 2 mm2/s, the lower one at the higher temperature. [m2/s]

    Returns
    -------
    ViscosityLine

    References
    ----------
    .. [1] ASTM D341: log10 log10 (nu + 0.7) = A - B log10 T, nu in mm2/s.

    Examples
    --------
    >>> line = line_through(313.15, 404e-6, 373.15, 28e-6)
    >>> round(float(line.viscosity(333.15)) * 1e6, 1)
    132.1
    """
    t = temperature_within("temperature", [temperature_1, temperature_2], COLDEST, HOTTEST, _D341)
    nu = positive("viscosity", [viscosity_1, viscosity_2]) * 1e6
    within("viscosity in mm2/s", nu, LOWEST_MM2S, HIGHEST_MM2S, _D341)
    if (t[0] - t[1]) * (nu[0] - nu[1]) >= 0:
        raise ArgumentError(
            f"viscosity: {nu[0]:g} mm2/s at {t[0]:g} K and {nu[1]:g} mm2/s at {t[1]:g} K; expected "
            "the lower viscosity at the higher temperature."
        )
    w = np.log10(np.log10(nu + 0.7))
    b = float((w[0] - w[1]) / (np.log10(t[1]) - np.log10(t[0])))
    return ViscosityLine(a=float(w[0] + b * np.log10(t[0])), b=b)


def line_of_grade(grade: int, viscosity_index: float = USUAL_INDEX) -> ViscosityLine:
    """Line of an oil known by its ISO VG grade and viscosity index.

    Parameters
    ----------
    grade : int
        ISO VG grade, taken at the middle of its range.
    viscosity_index : float
        From the product sheet; 95 is common practice for plain mineral turbine oil.

    Returns
    -------
    ViscosityLine

    Notes
    -----
    A grade is 20 % wide; the true oil may be 10 % thicker or thinner.

    References
    ----------
    .. [1] ISO 3448; ASTM D2270, inverted; ASTM D341.

    Examples
    --------
    >>> line = line_of_grade(46, 100.0)
    >>> round(float(line.viscosity(373.15)) * 1e6, 2)
    6.76
    """
    nu_40 = grade_limits(grade)[1]
    return line_through(T40, nu_40, T100, float(viscosity_100(nu_40, viscosity_index)))


def _reference(nu_100: Array) -> tuple[Array, Array]:
    """Return L and H of ASTM D2270 for a viscosity at 100 °C, all in mm2/s."""
    above = nu_100 > 70
    low = np.interp(nu_100, table.Y, table.L)
    high = np.interp(nu_100, table.Y, table.H)
    # Above 70 mm2/s the standard gives equations instead of the table.
    low = np.where(above, 0.8353 * nu_100**2 + 14.67 * nu_100 - 216, low)
    high = np.where(above, 0.1684 * nu_100**2 + 11.85 * nu_100 - 97, high)
    return low, high


def viscosity_index(viscosity_40: ArrayLike, viscosity_100: ArrayLike) -> Array:
    """Viscosity index from the viscosities at 40 and 100 °C.

    Parameters
    ----------
    viscosity_40, viscosity_100 : float or array
        Kinematic; at 100 °C at least 2 mm2/s. [m2/s]

    Returns
    -------
    float or array
        Viscosity index, by procedure A to 100 and B above. [-] Reported rounded to a whole number.

    References
    ----------
    .. [1] ASTM D2270-10, Table 1, Equations 3 and 6.

    Examples
    --------
    >>> round(float(viscosity_index(73.30e-6, 8.86e-6)))
    92
    """
    u = positive("viscosity_40", viscosity_40) * 1e6
    y = array("viscosity_100", viscosity_100) * 1e6
    within("viscosity_100 in mm2/s", y, 2.0, 1e6, table.SOURCE)
    if np.any(u <= y):
        raise ArgumentError(
            f"viscosity_40 = {np.min(u):g} mm2/s: expected above the viscosity at 100 °C."
        )
    low, high = _reference(y)
    procedure_a = (low - u) / (low - high) * 100
    n = np.log10(np.maximum(high / u, 1.0)) / np.log10(y)
    procedure_b = (10**n - 1) / 0.00715 + 100
    return np.where(u >= high, procedure_a, procedure_b)[()]


def viscosity_100(viscosity_40: ArrayLike, index: ArrayLike) -> Array:
    """Viscosity at 100 °C of an oil of known viscosity at 40 °C and viscosity index.

    Parameters
    ----------
    viscosity_40 : float or array
        [m2/s]
    index : float or array
        Viscosity index, -50 to 400. [-]

    Returns
    -------
    float or array
        Kinematic viscosity at 100 °C. [m2/s]

    Raises
    ------
    ArgumentError
        The oil would be below 2 mm2/s at 100 °C, where no index is defined.

    References
    ----------
    .. [1] ASTM D2270-10, inverted by halving.

    Examples
    --------
    >>> round(float(viscosity_100(73.30e-6, 92.43)) * 1e6, 2)
    8.86
    """
    u, sought = np.broadcast_arrays(
        positive("viscosity_40", viscosity_40),
        within("index", index, -50.0, 400.0, table.SOURCE),
    )
    low, high = np.full(u.shape, 2e-6), u * (1 - 1e-9)
    if np.any(high <= low) or np.any(viscosity_index(u, low) > sought):
        raise ArgumentError(
            f"viscosity_40 = {np.min(u) * 1e6:g} mm2/s with index {np.min(sought):g}: this oil "
            "is below 2 mm2/s at 100 °C, where no viscosity index is defined; give two measured "
            "points instead."
        )
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        below = viscosity_index(u, middle) < sought
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return ((low + high) / 2)[()]
