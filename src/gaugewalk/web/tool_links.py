"""Beside a field: the tool that helps to read it, and the glass to tap."""

from dataclasses import dataclass
from urllib.parse import quote

from markupsafe import Markup

from gaugewalk.plant.points import point_kind
from gaugewalk.watch.views import PointView
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
        words, place = "Needle swings", "swing"
    else:
        return None
    round_part = f"&round={round_id}" if round_id else ""
    href = f"/pump/{quote(tag, safe='')}/tools?point={view.point}{round_part}#{place}"
    return Tool(href=href, words=words)


def glass_for(view: PointView) -> Markup:
    """Draw a sight glass that is tapped where the level stands; nothing where there is none."""
    if "fraction" not in point_kind(view.point).kinds or "level" not in view.point:
        return Markup("")
    last = view.last.value if view.last and view.unit == _PERCENT else None
    percent = 50 if last is None else round(min(max(last, 0.0), 1.0) * 100)
    drawn = [
        box(8, 0, 40, 100, "tube"),
        box(8, 100 - percent, 40, percent, "level"),
        *(line(48, 100 - share, 58, 100 - share, "tick") for share in (0, 25, 50, 75, 100)),
    ]
    given = attributes(
        class_="sight-glass",
        viewBox="0 0 66 100",
        data_glass="",
        role="slider",
        tabindex="0",
        aria_label=f"{view.label}: tap where it stands",
        aria_orientation="vertical",
        aria_valuemin="0",
        aria_valuemax="100",
        aria_valuenow=str(percent),
        aria_valuetext=f"{percent} %",
    )
    return Markup(f"<svg{given}>{''.join(drawn)}</svg>")  # noqa: S704  made of numbers and escaped
