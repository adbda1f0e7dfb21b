"""Limits of a point: those of the plant file first, else what the rest of it or a standard implies.

A limit never says that inside it all is well; outside it the word is at least that of the limit.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from gaugewalk.judge.severity import Severity
from gaugewalk.physics.vibration import pump_alarm_and_trip, pump_zones
from gaugewalk.plant.pump import Point, Pump
from gaugewalk.units import kind_of

Side = Literal["low", "high"]

# Housing of a rolling bearing; API 610 as remembered, unverified, and usual site practice.
_HOT_BEARING = 355.15  # [K], 82 degC
_LEAST_POWER = 1e3  # [W], below which ISO 10816-7 says nothing
_HOT_SOURCE = "common guidance for bearing housings, 82 °C"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """One limit: beyond `value` [SI] on that side the word is at least `severity`."""

    severity: Severity
    side: Side
    value: float
    source: str

    def beyond(self, value: float) -> bool:
        """Tell whether a value is past this limit; standing on it is still inside."""
        return value < self.value if self.side == "low" else value > self.value


def limits_of(pump: Pump, point: str) -> tuple[Limit, ...]:
    """Return every limit of a point, the plant file's own before implied ones.

    An implied limit is used only on a side and at a severity for which the file gives none.
    """
    entry = pump.point(point)
    given = tuple(_given(entry)) if entry else ()
    taken = {(limit.severity, limit.side) for limit in given}
    implied = (
        limit for limit in _implied(pump, point) if (limit.severity, limit.side) not in taken
    )
    return (*given, *implied)


def worst_beyond(
    limits: Sequence[Limit], low: float, high: float, *, sides: tuple[Side, ...] = ("low", "high")
) -> Limit | None:
    """Return the most severe limit that a reading (or one end of its swing) is beyond.

    Examples
    --------
    >>> act = Limit(severity=Severity.ACT, side="low", value=3.0, source="plant file")
    >>> worst_beyond([act], 2.9, 3.4) is act, worst_beyond([act], 3.0, 3.4)
    (True, None)
    """
    beyond = [
        limit
        for limit in limits
        if limit.side in sides and limit.beyond(low if limit.side == "low" else high)
    ]
    return max(beyond, key=lambda limit: limit.severity.rank, default=None)


def watch_band(pump: Pump, point: str) -> tuple[float, float] | None:
    """Return the innermost limits of a point, open sides infinite; none where there are none."""
    limits = limits_of(pump, point)
    if not limits:
        return None
    low = max((x.value for x in limits if x.side == "low"), default=float("-inf"))
    high = min((x.value for x in limits if x.side == "high"), default=float("inf"))
    return low, high


def _given(point: Point) -> Iterator[Limit]:
    for severity in (Severity.WATCH, Severity.ACT, Severity.STOP):
        sides: tuple[Side, Side] = ("low", "high")
        for side in sides:
            value = getattr(point, f"{severity.value}_{side}")
            if value is not None:
                source = point.source or "plant file"
                yield Limit(severity=severity, side=side, value=float(value), source=source)


def _implied(pump: Pump, point: str) -> Iterator[Limit]:
    """Yield limits that stand elsewhere in the plant file than at the point, or in a standard."""
    for name, side, severity, value, source in _elsewhere(pump):
        if name == point and value is not None:
            yield Limit(severity=severity, side=side, value=value, source=source)
    yield from _standard(pump, point)


def _standard(pump: Pump, point: str) -> Iterator[Limit]:
    """Yield what a standard or guidance says of vibration and bearing temperature."""
    entry = pump.point(point)
    if entry is None:
        return
    if point.startswith(("bearing_temperature", "driver_bearing_temperature")):
        yield Limit(severity=Severity.ACT, side="high", value=_HOT_BEARING, source=_HOT_SOURCE)
    power = pump.driver.power or 0.0
    known = power > _LEAST_POWER and kind_of(entry.unit) == "velocity"
    if point.startswith("vibration") and known:
        hazard = pump.service == "critical" or bool(pump.liquid.hazards)
        category = "I" if hazard else "II"
        zones = pump_zones(category, power)
        alarm, trip = pump_alarm_and_trip(category, power)
        source = f"{zones.source}, category {category}"
        for severity, value in zip(
            (Severity.WATCH, Severity.ACT, Severity.STOP), (zones.bc, alarm, trip), strict=True
        ):
            yield Limit(severity=severity, side="high", value=value, source=source)


def _elsewhere(pump: Pump) -> Iterator[tuple[str, Side, Severity, float | None, str]]:
    watch, act, stop = Severity.WATCH, Severity.ACT, Severity.STOP
    seal = pump.seal
    yield "leak_off", "low", watch, seal.leak_off_low, "leak-off set for this packing"
    yield "leak_off", "high", watch, seal.leak_off_high, "leak-off set for this packing"
    for name, strainer in _strainers(pump).items():
        yield name, "high", act, strainer, "the strainer's limit"
    yield "flow", "low", act, pump.rated.minimum_flow, "the pump's minimum flow"
    yield "source_level", "low", act, pump.source.lowest_level, "the lowest level of the source"
    if pump.driver.current is not None:
        most = pump.driver.current * pump.driver.service_factor
        yield "motor_current", "high", act, most, "the motor's nameplate"
    if (oil := pump.lubrication.system) is not None:
        yield "oil_supply_pressure", "low", act, oil.supply_pressure_low, "the oil system's limit"
        yield "oil_supply_pressure", "low", stop, oil.supply_pressure_trip, "the oil system's trip"
        cold, hot = oil.supply_temperature_low, oil.supply_temperature_high
        yield "oil_supply_temperature", "low", watch, cold, "the oil system's limit"
        yield "oil_supply_temperature", "high", act, hot, "the oil system's limit"
        yield "oil_filter_dp", "high", act, oil.filter_dp_limit, "the oil filter's limit"


def _strainers(pump: Pump) -> Mapping[str, float | None]:
    fitted = {
        "suction_strainer_dp": pump.suction_strainer,
        "discharge_strainer_dp": pump.discharge_strainer,
    }
    return {name: strainer.limit_dp for name, strainer in fitted.items() if strainer}
