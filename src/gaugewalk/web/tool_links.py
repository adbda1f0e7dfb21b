"""Beside a field: the tool that helps to read it, and the glass to tap."""

import math
from dataclasses import dataclass
from urllib.parse import quote

from markupsafe import Markup

from gaugewalk.plant.points import point_kind
from gaugewalk.units import from_si, unit_named
from gaugewalk.watch.views import PointView
from gaugewalk.web.stepper import nice_step
from gaugewalk.web.svg import attributes, box, line

_DRIPPING = ("leak_off", "seal_leakage")
_SWINGING = ("pressure", "pressure_difference", "current", "flow", "power")
_PERCENT = "%"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """A tool for one field."""

    href: str
    words: str


def tool_for(tag: str, view: PointView, round_id: str = "") -> Tool | None:
    """Return the tool that helps to read a point; none where a glance does."""
    kinds = point_kind(view.point).kinds
    if view.point in _DRIPPING:
        words, place = "Count drops", "drops"
    elif any(kind in _SWINGING for kind in kinds):
        words, place = "Swings", "swing"
    else:
        return None
    round_part = f"&round={round_id}" if round_id else ""
    href = f"/pump/{quote(tag, safe='')}/tools?point={view.point}{round_part}#{place}"
    return Tool(href=href, words=words)


def glass_for(view: PointView) -> Markup:
    """Draw a sight glass that is tapped where the level stands; nothing where there is none.

    A level in percent runs from empty to full; one in a length from half a band below what is
    expected to half a band above it, with marks at both.
    """
    ends = _ends(view)
    if ends is None:
        return Markup("")
    low, high, step, marks = ends
    last = from_si(view.last.value or 0.0, view.unit) if view.last else (low + high) / 2
    share = min(max((last - low) / (high - low), 0.0), 1.0) * 100
    drawn = [
        box(8, 0, 40, 100, "tube"),
        box(8, 100 - share, 40, share, "level"),
        *(_mark(100 - (mark - low) / (high - low) * 100) for mark in marks),
    ]
    symbol = unit_named(view.unit).symbol
    given = attributes(
        class_="sight-glass",
        viewBox="0 0 66 100",
        data_glass=view.unit,
        data_by=f"{step:g}",
        role="slider",
        tabindex="0",
        aria_label=f"{view.label}: tap where it stands",
        aria_orientation="vertical",
        aria_valuemin=f"{low:g}",
        aria_valuemax=f"{high:g}",
        aria_valuenow=f"{last:.4g}",
        aria_valuetext=f"{last:.4g} {symbol}",
    )
    return Markup(f"<svg{given}>{''.join(drawn)}</svg>")  # noqa: S704  made of numbers and escaped


def _mark(y: float) -> str:
    return line(48, y, 60, y, "tick")


def _ends(view: PointView) -> tuple[float, float, float, tuple[float, ...]] | None:
    """Return the ends of a glass, the step and its marks, all in the point's own unit."""
    if "level" not in view.point:
        return None
    if view.unit == _PERCENT:
        return 0.0, 100.0, 5.0, (0.0, 25.0, 50.0, 75.0, 100.0)
    band = view.expected
    if band is None or not (math.isfinite(band.low) and math.isfinite(band.high)):
        return None
    low, high = from_si(band.low, view.unit), from_si(band.high, view.unit)
    margin = (high - low) / 2
    if margin <= 0:
        return None
    return low - margin, high + margin, nice_step(margin / 5), (low, high)
