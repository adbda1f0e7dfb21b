"""Where on its curve a pump runs: from its head, its power, or the system it pumps into."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.arguments import Array, array, not_negative, positive
from gaugewalk.physics.curve import PumpCurve, best_efficiency_flow
from gaugewalk.physics.monotone import Monotone

FLAT_SHARE = 0.2
"""An interval wider than this share of the best efficiency flow is called flat (our convention)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DutyPoint:
    """Where the pump runs, with the interval that the gauges' accuracy allows.

    Each field is one number, or an array of the readings' shape. Where `flat` is true, the interval
    is the answer and not the number: a small error of head moves the flow far, or the curve has
    this head at more than one flow. Where no flow of the curve fits, flow and interval are NaN and
    one of `above` and `beyond` says on which side.
    """

    flow: Array  # [m3/s] on the falling side of the curve
    flow_low: Array  # [m3/s]
    flow_high: Array  # [m3/s]
    flat: NDArray[np.bool_]
    crossings: NDArray[np.int_]  # how often the curve has this value
    above: NDArray[np.bool_]  # higher than anywhere on the curve
    beyond: NDArray[np.bool_]  # lower than anywhere on the curve (head: past the curve's end)


def duty_point(curve: PumpCurve, head: ArrayLike, head_uncertainty: ArrayLike = 0.0) -> DutyPoint:
    """Return where a pump runs, from its measured head.

    Parameters
    ----------
    curve : PumpCurve
        At the speed at which the pump runs.
    head : float or array, shape (n,)
        Measured total head. [m]
    head_uncertainty : float or array
        Half the width of the interval that the head may lie in. [m]

    Returns
    -------
    DutyPoint
        Flow with its interval: every flow of the curve whose head lies within the uncertainty.

    Raises
    ------
    ArgumentError
        Uncertainty below zero.

    Notes
    -----
    Holds for a pump in the state of its curve; wear, gas or another liquid's viscosity moves the
    true curve, and the flow found here is then wrong. Check it against power or a flow meter.

    Examples
    --------
    >>> curve = PumpCurve(speed=49.0, flow=[0.0, 0.01, 0.02], head=[40.0, 36.0, 25.0])
    >>> duty = duty_point(curve, 36.0, 0.5)
    >>> round(float(duty.flow), 4), bool(duty.flat)
    (0.01, False)
    """
    return _duty(curve.head_line(), head, head_uncertainty, "head_uncertainty", _wide(curve))


def duty_from_power(
    curve: PumpCurve,
    power: ArrayLike,
    power_uncertainty: ArrayLike = 0.0,
    density: ArrayLike | None = None,
) -> DutyPoint:
    """Return where a pump runs, from its measured shaft power.

    Parameters
    ----------
    curve : PumpCurve
        At the speed at which the pump runs, with a power row.
    power : float or array, shape (n,)
        Measured shaft power. [W]
    power_uncertainty : float or array
        Half the width of the interval that the power may lie in. [W]
    density : float or array, optional
        Density of the liquid; none: that of the curve. [kg/m3]

    Returns
    -------
    DutyPoint
        Flow with its interval. Where the power row bends over, `crossings` is more than one and
        `flat` is true.

    Raises
    ------
    ArgumentError
        The curve has no power row, uncertainty below zero.

    Examples
    --------
    >>> curve = PumpCurve(speed=49.0, flow=[0.0, 0.01], head=[40.0, 36.0], power=[2e3, 5e3])
    >>> round(float(duty_from_power(curve, 3500.0).flow), 4)
    0.005
    """
    rho = curve.density if density is None else positive("density", density)
    scale = curve.density / np.asarray(rho)
    value = array("power", power) * scale
    spread = not_negative("power_uncertainty", power_uncertainty) * scale
    return _duty(curve.power_line(), value, spread, "power_uncertainty", _wide(curve))


def system_head(static: ArrayLike, resistance: ArrayLike, flow: ArrayLike) -> Array:
    """Return the head that a system asks for at a flow, H_static + R Q².

    Parameters
    ----------
    static : float or array
        Head at no flow: difference of levels and of pressures. [m]
    resistance : float or array
        R. [s2/m5]
    flow : float or array
        [m3/s]

    Returns
    -------
    array
        [m]

    Examples
    --------
    >>> float(system_head(10.0, 40e3, 0.02))
    26.0
    """
    r = not_negative("resistance", resistance)
    return np.asarray(array("static", static) + r * array("flow", flow) ** 2)[()]


