"""A vertical pump: driver on top, the shaft going down to the casing in its sump or line."""

from collections.abc import Mapping

from gaugewalk.plant.pump import Lubrication, Pump, SealLiquid
from gaugewalk.web import drawing_line as parts
from gaugewalk.web import drawing_machine as machine
from gaugewalk.web.drawing_horizontal import ROW, Sketch
from gaugewalk.web.drawing_places import PLATE_HEIGHT, PLATE_WIDTH, Lane, Place, rows_needed
from gaugewalk.web.svg import box, group, line, path, words

WIDTH = 1180.0
AXIS = 500.0  # x of the shaft
DRIVER = 226.0  # lower end of the driver
HOUSING = 276.0  # upper end of the bearing housing
SEAL = 398.0
NECK = 454.0  # height of the discharge line
FLOOR = 486.0
CASING = 612.0

Spots = dict[str, tuple[float, float]]


def vertical(pump: Pump, counts: Mapping[str, int]) -> Sketch:
    """Draw a vertical pump with room for as many plates a lane as `counts` says."""
    wet = pump.source.kind == "sump"
    content = line(AXIS, DRIVER - 20, AXIS, CASING, "shaft")
    spots: Spots = {}
    around = _sump(pump) if wet else _piped(pump)
    for piece, more in (around, _machine(pump), _discharge(pump)):
        content += piece
        spots |= more
    lanes = {
        "over_machine": Lane(
            low=10, high=FLOOR - 26, start=190, step=-PLATE_WIDTH - 12, upright=True
        ),
        "right": Lane(
            low=10, high=NECK - 158, start=AXIS + 130, step=PLATE_WIDTH + 12, upright=True
        ),
        "over_line": Lane(low=632, high=WIDTH - 10, start=NECK - 84 - PLATE_HEIGHT, step=-ROW),
        "under": Lane(low=730, high=WIDTH - 10, start=FLOOR + 40, step=ROW),
        "over_suction": Lane(low=10, high=AXIS + 190, start=CASING + 130, step=ROW),
    }
    low = max(
        CASING + 124 + rows_needed(lanes["over_suction"], counts.get("over_suction", 0)) * ROW,
        FLOOR + 40 + rows_needed(lanes["under"], counts.get("under", 0)) * ROW,
    )
    return Sketch(width=WIDTH, height=low + 10, content=content, spots=spots, lanes=lanes)


def _upright(content: str, y: float) -> str:
    """Turn a part drawn along a horizontal shaft so that its outer end points up."""
    return f'<g transform="translate({AXIS:g} {y:g}) rotate(-90)">{content}</g>'


def _machine(pump: Pump) -> tuple[str, Spots]:
    kinds: dict[str, str] = {b.place: b.kind for b in pump.bearings}
    drawn = [
        _upright(machine.driver(pump.driver, feet=False), DRIVER),
        _upright(machine.coupling(), DRIVER + 46),
        box(AXIS - 42, HOUSING, 84, 84, "metal", 8),
        group(_oil(pump.lubrication), AXIS - 42, HOUSING + 42),
        _upright(machine.bearing(kinds.get("de", "ball"), 0), HOUSING + 20),
        _upright(machine.bearing(kinds.get("nde", "ball"), 0), HOUSING + 62),
        _upright(machine.shaft_seal(pump.seal, drip=False), SEAL),
        _seal_liquid(pump.seal.liquid),
    ]
    spots = {
        "seal_top": (AXIS - 30, SEAL - 12),
        "seal_drip": (AXIS + 36, SEAL - 22),
        "seal_liquid": (AXIS + 34, SEAL),
        "seal_pot": (AXIS + 98, SEAL - 60),
        "bearing_de": (AXIS - 42, HOUSING + 20),
        "bearing_nde": (AXIS - 42, HOUSING + 62),
        "housing_de": (AXIS + 42, HOUSING + 20),
        "housing_nde": (AXIS + 42, HOUSING + 62),
        "oil_sight": (AXIS, HOUSING + 70),
        "oiler": (AXIS + 54, HOUSING + 62),
        "coupling": (AXIS + 34, DRIVER + 24),
        "terminals": (AXIS - 82, DRIVER - 85),
        "driver": (AXIS - 58, DRIVER - 130),
        "driver_de": (AXIS - 52, DRIVER - 22),
        "driver_nde": (AXIS - 54, DRIVER - 176),
        "driver_foot_de": (AXIS + 58, DRIVER - 30),
        "driver_foot_nde": (AXIS + 58, DRIVER - 150),
        "beside": (WIDTH - 30, FLOOR + 20),
    }
    return "".join(drawn), spots


def lane_of(place: Place) -> str:
    """Say in which lane a plate of a vertical pump stands: beside what it belongs to."""
    on_machine = place.spot not in ("suction_pocket", "casing", "beside")
    return "right" if place.lane == "under" and on_machine else place.lane


def _seal_liquid(liquid: SealLiquid) -> str:
    """Flush from the discharge, liquid from outside, or a pot, to the right of the seal."""
    x = AXIS + 34
    if liquid.plan in ("own liquid", "flush", "cooled flush"):
        return path(f"M{x + 44:g},{NECK:g} V{SEAL:g} H{x:g}", "small-pipe")
    if liquid.plan in ("seal water", "external flush", "quench"):
        name = words(x + 8, SEAL - 10, machine.liquid_word(liquid), "caption", "start")
        return path(f"M{x + 84:g},{SEAL:g} H{x:g}", "small-pipe") + name
    if liquid.plan in ("buffer", "barrier"):
        legs = path(f"M{x + 44:g},{SEAL + 20:g} V{SEAL + 6:g} H{x:g}", "small-pipe")
        return group(machine.pot(liquid), AXIS + 90, SEAL + 60) + legs
    return ""


