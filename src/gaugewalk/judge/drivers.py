"""What else moves a reading in a sound pump: the few drivers that physics names, per point.

A bearing runs warmer on a hot day and under load; a strainer drops pressure with the square of the
flow. A reading is compared with what is usual *for these values*, so that neither the weather nor
the duty is taken for a fault. Which drivers belong to which point is common practice, no source;
the square of flow is the turbulent pressure loss (strainer law dp = SG (Q/Kv)^2).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache


@dataclass(frozen=True, slots=True, kw_only=True)
class Driver:
    """One driver: another point of the same pump, and the power it works with."""

    point: str
    power: int = 1

    def value(self, context: Mapping[str, float]) -> float:
        """Return the driver's term for these readings, NaN where it was not read."""
        raw = context.get(self.point, float("nan"))
        return raw if self.power == 1 else abs(raw) ** (self.power - 1) * raw


_FLOW = Driver(point="flow")
_FLOW_SQUARED = Driver(point="flow", power=2)
_SPEED = Driver(point="speed")
_SPEED_SQUARED = Driver(point="speed", power=2)
_SPEED_CUBED = Driver(point="speed", power=3)
_CURRENT = Driver(point="motor_current")
_CURRENT_SQUARED = Driver(point="motor_current", power=2)
_AMBIENT = Driver(point="ambient_temperature")
_LIQUID = Driver(point="liquid_temperature")

# The longest matching beginning of a point's name decides.
_DRIVERS: Mapping[str, tuple[Driver, ...]] = {
    "flow": (_SPEED,),
    "discharge_pressure": (Driver(point="suction_pressure"), _FLOW_SQUARED, _SPEED_SQUARED),
    "suction_pressure": (
        Driver(point="source_pressure"),
        Driver(point="source_level"),
        _FLOW_SQUARED,
    ),
    "suction_strainer_dp": (_FLOW_SQUARED,),
    "discharge_strainer_dp": (_FLOW_SQUARED,),
    "motor_current": (_FLOW, _SPEED_CUBED),
    "motor_power": (_FLOW, _SPEED_CUBED),
    "motor_temperature": (_AMBIENT, _CURRENT_SQUARED),
    "bearing_temperature": (_AMBIENT, _CURRENT),
    "driver_bearing_temperature": (_AMBIENT, _CURRENT),
    "vibration": (_SPEED_SQUARED, _FLOW),
    "driver_vibration": (_SPEED_SQUARED,),
    "casing_temperature": (_LIQUID,),
    "gland_temperature": (_LIQUID,),
    "seal_flush_temperature": (_LIQUID,),
    "oil_supply_temperature": (Driver(point="cooling_water_temperature_in"), _AMBIENT),
    "oil_supply_pressure": (Driver(point="oil_supply_temperature"),),
    "oil_filter_dp": (Driver(point="oil_supply_temperature"),),
    "oil_reservoir_temperature": (_AMBIENT,),
    "cooling_water_temperature_out": (Driver(point="cooling_water_temperature_in"),),
}

# Points that say as much on a standing pump as on a running one.
_STATIC = (
    "oil_level", "oiler_level", "oil_reservoir_level", "seal_pot_level", "seal_pot_pressure",
    "source_level", "source_pressure", "ambient_temperature",
)  # fmt: skip

# Points that only count up: they have limits at most, no own normal.
_COUNTERS = ("run_hours", "starts")

# Points of which only a rise is a trouble; a fall below the usual is worth a look at most.
_RISE_ONLY = (
    "vibration", "driver_vibration", "bearing_temperature", "driver_bearing_temperature",
    "motor_temperature", "gland_temperature", "casing_temperature", "suction_strainer_dp",
    "discharge_strainer_dp", "oil_filter_dp", "seal_leakage",
)  # fmt: skip


@cache
def drivers_of(point: str) -> tuple[Driver, ...]:
    """Return what moves this point in a sound pump, the strongest first.

    Examples
    --------
    >>> [driver.point for driver in drivers_of("bearing_temperature_de")]
    ['ambient_temperature', 'motor_current']
    >>> drivers_of("oil_level")
    ()
    """
    names = [name for name in _DRIVERS if _begins(point, name)]
    return _DRIVERS[max(names, key=len)] if names else ()


@cache
def is_static(point: str) -> bool:
    """Tell whether the point means the same on a standing pump as on a running one."""
    return any(_begins(point, name) for name in _STATIC)


def is_counter(point: str) -> bool:
    """Tell whether the point only counts up, so that no value of it is usual."""
    return point in _COUNTERS


@cache
def rise_only(point: str) -> bool:
    """Tell whether only a rise of this point is a trouble."""
    return any(_begins(point, name) for name in _RISE_ONLY)


def _begins(point: str, name: str) -> bool:
    return point == name or point.startswith(name + "_")