def resistance_through(static: ArrayLike, head: ArrayLike, flow: ArrayLike) -> Array:
    """Return the resistance of a system through one known duty, (H - H_static)/Q².

    Parameters
    ----------
    static, head : float or array
        [m]
    flow : float or array
        Above zero. [m3/s]

    Returns
    -------
    array
        R. [s2/m5]

    Examples
    --------
    >>> float(resistance_through(10.0, 26.0, 0.02))
    40000.0
    """
    friction = array("head", head) - array("static", static)
    return np.asarray(friction / positive("flow", flow) ** 2)[()]


def intersect(curve: PumpCurve, static: ArrayLike, resistance: ArrayLike) -> DutyPoint:
    """Return where a pump's curve meets a system's.

    Parameters
    ----------
    curve : PumpCurve
        At the speed at which the pump runs.
    static : float or array, shape (n,)
        [m]
    resistance : float or array, shape (n,)
        [s2/m5]

    Returns
    -------
    DutyPoint
        `flow` is the stable meeting, where the pump's head falls below the system's; with more
        than one meeting `flow_low` and `flow_high` are the outermost and `flat` is true. Flow is
        NaN with `above` set where the pump outruns its curve, and with `beyond` set where it
        cannot lift the static head.

    Examples
    --------
    >>> curve = PumpCurve(speed=49.0, flow=[0.0, 0.01, 0.02], head=[40.0, 36.0, 25.0])
    >>> round(float(intersect(curve, 10.0, 37.5e3).flow), 4)
    0.02
    """
    s, r = np.broadcast_arrays(array("static", static), not_negative("resistance", resistance))
    line = curve.head_line()
    fine = _fine_flows(line)
    surplus = line(fine) - s[..., None] - r[..., None] * fine**2
    down = (surplus[..., :-1] >= 0) & (surplus[..., 1:] < 0)
    up = (surplus[..., :-1] < 0) & (surplus[..., 1:] >= 0)
    at_end = surplus[..., -1] == 0
    last = down.shape[-1] - 1 - np.argmax(down[..., ::-1], axis=-1)
    first = np.argmax(down | up, axis=-1)
    found = down.any(axis=-1)
    stable = _refine(line, fine, last, s, r)
    lowest = _refine(line, fine, first, s, r)
    flow = np.where(found, stable, np.where(at_end, fine[-1], np.nan))
    crossings = (down | up).sum(axis=-1) + at_end
    return DutyPoint(
        flow=flow[()],
        flow_low=np.where(found, lowest, flow)[()],
        flow_high=flow[()],
        flat=(crossings > 1)[()],
        crossings=crossings[()],
        above=(np.isnan(flow) & (surplus[..., -1] > 0))[()],
        beyond=(np.isnan(flow) & (surplus[..., -1] < 0))[()],
    )


def all_flows_at_head(curve: PumpCurve, head: float) -> tuple[float, ...]:
    """Return every flow at which the curve has a head, rising.

    Examples
    --------
    >>> drooping = PumpCurve(speed=49.0, flow=[0.0, 0.01, 0.02], head=[38.0, 40.0, 25.0])
    >>> len(all_flows_at_head(drooping, 39.0))
    2
    """
    line, height = curve.head_line(), np.asarray(float(head))
    found = [
        float(line.x[k] + line.offset_at(k, height))
        for k in range(len(line.x) - 1)
        if min(line.y[k], line.y[k + 1]) <= head <= max(line.y[k], line.y[k + 1])
    ]
    slack = 1e-9 * float(line.x[-1])
    return tuple(q for i, q in enumerate(found) if i == 0 or q - found[i - 1] > slack)


def falling_flow(curve: PumpCurve, head: ArrayLike) -> Array:
    """Return the highest flow at which a curve has a head, without interval or flags.

    Parameters
    ----------
    curve : PumpCurve
        At the speed at which the pump runs.
    head : float or array
        [m]

    Returns
    -------
    array
        Flow; NaN where the curve has this head nowhere. [m3/s]

    Examples
    --------
    >>> curve = PumpCurve(speed=49.0, flow=[0.0, 0.01, 0.02], head=[40.0, 36.0, 25.0])
    >>> float(falling_flow(curve, 36.0))
    0.01
    """
    line, target = curve.head_line(), np.atleast_1d(array("head", head))
    flow = np.full(target.shape, np.nan)
    for k in range(len(line.x) - 1):
        bottom, top = sorted((float(line.y[k]), float(line.y[k + 1])))
        hit = (target >= bottom) & (target <= top)
        if hit.any():
            flow[hit] = line.x[k] + line.offset_at(k, target[hit])
    return flow.reshape(np.shape(head))[()]


def _wide(curve: PumpCurve) -> float:
    """Return the width of interval from which a duty is called flat, [m3/s]."""
    reference = float(curve.flow[-1]) if curve.power is None else best_efficiency_flow(curve)
    return FLAT_SHARE * reference


