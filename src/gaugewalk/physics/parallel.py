"""Pumps side by side or one after the other on one system, and which of them is pushed back."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.arguments import Array, array, positive
from gaugewalk.physics.curve import PumpCurve, head_at
from gaugewalk.physics.duty import falling_flow, system_head


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SharedDuty:
    """What several pumps give together."""

    flow: Array  # through the system, [m3/s]
    head: Array  # of the system, [m]
    flows: tuple[Array, ...]  # through each pump, [m3/s]
    heads: tuple[Array, ...]  # of each pump, [m]


@dataclass(frozen=True, slots=True, kw_only=True)
class PumpShare:
    """How one of several parallel pumps fares."""

    flow: float  # [m3/s]
    share_of_best: float  # of its own best efficiency flow
    state: Literal["carrying", "below minimum flow", "held shut"]


def flow_against(curve: PumpCurve, head: ArrayLike) -> Array:
    """Return what a pump behind a check valve gives against a head.

    Parameters
    ----------
    curve : PumpCurve
        At the speed at which the pump runs.
    head : float or array
        Head that the header holds against it. [m]

    Returns
    -------
    array
        Flow on the falling side of the curve; 0 where the head is above the curve, because the
        check valve shuts; the curve's end where the head is below it. [m3/s]

    Examples
    --------
    >>> curve = PumpCurve(speed=49.0, flow=[0.0, 0.01, 0.02], head=[40.0, 36.0, 25.0])
    >>> [float(q) for q in flow_against(curve, [45.0, 36.0, 10.0])]
    [0.0, 0.01, 0.02]
    """
    h = array("head", head)
    shut, past = h > float(curve.head.max()), h < float(curve.head.min())
    flow = np.where(shut, 0.0, np.where(past, curve.flow[-1], falling_flow(curve, h)))
    return np.asarray(flow)[()]


def parallel_duty(
    curves: Sequence[PumpCurve], static: ArrayLike, resistance: ArrayLike
) -> SharedDuty:
    """Return what pumps side by side, each behind its check valve, give into one system.

    Parameters
    ----------
    curves : sequence of PumpCurve
        Each at its own speed and in its own state of wear.
    static, resistance : float or array
        Of the system after the header. [m, s2/m5]

    Returns
    -------
    SharedDuty
        The common head and each pump's flow; no flow where no pump lifts the static head.

    Raises
    ------
    ArgumentError
        No pump, resistance not above zero.

    Notes
    -----
    A curve that droops toward no flow is followed on its falling side: whether such a pump gets
    there from standstill against the others is another question. A pump past its curve's end is
    held at it.

    Examples
    --------
    >>> curve = PumpCurve(speed=49.0, flow=[0.0, 0.01, 0.02], head=[40.0, 36.0, 25.0])
    >>> both = parallel_duty([curve, curve], 20.0, 40e3)
    >>> round(float(both.flows[0] / both.flow), 3)
    0.5
    """
    _some(curves)
    s, r = np.broadcast_arrays(array("static", static), positive("resistance", resistance))
    strongest = max(float(curve.head.max()) for curve in curves)

    def excess(head: Array) -> Array:
        total = sum((flow_against(curve, head) for curve in curves), np.zeros_like(head))
        return np.asarray(system_head(s, r, total) - head)

    head = _falling_root(excess, np.array(s), np.maximum(s, strongest))
    lifts = s < strongest
    flows = tuple(np.where(lifts, flow_against(curve, head), 0.0)[()] for curve in curves)
    head = np.where(lifts, head, s)[()]
    total = np.asarray(sum(flows, np.zeros_like(s)))[()]
    return SharedDuty(flow=total, head=head, flows=flows, heads=(head,) * len(curves))


def series_duty(
    curves: Sequence[PumpCurve], static: ArrayLike, resistance: ArrayLike
) -> SharedDuty:
    """Return what pumps one after the other give into one system.

    Parameters
    ----------
    curves : sequence of PumpCurve
        Each at its own speed.
    static, resistance : float or array
        Of the system. [m, s2/m5]

    Returns
    -------
    SharedDuty
        The common flow and each pump's head; no flow where they cannot lift the static head, the
        shortest curve's end where the system asks for less.

    Raises
    ------
    ArgumentError
        No pump, resistance below zero.

    Examples
    --------
    >>> curve = PumpCurve(speed=49.0, flow=[0.0, 0.01, 0.02], head=[40.0, 36.0, 25.0])
    >>> both = series_duty([curve, curve], 40.0, 80e3)
    >>> round(float(both.head), 2) == round(float(2 * both.heads[0]), 2)
    True
    """
    _some(curves)
    s, r = np.broadcast_arrays(array("static", static), array("resistance", resistance))
    low = max(float(curve.flow[0]) for curve in curves)
    high = min(float(curve.flow[-1]) for curve in curves)

    def excess(flow: Array) -> Array:
        total = sum((head_at(curve, flow) for curve in curves), np.zeros_like(flow))
        return np.asarray(total - system_head(s, r, flow))

    flow = _falling_root(excess, np.full(s.shape, low), np.full(s.shape, high))
    heads = tuple(head_at(curve, flow) for curve in curves)
    return SharedDuty(
        flow=flow[()],
        head=np.asarray(sum(heads, np.zeros_like(s)))[()],
        flows=(flow[()],) * len(curves),
        heads=heads,
    )


def pushed_back(
    curves: Sequence[PumpCurve],
    head: float,
    *,
    best_flows: Sequence[float],
    minimum_flows: Sequence[float],
) -> tuple[PumpShare, ...]:
    """Return how each of several parallel pumps fares against the header's head.

    Parameters
    ----------
    curves : sequence of PumpCurve
        Each at its own speed and in its own state of wear.
    head : float
        Common head, measured or as by `parallel_duty`. [m]
    best_flows, minimum_flows : sequence of float
        Best efficiency flow and minimum continuous flow of each. [m3/s]

    Returns
    -------
    tuple of PumpShare
        "held shut": its check valve does not open, it is deadheaded; "below minimum flow": it is
        pushed back; else "carrying".

    Raises
    ------
    ArgumentError
        Sequences of unequal length.

    Examples
    --------
    >>> strong = PumpCurve(speed=49.0, flow=[0.0, 0.01, 0.02], head=[40.0, 36.0, 25.0])
    >>> shares = pushed_back([strong, strong.at_speed(46.0)], 38.0,
    ...                      best_flows=[0.014, 0.013], minimum_flows=[0.004, 0.004])
    >>> [share.state for share in shares]
    ['carrying', 'held shut']
    """
    _some(curves)
    if not len(curves) == len(best_flows) == len(minimum_flows):
        raise ArgumentError("curves, best_flows and minimum_flows must be equally many.")
    return tuple(
        _share(curve, float(head), float(positive("best_flows", best)), least)
        for curve, best, least in zip(curves, best_flows, minimum_flows, strict=True)
    )


def _share(curve: PumpCurve, head: float, best: float, least: float) -> PumpShare:
    """Return how one pump fares."""
    flow = float(flow_against(curve, head))
    state: Literal["carrying", "below minimum flow", "held shut"] = "carrying"
    if flow < least:
        state = "below minimum flow"
    if head >= float(curve.head.max()):
        state = "held shut"
    return PumpShare(flow=flow, share_of_best=flow / best, state=state)


def _falling_root(excess: Callable[[Array], Array], low: Array, high: Array) -> Array:
    """Return where a falling function crosses zero, or the end nearest to it, by halving."""
    for _ in range(60):
        middle = (low + high) / 2
        above = excess(middle) > 0
        low, high = np.where(above, middle, low), np.where(above, high, middle)
    return np.asarray((low + high) / 2)


def _some(curves: Sequence[PumpCurve]) -> None:
    """Refuse an empty list of pumps."""
    if not curves:
        raise ArgumentError("curves needs one pump or more.")
