"""Where each observation point stands on the drawing, and how its plate finds room."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import ceil

PLATE_WIDTH = 152.0
PLATE_HEIGHT = 56.0
GAP = 8.0

Spots = Mapping[str, tuple[float, float]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """The short name on a point's plate, the spot it points at, the lane its plate stands in."""

    short: str
    spot: str
    lane: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Lane:
    """A strip with room for plates: a row from `low` to `high` in x, or a column in y.

    The first row (or column) starts at `start`; each further one lies `step` away from it.
    """

    low: float
    high: float
    start: float
    step: float
    upright: bool = False

    @property
    def pitch(self) -> float:
        """What one plate takes along the lane."""
        return (PLATE_HEIGHT if self.upright else PLATE_WIDTH) + GAP


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """A plate's upper left corner and the line that leads from it to its spot."""

    key: str
    x: float
    y: float
    leader: tuple[float, float, float, float]


_PLACES = {
    "source_level": ("Level", "source_glass", "over_suction"),
    "source_pressure": ("Source", "source_top", "over_suction"),
    "suction_pressure": ("Suction", "suction_gauge", "over_suction"),
    "suction_strainer_dp": ("Strainer Δp", "suction_strainer", "over_suction"),
    "liquid_temperature": ("Liquid", "suction_pocket", "under"),
    "casing_temperature": ("Casing", "casing", "under"),
    "discharge_pressure": ("Discharge", "discharge_gauge", "over_line"),
    "discharge_strainer_dp": ("Strainer Δp", "discharge_strainer", "over_line"),
    "flow": ("Flow", "flow_meter", "over_line"),
    "leak_off": ("Leak-off", "seal_drip", "under"),
    "seal_leakage": ("Seal leakage", "seal_drip", "under"),
    "gland_temperature": ("Gland", "seal_top", "over_machine"),
    "seal_water_pressure": ("Seal water", "seal_liquid", "over_machine"),
    "seal_water_flow": ("Seal water", "seal_liquid", "over_machine"),
    "seal_flush_pressure": ("Flush", "seal_liquid", "over_machine"),
    "seal_flush_flow": ("Flush", "seal_liquid", "over_machine"),
    "seal_flush_temperature": ("Flush", "seal_liquid", "over_machine"),
    "seal_pot_level": ("Pot level", "seal_pot", "over_machine"),
    "seal_pot_pressure": ("Pot", "seal_pot", "over_machine"),
    "seal_pot_temperature": ("Pot", "seal_pot", "over_machine"),
    "bearing_temperature_de": ("Bearing DE", "bearing_de", "over_machine"),
    "bearing_temperature_nde": ("Bearing NDE", "bearing_nde", "over_machine"),
    "vibration_de": ("Vibr. DE", "housing_de", "under"),
    "vibration_nde": ("Vibr. NDE", "housing_nde", "under"),
    "oil_level": ("Oil level", "oil_sight", "under"),
    "oiler_level": ("Oiler", "oiler", "under"),
    "speed": ("Speed", "coupling", "under"),
    "motor_current": ("Current", "terminals", "over_machine"),
    "motor_power": ("Power", "terminals", "over_machine"),
    "motor_voltage": ("Voltage", "terminals", "over_machine"),
    "motor_temperature": ("Motor", "driver", "over_machine"),
    "driver_bearing_temperature_de": ("Driver DE", "driver_de", "over_machine"),
    "driver_bearing_temperature_nde": ("Driver NDE", "driver_nde", "over_machine"),
    "driver_vibration_de": ("Driver DE", "driver_foot_de", "under"),
    "driver_vibration_nde": ("Driver NDE", "driver_foot_nde", "under"),
    "oil_supply_pressure": ("Oil supply", "oil_supply", "oil"),
    "oil_supply_temperature": ("Oil supply", "oil_supply_pocket", "oil"),
    "oil_filter_dp": ("Filter Δp", "filter", "oil"),
    "oil_reservoir_level": ("Oil level", "reservoir_glass", "oil"),
    "oil_reservoir_temperature": ("Reservoir", "reservoir", "oil"),
    "cooling_water_flow": ("Water", "cooler_water", "oil"),
    "cooling_water_temperature_in": ("Water in", "cooler_water", "oil"),
    "cooling_water_temperature_out": ("Water out", "cooler_water", "oil"),
    "discharge_vessel_pressure": ("Vessel ahead", "line_end", "over_line"),
    "discharge_valve_opening": ("Valve open", "discharge_valve", "over_line"),
    "pressure_before_discharge_strainer": ("Before strainer", "discharge_strainer", "over_line"),
    "pressure_after_discharge_strainer": ("After strainer", "discharge_strainer", "over_line"),
    "motor_winding_temperature": ("Winding", "driver", "over_machine"),
    "thrust_bearing_temperature": ("Thrust bearing", "bearing_de", "over_machine"),
    "gland_travel": ("Gland travel", "seal_drip", "under"),
    "seal_chamber_pressure": ("Seal chamber", "seal_top", "over_machine"),
    "oil_return_temperature": ("Oil return", "reservoir", "oil"),
    "oil_pump_pressure": ("Oil pump", "oil_pump", "oil"),
    "oil_flow": ("Oil flow", "oil_supply", "oil"),
    "oil_water_content": ("Water in oil", "reservoir", "oil"),
    "cooling_water_pressure": ("Water", "cooler_water", "oil"),
    "starts": ("Starts", "driver_foot_de", "under"),
    "ambient_temperature": ("Air", "beside", "under"),
    "run_hours": ("Run hours", "driver_foot_de", "under"),
}
_AXIS = re.compile(r"_(horizontal|vertical|axial)$")
_AXIS_SHORT = {"horizontal": " hor.", "vertical": " vert.", "axial": " ax."}


