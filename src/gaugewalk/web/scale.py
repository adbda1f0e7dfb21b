"""The small straight scale beside a field: expected band, limits, last and new reading."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup

from gaugewalk.judge.verdict import Band
from gaugewalk.web.svg import attributes, figure, line, path

WIDTH, HEIGHT, RAIL = 300.0, 34.0, 20.0
EDGE = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """The ends of a scale, [SI]; what lies beyond is drawn at its end."""

    low: float
    high: float

    def x(self, value: float) -> float:
        """Return the place of a value on the drawing."""
        share = (value - self.low) / (self.high - self.low)
        return EDGE + min(max(share, 0.0), 1.0) * (WIDTH - 2 * EDGE)


def scale_around(band: Band, limits: Iterable[float], last: float | None) -> Scale | None:
    """Return a scale that shows the band in its middle and the nearer limits; none without width.

    Examples
    --------
    >>> band = Band(low=2.0, high=4.0, middle=3.0, readings=9, source="limits", sentence="")
    >>> scale_around(band, [1.0, 90.0], None)
    Scale(low=0.5, high=5.5)
    """
    inside = [x for x in (band.low, band.high, band.middle) if math.isfinite(x)]
    width = max(inside) - min(inside)
    if width <= 0:
        near = [x for x in (*limits, last) if x is not None and math.isfinite(x)]
        width = max((abs(x - band.middle) for x in near), default=abs(band.middle)) * 2
    if width <= 0:
        return None
    center = (max(inside) + min(inside)) / 2
    reach = width * 1.25
    return Scale(low=center - reach, high=center + reach)


def scale_drawing(
    band: Band, limits: Iterable[float], *, last: float | None, taken: float | None, words: str
) -> Markup:
    """Draw the scale; the new reading's pointer is there but hidden until there is one."""
    limits = tuple(limits)
    scale = scale_around(band, limits, last)
    if scale is None:
        return Markup("")
    drawn = [line(EDGE, RAIL, WIDTH - EDGE, RAIL, "rail")]
    drawn.append(line(scale.x(band.low), RAIL, scale.x(band.high), RAIL, "band"))
    drawn += [
        line(scale.x(x), RAIL - 10, scale.x(x), RAIL + 10, "limit")
        for x in limits
        if scale.low < x < scale.high
    ]
    if last is not None:
        x = scale.x(last)
        drawn.append(path(f"M{x:.1f},{RAIL + 5:g} l-6,9 h12 z", "before"))
    at = 0.0 if taken is None else scale.x(taken)
    given = attributes(
        class_="pointer",
        d=f"M0,{RAIL - 6:g} l-7,-13 h14 z",
        transform=f"translate({at:.1f} 0)",
        visibility="hidden" if taken is None else None,
    )
    drawn.append(f"<path{given}/>")
    ends = {"data_low": repr(scale.low), "data_high": repr(scale.high)}
    return figure("".join(drawn), WIDTH, HEIGHT, words, "scale", **ends)
