"""Ordinary water as a liquid: vapor pressure, boiling point, density, heat capacity, viscosity.

The industrial formulation IF97 in plain numpy: a million states take a fraction of a second and no
further library is loaded. It differs from the scientific formulation IAPWS-95 by at most 0.018 % in
vapor pressure and 0.0015 % in density between 1 and 200 °C.
"""

from collections.abc import Callable, Iterable

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.errors import OutOfRangeError
from gaugewalk.physics.arguments import Array, absolute_pressure, temperature_within, within

LOW = 273.15  # [K] lower end of IF97
CRITICAL = 647.096  # [K] upper end of region 4
HIGH = 623.15  # [K] upper end of region 1
LOW_PRESSURE, CRITICAL_PRESSURE = 611.212677, 22.064e6  # [Pa]
HIGH_PRESSURE = 100e6  # [Pa]
_REGION_1 = "IAPWS R7-97(2012), region 1"
_REGION_4 = "IAPWS R7-97(2012), region 4"
_GAS_CONSTANT = 461.526  # [J/(kg K)], Eq. 1

# Table 34: coefficients n1 to n10 of the saturation equation.
_N = (
    0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.12020824702470e5,
    -0.32325550322333e7, 0.14915108613530e2, -0.48232657361591e4, 0.40511340542057e6,
    -0.23855557567849, 0.65017534844798e3,
)  # fmt: skip

# Table 2: I, J, n of the dimensionless Gibbs free energy of region 1, Eq. 7.
_GIBBS = (
    (0, -2, 0.14632971213167), (0, -1, -0.84548187169114), (0, 0, -3.756360367204),
    (0, 1, 3.3855169168385), (0, 2, -0.95791963387872), (0, 3, 0.15772038513228),
    (0, 4, -0.016616417199501), (0, 5, 0.00081214629983568), (1, -9, 0.00028319080123804),
    (1, -7, -0.00060706301565874), (1, -1, -0.018990068218419), (1, 0, -0.032529748770505),
    (1, 1, -0.021841717175414), (1, 3, -5.283835796993e-05), (2, -3, -0.00047184321073267),
    (2, 0, -0.00030001780793026), (2, 1, 4.7661393906987e-05), (2, 3, -4.4141845330846e-06),
    (2, 17, -7.2694996297594e-16), (3, -4, -3.1679644845054e-05), (3, 0, -2.8270797985312e-06),
    (3, 6, -8.5205128120103e-10), (4, -5, -2.2425281908e-06), (4, -2, -6.5171222895601e-07),
    (4, 10, -1.4341729937924e-13), (5, -8, -4.0516996860117e-07), (8, -11, -1.2734301741641e-09),
    (8, -6, -1.7424871230634e-10), (21, -29, -6.8762131295531e-19), (23, -31, 1.4478307828521e-20),
    (29, -38, 2.6335781662795e-23), (30, -39, -1.1947622640071e-23),
    (31, -40, 1.8228094581404e-24), (32, -41, -9.3537087292458e-26),
)  # fmt: skip
_GIBBS_PI = tuple((i - 1, j, -n * i) for i, j, n in _GIBBS if i)
_GIBBS_TAU_TAU = tuple((i, j - 2, n * j * (j - 1)) for i, j, n in _GIBBS if j not in (0, 1))

# IAPWS R12-08, Table 1 (H0..H3) and Table 2 (i, j, Hij).
_VISCOSITY_0 = (1.67752, 2.20462, 0.6366564, -0.241605)
_VISCOSITY_1 = (
    (0, 0, 0.520094), (1, 0, 0.0850895), (2, 0, -1.08374), (3, 0, -0.289555), (0, 1, 0.222531),
    (1, 1, 0.999115), (2, 1, 1.88797), (3, 1, 1.26613), (5, 1, 0.120573), (0, 2, -0.281378),
    (1, 2, -0.906851), (2, 2, -0.772479), (3, 2, -0.489837), (4, 2, -0.257040), (0, 3, 0.161913),
    (1, 3, 0.257399), (0, 4, -0.0325372), (3, 4, 0.0698452), (4, 5, 0.00872102),
    (3, 6, -0.00435673), (5, 6, -0.000593264),
)  # fmt: skip
_CRITICAL_DENSITY = 322.0  # [kg/m3]
_BLOCK = 8192  # states worked at once, so that all their powers stay in the cache


