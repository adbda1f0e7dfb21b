"""The bare bones of a chart as SVG text: a frame with two axes, and what is drawn in it.

No style sheet and no color of its own: everything is drawn in `currentColor`, told apart by dashes,
weight and words, so that it stands in a light page, in a night page and on paper alike. Classes are
set for a page that wants to add color.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from html import escape

TEXT = 19.0  # in a box 480 wide: at least 14 px on a phone 360 px wide
WIDTH = 480.0
LEFT, RIGHT, TOP, BOTTOM = 72.0, 30.0, 44.0, 56.0
_SHAPES = {
    "watch": ((0.0, -1.0), (0.8, 0.0), (0.0, 1.0), (-0.8, 0.0)),
    "act": ((0.0, -1.0), (1.0, 0.8), (-1.0, 0.8)),
    "stop": (
        (0.41, -1.0), (1.0, -0.41), (1.0, 0.41), (0.41, 1.0),
        (-0.41, 1.0), (-1.0, 0.41), (-1.0, -0.41), (-0.41, -1.0),
    ),
}  # fmt: skip
DASHES = {"solid": "", "dash": "9 5", "dots": "2 5", "long": "16 6"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """One axis: what it shows, from where to where, straight or logarithmic.

    `named` ticks, as days, stand in the place of round numbers.
    """

    label: str
    low: float
    high: float
    log: bool = False
    named: tuple[tuple[float, str], ...] = ()

    def share(self, value: float) -> float:
        """Place of a value between the ends, 0 to 1."""
        if self.log:
            return math.log(value / self.low) / math.log(self.high / self.low)
        return (value - self.low) / (self.high - self.low)

    def marks(self) -> list[tuple[float, str]]:
        """Return the ticks with what is written at them."""
        return list(self.named) or [(tick, f"{tick:g}") for tick in self.ticks()]

    def ticks(self) -> list[float]:
        """Return round values, about five, or 1-2-5 steps on a logarithmic axis."""
        if self.log:
            first = math.floor(math.log10(self.low))
            steps = [m * 10.0**d for d in range(first, 9) for m in (1, 2, 5)]
            inside = [s for s in steps if self.low * 0.999 <= s <= self.high * 1.001]
            return inside if len(inside) <= 8 else [s for s in inside if f"{s:e}"[0] == "1"]
        step = round_step((self.high - self.low) / 4)
        first = math.ceil(self.low / step - 1e-9)
        return [n * step for n in range(first, math.floor(self.high / step + 1e-9) + 1)]


def round_step(rough: float) -> float:
    """Return the next 1, 2, 2.5 or 5 times a power of ten.

    Examples
    --------
    >>> round_step(17.0), round_step(0.3)
    (20.0, 0.5)
    """
    power = 10.0 ** math.floor(math.log10(rough))
    return next(n * power for n in (1.0, 2.0, 2.5, 5.0, 10.0) if n * power >= rough * (1 - 1e-9))


def axis_over(label: str, values: Sequence[float], *, from_zero: bool = True) -> Axis:
    """Return a straight axis that holds all values, with air above."""
    known = [v for v in values if math.isfinite(v)]
    low, high = min(known), max(known)
    if from_zero:
        low = min(low, 0.0)
    width = high - low
    if width <= 1e-9 * abs(high) or width < 1e-12:  # one value, or as good as one
        width = abs(high) if abs(high) > 1e-12 else 1.0
    step = round_step(width / 4)
    low = low if from_zero and low == 0 else math.floor(low / step) * step
    return Axis(label=label, low=low, high=math.ceil((high + 0.05 * width) / step) * step)


@dataclass(slots=True, kw_only=True)
class Panel:
    """One frame with its axes; the pieces are added in the order in which they lie."""

    x: Axis
    y: Axis
    top: float  # of the frame, in the whole picture
    height: float
    pieces: list[str] = field(default_factory=list)

    def px(self, value: float) -> float:
        """Horizontal place of a value, held inside the frame."""
        share = min(max(self.x.share(value), 0.0), 1.0)
        return LEFT + share * (WIDTH - LEFT - RIGHT)

    def py(self, value: float) -> float:
        """Vertical place of a value, held inside the frame."""
        share = min(max(self.y.share(value), 0.0), 1.0)
        return self.top + (1 - share) * self.height

    def line(
        self, xs: Sequence[float], ys: Sequence[float], *, name: str, dash: str = "solid",
        weight: float = 2.5,
    ) -> None:  # fmt: skip
        """Add a line through the points that lie inside the frame."""
        inside = [
            (x, y)
            for x, y in zip(xs, ys, strict=True)
            if -1e-9 <= self.x.share(x) <= 1 + 1e-9 and -1e-9 <= self.y.share(y) <= 1 + 1e-9
        ]
        points = " ".join(f"{self.px(x):.1f},{self.py(y):.1f}" for x, y in inside)
        dashes = f' stroke-dasharray="{DASHES[dash]}"' if DASHES[dash] else ""
        self.pieces.append(
            f'<polyline class="{name}" points="{points}" fill="none" stroke="currentColor" '
            f'stroke-width="{weight:g}"{dashes}/>'
        )

    def band(self, x_low: float, x_high: float, y_low: float, y_high: float, *, name: str) -> None:
        """Add a shaded rectangle."""
        left, right = sorted((self.px(x_low), self.px(x_high)))
        top, bottom = sorted((self.py(y_low), self.py(y_high)))
        self.pieces.append(
            f'<rect class="{name}" x="{left:.1f}" y="{top:.1f}" width="{right - left:.1f}" '
            f'height="{bottom - top:.1f}" fill="currentColor" fill-opacity="0.12"/>'
        )

    def area(self, points: Sequence[tuple[float, float]], *, name: str) -> None:
        """Add a shaded area within the frame."""
        drawn = " ".join(f"{self.px(x):.1f},{self.py(y):.1f}" for x, y in points)
        self.pieces.append(
            f'<polygon class="{name}" points="{drawn}" fill="currentColor" fill-opacity="0.12"/>'
        )

    def dot(self, x: float, y: float, *, name: str, radius: float = 6.0) -> None:
        """Add a ringed dot."""
        self.pieces.append(
            f'<circle class="{name}" cx="{self.px(x):.1f}" cy="{self.py(y):.1f}" r="{radius:g}" '
            'fill="none" stroke="currentColor" stroke-width="3"/>'
        )

    def mark(self, x: float, y: float, severity: str, *, size: float) -> None:
        """Add the shape of a word at a place: lozenge, triangle, octagon, as on the screens."""
        corners = " ".join(
            f"{self.px(x) + size * a:.1f},{self.py(y) + size * b:.1f}" for a, b in _SHAPES[severity]
        )
        self.pieces.append(
            f'<polygon class="mark {severity}" points="{corners}" fill="currentColor"/>'
        )

    def words(
        self, x: float, y: float, text: str, *, anchor: str = "start", dx: float = 8.0,
        dy: float = -8.0,
    ) -> None:  # fmt: skip
        """Add words at a place, kept inside the picture."""
        across, down = self.px(x) + dx, self.py(y) + dy
        width = 0.52 * TEXT * len(text)  # a middling letter
        left = {"start": across, "middle": across - width / 2, "end": across - width}[anchor]
        across += max(LEFT + 4 - left, 0.0) - max(left + width - (WIDTH - 4), 0.0)
        down = min(max(down, self.top + TEXT), self.top + self.height - 4)
        self.pieces.append(text_at(across, down, text, anchor=anchor))

    def svg(self) -> str:
        """Return axes, grid, labels and all pieces."""
        bottom = self.top + self.height
        parts = [
            f'<rect class="frame" x="{LEFT:g}" y="{self.top:g}" width="{WIDTH - LEFT - RIGHT:g}" '
            f'height="{self.height:g}" fill="none" stroke="currentColor" stroke-width="1"/>'
        ]
        for tick, name in self.x.marks():
            at = self.px(tick)
            parts.append(_rule(at, self.top, at, bottom))
            parts.append(text_at(at, bottom + TEXT + 2, name, anchor="middle"))
        for tick, name in self.y.marks():
            at = self.py(tick)
            parts.append(_rule(LEFT, at, WIDTH - RIGHT, at))
            parts.append(text_at(LEFT - 6, at + 6, name, anchor="end"))
        parts.append(text_at(4, self.top - 17, self.y.label))
        parts.append(text_at(WIDTH - RIGHT, bottom + 2 * TEXT + 6, self.x.label, anchor="end"))
        return "".join(parts + self.pieces)


def _rule(x1: float, y1: float, x2: float, y2: float) -> str:
    return (
        f'<line class="grid" x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" '
        'stroke="currentColor" stroke-width="1" stroke-opacity="0.2"/>'
    )


def text_at(x: float, y: float, text: str, *, anchor: str = "start") -> str:
    """Return words at a place in the picture."""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" font-size="{TEXT:g}" '
        f'fill="currentColor">{escape(text)}</text>'
    )


def picture(title: str, description: str, panels: Sequence[Panel], *, on_paper: bool) -> str:
    """Return the whole SVG, with a title and a description for those who cannot see it.

    Parameters
    ----------
    title, description : str
        What it shows, and what it says in words and figures.
    panels : sequence of Panel
        One under the other.
    on_paper : bool
        True: black on white, for a file. False: in the color of the page around it.
    """
    bottom = max(BOTTOM if panel.x.label else BOTTOM - TEXT for panel in panels)
    height = max(panel.top + panel.height for panel in panels) + bottom
    paper = f'<rect width="{WIDTH:g}" height="{height:g}" fill="white"/>' if on_paper else ""
    color = ' color="black"' if on_paper else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="plot" role="img" width="{WIDTH:g}" '
        f'height="{height:g}" viewBox="0 0 {WIDTH:g} {height:g}" '
        f'font-family="system-ui, sans-serif"{color}>'
        f"<title>{escape(title)}</title><desc>{escape(description)}</desc>{paper}"
        + "".join(panel.svg() for panel in panels)
        + "</svg>"
    )
