"""A horizontal pump, drawn from its source on the left to the line on the right."""

from collections.abc import Mapping
from dataclasses import dataclass

from gaugewalk.plant.pump import Lubrication, OilSystem, Pump
from gaugewalk.web import drawing_line as parts
from gaugewalk.web import drawing_machine as machine
from gaugewalk.web.drawing_oil import HEIGHT as OIL_HEIGHT
from gaugewalk.web.drawing_oil import Header, oil_system
from gaugewalk.web.drawing_places import PLATE_HEIGHT, Lane, rows_needed
from gaugewalk.web.svg import box, group, line, path, words

ROW = PLATE_HEIGHT + 10
GAUGE_ROOM = 84.0  # a gauge standing on a pipe, and the leader above it
ABOVE_AXIS = 172.0  # from the axis up to the highest part of source or machine


@dataclass(frozen=True, slots=True, kw_only=True)
class Sketch:
    """A drawing before its plates: size, content, spots to point at, lanes with room."""

    width: float
    height: float
    content: str
    spots: dict[str, tuple[float, float]]
    lanes: dict[str, Lane]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    """Where the main things stand, [drawing units]."""

    width: float
    axis: float
    discharge: float  # height of the discharge line
    casing: float
    housing: float  # left end of the drive-end housing
    housing_width: float
    driver: float
    between: bool  # casing between two bearing housings

    @property
    def seal(self) -> float:
        return self.casing + 92

    @property
    def bearings(self) -> dict[str, float]:
        if self.between:
            return {"nde": self.casing - 168, "de": self.housing + self.housing_width / 2}
        return {"nde": self.housing + 34, "de": self.housing + self.housing_width - 34}


def between_bearings(pump: Pump) -> bool:
    """Say whether the casing is drawn between two housings: sleeve bearings, horizontal shaft."""
    return any(b.kind == "sleeve" and b.place in ("de", "nde") for b in pump.bearings)


def horizontal(pump: Pump, counts: Mapping[str, int]) -> Sketch:
    """Draw a horizontal pump with room for as many plates a lane as `counts` says."""
    frame = _frame(pump, counts)
    content, spots = _suction(pump, frame)
    for piece, more in (_machine(pump, frame), _discharge(pump, frame)):
        content += piece
        spots |= more
    pit = pump.source.kind in ("lift", "sump")
    lanes = _lanes(frame, pit=pit)
    bottom = frame.axis + 140 + rows_needed(lanes["under"], counts.get("under", 0)) * ROW
    bottom = max(bottom, frame.axis + 190 if pit else 0.0)
    if pump.lubrication.system is not None:
        piece, more = _oil(pump, pump.lubrication.system, frame, bottom)
        lane = Lane(low=10, high=frame.width - 10, start=bottom + OIL_HEIGHT + 14, step=ROW)
        content, spots, lanes["oil"] = content + piece, spots | more, lane
        bottom += OIL_HEIGHT + 24 + rows_needed(lane, counts.get("oil", 0)) * ROW
    return Sketch(width=frame.width, height=bottom + 6, content=content, spots=spots, lanes=lanes)


def _frame(pump: Pump, counts: Mapping[str, int]) -> _Frame:
    between = between_bearings(pump)
    casing = 615.0 if between else 455.0
    housing = casing + 151
    housing_width = 90.0 if between else 140.0
    driver = housing + housing_width + 56
    draft = _Frame(
        width=driver + 200 + 190, axis=0.0, discharge=0.0, casing=casing, housing=housing,
        housing_width=housing_width, driver=driver, between=between,
    )  # fmt: skip
    lanes = _lanes(draft, pit=False)
    over = max(rows_needed(lanes[n], counts.get(n, 0)) for n in ("over_suction", "over_machine"))
    discharge = 10 + rows_needed(lanes["over_line"], counts.get("over_line", 0)) * ROW + GAUGE_ROOM
    return _Frame(
        width=draft.width, axis=discharge + 44 + over * ROW + ABOVE_AXIS, discharge=discharge,
        casing=casing, housing=housing, housing_width=housing_width, driver=driver, between=between,
    )  # fmt: skip


