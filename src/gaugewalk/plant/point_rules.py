"""What must agree at the observation points of a pump: limits in order, gauge range, equipment."""

from collections import Counter
from collections.abc import Callable, Mapping
from functools import partial
from itertools import pairwise

from gaugewalk import units
from gaugewalk.plant.faults import Faults, Path
from gaugewalk.plant.pump import Point, Pump

Show = Callable[[float], str]

_ORDER = ("stop_low", "act_low", "watch_low", "watch_high", "act_high", "stop_high")


def check_points(pump: Pump, path: Path, faults: Faults, air: float) -> None:
    """Add a fault for every observation point of a pump that does not agree."""
    count = Counter(point.point for point in pump.points)
    for index, point in enumerate(pump.points):
        at = (*path, "point", index)
        if count[point.point] > 1 and point.point:
            faults.add((*at, "point"), repr(point.point), "each point once a pump")
        if not point.unit or not point.point:
            continue  # said already
        show = partial(units.show, unit=point.unit, barometric=air)
        _check_order(point, at, faults, show)
        _check_usual(point, at, faults, show)
        _check_range(point, at, faults, show)
        _check_fitted(pump, point, at, faults)


def _check_order(point: Point, at: Path, faults: Faults, show: Show) -> None:
    given = [(key, getattr(point, key)) for key in _ORDER if getattr(point, key) is not None]
    for (low_key, low), (high_key, high) in pairwise(given):
        touching = low == high and low_key[-3:] == high_key[-3:]  # two high or two low limits
        if low < high or low != low or high != high or touching:
            continue
        expected = f"limits that rise in this order: {', '.join(_ORDER)}"
        given_text = f"{low_key} {show(low)} and {high_key} {show(high)}"
        faults.add((*at, high_key), given_text, expected)


def _check_usual(point: Point, at: Path, faults: Faults, show: Show) -> None:
    usual = point.usual
    if usual is None:
        return
    if point.watch_low is not None and usual < point.watch_low:
        expected = f"at or above watch_low, {show(point.watch_low)}"
        faults.add((*at, "usual"), show(usual), expected)
    if point.watch_high is not None and usual > point.watch_high:
        expected = f"at or below watch_high, {show(point.watch_high)}"
        faults.add((*at, "usual"), show(usual), expected)


def _check_range(point: Point, at: Path, faults: Faults, show: Show) -> None:
    low, high = point.range_low, point.range_high
    if low is not None and high is not None and low >= high:
        expected = f"above range_low, {show(low)}"
        faults.add((*at, "range_high"), show(high), expected)
        return
    for key in (*_ORDER, "usual"):
        value = getattr(point, key)
        if value is None:
            continue
        if low is not None and value < low:
            expected = f"within the gauge's range, from {show(low)}"
            faults.add((*at, key), show(value), expected)
        if high is not None and value > high:
            expected = f"within the gauge's range, to {show(high)}"
            faults.add((*at, key), show(value), expected)


# ------------------------------------------------------------------ is there anything to observe?


def _has_pot(pump: Pump) -> bool:
    return pump.seal.liquid.pot


def _has_oil_system(pump: Pump) -> bool:
    both = (pump.lubrication, pump.driver_lubrication)
    return any(oil is not None and oil.kind in ("", "forced feed") for oil in both)


def _has_oil(pump: Pump) -> bool:
    return not pump.lubrication.kind.startswith("grease")


def _has_oiler(pump: Pump) -> bool:
    return pump.lubrication.kind in ("", "constant-level oiler")


def _has_motor(pump: Pump) -> bool:
    return pump.driver.kind == "electric motor"


def _is_packed(pump: Pump) -> bool:
    return not pump.seal.kind.endswith("mechanical seal")


def _is_sealed(pump: Pump) -> bool:
    return pump.seal.kind != "packing"


_FITTED: Mapping[str, tuple[Callable[[Pump], bool], str]] = {
    "leak_off": (_is_packed, "packing; for a mechanical seal the point is seal_leakage"),
    "gland_travel": (_is_packed, "packing"),
    "seal_leakage": (_is_sealed, "a mechanical seal; for packing the point is leak_off"),
    "seal_pot_": (_has_pot, "pot = true in [pump.seal.liquid]"),
    "oil_supply_": (_has_oil_system, "forced-feed lubrication"),
    "oil_pump_": (_has_oil_system, "forced-feed lubrication"),
    "oil_filter_": (_has_oil_system, "forced-feed lubrication"),
    "oil_reservoir_": (_has_oil_system, "forced-feed lubrication"),
    "oil_level": (_has_oil, "bearings lubricated with oil"),
    "oiler_level": (_has_oiler, "a constant-level oiler"),
    "motor_": (_has_motor, "an electric motor"),
    "suction_strainer_": (
        lambda pump: pump.suction_strainer is not None,
        "[pump.suction_strainer]",
    ),
    "discharge_strainer_": (
        lambda pump: pump.discharge_strainer is not None,
        "[pump.discharge_strainer]",
    ),
}
"""By the start of a point's name: whether the pump has what is observed, and what that is."""


def _check_fitted(pump: Pump, point: Point, at: Path, faults: Faults) -> None:
    for start, (has, what) in _FITTED.items():
        if point.point.startswith(start) and not has(pump):
            faults.add((*at, "point"), repr(point.point), f"{what} on this pump")
