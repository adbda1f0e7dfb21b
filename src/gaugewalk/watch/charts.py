"""Three charts where people would rather look than read: pump, oil, strainer; SVG as text.

Each chart says in its description what it shows in words and figures, so that nobody needs to see
it, and no meaning hangs on color.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gaugewalk.physics.curve import PumpCurve, head_at, npshr_at
from gaugewalk.physics.duty import system_head
from gaugewalk.physics.oil import COLDEST, HOTTEST, LOWEST_MM2S, ViscosityLine
from gaugewalk.physics.strainer import OpeningTrend, opening_trend
from gaugewalk.units import from_si, show, table
from gaugewalk.watch.chart_frame import TOP, Axis, Panel, axis_over, picture

_POINTS = 80  # of a drawn line
_MARGIN = 20.0  # [K] room for words beside the window
_BESIDE = 80.0  # gap between two panels: tick labels, axis label


@dataclass(frozen=True, slots=True, kw_only=True)
class PumpPicture:
    """What a pump chart shows besides the curve; all SI, each part may be left out."""

    system: tuple[float, float] | None = None  # static head [m] and resistance [s2/m5]
    duty: float | None = None  # flow [m3/s]
    duty_low: float | None = None
    duty_high: float | None = None
    preferred: tuple[float, float] | None = None  # flows [m3/s]
    npsh_available: float | None = None  # [m]


def pump_chart(
    curve: PumpCurve,
    shown: PumpPicture,
    *,
    title: str = "Pump curve",
    flow_unit: str = "m3/h",
    head_unit: str = "m",
    on_paper: bool = False,
) -> str:
    """Draw a pump's curve with system, duty point and its interval, preferred region, NPSH.

    Parameters
    ----------
    curve : PumpCurve
        At the speed at which the pump runs.
    shown : PumpPicture
        What stands beside it.
    title : str
        Of the picture.
    flow_unit, head_unit : str
        Units of the axes.
    on_paper : bool
        True for a file; False to take the color of the page.

    Returns
    -------
    str
        SVG.

    Examples
    --------
    >>> curve = PumpCurve(speed=49.0, flow=[0.0, 0.01, 0.02], head=[40.0, 36.0, 25.0])
    >>> pump_chart(curve, PumpPicture(duty=0.012)).count("<polyline")
    1
    """
    flows = np.linspace(float(curve.flow[0]), float(curve.flow[-1]), _POINTS)
    q = np.array([from_si(float(flow), flow_unit) for flow in flows])
    x = axis_over(f"Flow [{table()[flow_unit].symbol}]", [0.0, float(q[-1])])
    head = _head_panel(curve, shown, flows, x, flow_unit, head_unit)
    panels = [head]
    if curve.npshr is not None:
        top = head.top + head.height + _BESIDE + 20
        panels.append(_npsh_panel(curve, shown, flows, x, flow_unit, head_unit, top))
    return picture(
        title, _pump_words(curve, shown, flow_unit, head_unit), panels, on_paper=on_paper
    )


def _head_panel(
    curve: PumpCurve,
    shown: PumpPicture,
    flows: NDArray[np.float64],
    x: Axis,
    flow_unit: str,
    head_unit: str,
) -> Panel:
    heads = head_at(curve, flows)
    q = [from_si(float(flow), flow_unit) for flow in flows]
    h = [from_si(float(value), head_unit) for value in heads]
    y = axis_over(f"Head [{table()[head_unit].symbol}]", [0.0, *h])
    panel = Panel(x=x, y=y, top=TOP, height=250.0)
    if shown.preferred is not None:
        low, high = (from_si(flow, flow_unit) for flow in shown.preferred)
        panel.band(low, high, y.low, y.high, name="preferred")
        panel.words((low + high) / 2, y.low, "preferred", anchor="middle", dx=0.0, dy=-6.0)
    panel.line(q, h, name="pump", weight=3.0)
    panel.words(q[0], h[0], "pump", dx=10.0, dy=-8.0)
    if shown.system is not None:
        wanted = system_head(*shown.system, flows)
        s = [from_si(float(value), head_unit) for value in wanted]
        panel.line(q, s, name="system", dash="dash")
        panel.words(q[0], s[0], "system", dx=10.0, dy=24.0)
    if shown.duty is not None:
        _mark_duty(panel, curve, shown, shown.duty, flow_unit, head_unit)
    return panel


def _mark_duty(
    panel: Panel, curve: PumpCurve, shown: PumpPicture, duty: float, flow_unit: str, head_unit: str
) -> None:
    at = from_si(duty, flow_unit)
    head = from_si(float(head_at(curve, duty, clamp=True)), head_unit)
    if shown.duty_low is not None and shown.duty_high is not None:
        ends = [from_si(flow, flow_unit) for flow in (shown.duty_low, shown.duty_high)]
        panel.line(ends, [head, head], name="duty-interval", weight=7.0)
    panel.dot(at, head, name="duty", radius=8.0)
    panel.words(at, head, f"duty {show(duty, flow_unit)}", anchor="middle", dx=0.0, dy=54.0)


def _npsh_panel(
    curve: PumpCurve,
    shown: PumpPicture,
    flows: NDArray[np.float64],
    x: Axis,
    flow_unit: str,
    head_unit: str,
    top: float,
) -> Panel:
    q = [from_si(float(flow), flow_unit) for flow in flows]
    needed = [from_si(float(value), head_unit) for value in npshr_at(curve, flows)]
    available = None if shown.npsh_available is None else from_si(shown.npsh_available, head_unit)
    heights = needed if available is None else [*needed, available]
    y = axis_over(f"NPSH [{table()[head_unit].symbol}]", [0.0, *heights])
    panel = Panel(x=x, y=y, top=top, height=130.0)
    panel.line(q, needed, name="npsh-required", weight=3.0)
    panel.words(q[-1], needed[-1], "required", anchor="end", dx=0.0, dy=-10.0)
    if available is not None:
        panel.line([q[0], q[-1]], [available, available], name="npsh-available", dash="dash")
        panel.words(q[0], available, "available", dx=10.0, dy=-8.0)
        if shown.duty is not None:
            at = from_si(shown.duty, flow_unit)
            there = from_si(float(npshr_at(curve, shown.duty, clamp=True)), head_unit)
            panel.line([at, at], [there, available], name="npsh-margin", weight=7.0)
            panel.words(at, there, "margin", anchor="end", dx=-10.0, dy=-6.0)
    return panel


def _pump_words(curve: PumpCurve, shown: PumpPicture, flow_unit: str, head_unit: str) -> str:
    words = [
        f"The curve falls from {show(float(curve.head[0]), head_unit)} at "
        f"{show(float(curve.flow[0]), flow_unit)} to {show(float(curve.head[-1]), head_unit)} at "
        f"{show(float(curve.flow[-1]), flow_unit)}."
    ]
    if shown.duty is not None:
        head = show(float(head_at(curve, shown.duty, clamp=True)), head_unit)
        words.append(f"Duty point: {show(shown.duty, flow_unit)} at {head}.")
    if shown.duty_low is not None and shown.duty_high is not None:
        low, high = show(shown.duty_low, flow_unit), show(shown.duty_high, flow_unit)
        words.append(f"Its interval: {low} to {high}.")
    if shown.preferred is not None:
        low, high = (show(flow, flow_unit) for flow in shown.preferred)
        words.append(f"Preferred region: {low} to {high}.")
    if shown.npsh_available is not None and curve.npshr is not None:
        words.append(f"NPSH available: {show(shown.npsh_available, head_unit)}.")
        if shown.duty is not None:
            needed = float(npshr_at(curve, shown.duty, clamp=True))
            margin = show(shown.npsh_available - needed, head_unit)
            words.append(f"NPSH margin at the duty point: {margin}.")
    return " ".join(words)


def oil_chart(
    line: ViscosityLine,
    *,
    window: tuple[float, float] | None = None,
    temperature: float | None = None,
    title: str = "Viscosity of the oil",
    on_paper: bool = False,
) -> str:
    """Draw an oil's viscosity over temperature with its operating window.

    Parameters
    ----------
    line : ViscosityLine
        Of the oil.
    window : tuple of float, optional
        Coldest and hottest temperature for the bearing. [K]
    temperature : float, optional
        Of the oil now. [K]
    title : str
        Of the picture.
    on_paper : bool
        True for a file; False to take the color of the page.

    Returns
    -------
    str
        SVG.

    Examples
    --------
    >>> from gaugewalk.physics.oil import line_of_grade
    >>> "too cold" in oil_chart(line_of_grade(46), window=(318.0, 358.0))
    True
    """
    marks = [*(window or ()), *([] if temperature is None else [temperature])]
    thinnest = float(line.temperature(LOWEST_MM2S * 1e-6)) - 0.5
    low = max(min([283.15, *marks]) - _MARGIN, COLDEST)
    high = min(max([353.15, *marks]) + _MARGIN, thinnest, HOTTEST)
    kelvin = np.linspace(low, high, _POINTS)
    t = [from_si(float(k), "degC") for k in kelvin]
    nu = [from_si(float(v), "cSt") for v in line.viscosity(kelvin)]
    panel = Panel(
        x=Axis(label="Temperature [°C]", low=t[0], high=t[-1]),
        y=Axis(label="Viscosity [mm²/s]", low=min(nu) * 0.8, high=max(nu) * 1.25, log=True),
        top=TOP,
        height=300.0,
    )
    words = [f"Viscosity falls from {nu[0]:.3g} mm²/s at {t[0]:.0f} °C to {nu[-1]:.3g} mm²/s at "
             f"{t[-1]:.0f} °C."]  # fmt: skip
    if window is not None:
        _mark_window(panel, window)
        cold, hot = (show(end, "degC") for end in window)
        words.append(f"Operating window: {cold} to {hot}; too cold below, too hot above.")
    panel.line(t, nu, name="oil", weight=3.0)
    if temperature is not None:
        now = float(line.viscosity(temperature))
        panel.dot(from_si(temperature, "degC"), from_si(now, "cSt"), name="now", radius=8.0)
        panel.words(from_si(temperature, "degC"), from_si(now, "cSt"), show(now, "cSt"), dx=12.0)
        words.append(f"Now {show(temperature, 'degC')}: {show(now, 'cSt')}.")
    return picture(title, " ".join(words), [panel], on_paper=on_paper)


def _mark_window(panel: Panel, window: tuple[float, float]) -> None:
    cold, hot = (from_si(end, "degC") for end in window)
    panel.band(cold, hot, panel.y.low, panel.y.high, name="window")
    for end in (cold, hot):
        panel.line([end, end], [panel.y.low, panel.y.high], name="window-end", dash="dash")
    panel.words(cold, panel.y.low, "too cold", anchor="end", dx=-6.0, dy=-8.0)
    panel.words(hot, panel.y.high, "too hot", dx=6.0, dy=24.0)


def strainer_chart(
    times: ArrayLike,
    drops: ArrayLike,
    limit: float,
    *,
    exponent: float = 2.0,
    title: str = "Strainer",
    time_unit: str = "h",
    drop_unit: str = "bar",
    on_paper: bool = False,
) -> str:
    """Draw a strainer's drop over time with its trend, the fan of where it may go, and the limit.

    Parameters
    ----------
    times : array, shape (n,)
        [s]
    drops : array, shape (n,)
        All scaled to one flow. [Pa]
    limit : float
        At which it is cleaned, at that flow. [Pa]
    exponent : float
        As for `gaugewalk.physics.strainer.scaled_drop`. [-]
    title : str
        Of the picture.
    time_unit, drop_unit : str
        Units of the axes.
    on_paper : bool
        True for a file; False to take the color of the page.

    Returns
    -------
    str
        SVG.

    Examples
    --------
    >>> hours = [0.0, 8 * 3600.0, 16 * 3600.0, 24 * 3600.0]
    >>> svg = strainer_chart(hours, [1e4, 1.1e4, 1.25e4, 1.4e4], 4e4)
    >>> "limit" in svg
    True
    """
    t, dp = np.asarray(times, dtype=float), np.asarray(drops, dtype=float)
    trend = opening_trend(t, dp, exponent=exponent)
    ends = trend.time_of(limit)
    first, last = float(t.min()), float(t.max())
    end = _end_of_picture(ends, first, last)
    highest = from_si(max(limit, float(dp.max())), drop_unit)
    panel = Panel(
        x=Axis(
            label=f"Time [{time_unit}]",
            low=from_si(first, time_unit),
            high=from_si(end, time_unit),
        ),
        y=axis_over(f"Drop [{table()[drop_unit].symbol}]", [0.0, highest]),
        top=TOP,
        height=280.0,
    )
    _draw_fan(panel, trend, np.linspace(first, end, _POINTS), time_unit, drop_unit)
    at_limit = from_si(limit, drop_unit)
    panel.line([panel.x.low, panel.x.high], [at_limit] * 2, name="limit", weight=3.0)
    panel.words(panel.x.low, at_limit, f"limit {show(limit, drop_unit)}")
    for moment, drop in zip(t, dp, strict=True):
        x, y = from_si(float(moment), time_unit), from_si(float(drop), drop_unit)
        panel.dot(x, y, name="reading", radius=5.0)
    words = _strainer_words(ends, last, limit, time_unit, drop_unit)
    return picture(title, words, [panel], on_paper=on_paper)


def _end_of_picture(ends: tuple[float, float, float], first: float, last: float) -> float:
    """Return how far ahead is drawn: to the late end, at most four times the past."""
    when, _, late = ends
    past = last - first
    if not np.isfinite(when):
        return last + past
    until = min(late if np.isfinite(late) else when, last + 4 * past)
    return max(until * 1.02, last + 0.1 * past)


def _draw_fan(
    panel: Panel,
    trend: OpeningTrend,
    ahead: NDArray[np.float64],
    time_unit: str,
    drop_unit: str,
) -> None:
    x = [from_si(float(moment), time_unit) for moment in ahead]
    steep, middle, flat = (
        [from_si(float(drop), drop_unit) for drop in trend.drops(ahead, slope)]
        for slope in (trend.steepest, trend.slope, trend.flattest)
    )
    panel.area([*zip(x, steep, strict=True), *zip(x[::-1], flat[::-1], strict=True)], name="fan")
    panel.line(x, middle, name="trend", dash="dash")


def _strainer_words(
    ends: Sequence[float], last: float, limit: float, time_unit: str, drop_unit: str
) -> str:
    when, early, late = ends
    goal = f"the limit of {show(limit, drop_unit)}"
    if not np.isfinite(when):
        return f"The trend does not lead to {goal}."
    latest = show(late - last, time_unit) if np.isfinite(late) else "later or never"
    return (
        f"The trend reaches {goal} {show(max(when - last, 0.0), time_unit)} after the last "
        f"reading (95 %: {show(max(early - last, 0.0), time_unit)} to {latest})."
    )