def _lanes(frame: _Frame, *, pit: bool) -> dict[str, Lane]:
    neck = frame.casing + 38
    over = frame.axis - ABOVE_AXIS - PLATE_HEIGHT
    return {
        "over_suction": Lane(low=10, high=neck - 20, start=over, step=-ROW),
        "over_machine": Lane(low=neck + 20, high=frame.width - 10, start=over, step=-ROW),
        "over_line": Lane(
            low=neck - 40, high=frame.width - 10,
            start=frame.discharge - GAUGE_ROOM - PLATE_HEIGHT, step=-ROW,
        ),
        "under": Lane(
            low=200 if pit else 10, high=frame.width - 10, start=frame.axis + 136, step=ROW
        ),
    }  # fmt: skip


def _suction(pump: Pump, frame: _Frame) -> tuple[str, dict[str, tuple[float, float]]]:
    axis = frame.axis
    pit = pump.source.kind in ("lift", "sump")
    end = frame.casing - 58
    if frame.between:  # over the non-drive-end housing and into the casing from above
        run = f"M180,{axis:g} H392 V{axis - 84:g} H{frame.casing - 30:g} V{axis - 40:g}"
    else:
        run = f"M180,{axis:g} H{end:g}"
    drawn = [path(run, "pipe"), group(parts.tank(pump.source), 10, axis), parts.valve(212, axis)]
    spots = {
        "source_glass": (38.0, axis + 100) if pit else (136.0, axis - 60),
        "source_top": (85.0, axis - (10 if pit else 140)),
        "suction_strainer": (274.0, axis - 14),
        "suction_gauge": (330.0, axis - 66),
        "suction_pocket": (366.0, axis + 43),
    }
    if pump.source.name:
        drawn.append(words(14, axis + (188 if pit else 90), pump.source.name, "caption", "start"))
    if pump.suction_strainer is not None:
        drawn.append(parts.strainer(pump.suction_strainer, 274, axis))
    if pump.heat_traced:
        drawn.append(path(f"M190,{axis + 13:g} q6,7 12,0 " + "t12,0 " * 13, "heater"))
    drawn += [parts.gauge(330, axis), parts.thermometer(366, axis)]
    return "".join(drawn), spots


def _machine(pump: Pump, frame: _Frame) -> tuple[str, dict[str, tuple[float, float]]]:
    axis, x = frame.axis, frame.casing
    left = x - 230 if frame.between else x - 62
    drawn = [
        box(left, axis + 84, frame.driver + 196 - left, 14, "frame-fill"),
        path(f"M{left + 14:g},{axis + 98:g} v14 H{frame.driver + 182:g} v-14", "earth open"),
        line(left + 20, axis, frame.driver + 20, axis, "shaft"),
        group(machine.casing(pump.rated.vanes or 5, between_bearings=frame.between), x, axis),
        group(machine.shaft_seal(pump.seal), frame.seal, axis),
        group(machine.seal_liquid(pump.seal.liquid), frame.seal, axis),
        _housings(pump, frame),
        group(machine.coupling(), frame.driver - 50, axis),
        group(machine.driver(pump.driver), frame.driver, axis),
    ]
    if frame.between:
        mirrored = f'<g transform="scale(-1 1)">{machine.shaft_seal(pump.seal)}</g>'
        drawn.append(group(mirrored, x - 92, axis))
    if pump.driver_lubrication is not None:
        drawn.append(group(machine.driver_lubrication(pump.driver_lubrication), frame.driver, axis))
    return "".join(drawn), _machine_spots(frame)


def _housings(pump: Pump, frame: _Frame) -> str:
    """The bearing housings with bearings and what lubricates them."""
    kinds: dict[str, str] = {b.place: b.kind for b in pump.bearings}
    at = frame.bearings
    ends: list[tuple[float, float, tuple[str, ...]]]
    if not frame.between:
        ends = [(frame.housing, frame.housing_width, ("nde", "de"))]
    else:
        ends = [(at["nde"] - 45, 90.0, ("nde",)), (frame.housing, 90.0, ("de",))]
    drawn = []
    for left, width, places in ends:
        inside = tuple(at[place] - left for place in places)
        drawn.append(group(machine.bearing_housing(width), left, frame.axis))
        drawn.append(group(machine.lubrication(pump.lubrication, width, inside), left, frame.axis))
        drawn += [
            group(machine.bearing(kinds.get(place, "ball"), at[place]), 0, frame.axis)
            for place in places
        ]
    return "".join(drawn)


