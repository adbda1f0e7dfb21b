"""A strainer or filter: its drop made comparable, and what that says about the blocked area."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.arguments import Array, array, not_negative, positive, within
from gaugewalk.physics.constants import GRAVITY

_BAR = 1e5
_KV_DENSITY = 1000.0  # [kg/m3] IEC 60534-1: water at which Kv is defined
_EXPONENT_SOURCE = "1 laminar (oil filter), 2 turbulent (water strainer)"


def scaled_drop(
    drop: ArrayLike,
    flow: ArrayLike,
    to_flow: ArrayLike,
    *,
    exponent: float = 2.0,
    viscosity_ratio: ArrayLike = 1.0,
    density_ratio: ArrayLike = 1.0,
) -> Array:
    """Return the differential pressure that a strainer would show at another flow and liquid state.

    Δp2 = Δp1 (Q2/Q1)^m (μ2/μ1)^(2-m) (ρ2/ρ1)^(m-1)

    Parameters
    ----------
    drop : float or array
        Measured differential pressure. [Pa]
    flow : float or array
        Flow at which it was measured, above zero. [m3/s]
    to_flow : float or array
        Flow to which it is scaled. [m3/s]
    exponent : float
        m, 1 to 2: 2 for turbulent flow (water through a basket), 1 for laminar flow (cold oil
        through a fine filter). [-]
    viscosity_ratio, density_ratio : float or array
        Dynamic viscosity and density at the wanted state over those measured. [-]

    Returns
    -------
    array
        Differential pressure at the wanted state. [Pa]

    Raises
    ------
    ArgumentError
        Flow not above zero, drop below zero.
    OutOfRangeError
        Exponent outside 1 to 2.

    Notes
    -----
    A dirty strainer may only be compared with a clean one after both are scaled to one flow.

    References
    ----------
    .. [1] Turbulent case: definition of Kv, IEC 60534-1. The form between the two ends follows
       from dimensional analysis with one power of the flow.

    Examples
    --------
    >>> round(float(scaled_drop(0.10e5, 80.0, 100.0)))
    15625
    """
    m = float(within("exponent", exponent, 1.0, 2.0, _EXPONENT_SOURCE))
    ratio = not_negative("to_flow", to_flow) / positive("flow", flow)
    viscosity = positive("viscosity_ratio", viscosity_ratio) ** (2 - m)
    weight = positive("density_ratio", density_ratio) ** (m - 1)
    return np.asarray(not_negative("drop", drop) * ratio**m * viscosity * weight)[()]


def fouling_ratio(
    drop: ArrayLike,
    flow: ArrayLike,
    clean_drop: ArrayLike,
    clean_flow: ArrayLike,
    *,
    exponent: float = 2.0,
) -> Array:
    """Return how many times its clean drop a strainer shows, both at the same flow.

    Parameters
    ----------
    drop, flow : float or array
        Measured now. [Pa, m3/s]
    clean_drop, clean_flow : float or array
        Measured or stated clean, above zero. [Pa, m3/s]
    exponent : float
        As for `scaled_drop`. [-]

    Returns
    -------
    array
        Ratio; 1 is clean, below 1 a screen may be torn or missing. [-]

    Examples
    --------
    >>> round(float(fouling_ratio(0.35e5, 100.0, 0.10e5, 80.0)), 2)
    2.24
    """
    clean = scaled_drop(positive("clean_drop", clean_drop), clean_flow, flow, exponent=exponent)
    return np.asarray(not_negative("drop", drop) / positive("clean_drop", clean))[()]


def blocked_share(ratio: ArrayLike, *, exponent: float = 2.0) -> Array:
    """Return the share of a strainer's open area that is blocked.

    1 - (Δp_dirty/Δp_clean)^(-1/m), both at the same flow

    Parameters
    ----------
    ratio : float or array
        As by `fouling_ratio`; below 1 counts as clean. [-]
    exponent : float
        As for `scaled_drop`. [-]

    Returns
    -------
    array
        Blocked share, 0 to 1. [-]

    Notes
    -----
    An estimate: it takes the openings that are left as unchanged and lays the whole clean drop to
    the screen; with a large share of body loss the true blockage is higher.

    References
    ----------
    .. [1] Derived: the drop goes as the m-th power of the velocity through the open area.

    Examples
    --------
    >>> float(blocked_share(4.0))
    0.5
    """
    m = float(within("exponent", exponent, 1.0, 2.0, _EXPONENT_SOURCE))
    times = np.maximum(not_negative("ratio", ratio), 1.0)
    return np.asarray(1 - times ** (-1 / m))[()]


def npsh_lost(drop: ArrayLike, density: ArrayLike) -> Array:
    """Return the NPSH that a suction strainer takes away, Δp/(ρ g).

    Parameters
    ----------
    drop : float or array
        Differential pressure at the present flow. [Pa]
    density : float or array
        [kg/m3]

    Returns
    -------
    array
        Head lost. [m]

    Examples
    --------
    >>> round(float(npsh_lost(0.35e5, 998.2)), 3)
    3.575
    """
    return np.asarray(not_negative("drop", drop) / (positive("density", density) * GRAVITY))[()]


def drop_from_kv(flow: ArrayLike, kv: ArrayLike, density: ArrayLike) -> Array:
    """Return the differential pressure over a fitting of known Kv, (ρ/1000) (Q/Kv)² bar.

    Parameters
    ----------
    flow : float or array
        [m3/s]
    kv : float or array
        Flow in m3/h of water at 1 bar of drop, as Kv is defined.
    density : float or array
        [kg/m3]

    Returns
    -------
    array
        Differential pressure. [Pa]

    References
    ----------
    .. [1] IEC 60534-1, definition of the flow coefficient Kv.

    Examples
    --------
    >>> round(float(drop_from_kv(100 / 3600, 200.0, 1000.0)))
    25000
    """
    ratio = not_negative("flow", flow) * 3600 / positive("kv", kv)
    return np.asarray(_BAR * positive("density", density) / _KV_DENSITY * ratio**2)[()]


def kv_from_drop(flow: ArrayLike, drop: ArrayLike, density: ArrayLike) -> Array:
    """Return the Kv of a fitting from its drop at a flow.

    Parameters
    ----------
    flow, drop, density : float or array
        [m3/s, Pa, kg/m3]

    Returns
    -------
    array
        Kv, in m3/h at 1 bar as it is defined.

    Examples
    --------
    >>> round(float(kv_from_drop(100 / 3600, 25_000.0, 1000.0)), 3)
    200.0
    """
    bars = positive("drop", drop) / _BAR
    relative = positive("density", density) / _KV_DENSITY
    return np.asarray(not_negative("flow", flow) * 3600 * np.sqrt(relative / bars))[()]


def time_to_drop(
    times: ArrayLike, drops: ArrayLike, limit: float, *, exponent: float = 2.0
) -> tuple[float, float, float]:
    """Return when a clogging strainer reaches its limit, with an interval of 95 %.

    The open share Δp^(-1/m) falls on a straight line where dirt arrives evenly; the line is the
    median of all pair slopes (Theil-Sen), which a few odd readings cannot bend.

    Parameters
    ----------
    times : array, shape (n,)
        When each drop was read, on any common clock. [s]
    drops : array, shape (n,)
        Differential pressures, all scaled to one flow, above zero. [Pa]
    limit : float
        Differential pressure at which the strainer must be cleaned, at that flow. [Pa]
    exponent : float
        As for `scaled_drop`. [-]

    Returns
    -------
    tuple of float
        Time of reaching the limit, its early and its late end, on the same clock; infinity where
        the trend does not lead there. [s]

    Raises
    ------
    ArgumentError
        Fewer than four readings, or all at one time.

    References
    ----------
    .. [1] P. K. Sen, Estimates of the regression coefficient based on Kendall's tau, J. Am. Stat.
       Assoc. 63 (1968) 1379-1389.

    Examples
    --------
    >>> hours = np.arange(6.0) * 3600
    >>> drops = 10e3 / (1 - 0.05 * np.arange(6.0)) ** 2
    >>> when, early, late = time_to_drop(hours, drops, 40e3)
    >>> round(when / 3600, 2)
    10.0
    """
    return opening_trend(times, drops, exponent=exponent).time_of(limit)


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningTrend:
    """Straight line of the open share Δp^(-1/m), with the 95 % interval of its slope."""

    middle: float  # time through which all three lines go, [s]
    level: float  # open share there, [Pa^(-1/m)]
    slope: float  # [Pa^(-1/m)/s]
    steepest: float
    flattest: float
    exponent: float

    def time_of(self, limit: float) -> tuple[float, float, float]:
        """Time at which the drop reaches a limit [Pa], and its early and late end, [s]."""
        target = float(positive("limit", limit)) ** (-1 / self.exponent)
        when, early, late = (
            self.middle + (target - self.level) / s if s < 0 else np.inf
            for s in (self.slope, self.steepest, self.flattest)
        )
        return float(when), float(early), float(late)

    def drops(self, times: ArrayLike, slope: float) -> Array:
        """Drop [Pa] at times [s] with one of the three slopes; infinite once nothing is open."""
        share = self.level + slope * (array("times", times) - self.middle)
        opening = np.where(share > 0, share, np.nan)
        return np.where(share > 0, opening**-self.exponent, np.inf)


def opening_trend(times: ArrayLike, drops: ArrayLike, *, exponent: float = 2.0) -> OpeningTrend:
    """Return the trend of a clogging strainer's open share; see `time_to_drop`.

    Parameters
    ----------
    times : array, shape (n,)
        [s]
    drops : array, shape (n,)
        Scaled to one flow, above zero. [Pa]
    exponent : float
        As for `scaled_drop`. [-]

    Returns
    -------
    OpeningTrend

    Raises
    ------
    ArgumentError
        Fewer than four readings, or all at one time.

    Examples
    --------
    >>> trend = opening_trend(np.arange(5.0), 10e3 / (1 - 0.05 * np.arange(5.0)) ** 2)
    >>> round(float(trend.drops(4.0, trend.slope)))
    15625
    """
    from scipy.stats import theilslopes

    t, dp = np.asarray(times, dtype=float), positive("drops", drops)
    if t.size < 4 or t.shape != dp.shape or np.ptp(t) == 0:
        raise ArgumentError("times and drops need four readings or more, at different times.")
    m = float(within("exponent", exponent, 1.0, 2.0, _EXPONENT_SOURCE))
    opening = dp ** (-1 / m)
    slope, _, low, high = theilslopes(opening, t, 0.95)
    middle = float(np.median(t))
    return OpeningTrend(
        middle=middle,
        level=float(np.median(opening - slope * (t - middle))),
        slope=float(slope),
        steepest=float(low),
        flattest=float(high),
        exponent=m,
    )