def vapor_pressure(temperature: ArrayLike) -> Array:
    """Return the vapor pressure of water at a temperature.

    Parameters
    ----------
    temperature : float or array, shape (n,)
        Liquid temperature at the pump inlet, 273.15 to 647.096. [K]

    Returns
    -------
    array, same shape
        Absolute vapor pressure. [Pa] A gap (NaN) stays a gap.

    Raises
    ------
    OutOfRangeError
        Outside the range of the source.

    Notes
    -----
    Pure water only. Dissolved gas makes a pump lose prime at a higher pressure.

    References
    ----------
    .. [1] IAPWS R7-97(2012), Eq. 30, coefficients Table 34, check values Table 35.

    Examples
    --------
    >>> round(float(vapor_pressure(300.0)), 4)
    3536.5894
    """
    t = temperature_within("temperature", temperature, LOW, CRITICAL, _REGION_4)
    return saturation_pressure_extended(t)


def saturation_pressure_extended(temperature: Array) -> Array:
    """Return the saturation equation without a range check, [Pa].

    For solutions that stay liquid below 0 °C; the caller states its own range.
    """
    theta = temperature + _N[8] / (temperature - _N[9])  # Eq. 29b
    a = (theta + _N[0]) * theta + _N[1]
    b = (_N[2] * theta + _N[3]) * theta + _N[4]
    c = (_N[5] * theta + _N[6]) * theta + _N[7]
    beta = 2 * c / (-b + np.sqrt(b * b - 4 * a * c))
    square = beta * beta
    return np.asarray(1e6 * square * square)[()]


def boiling_temperature(pressure: ArrayLike) -> Array:
    """Return the temperature at which water boils at a pressure.

    Parameters
    ----------
    pressure : float or array, shape (n,)
        Absolute pressure, 611.2127 to 22.064e6. [Pa]

    Returns
    -------
    array, same shape
        Boiling temperature. [K]

    Raises
    ------
    OutOfRangeError
        Outside the range of the source.

    References
    ----------
    .. [1] IAPWS R7-97(2012), Eq. 31, coefficients Table 34, check values Table 36.

    Examples
    --------
    >>> round(float(boiling_temperature(101325.0)) - 273.15, 3)
    99.974
    """
    p = absolute_pressure("pressure", pressure)
    p = within("pressure", p, LOW_PRESSURE, CRITICAL_PRESSURE, _REGION_4)
    return saturation_temperature_extended(p)


def saturation_temperature_extended(pressure: Array) -> Array:
    """Return the inverse of the saturation equation without a range check, [K]."""
    beta = np.sqrt(np.sqrt(pressure / 1e6))
    e = (beta + _N[2]) * beta + _N[5]
    f = (_N[0] * beta + _N[3]) * beta + _N[6]
    g = (_N[1] * beta + _N[4]) * beta + _N[7]
    d = 2 * g / (-f - np.sqrt(f * f - 4 * e * g))
    total = _N[9] + d
    return np.asarray((total - np.sqrt(total**2 - 4 * (_N[8] + _N[9] * d))) / 2)[()]


def density(temperature: ArrayLike, pressure: ArrayLike | None = None) -> Array:
    """Return the density of liquid water.

    Parameters
    ----------
    temperature : float or array, shape (n,)
        273.15 to 623.15. [K]
    pressure : float or array, optional
        Absolute pressure, from the vapor pressure to 100e6; none: at the point of boiling. [Pa]

    Returns
    -------
    array
        Density. [kg/m3]

    Raises
    ------
    OutOfRangeError
        Outside the range of the source, or the water would be steam.

    References
    ----------
    .. [1] IAPWS R7-97(2012), Eq. 7, coefficients Table 2, check values Table 5.

    Examples
    --------
    >>> round(float(density(293.15, 101325.0)), 2)
    998.21
    """
    t, p = _liquid_state(temperature, pressure)
    volume = _GAS_CONSTANT * t / 16.53e6 * _in_blocks(_gibbs_sum(_GIBBS_PI), t, p)
    return np.asarray(1 / volume)[()]


def specific_heat(temperature: ArrayLike, pressure: ArrayLike | None = None) -> Array:
    """Return the specific heat capacity of liquid water at constant pressure.

    Parameters
    ----------
    temperature : float or array, shape (n,)
        273.15 to 623.15. [K]
    pressure : float or array, optional
        Absolute pressure; none: at the point of boiling. [Pa]

    Returns
    -------
    array
        Specific heat capacity. [J/(kg K)]

    Raises
    ------
    OutOfRangeError
        Outside the range of the source, or the water would be steam.

    References
    ----------
    .. [1] IAPWS R7-97(2012), Table 3 and 4, check values Table 5.

    Examples
    --------
    >>> round(float(specific_heat(300.0, 3e6)), 2)
    4173.01
    """
    t, p = _liquid_state(temperature, pressure)
    tau = 1386 / t
    curvature = _in_blocks(_gibbs_sum(_GIBBS_TAU_TAU), t, p)
    return np.asarray(-_GAS_CONSTANT * tau**2 * curvature)[()]


