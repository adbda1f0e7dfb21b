"""Drawn parts of the line: where the liquid comes from, valves, strainers, gauges."""

from gaugewalk.plant.pump import Source, Strainer
from gaugewalk.web.svg import box, circle, group, line, path, words

TANK_WIDTH = 150.0


def tank(source: Source) -> str:
    """Draw a flooded tank, a vessel, a pit (lift) or a sump; its outlet is at 150, 0."""
    if source.kind == "vessel":
        return _vessel(source)
    if source.kind == "flooded":
        return _open_tank(source)
    return _pit(source)


def _vessel(source: Source) -> str:
    outline = "M10,-118 Q10,-142 75,-142 Q140,-142 140,-118 V-6 Q140,18 75,18 Q10,18 10,-6 Z"
    liquid = path("M10,-70 H140 V-6 Q140,18 75,18 Q10,18 10,-6 Z", "liquid")
    steam = ""
    if source.boiling:
        steam = "".join(
            path(f"M{x},-80 q-7,-8 0,-16 q7,-8 0,-16 q-7,-7 0,-14", "vapor") for x in (45, 75, 105)
        )
    legs = line(30, 14, 30, 60, "frame") + line(120, 14, 120, 60, "frame")
    shell = path(outline, "metal") + liquid + _surface(10, 140, -70) + path(outline, "metal open")
    return legs + shell + steam + _outlet() + level_glass(126, -100, -20)


def _open_tank(source: Source) -> str:
    del source
    liquid = box(10, -80, 130, 98, "liquid") + _surface(10, 140, -80)
    shell = path("M10,-132 V18 H140 V-132", "metal open")
    return liquid + shell + _outlet() + level_glass(126, -112, -20)


def _outlet() -> str:
    return line(140, 0, 170, 0) + line(140, -10, 140, 10, "flange")


def _pit(source: Source) -> str:
    """A pit below the pump: the pipe rises out of it; a sump has a bell, a lift a foot valve."""
    ground = line(-4, 34, 8, 34, "frame") + line(142, 34, 172, 34, "frame")
    walls = path("M8,34 V168 H142 V34", "earth open")
    liquid = box(10, 82, 130, 84, "liquid") + _surface(10, 140, 82)
    pipe = path("M95,128 V0 H170", "pipe")
    end = foot_valve(95, 134) if source.kind == "lift" else bell(95, 128)
    return ground + liquid + walls + pipe + end + level_glass(28, 60, 140)


def bell(x: float, y: float) -> str:
    """Draw an intake bell opening downward."""
    return path(
        f"M{x - 6:g},{y - 6:g} Q{x - 7:g},{y + 10:g} {x - 22:g},{y + 14:g}", "flange"
    ) + path(f"M{x + 6:g},{y - 6:g} Q{x + 7:g},{y + 10:g} {x + 22:g},{y + 14:g}", "flange")


def foot_valve(x: float, y: float) -> str:
    """Draw a foot valve with its basket."""
    basket = "".join(line(x - 12 + 8 * i, y, x - 12 + 8 * i, y + 16, "fine") for i in range(4))
    return box(x - 14, y - 6, 28, 8, "metal") + box(x - 14, y + 2, 28, 16, "metal clear") + basket


def _surface(x1: float, x2: float, y: float) -> str:
    mark = f"M{x1 + 22:g},{y - 9:g} h14 l-7,9 z"
    return line(x1, y, x2, y, "surface") + path(mark, "surface-mark")


def level_glass(x: float, top: float, bottom: float, style: str = "glass-liquid") -> str:
    """Draw a level glass, half full."""
    filled = line(x, (top + bottom) / 2, x, bottom - 3, style)
    return box(x - 5, top, 10, bottom - top, "glass", 4) + filled


def valve(x: float, y: float, *, vertical: bool = False) -> str:
    """Draw a hand valve with its wheel."""
    body = path("M-15,-11 L15,11 V-11 L-15,11 Z", "metal")
    wheel = line(0, 0, 0, -24, "frame") + line(-11, -24, 11, -24, "frame")
    inner = body + wheel
    if vertical:
        inner = f'<g transform="rotate(90)">{inner}</g>'
    return group(inner, x, y)


def check_valve(x: float, y: float) -> str:
    """Draw a check valve: a flap that opens with the flow, and an arrow."""
    body = box(-17, -13, 34, 26, "metal", 3)
    flap = line(-10, -10, 8, 8, "frame") + circle(-10, -10, 2.5, "solid")
    return group(body + flap + path("M-9,-21 H6 m-6,-4 l7,4 l-7,4", "fine"), x, y)


def strainer(fitted: Strainer, x: float, y: float) -> str:
    """Draw a strainer as a body with a mesh; a duplex one has two bodies side by side."""
    bodies = (-22, 22) if fitted.duplex else (0,)
    drawn = []
    for shift in bodies:
        mesh = "".join(
            line(shift - 14 + 7 * i, -8, shift - 7 + 7 * i, 24, "fine") for i in range(4)
        )
        drawn.append(path(f"M{shift - 18},-14 h36 v26 l-10,16 h-16 l-10,-16 z", "metal") + mesh)
    lever = line(-22, -14, 22, -26, "frame") if fitted.duplex else ""
    return group("".join(drawn) + lever, x, y)


def gauge(x: float, y: float, *, stem: float = 26, unit: str = "") -> str:
    """Draw a round gauge on a stem standing on the pipe at x, y."""
    face = circle(0, -stem - 20, 20, "dial")
    ticks = path(f"M-13,{-stem - 12:g} A15,15 0 1 1 13,{-stem - 12:g}", "fine")
    needle = line(0, -stem - 20, 8, -stem - 31, "needle")
    note = words(0, -stem - 8, unit, "dial-word") if unit else ""
    return group(line(0, 0, 0, -stem, "frame") + face + ticks + needle + note, x, y)


def thermometer(x: float, y: float) -> str:
    """Draw a thermometer in its pocket, hanging from the pipe at x, y."""
    return group(line(0, 0, 0, 30, "frame") + circle(0, 36, 7, "needle-fill"), x, y)


def flow_meter(x: float, y: float) -> str:
    """Draw a flow meter in the pipe."""
    wave = path("M-10,-4 q5,-7 10,0 q5,7 10,0 M-10,6 q5,-7 10,0 q5,7 10,0", "fine")
    return group(circle(0, 0, 19, "dial") + wave, x, y)


def arrow(x: float, y: float, name: str = "") -> str:
    """Draw the end of the line, with the arrow of flow."""
    tip = path("M0,-11 L20,0 L0,11 Z", "solid")
    return group(tip, x, y) + (words(x + 18, y + 34, name, "caption", "end") if name else "")
