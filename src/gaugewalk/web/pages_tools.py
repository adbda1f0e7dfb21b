"""The tools at the pump: counting drops, adjusting a packing, watching a needle, looking again."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from gaugewalk.plant.points import point_kind
from gaugewalk.plant.pump import Pump, ShaftSeal
from gaugewalk.units import from_si
from gaugewalk.watch.procedure import Procedures
from gaugewalk.watch.views import PointView
from gaugewalk.web.frame import Frame
from gaugewalk.web.shown import Shown
from gaugewalk.web.stepper import Stepper, stepper_of

SWINGING = ("pressure", "pressure_difference", "current", "flow", "power", "speed", "velocity")
DROPS, MILLILITERS = "drops/min", "mL/min"
TOUCHED = (
    ("cool", "Cool: under hand warmth, about 35 °C"),
    ("warm", "Warm: the hand can stay, about 35 to 45 °C"),
    ("hot", "Hot: the hand stays a few seconds, about 45 to 60 °C"),
    ("too hot", "Too hot: felt from a hand's width away, or pulled back at once; over about 60 °C"),
)
"""Common practice; people differ by 5 K and more. EASA, "When it comes to motors, how hot is hot?",
2013, puts what a hand can bear at 60 to 65 °C.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Packing:
    """What the packing of this pump is held to."""

    wanted: str  # "20 to 80 drops/min"
    wanted_volume: str  # "1 to 4 mL/min"
    low: float | None  # drops/min
    target: float | None
    high: float | None
    nuts: int
    wait_seconds: float
    wait: str  # "15 min"
    most: int  # flats on each nut in one visit
    most_source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """A point whose needle may be watched."""

    point: str
    label: str
    unit: str
    symbol: str
    last: str
    stepper: Stepper


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolsPage:
    """The tools at one pump."""

    frame: Frame
    tag: str
    dripping: str  # the point that is counted: leak_off or seal_leakage; empty where neither
    dripping_label: str
    packing: Packing | None
    watched: tuple[Watched, ...]
    places: tuple[str, ...]  # that may be felt
    touched: tuple[tuple[str, str], ...]
    carried: Mapping[str, Any]
    symbols: Mapping[str, str]


def tools_page(
    frame: Frame,
    pump: Pump,
    views: tuple[PointView, ...],
    shown: Shown,
    procedures: Procedures,
    carried: Mapping[str, Any],
) -> ToolsPage:
    """Build the page of tools for a pump."""
    points = [view.point for view in views]
    dripping = next((name for name in ("leak_off", "seal_leakage") if name in points), "")
    return ToolsPage(
        frame=frame,
        tag=pump.tag,
        dripping=dripping,
        dripping_label=point_kind(dripping).label if dripping else "",
        packing=_packing(pump.seal, shown, procedures) if pump.seal.kind == "packing" else None,
        watched=tuple(_watched(view, shown) for view in views if _swings(view.point)),
        places=tuple(view.label for view in views if "temperature" in point_kind(view.point).kinds),
        touched=TOUCHED,
        carried=carried,
        symbols={"drops": DROPS, "milliliters": MILLILITERS},
    )


def _swings(point: str) -> bool:
    return any(kind in SWINGING for kind in point_kind(point).kinds)


def _watched(view: PointView, shown: Shown) -> Watched:
    chosen = stepper_of(view, shown)
    return Watched(
        point=view.point,
        label=view.label,
        unit=view.unit,
        symbol=chosen.symbol,
        last=shown.entry(view.last, view.unit) if view.last else "",
        stepper=chosen,
    )


def _packing(seal: ShaftSeal, shown: Shown, procedures: Procedures) -> Packing:
    low, high = seal.leak_off_low, seal.leak_off_high
    most = procedures.setting("flats_most")
    return Packing(
        wanted=_between(low, high, DROPS, shown),
        wanted_volume=_between(low, high, MILLILITERS, shown),
        low=_drops(low),
        target=_drops(seal.leak_off_target),
        high=_drops(high),
        nuts=seal.gland_nuts,
        wait_seconds=seal.wait_between_flats,
        wait=shown.value(seal.wait_between_flats, "min"),
        most=int(most.low),
        most_source=most.source,
    )


def _drops(value: float | None) -> float | None:
    return None if value is None else round(from_si(value, DROPS), 2)


def _between(low: float | None, high: float | None, unit: str, shown: Shown) -> str:
    if low is None or high is None:
        return ""
    first, second = shown.value(low, unit), shown.value(high, unit)
    return f"{first.partition(' ')[0]} to {second}"