def place_of(point: str, *, label: str) -> Place:
    """Return where a point stands; one we have no spot for stands beside the machine.

    Examples
    --------
    >>> place_of("vibration_de_axial", label="Vibration DE, axial")
    Place(short='Vibr. DE ax.', spot='housing_de', lane='under')
    """
    axis = _AXIS.search(point)
    known = _PLACES.get(_AXIS.sub("", point))
    if known is None:
        return Place(short=label[:13], spot="beside", lane="under")
    short, spot, lane = known
    return Place(short=short + (_AXIS_SHORT[axis[1]] if axis else ""), spot=spot, lane=lane)


def rows_needed(lane: Lane, count: int) -> int:
    """Return how many rows the lane needs for that many plates."""
    room = max(1, int((lane.high - lane.low + GAP) // lane.pitch))
    return ceil(count / room)


def spread(wanted: Sequence[float], pitch: float, low: float, high: float) -> list[float]:
    """Move sorted positions apart by at least `pitch`, as little as possible, within bounds.

    Least squares by pooling neighbors that would overlap.

    Examples
    --------
    >>> spread([10.0, 12.0, 90.0], 20, 0, 100)
    [1.0, 21.0, 90.0]
    """
    blocks: list[tuple[float, int]] = []  # mean of (wanted - its own shift), members
    for index, position in enumerate(wanted):
        mean, members = position - index * pitch, 1
        while blocks and blocks[-1][0] > mean:
            other, count = blocks.pop()
            mean = (mean * members + other * count) / (members + count)
            members += count
        blocks.append((mean, members))
    shifted = [mean for mean, members in blocks for _ in range(members)]
    last = high - (len(wanted) - 1) * pitch
    return [min(max(mean, low), last) + i * pitch for i, mean in enumerate(shifted)]


def put_plates(
    keys: Iterable[tuple[str, Place]], lanes: Mapping[str, Lane], spots: Spots
) -> list[Plate]:
    """Find room for the plate of each key in its lane, near the spot it points at."""
    in_lane: dict[str, list[tuple[str, tuple[float, float]]]] = {}
    for key, place in keys:
        lane = place.lane if place.lane in lanes else "under"
        spot = spots.get(place.spot, spots["beside"])
        in_lane.setdefault(lane, []).append((key, spot))
    plates: list[Plate] = []
    for name, items in in_lane.items():
        plates += _fill(lanes[name], items)
    return plates


def _fill(lane: Lane, items: list[tuple[str, tuple[float, float]]]) -> list[Plate]:
    along = 1 if lane.upright else 0
    items = sorted(items, key=lambda item: item[1][along])
    rows = rows_needed(lane, len(items))
    half = (lane.pitch - GAP) / 2
    plates: list[Plate] = []
    for row in range(rows):
        members = items[row::rows]
        wanted = [spot[along] - half for _, spot in members]
        places = spread(wanted, lane.pitch, lane.low, lane.high - 2 * half)
        across = lane.start + row * lane.step
        for (key, spot), position in zip(members, places, strict=True):
            x, y = (across, position) if lane.upright else (position, across)
            plates.append(Plate(key=key, x=x, y=y, leader=_leader(lane, x, y, spot)))
    return plates


def _leader(
    lane: Lane, x: float, y: float, spot: tuple[float, float]
) -> tuple[float, float, float, float]:
    if lane.upright:
        edge = x + PLATE_WIDTH if spot[0] > x else x
        return (edge, min(max(spot[1], y + 12), y + PLATE_HEIGHT - 12), *spot)
    edge = y + PLATE_HEIGHT if spot[1] > y else y
    return (min(max(spot[0], x + 14), x + PLATE_WIDTH - 14), edge, *spot)