def dynamic_viscosity(temperature: ArrayLike, pressure: ArrayLike | None = None) -> Array:
    """Return the dynamic viscosity of liquid water.

    Parameters
    ----------
    temperature : float or array, shape (n,)
        273.15 to 623.15. [K]
    pressure : float or array, optional
        Absolute pressure; none: at the point of boiling. [Pa]

    Returns
    -------
    array
        Dynamic viscosity. [Pa s]

    Raises
    ------
    OutOfRangeError
        Outside the range of the source, or the water would be steam.

    Notes
    -----
    Without the critical enhancement, as the source recommends for industrial use.

    References
    ----------
    .. [1] IAPWS R12-08, Eq. 10 to 12, coefficients Tables 1 and 2, check values Table 4.

    Examples
    --------
    >>> round(float(dynamic_viscosity(298.15)) * 1e6, 1)
    890.0
    """
    t, p = _liquid_state(temperature, pressure)
    rho = np.asarray(density(t, p))
    return np.asarray(_in_blocks(viscosity_at_density, t, rho))[()]


def viscosity_at_density(temperature: Array, density: Array) -> Array:
    """Return the viscosity of water of a given density, without a range check, [Pa s].

    Examples
    --------
    >>> round(float(viscosity_at_density(np.array(298.15), np.array(998.0))) * 1e6, 6)
    889.7351
    """
    inverse = CRITICAL / temperature
    dilute = 100 / np.sqrt(inverse) / _polynomial(inverse, _VISCOSITY_0)  # Eq. 11
    reduced = density / _CRITICAL_DENSITY
    x, y = _powers(inverse - 1, range(6)), _powers(reduced - 1, range(7))
    total = sum((h * x[i] * y[j] for i, j, h in _VISCOSITY_1), np.zeros_like(reduced))
    return np.asarray(1e-6 * dilute * np.exp(reduced * total))


def _liquid_state(temperature: ArrayLike, pressure: ArrayLike | None) -> tuple[Array, Array]:
    """Return temperature and pressure as arrays of one shape, known to be liquid."""
    t = temperature_within("temperature", temperature, LOW, HIGH, _REGION_1)
    boiling = np.asarray(saturation_pressure_extended(t))
    if pressure is None:
        return t, boiling
    p = absolute_pressure("pressure", pressure)
    t, p, boiling = np.broadcast_arrays(t, p, boiling)
    if (wrong := (p < boiling * (1 - 1e-9)) | (p > HIGH_PRESSURE)).any():
        raise OutOfRangeError(
            "pressure", float(p[wrong].flat[0]), float(boiling[wrong].flat[0]), HIGH_PRESSURE,
            _REGION_1, "Below the vapor pressure the water is steam.",
        )  # fmt: skip
    return t, p


def _gibbs_sum(
    terms: tuple[tuple[int, int, float], ...],
) -> Callable[[Array, Array], Array]:
    """Return the function of temperature and pressure that sums the terms n a^I b^J."""

    def total(temperature: Array, pressure: Array) -> Array:
        a = _powers(7.1 - pressure / 16.53e6, (i for i, _, _ in terms))
        b = _powers(1386 / temperature - 1.222, (j for _, j, _ in terms))
        return np.asarray(sum(n * a[i] * b[j] for i, j, n in terms))

    return total


def _powers(base: Array, exponents: Iterable[int]) -> dict[int, Array]:
    """Return the integer powers of a base, each from the one before: far quicker than pow."""
    wanted = set(exponents)
    result = {0: np.ones_like(base)}
    for sign, root in ((1, base), (-1, 1 / np.where(base == 0, np.nan, base))):
        last = 0
        for n in sorted({sign * e for e in wanted if sign * e > 0}):
            result[sign * n] = result[sign * last] * _integer_power(root, n - last)
            last = n
    return result


def _integer_power(base: Array, exponent: int) -> Array:
    """Return a power by repeated squaring."""
    result = base if exponent % 2 else np.ones_like(base)
    while exponent := exponent // 2:
        base = base * base
        if exponent % 2:
            result = result * base
    return result


def _polynomial(x: Array, coefficients: tuple[float, ...]) -> Array:
    """Return the sum of c_i x^i."""
    result = np.zeros_like(x)
    for c in reversed(coefficients):
        result = result * x + c
    return result


def _in_blocks(function: Callable[[Array, Array], Array], t: Array, p: Array) -> Array:
    """Return the function of long arrays, worked block by block."""
    if t.size <= _BLOCK:
        return function(t, p)
    flat_t, flat_p, result = t.ravel(), p.ravel(), np.empty(t.size)
    for start in range(0, t.size, _BLOCK):
        part = slice(start, start + _BLOCK)
        result[part] = function(flat_t[part], flat_p[part])
    return result.reshape(t.shape)
