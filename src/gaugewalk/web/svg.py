"""Small pieces of SVG as text: lines, boxes, circles, words. No style here; `look.css` has it."""

from functools import lru_cache
from html import escape

from markupsafe import Markup


def number(value: float) -> str:
    """Write a coordinate shortly.

    Examples
    --------
    >>> number(12.0), number(3.14159)
    ('12', '3.1')
    """
    return f"{value:.1f}".rstrip("0").rstrip(".") if value % 1 else f"{value:.0f}"


def attributes(**given: object) -> str:
    """Write attributes: `class_` becomes `class`, `stroke_width` becomes `stroke-width`."""
    parts = []
    for name, value in given.items():
        if value is None or value == "":
            continue
        text = number(value) if isinstance(value, int | float) else _escaped(str(value))
        parts.append(f' {_attribute(name)}="{text}"')
    return "".join(parts)


# A page has hundreds of attributes, of a few names and styles.
_escaped = lru_cache(2000)(escape)


@lru_cache(200)
def _attribute(name: str) -> str:
    return name.rstrip("_").replace("_", "-")


def line(x1: float, y1: float, x2: float, y2: float, style: str = "pipe") -> str:
    """Draw a straight line."""
    return f"<line{attributes(class_=style, x1=x1, y1=y1, x2=x2, y2=y2)}/>"


def path(d: str, style: str = "metal") -> str:
    """Draw a path."""
    return f'<path class="{style}" d="{d}"/>'


def box(
    x: float, y: float, width: float, height: float, style: str = "metal", rx: float = 0
) -> str:
    """Draw a rectangle with its upper left corner at x, y."""
    given = attributes(class_=style, x=x, y=y, width=width, height=height, rx=rx or None)
    return f"<rect{given}/>"


def circle(x: float, y: float, radius: float, style: str = "metal") -> str:
    """Draw a circle around x, y."""
    return f"<circle{attributes(class_=style, cx=x, cy=y, r=radius)}/>"


def words(x: float, y: float, text: str, style: str = "caption", anchor: str = "middle") -> str:
    """Write one line of text with its baseline at y."""
    return (
        f"<text{attributes(class_=style, x=x, y=y, text_anchor=anchor)}>"
        f"{escape(text, quote=False)}</text>"
    )


def group(content: str, x: float = 0, y: float = 0, style: str = "") -> str:
    """Put pieces together and move them to x, y."""
    move = f"translate({number(x)} {number(y)})" if x or y else None
    return f"<g{attributes(class_=style, transform=move)}>{content}</g>"


def figure(
    content: str, width: float, height: float, label: str, style: str, **more: str
) -> Markup:
    """Return a whole drawing that says in words what it is."""
    given = attributes(
        class_=style,
        viewBox=f"0 0 {number(width)} {number(height)}",
        role="group" if "<a " in content else "img",
        aria_label=label,
        **more,
    )
    # Every text in `content` went through `escape` above.
    return Markup(f'<svg xmlns="http://www.w3.org/2000/svg"{given}>{content}</svg>')  # noqa: S704


def severity_shape(word: str, x: float, y: float, size: float = 24) -> str:
    """Draw the shape of a severity in a square of `size` around x, y.

    normal is an open ring, watch a half-filled lozenge, act a filled triangle, stop a filled
    octagon with a bar; no reading is a short dash.
    """
    half = size / 2
    if word == "normal":
        content = circle(0, 0, half * 0.62, "shape-line")
    elif word == "watch":
        content = _polygon([(0, -1), (1, 0), (0, 1), (-1, 0)], half, "shape-line")
        content += _polygon([(0, -1), (1, 0), (0, 1)], half, "shape-fill")
    elif word == "act":
        content = _polygon([(0, -0.95), (1, 0.85), (-1, 0.85)], half, "shape-fill")
    elif word == "stop":
        corner = 0.41
        ring = [(corner, -1), (1, -corner), (1, corner), (corner, 1)]
        content = _polygon([*ring, *[(-a, -b) for a, b in ring]], half, "shape-fill")
        content += box(-half * 0.62, -half * 0.17, half * 1.24, half * 0.34, "shape-bar")
    else:
        content = line(-half * 0.6, 0, half * 0.6, 0, "shape-line")
    return group(content, x, y, f"shape {word or 'none'}")


def _polygon(corners: list[tuple[float, float]], scale: float, style: str) -> str:
    points = " ".join(f"{number(a * scale)},{number(b * scale)}" for a, b in corners)
    return f'<polygon class="{style}" points="{points}"/>'
