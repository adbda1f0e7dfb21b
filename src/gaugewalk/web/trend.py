"""The trend of one point: readings, its own band, its limits, what was done, what comes."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from markupsafe import Markup

from gaugewalk.judge.forecast import Forecast
from gaugewalk.watch.trend_chart import thinned
from gaugewalk.watch.views import Sample
from gaugewalk.web.shown import Shown
from gaugewalk.web.svg import box, circle, figure, line, path, words

WIDTH, HEIGHT = 350.0, 150.0
LEFT, RIGHT, TOP, BOTTOM = 58.0, 8.0, 8.0, 30.0
AHEAD = 0.5  # of the time looked back on, shown of what comes at the most
SHORTEST = timedelta(hours=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Axes:
    since: datetime
    until: datetime
    low: float
    high: float

    def x(self, moment: datetime) -> float:
        span = max((self.until - self.since).total_seconds(), 1.0)
        share = (moment - self.since).total_seconds() / span
        return LEFT + share * (WIDTH - LEFT - RIGHT)

    def y(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return HEIGHT - BOTTOM - min(max(share, 0.0), 1.0) * (HEIGHT - TOP - BOTTOM)


def trend_drawing(
    samples: Sequence[Sample],
    *,
    band: tuple[float, float] | None,
    limits: Sequence[float],
    unit: str,
    shown: Shown,
    label: str,
    coming: Forecast | None = None,
    deeds: Sequence[datetime] = (),
) -> Markup:
    """Draw readings over time; empty where there are fewer than two.

    What comes is a fan from the last reading to the limit: it is reached between its edges in 8
    cases of 10, and where the late end is open the lower edge goes on level.
    """
    if len(samples) < 2:
        return Markup("")
    fan = _fan(samples, coming) if coming else None
    axes = _axes(samples, band, fan)
    drawn = []
    if band is not None:
        top, bottom = axes.y(band[1]), axes.y(band[0])
        drawn.append(box(LEFT, top, WIDTH - LEFT - RIGHT, max(bottom - top, 1), "own-band"))
    drawn += [
        line(LEFT, axes.y(x), WIDTH - RIGHT, axes.y(x), "limit")
        for x in limits
        if axes.low < x < axes.high
    ]
    drawn += _opened(fan, axes) if fan else []
    drawn += [
        line(axes.x(moment), HEIGHT - BOTTOM, axes.x(moment), HEIGHT - BOTTOM - 12, "deed")
        for moment in deeds
        if axes.since <= moment <= axes.until
    ]
    drawn += [_frame(), *_figures(axes, unit, shown), *_readings(thinned(samples), axes)]
    said = f"{label}: {len(samples)} readings from {shown.clock(samples[0].seen_at)}"
    said += ", and the way to its limit" if fan else ""
    return figure("".join(drawn), WIDTH, HEIGHT, said, "chart")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Fan:
    """Corners in time and value: the edges of the fan, and its likeliest line."""

    edge: tuple[tuple[datetime, float], ...]
    likeliest: tuple[tuple[datetime, float], ...]


def _fan(samples: Sequence[Sample], coming: Forecast) -> _Fan | None:
    """Cut a forecast off where the drawing ends; none where it has no way to draw."""
    start, level, limit, when = coming.last, coming.level, coming.limit, coming.when
    if start is None or level is None or limit is None or when is None:
        return None
    most = (start - samples[0].seen_at) * AHEAD
    until = start + max(min(coming.high - start, most) if coming.high else most, SHORTEST)

    def towards(moment: datetime) -> tuple[datetime, float]:
        moment = max(moment, start)
        if moment <= until:
            return moment, limit.value
        return until, level + (limit.value - level) * ((until - start) / (moment - start))

    early = towards(coming.low or start)
    late = towards(coming.high) if coming.high else (until, level)
    corner = [(until, limit.value)] if early[0] < until and late[1] != limit.value else []
    return _Fan(
        edge=((start, level), early, *corner, late), likeliest=((start, level), towards(when))
    )


def _opened(fan: _Fan, axes: _Axes) -> list[str]:
    edge, likeliest = (
        " L".join(f"{axes.x(moment):.1f},{axes.y(value):.1f}" for moment, value in corners)
        for corners in (fan.edge, fan.likeliest)
    )
    return [path(f"M{edge} Z", "fan"), path(f"M{likeliest}", "likeliest")]


def _axes(samples: Sequence[Sample], band: tuple[float, float] | None, fan: _Fan | None) -> _Axes:
    lows = [s.low if s.low is not None else s.value for s in samples]
    highs = [s.high if s.high is not None else s.value for s in samples]
    if band is not None:
        lows.append(band[0])
        highs.append(band[1])
    until = samples[-1].seen_at
    if fan is not None:
        lows += [value for _, value in fan.edge]
        highs += [value for _, value in fan.edge]
        until = max(until, *(moment for moment, _ in fan.edge))
    low, high = min(lows), max(highs)
    margin = (high - low) * 0.12 or abs(high) * 0.05 or 1.0
    return _Axes(since=samples[0].seen_at, until=until, low=low - margin, high=high + margin)


def _frame() -> str:
    return path(f"M{LEFT:g},{TOP:g} V{HEIGHT - BOTTOM:g} H{WIDTH - RIGHT:g}", "axis")


def _figures(axes: _Axes, unit: str, shown: Shown) -> list[str]:
    margin = (axes.high - axes.low) * 0.1
    drawn = [
        words(LEFT - 6, axes.y(value) + 5, shown.value(value, unit).split(" ")[0], "tick", "end")
        for value in (axes.low + margin, axes.high - margin)
    ]
    ends = ((axes.since, "start"), (axes.until, "end"))
    drawn += [
        words(axes.x(moment), HEIGHT - 10, shown.clock(moment), "tick", anchor)
        for moment, anchor in ends
    ]
    return drawn


def _readings(samples: Sequence[Sample], axes: _Axes) -> list[str]:
    corners = " L".join(f"{axes.x(s.seen_at):.1f},{axes.y(s.value):.1f}" for s in samples)
    drawn = [path(f"M{corners}", "run")]
    for sample in samples:
        x = axes.x(sample.seen_at)
        if sample.low is not None and sample.high is not None:
            drawn.append(line(x, axes.y(sample.low), x, axes.y(sample.high), "swing"))
        if sample.severity not in (None, "normal"):
            drawn.append(circle(x, axes.y(sample.value), 4, f"dot {sample.severity}"))
    last = samples[-1]
    drawn.append(circle(axes.x(last.seen_at), axes.y(last.value), 4.5, "dot last"))
    return drawn