def _machine_spots(frame: _Frame) -> dict[str, tuple[float, float]]:
    axis, at, driver = frame.axis, frame.bearings, frame.driver
    glass = frame.housing + frame.housing_width / 2
    return {
        "casing": (frame.casing - 10, axis + 58),
        "seal_top": (frame.seal, axis - 32),
        "seal_drip": (frame.seal + 20, axis + 56),
        "seal_liquid": (frame.seal + 10, axis - 116),
        "seal_pot": (frame.seal + 22, axis - 120),
        "bearing_de": (at["de"], axis - 42),
        "bearing_nde": (at["nde"], axis - 42),
        "housing_de": (at["de"], axis + 42),
        "housing_nde": (at["nde"], axis + 42),
        "oil_sight": (glass, axis + 36),
        "oiler": (frame.housing + machine.oiler_place(frame.housing_width), axis + 48),
        "coupling": (driver - 28, axis + 34),
        "terminals": (driver + 85, axis - 82),
        "driver": (driver + 130, axis - 58),
        "driver_de": (driver + 22, axis - 52),
        "driver_nde": (driver + 180, axis - 54),
        "driver_foot_de": (driver + 38, axis + 84),
        "driver_foot_nde": (driver + 132, axis + 84),
        "beside": (frame.width - 30, axis + 110),
    }


def _discharge(pump: Pump, frame: _Frame) -> tuple[str, dict[str, tuple[float, float]]]:
    y, neck = frame.discharge, frame.casing + 38
    out = frame.width - 46
    drawn = [path(f"M{neck:g},{frame.axis - 90:g} V{y:g} H{out:g}", "pipe")]
    x = neck + 62
    spots = {"discharge_gauge": (x, y - 66), "discharge_strainer": (x + 70, y - 14)}
    drawn.append(parts.gauge(x, y))
    if pump.minimum_flow_line:
        drawn.append(_minimum_flow(pump, frame, x + 36))
    x += 76
    if pump.check_valve:
        drawn.append(parts.check_valve(x, y))
        x += 72
    if pump.discharge_strainer is not None:
        spots["discharge_strainer"] = (x, y - 14)
        drawn.append(parts.strainer(pump.discharge_strainer, x, y))
        x += 76
    with_partner = f"pairs with {pump.partner}" if pump.partner else ""
    drawn += [parts.valve(x, y), parts.arrow(out, y, with_partner)]
    spots |= {"discharge_valve": (x, y - 24), "line_end": (out - 4, y - 8)}
    spots["flow_meter"] = (x + 84, y - 20)
    if pump.point("flow") is not None:
        drawn.append(parts.flow_meter(x + 84, y))
    return "".join(drawn), spots


def _minimum_flow(pump: Pump, frame: _Frame, x: float) -> str:
    """The line that lets a little flow back to the source, taken off before the check valve."""
    pit = pump.source.kind in ("lift", "sump")
    end = f"H26 V{frame.axis + 64:g}" if pit else f"H60 V{frame.axis - 146:g}"
    y = frame.discharge + 26
    run = path(f"M{x:g},{frame.discharge:g} V{y:g} {end}", "small-pipe")
    return run + words(frame.casing + 10, y + 18, "minimum flow", "caption", "end")


def _oil(
    pump: Pump, system: OilSystem, frame: _Frame, top: float
) -> tuple[str, dict[str, tuple[float, float]]]:
    fed = list(frame.bearings.values())
    if _forced(pump.driver_lubrication):
        fed += [frame.driver + 24, frame.driver + 176]
    header = Header(left=min(fed), right=max(fed), y=frame.axis + 118 - top, riser=frame.width - 60)
    content, spots = oil_system(system, header)
    return group(content, 0, top), {k: (x, y + top) for k, (x, y) in spots.items()}


def _forced(lubricated: Lubrication | None) -> bool:
    return lubricated is not None and lubricated.kind == "forced feed"