def _duty(
    line: Monotone, value: ArrayLike, spread: ArrayLike, spread_name: str, wide: float
) -> DutyPoint:
    """Return the flows at which a line has a value, and those at which it has it nearly."""
    middle, half = np.broadcast_arrays(array("value", value), not_negative(spread_name, spread))
    target, low, high = middle.ravel(), (middle - half).ravel(), (middle + half).ravel()
    flow, crossings = np.full(target.shape, np.nan), np.zeros(target.shape, dtype=int)
    flow_low, flow_high = np.full(target.shape, np.inf), np.full(target.shape, -np.inf)
    for k in range(len(line.x) - 1):
        bottom, top = sorted((float(line.y[k]), float(line.y[k + 1])))
        hit = (target >= bottom) & (target <= top)
        if hit.any():
            # A value exactly on a shared point counts once.
            crossings[hit & (target != line.y[k]) if k else hit] += 1
            flow[hit] = line.x[k] + line.offset_at(k, target[hit])
        near = (high >= bottom) & (low <= top)
        if near.any():
            one, other = _reach(line, k, low[near]), _reach(line, k, high[near])
            flow_low[near] = np.minimum(flow_low[near], np.minimum(one, other))
            flow_high[near] = np.maximum(flow_high[near], np.maximum(one, other))
    flows = flow, flow_low, flow_high
    return _duty_of(line, (target, low, high), flows, crossings, wide, middle.shape)


def _reach(line: Monotone, k: int, value: Array) -> Array:
    """Return where segment k has a value, or its end nearest to it."""
    bottom, top = sorted((float(line.y[k]), float(line.y[k + 1])))
    at_left = value <= bottom if line.y[k] <= line.y[k + 1] else value >= top
    flow = np.where(at_left, line.x[k], line.x[k + 1])
    inside = (value > bottom) & (value < top)
    if inside.any():
        flow[inside] = line.x[k] + line.offset_at(k, value[inside])
    return np.asarray(flow)


def _duty_of(
    line: Monotone,
    values: tuple[Array, Array, Array],
    flows: tuple[Array, Array, Array],
    crossings: NDArray[np.int_],
    wide: float,
    shape: tuple[int, ...],
) -> DutyPoint:
    """Return the duty point of flows found, with its flags, in the shape of the readings."""
    target, low, high = values
    flow, flow_low, flow_high = flows
    none = ~np.isfinite(flow_low)
    flow_low, flow_high = np.where(none, np.nan, flow_low), np.where(none, np.nan, flow_high)
    # A head just off the curve still fits within its uncertainty: the nearest point is meant.
    top, bottom = line.x[np.argmax(line.y)], line.x[np.argmin(line.y)]
    nearest = np.where(target > line.y.max(), top, bottom)
    flow = np.where(np.isnan(flow) & ~none, nearest, flow)
    fields: dict[str, Any] = {
        "flow": flow,
        "flow_low": flow_low,
        "flow_high": flow_high,
        "flat": (crossings > 1) | (flow_high - flow_low > wide),
        "crossings": crossings,
        "above": low > line.y.max(),
        "beyond": high < line.y.min(),
    }
    return DutyPoint(**{name: field.reshape(shape)[()] for name, field in fields.items()})


def _fine_flows(line: Monotone, parts: int = 12) -> Array:
    """Return the curve's flows with each segment cut in parts."""
    cuts = [
        np.linspace(a, b, parts, endpoint=False)
        for a, b in zip(line.x[:-1], line.x[1:], strict=True)
    ]
    return np.concatenate([*cuts, line.x[-1:]])


def _refine(line: Monotone, fine: Array, k: NDArray[np.intp], static: Array, r: Array) -> Array:
    """Return the meeting of curve and system within the k-th fine interval, by halving it."""
    low, high = fine[k], fine[k + 1]
    falling = line(low) - static - r * low**2 >= 0
    for _ in range(50):
        middle = (low + high) / 2
        keep_low = (line(middle) - static - r * middle**2 >= 0) == falling
        low, high = np.where(keep_low, middle, low), np.where(keep_low, high, middle)
    return np.asarray((low + high) / 2)


def require_flow(duty: DutyPoint) -> float:
    """Return the one flow of a duty point, or say why there is none.

    Raises
    ------
    ArgumentError
        No flow of the curve fits.

    Examples
    --------
    >>> curve = PumpCurve(speed=49.0, flow=[0.0, 0.01, 0.02], head=[40.0, 36.0, 25.0])
    >>> require_flow(duty_point(curve, 45.0))
    Traceback (most recent call last):
    ...
    gaugewalk.errors.ArgumentError: head lies above the curve at every flow.
    """
    if bool(duty.above):
        raise ArgumentError("head lies above the curve at every flow.")
    if bool(duty.beyond):
        raise ArgumentError("head lies below the curve at every flow.")
    return float(duty.flow)
