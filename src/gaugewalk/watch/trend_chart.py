"""The course of one point as a picture for paper: readings, the band expected, the limits.

What is not normal is told by shape, as on the screens, so that a copy in black says the same.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

from gaugewalk.units import from_si, show, table
from gaugewalk.watch.chart_frame import TOP, Axis, Panel, axis_over, picture
from gaugewalk.watch.views import Sample
from gaugewalk.watch.wall import clock, day

MOST = 400  # dots drawn; a longer history is thinned for the weight of the page
HEIGHT = 170.0
_TICKS = 6  # on the axis of time, at most
_HOUR = 3600.0
_STEPS_H = (1, 2, 3, 4, 6, 12, 24, 48, 72, 96, 168, 336, 672)  # between two ticks
_SIZE = 6.0  # of a mark
_WORD = 70.0  # wide, with air


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """What is drawn: readings in SI, oldest first, with what they are held against."""

    title: str
    unit: str
    samples: Sequence[Sample]
    band: tuple[float, float] | None = None  # expected, open sides infinite [SI]
    limits: Sequence[tuple[str, float]] = ()  # severity word and value [SI]


def thinned(samples: Sequence[Sample], most: int = MOST) -> Sequence[Sample]:
    """Leave out readings evenly where there are more than `most`; what is not normal stays.

    Examples
    --------
    >>> row = [Sample(seen_at=datetime(2025, 1, 1, tzinfo=UTC), value=float(i)) for i in range(9)]
    >>> [s.value for s in thinned(row, most=3)]
    [2.0, 5.0, 8.0]
    """
    if len(samples) <= most:
        return samples
    step = -(-len(samples) // most)
    last = (len(samples) - 1) % step
    return [
        s for i, s in enumerate(samples) if i % step == last or s.severity not in (None, "normal")
    ]


def trend_picture(course: Course, zone: ZoneInfo, *, barometric: float, on_paper: bool) -> str:
    """Draw the course of a point as SVG; empty where there are fewer than two readings.

    Parameters
    ----------
    course : Course
        What is drawn.
    zone : ZoneInfo
        Of the days along the axis.
    barometric : float
        Pressure of the air, for gauge units. [Pa]
    on_paper : bool
        True: black on white. False: in the color of the page around it.
    """
    if len(course.samples) < 2:
        return ""
    samples = thinned(course.samples)
    drawing = _Drawing(course=course, start=samples[0].seen_at, barometric=barometric)
    panel = _panel(drawing, samples, zone)
    _limits(drawing, panel)
    _readings(drawing, panel, samples)
    last = show(samples[-1].value, course.unit, barometric=barometric)
    told = (
        f"{course.title}: {len(course.samples)} readings from {day(samples[0].seen_at, zone)} to "
        f"{day(samples[-1].seen_at, zone)}, the last {last}."
    )
    return picture(course.title, told, [panel], on_paper=on_paper)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Drawing:
    course: Course
    start: datetime
    barometric: float

    def x(self, moment: datetime) -> float:
        """Seconds since the first reading."""
        return (moment - self.start).total_seconds()

    def shown(self, value: float) -> float:
        """A value in the unit of the point."""
        return from_si(value, self.course.unit, barometric=self.barometric)


def _panel(drawing: _Drawing, samples: Sequence[Sample], zone: ZoneInfo) -> Panel:
    course = drawing.course
    ends = [v for s in samples for v in (s.value, s.low, s.high) if v is not None]
    inside = [v for v in (course.band or ()) if math.isfinite(v)]
    low, high = min(ends + inside), max(ends + inside)
    reach = (high - low) * 0.5
    near = [v for _, v in course.limits if low - reach <= v <= high + reach]
    values = [drawing.shown(v) for v in (*ends, *inside, *near)]
    y = axis_over(f"{course.title}, {table()[course.unit].symbol}", values, from_zero=False)
    end = max(drawing.x(samples[-1].seen_at), 60.0)
    x = Axis(label="", low=0.0, high=end, named=_days(drawing.start, end, zone))
    panel = Panel(x=x, y=y, top=TOP, height=HEIGHT)
    if course.band is not None:
        sides = [drawing.shown(v) if math.isfinite(v) else v for v in course.band]
        panel.band(0.0, end, max(sides[0], y.low), min(sides[1], y.high), name="own-band")
    return panel


def _days(start: datetime, span: float, zone: ZoneInfo) -> tuple[tuple[float, str], ...]:
    """Return ticks at midnight, or at full hours where the whole is short, with their names."""
    step = next((h for h in _STEPS_H if span / (h * _HOUR) <= _TICKS), _STEPS_H[-1])
    here = start.astimezone(zone)
    if step < 24:
        first = here.replace(minute=0, second=0, microsecond=0).astimezone(UTC)
        hours = range(int(span / _HOUR) + 2)
        moments = [(first + timedelta(hours=n)).astimezone(zone) for n in hours]
        kept = [m for m in moments if m.hour % step == 0]
    else:
        midnight = datetime.combine(here.date(), time(), zone)
        kept = [midnight + timedelta(days=n * step // 24) for n in range(_TICKS + 2)]
    places = [((m - start).total_seconds(), m) for m in kept]
    return tuple(
        (at, clock(m, zone) if step < 24 else f"{m.day} {m:%b}")
        for at, m in places
        if 0.0 <= at <= span
    )


def _limits(drawing: _Drawing, panel: Panel) -> None:
    inside = [(word, drawing.shown(value)) for word, value in drawing.course.limits]
    inside = [(word, at) for word, at in inside if panel.y.low < at < panel.y.high]
    for n, (word, at) in enumerate(inside):
        ends = [panel.x.low, panel.x.high]
        panel.line(ends, [at, at], name="limit", dash="dash", weight=1.5)
        # Side by side, because two limits may be closer than a line of words is high.
        panel.words(panel.x.low, at, word, dx=8.0 + _WORD * n, dy=-5.0)


def _readings(drawing: _Drawing, panel: Panel, samples: Sequence[Sample]) -> None:
    xs = [drawing.x(s.seen_at) for s in samples]
    panel.line(xs, [drawing.shown(s.value) for s in samples], name="run", weight=2.0)
    for x, sample in zip(xs, samples, strict=True):
        if sample.low is not None and sample.high is not None:
            swing = [drawing.shown(sample.low), drawing.shown(sample.high)]
            panel.line([x, x], swing, name="swing", weight=4.0)
        if sample.severity not in (None, "normal"):
            panel.mark(x, drawing.shown(sample.value), str(sample.severity), size=_SIZE)
    panel.dot(xs[-1], drawing.shown(samples[-1].value), name="last", radius=4.0)