def _oil(lubricated: Lubrication) -> str:
    """The lubrication symbols sit on the right side of an upright housing, oil at its bottom."""
    if lubricated.kind in ("grease", "grease cup"):
        drawn = machine.lubrication(lubricated, 84, (20.0, 62.0))
        return f'<g transform="translate(42 0) rotate(90) translate(-42 0)">{drawn}</g>'
    return machine.lubrication(lubricated, 84, (20.0, 64.0))


def _discharge(pump: Pump) -> tuple[str, Spots]:
    x, out = AXIS + 150, WIDTH - 46
    head = path(
        f"M{AXIS - 44:g},{SEAL + 32:g} h88 v10 h-14 v36 h14 v10 h-88 v-10 h14 v-36 h-14 z", "metal"
    )
    drawn = [line(AXIS + 30, NECK, out, NECK, "pipe"), head, parts.gauge(x, NECK)]
    spots = {"discharge_gauge": (x, NECK - 66), "discharge_strainer": (x + 70, NECK - 14)}
    if pump.minimum_flow_line:
        drawn.append(path(f"M{x + 28:g},{NECK:g} V{CASING - 46:g}", "small-pipe"))
    x += 74
    if pump.check_valve:
        drawn.append(parts.check_valve(x, NECK))
        x += 70
    if pump.discharge_strainer is not None:
        spots["discharge_strainer"] = (x, NECK - 14)
        drawn.append(parts.strainer(pump.discharge_strainer, x, NECK))
        x += 74
    with_partner = f"pairs with {pump.partner}" if pump.partner else ""
    drawn += [parts.valve(x, NECK), parts.arrow(out, NECK, with_partner)]
    spots |= {"discharge_valve": (x, NECK - 24), "line_end": (out - 4, NECK - 8)}
    spots["flow_meter"] = (x + 80, NECK - 20)
    if pump.point("flow") is not None:
        drawn.append(parts.flow_meter(x + 80, NECK))
    return "".join(drawn), spots


def _sump(pump: Pump) -> tuple[str, Spots]:
    """The casing hangs in the sump; a strainer there is a basket around the bell."""
    left, right, surface = AXIS - 190, AXIS + 190, FLOOR + 56
    drawn = [
        box(left, surface, right - left, CASING + 104 - surface, "liquid"),
        line(left, surface, right, surface, "surface"),
        path(f"M{left + 40:g},{surface - 9:g} h14 l-7,9 z", "surface-mark"),
        path(f"M{left:g},{FLOOR:g} V{CASING + 104:g} H{right:g} V{FLOOR:g}", "earth open"),
        line(left - 30, FLOOR, AXIS - 44, FLOOR, "frame"),
        line(AXIS + 44, FLOOR, right + 30, FLOOR, "frame"),
        box(AXIS - 15, FLOOR, 30, CASING - FLOOR - 30, "metal"),
        path(f"M{AXIS - 30:g},{CASING - 30:g} h60 l14,26 l-22,44 h-44 l-22,-44 z", "metal"),
        parts.bell(AXIS - 8, CASING + 48),
        parts.bell(AXIS + 8, CASING + 48),
        parts.level_glass(left + 16, FLOOR + 24, CASING + 80),
    ]
    if pump.suction_strainer is not None:
        bars = "".join(
            line(AXIS - 40 + 10 * i, CASING + 58, AXIS - 40 + 10 * i, CASING + 88, "fine")
            for i in range(9)
        )
        drawn.append(box(AXIS - 44, CASING + 56, 88, 34, "metal clear") + bars)
    if pump.source.name:
        drawn.append(words(right - 12, CASING + 92, pump.source.name, "caption", "end"))
    return "".join(drawn), {
        "source_glass": (left + 16, CASING + 20),
        "source_top": (left + 60, surface),
        "suction_strainer": (AXIS - 44, CASING + 78),
        "suction_gauge": (AXIS - 22, CASING + 60),
        "suction_pocket": (right - 40, surface + 40),
        "casing": (AXIS + 36, CASING),
    }


def _piped(pump: Pump) -> tuple[str, Spots]:
    """The casing stands above the floor; the suction line comes from the left."""
    run = line(180, CASING, AXIS - 40, CASING, "pipe")
    drawn = [
        run,
        group(parts.tank(pump.source), 10, CASING),
        parts.valve(212, CASING),
        parts.gauge(330, CASING),
        parts.thermometer(380, CASING),
        box(AXIS - 15, NECK + 40, 30, CASING - NECK - 80, "metal"),
        path(f"M{AXIS - 44:g},{CASING - 40:g} h88 v64 l-20,20 h-48 l-20,-20 z", "metal"),
        line(AXIS - 90, CASING + 60, AXIS + 90, CASING + 60, "frame"),
    ]
    if pump.suction_strainer is not None:
        drawn.append(parts.strainer(pump.suction_strainer, 272, CASING))
    if pump.source.name:
        drawn.append(words(14, CASING + 90, pump.source.name, "caption", "start"))
    return "".join(drawn), {
        "source_glass": (136.0, CASING - 60),
        "source_top": (85.0, CASING - 140),
        "suction_strainer": (272.0, CASING + 28),
        "suction_gauge": (330.0, CASING - 26),
        "suction_pocket": (380.0, CASING + 43),
        "casing": (AXIS + 44, CASING),
    }
