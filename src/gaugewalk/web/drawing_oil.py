"""The forced-feed oil system, drawn in the order in which the oil flows."""

from dataclasses import dataclass

from gaugewalk.plant.pump import OilSystem
from gaugewalk.web.drawing_line import gauge, level_glass, thermometer
from gaugewalk.web.svg import box, circle, group, line, path, words

HEIGHT = 200.0
START = 230.0
MAIN = 86.0  # height of the supply pipe

Spots = dict[str, tuple[float, float]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Header:
    """The pipe under the bearings that the system feeds: its ends, its height, the riser to it."""

    left: float
    right: float
    y: float  # above the drawing, so negative
    riser: float


def oil_system(system: OilSystem, header: Header) -> tuple[str, Spots]:
    """Draw reservoir, pumps, cooler, filter and supply; return also where each thing stands."""
    spots = {
        "oil_pump": (START + 210, MAIN + 20),
        "reservoir_glass": (START + 22, 135.0),
        "reservoir": (START + 105, 160.0),
    }
    bodies = [_reservoir(system)]
    x = START + 285.0
    if system.cooler:
        bodies.append(_cooler(x, duplex=system.cooler_duplex))
        spots |= {"cooler_water": (x + 30, 130.0)}
        x += 150
    if system.filter:
        bodies.append(_filter(x, duplex=system.filter_duplex))
        spots["filter"] = (x + 30, 112.0)
        x += 110
    spots |= {"oil_supply": (x + 20, MAIN), "oil_supply_pocket": (x + 70, MAIN + 36)}
    instruments = gauge(x + 20, MAIN) + thermometer(x + 70, MAIN)
    pipes = _pipes(system, header)
    return pipes + _pumps(system) + "".join(bodies) + instruments, spots


def _pipes(system: OilSystem, header: Header) -> str:
    """The supply runs under the bodies it goes through and up to the bearings; the return back."""
    supply = f"M{START + 190:g},{MAIN:g} H{header.riser:g} V{header.y:g} H{header.left:g}"
    back = f"M{header.left - 26:g},{header.y:g} V30 H{START + 75:g} V100"
    across = line(header.left, header.y, header.right, header.y, "oil-pipe")
    drawn = [path(supply, "oil-pipe"), across, path(back, "oil-return")]
    if system.pump:
        drawn.append(path(f"M{START + 150:g},150 H{START + 168:g} V{MAIN:g} h22", "oil-pipe"))
    if system.auxiliary_pump:
        spare = f"M{START + 150:g},150 h40 M{START + 230:g},150 h28 V{MAIN:g}"
        drawn.append(path(spare, "oil-pipe"))
    return "".join(drawn)


def _reservoir(system: OilSystem) -> str:
    body = box(0, 100, 150, 74, "metal", 4) + box(2, 124, 146, 48, "oil-bath", 3)
    heater = path("M60,164 h60 q8,0 8,-6 t-8,-6 h-60", "heater") if system.heater else ""
    name = "reservoir, heater" if system.heater else "reservoir"
    caption = words(75, 192, name, "caption")
    return group(body + heater + level_glass(22, 106, 164, "oil-line") + caption, START, 0)


def _pumps(system: OilSystem) -> str:
    drawn = []
    if system.pump:
        drawn.append(_gear_pump(START + 210, MAIN) + words(START + 210, 58, "oil pump"))
    if system.auxiliary_pump:
        drawn.append(_gear_pump(START + 210, 150) + words(START + 210, 192, "auxiliary"))
    return "".join(drawn)


def _gear_pump(x: float, y: float) -> str:
    wheels = circle(-7, 0, 7, "fine") + circle(7, 0, 7, "fine")
    return group(circle(0, 0, 20, "metal") + wheels, x, y)


def _cooler(x: float, *, duplex: bool) -> str:
    drawn = []
    for shift in (14.0, 0.0) if duplex else (0.0,):
        tubes = "".join(
            line(12 + shift, y - shift, 98 + shift, y - shift, "fine") for y in (75, 85, 95)
        )
        drawn.append(box(shift, 64 - shift, 110, 42, "metal", 12) + tubes)
    water = path("M30,106 V140 M80,106 V140", "small-pipe") + path("M25,132 l5,-9 l5,9", "fine")
    name = "coolers" if duplex else "cooler"
    return group("".join(drawn) + water + words(55, 160, name), x, 0)


def _filter(x: float, *, duplex: bool) -> str:
    drawn = []
    for shift in (-20, 26) if duplex else (3,):
        body = path(f"M{shift + 10},66 h34 v40 q0,10 -17,10 q-17,0 -17,-10 z", "metal")
        drawn.append(body + path(f"M{shift + 16},108 v-34 l6,34 v-34 l6,34 v-34 l6,34", "fine"))
    name = "filters" if duplex else "filter"
    return group("".join(drawn) + words(30, 138, name), x, 0)
