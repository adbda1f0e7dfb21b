"""A centrifugal pump's curve: head, shaft power and NPSH required over the flow, at one speed."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.errors import ArgumentError, OutOfRangeError
from gaugewalk.physics.arguments import Array, array, complete, not_negative, positive
from gaugewalk.physics.constants import GRAVITY
from gaugewalk.physics.monotone import Monotone, monotone_through

_COLD_WATER = 998.2  # [kg/m3] at 20 °C, IAPWS R7-97(2012)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PumpCurve:
    """The curve of one pump at one speed; rows of equal length, flow rising.

    Parameters
    ----------
    speed : float
        [1/s], revolutions per second
    flow : array
        [m3/s]
    head : array
        [m]
    power : array, optional
        Shaft power with a liquid of `density`. [W]
    npshr : array, optional
        NPSH required (3 % head drop). [m]
    density : float
        Density for which the power row holds. [kg/m3]

    Raises
    ------
    ArgumentError
        Speed or density not above zero, flow not rising, rows of unequal length, a gap, a value
        below zero.

    Examples
    --------
    >>> curve = PumpCurve(speed=49.0, flow=[0.0, 0.01, 0.02], head=[40.0, 36.0, 25.0])
    >>> float(curve.head[0])
    40.0
    """

    speed: float
    flow: Array
    head: Array
    power: Array | None = None
    npshr: Array | None = None
    density: float = _COLD_WATER

    def __post_init__(self) -> None:
        positive("speed", complete("speed", self.speed))
        positive("density", complete("density", self.density))
        flow = not_negative("flow", complete("flow", self.flow))
        if flow.ndim != 1 or len(flow) < 2:
            raise ArgumentError("flow needs two points or more.")
        if (wrong := np.diff(flow) <= 0).any():
            at = int(np.argmax(wrong))
            raise ArgumentError(
                f"flow must rise from point to point, but point {at + 2} ({flow[at + 1]:g}) "
                f"follows {flow[at]:g}."
            )
        object.__setattr__(self, "flow", flow)
        for name in ("head", "power", "npshr"):
            row = getattr(self, name)
            if row is not None:
                object.__setattr__(self, name, _row(name, row, len(flow)))

    def at_speed(self, speed: float) -> "PumpCurve":
        """Return the curve at another speed, by the affinity laws.

        Notes
        -----
        Flow goes as the speed, head and NPSH required as its square, power as its cube. NPSH
        required follows the square only roughly, and efficiency falls a little at low speed.
        """
        ratio = float(positive("speed", complete("speed", speed))) / self.speed
        return PumpCurve(
            speed=float(speed),
            flow=self.flow * ratio,
            head=self.head * ratio**2,
            power=None if self.power is None else self.power * ratio**3,
            npshr=None if self.npshr is None else self.npshr * ratio**2,
            density=self.density,
        )

    def head_line(self) -> Monotone:
        """Return head over flow as a monotone curve."""
        return monotone_through(self.flow, self.head)

    def power_line(self) -> Monotone:
        """Return power over flow as a monotone curve."""
        return monotone_through(self.flow, _present("power", self.power))


def curve_of(
    *,
    speed: float,
    flow: Sequence[float],
    head: Sequence[float],
    power: Sequence[float] = (),
    efficiency: Sequence[float] = (),
    npshr: Sequence[float] = (),
    density: float = _COLD_WATER,
) -> PumpCurve:
    """Return the curve of rows as a plant file holds them: an empty row is a row not given.

    Parameters
    ----------
    speed : float
        [1/s]
    flow, head, power, efficiency, npshr : sequence of float
        Rows of equal length or empty; the efficiency counts where no power is given.
        [m3/s, m, W, -, m]
    density : float
        For which the power row holds. [kg/m3]

    Returns
    -------
    PumpCurve
        With a power row where power or efficiency is given.

    Raises
    ------
    ArgumentError
        As by `PumpCurve` and `power_from_efficiency`.

    Examples
    --------
    >>> curve = curve_of(speed=49.0, flow=[0.01, 0.02], head=[36.0, 25.0], efficiency=[0.7, 0.65])
    >>> round(float(curve.power[1]))
    7530
    """
    given = np.asarray(power, dtype=float) if power else None
    if given is None and efficiency:
        row = _row("efficiency", efficiency, len(flow))
        given = power_from_efficiency(flow, head, row, density)
    return PumpCurve(
        speed=speed,
        flow=np.asarray(flow, dtype=float),
        head=np.asarray(head, dtype=float),
        power=given,
        npshr=np.asarray(npshr, dtype=float) if npshr else None,
        density=density,
    )


def head_at(curve: PumpCurve, flow: ArrayLike, *, clamp: bool = False) -> Array:
    """Return the head of a pump at a flow.

    Parameters
    ----------
    curve : PumpCurve
        At the speed at which the pump runs.
    flow : float or array
        Within the curve. [m3/s]
    clamp : bool
        Hold a flow outside the curve at its nearest end instead of refusing it.

    Returns
    -------
    array
        Head. [m]

    Raises
    ------
    OutOfRangeError
        Flow outside the curve: what is not measured is not guessed.

    Examples
    --------
    >>> curve = PumpCurve(speed=49.0, flow=[0.0, 0.01, 0.02], head=[40.0, 36.0, 25.0])
    >>> float(head_at(curve, 0.01))
    36.0
    """
    return np.asarray(curve.head_line()(_inside(curve, flow, clamp)))[()]


def power_at(
    curve: PumpCurve, flow: ArrayLike, density: ArrayLike | None = None, *, clamp: bool = False
) -> Array:
    """Return the shaft power of a pump at a flow.

    Parameters
    ----------
    curve : PumpCurve
        At the speed at which the pump runs, with a power row.
    flow : float or array
        Within the curve. [m3/s]
    density : float or array, optional
        Density of the liquid; none: that of the curve. [kg/m3]
    clamp : bool
        Hold a flow outside the curve at its nearest end.

    Returns
    -------
    array
        Shaft power. [W]

    Raises
    ------
    ArgumentError
        The curve has no power row.
    OutOfRangeError
        Flow outside the curve.

    Examples
    --------
    >>> curve = PumpCurve(speed=49.0, flow=[0.0, 0.01], head=[40.0, 36.0], power=[2e3, 5e3])
    >>> float(power_at(curve, 0.01, 499.1))
    2500.0
    """
    rho = curve.density if density is None else positive("density", density)
    power = curve.power_line()(_inside(curve, flow, clamp))
    return np.asarray(power * rho / curve.density)[()]


def npshr_at(curve: PumpCurve, flow: ArrayLike, *, clamp: bool = False) -> Array:
    """Return the NPSH required by a pump at a flow.

    Parameters
    ----------
    curve : PumpCurve
        At the speed at which the pump runs, with an NPSH required row.
    flow : float or array
        Within the curve. [m3/s]
    clamp : bool
        Hold a flow outside the curve at its nearest end.

    Returns
    -------
    array
        NPSH required. [m]

    Raises
    ------
    ArgumentError
        The curve has no NPSH required row.
    OutOfRangeError
        Flow outside the curve.

    Examples
    --------
    >>> curve = PumpCurve(speed=49.0, flow=[0.0, 0.01], head=[40.0, 36.0], npshr=[1.5, 3.0])
    >>> float(npshr_at(curve, 0.01))
    3.0
    """
    line = monotone_through(curve.flow, _present("npshr", curve.npshr))
    return np.asarray(line(_inside(curve, flow, clamp)))[()]


def efficiency_at(curve: PumpCurve, flow: ArrayLike, *, clamp: bool = False) -> Array:
    """Return the efficiency of a pump at a flow, ρ g Q H / P.

    Parameters
    ----------
    curve : PumpCurve
        With a power row.
    flow : float or array
        Within the curve. [m3/s]
    clamp : bool
        Hold a flow outside the curve at its nearest end.

    Returns
    -------
    array
        Efficiency, a share of 1. [-]

    Examples
    --------
    >>> curve = PumpCurve(speed=49.0, flow=[0.0, 0.01], head=[40.0, 36.0], power=[2e3, 5e3])
    >>> round(float(efficiency_at(curve, 0.01)), 3)
    0.705
    """
    q = _inside(curve, flow, clamp)
    return np.asarray(curve.density * GRAVITY * q * head_at(curve, q) / power_at(curve, q))[()]


def best_efficiency_flow(curve: PumpCurve) -> float:
    """Return the flow of best efficiency within the curve.

    Raises
    ------
    ArgumentError
        The curve has no power row.

    Notes
    -----
    A curve that ends before its best point gives its end; a duty near it is then not near the
    true best efficiency point.

    Examples
    --------
    >>> curve = PumpCurve(speed=49.0, flow=[0.0, 0.01, 0.02], head=[40.0, 36.0, 16.0],
    ...                   power=[2e3, 5e3, 6e3])
    >>> 0.01 < best_efficiency_flow(curve) < 0.014
    True
    """
    _present("power", curve.power)
    low, high = float(curve.flow[0]), float(curve.flow[-1])
    for _ in range(4):
        grid = np.linspace(low, high, 401)
        best = int(np.argmax(efficiency_at(curve, grid)))
        low, high = float(grid[max(best - 1, 0)]), float(grid[min(best + 1, 400)])
    return (low + high) / 2 if high < curve.flow[-1] else high


def power_from_efficiency(
    flow: ArrayLike, head: ArrayLike, efficiency: ArrayLike, density: float
) -> Array:
    """Return a power row from an efficiency row: ρ g Q H / η.

    Parameters
    ----------
    flow, head, efficiency : array
        Rows of equal length; an efficiency of 0 is allowed only at no flow, where the power is
        taken from the next points on a straight line. [m3/s, m, -]
    density : float
        [kg/m3]

    Returns
    -------
    array
        Shaft power. [W]

    Raises
    ------
    ArgumentError
        Efficiency not a share of 1, or zero at a flow.

    Examples
    --------
    >>> row = power_from_efficiency([0.01, 0.02], [36.0, 25.0], [0.7, 0.65], 998.2)
    >>> [round(float(p)) for p in row]
    [5034, 7530]
    """
    q, h, eta = complete("flow", flow), complete("head", head), complete("efficiency", efficiency)
    if ((eta < 0) | (eta > 1) | ((eta == 0) & (q > 0))).any():
        raise ArgumentError("efficiency must be a share above 0 and at most 1 at every flow.")
    running = q > 0
    power = np.empty_like(q)
    power[running] = density * GRAVITY * q[running] * h[running] / eta[running]
    if not running.all():
        if running.sum() < 2:
            raise ArgumentError("efficiency needs two points or more with flow.")
        (q1, q2), (p1, p2) = q[running][:2], power[running][:2]
        power[~running] = max(p1 - (p2 - p1) * q1 / (q2 - q1), 0.0)
    return power


def _row(name: str, values: ArrayLike, length: int) -> Array:
    """Return one row of a curve, as long as the flow row and nowhere below zero."""
    row = not_negative(name, complete(name, values))
    if row.shape != (length,):
        raise ArgumentError(f"{name} has {row.size} values, but flow has {length}.")
    return row


def _present(name: str, row: Array | None) -> Array:
    """Return a row that must be there."""
    if row is None:
        raise ArgumentError(f"{name} is not given for this curve.")
    return row


def _inside(curve: PumpCurve, flow: ArrayLike, clamp: bool) -> Array:
    """Return the flow, known or held to lie within the curve."""
    q = array("flow", flow)
    low, high = float(curve.flow[0]), float(curve.flow[-1])
    if clamp:
        return np.clip(q, low, high)
    slack = 1e-9 * high  # a flow scaled to another speed and back
    if (wrong := (q < low - slack) | (q > high + slack)).any():
        hint = "Beyond its ends a curve is not known."
        raise OutOfRangeError("flow", float(q[wrong].flat[0]), low, high, "pump curve", hint)
    return np.clip(q, low, high)
