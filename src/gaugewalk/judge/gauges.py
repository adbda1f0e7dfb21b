"""What a pump's gauges must show together: flow, suction, speed and wear to every reading.

The same physics as the forward model, without the system behind the pump: what a pump does is on
its curve, wherever the valves stand. Wear is a leak inside the pump, so that the impeller handles
more than the line gets; gas takes head, and power with it.
"""

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import isfinite, pi

import numpy as np
from numpy.typing import NDArray

from gaugewalk.errors import ArgumentError, OutOfRangeError
from gaugewalk.physics.circuit_flow import gas_share_held
from gaugewalk.physics.constants import GRAVITY
from gaugewalk.physics.curve import PumpCurve, best_efficiency_flow
from gaugewalk.physics.liquids import Liquid, density, kinematic_viscosity, vapor_pressure
from gaugewalk.physics.motor import HIGHEST_LOAD, Nameplate, current_at_load
from gaugewalk.physics.viscous import viscous_curve
from gaugewalk.plant.liquid import physics_curve, physics_liquid
from gaugewalk.plant.pump import Pump

Array = NDArray[np.float64]

# Share of the power that an impeller takes without throwing liquid; judgement, as in the forward
# model.
_IDLE_SHARE = 0.35
_THIN = 2e-6  # m2/s


@dataclass(frozen=True, slots=True)
class Line:
    """A row over a rising grid, read at one place: plain floats, hundreds of times an estimate.

    Straight between the points, level before the first, along the last slope past the last.

    Examples
    --------
    >>> line = Line((0.0, 1.0, 3.0), (5.0, 4.0, 0.0))
    >>> line(-1.0), line(0.5), line(2.0), line(4.0)
    (5.0, 4.5, 2.0, -2.0)
    """

    grid: Sequence[float]
    row: Sequence[float]

    def __call__(self, at: float) -> float:
        """Return the height at a place."""
        if at <= self.grid[0]:
            return self.row[0]
        i = min(bisect_right(self.grid, at), len(self.grid) - 1)
        slope = (self.row[i] - self.row[i - 1]) / (self.grid[i] - self.grid[i - 1])
        return self.row[i - 1] + slope * (at - self.grid[i - 1])


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """Everything about one pump that its readings depend on, SI.

    Its functions take the unknowns, scaled to about 1: flow (in largest flows of the curve),
    suction (in 1e5 Pa), speed (in usual speeds), leak (in tenths of the best flow), gas (in 5 % of
    the volume).
    """

    pump: Pump
    curve: PumpCurve
    liquid: Liquid
    temperature: float
    density: float
    vapor_pressure: float
    best_flow: float
    speed: float  # usual, [1/s]
    efficiency_at_rated: float | None  # of the motor; none where its plate is not known
    motor_power: Array  # shaft powers, rising [W], and the current at each [A]
    motor_current: Array
    surface_pressure: float | None  # of the source, [Pa]
    strainer_drop: float  # as read, [Pa]
    _head: Line = field(init=False)
    _power: Line | None = field(init=False, default=None)
    _npshr: Line | None = field(init=False, default=None)
    _ammeter: Line | None = field(init=False, default=None)

    def __post_init__(self) -> None:
        flow = self.curve.flow
        for name, grid, row in (
            ("_head", flow, self.curve.head),
            ("_power", flow, self.curve.power),
            ("_npshr", flow, self.curve.npshr),
            ("_ammeter", self.motor_power, self.motor_current),
        ):
            if row is not None and len(row):
                object.__setattr__(self, name, Line(grid.tolist(), row.tolist()))

    def flow(self, x: Array) -> float:
        """Flow through the line [m3/s]."""
        return max(float(x[0]), 0.0) * self._head.grid[-1]

    def ratio(self, x: Array) -> float:
        """Speed over the curve's speed."""
        return max(float(x[2]), 0.01) * self.speed / self.curve.speed

    def inner(self, x: Array) -> float:
        """Flow through the impeller at the curve's speed [m3/s]."""
        return (self.flow(x) + 0.1 * float(x[3]) * self.best_flow) / self.ratio(x)

    def held(self, x: Array) -> float:
        """Share of the head that gas leaves."""
        share = 0.05 * float(x[4])
        return float(gas_share_held(np.asarray(share))) if share > 0.0 else 1.0

    def head(self, x: Array) -> float:
        """Head [m]."""
        return max(self._head(max(self.inner(x), 0.0)), 0.0) * self.ratio(x) ** 2 * self.held(x)

    def power(self, x: Array) -> float:
        """Shaft power [W]; NaN where the curve has no power row."""
        if self._power is None:
            return float("nan")
        row = self._power(max(self.inner(x), 0.0))
        taken = _IDLE_SHARE + (1.0 - _IDLE_SHARE) * self.held(x)
        return row * self.ratio(x) ** 3 * self.density / self.curve.density * taken

    def efficiency(self, x: Array) -> float:
        """Useful over shaft power."""
        return self.density * GRAVITY * self.flow(x) * self.head(x) / self.power(x)

    def npsh_margin(self, x: Array) -> float:
        """NPSH available less required [m]; NaN without a required row."""
        if self._npshr is None:
            return float("nan")
        required = self._npshr(max(self.inner(x), 0.0)) * self.ratio(x) ** 2
        above = (1e5 * float(x[1]) - self.vapor_pressure) / (self.density * GRAVITY)
        return above + self._velocity(x, self.pump.suction_diameter) - required

    def shown(self, x: Array) -> Mapping[str, float]:
        """Return what each gauge would show, SI."""
        weight, suction = self.density * GRAVITY, 1e5 * float(x[1])
        rise = self.head(x) + self._velocity(x, self.pump.suction_diameter)
        discharge = suction + weight * (rise - self._velocity(x, self.pump.discharge_diameter))
        return {
            "suction_pressure": suction - weight * self._elevation("suction_pressure"),
            "discharge_pressure": discharge - weight * self._elevation("discharge_pressure"),
            "flow": self.flow(x),
            "speed": float(x[2]) * self.speed,
            "motor_current": self._current(x),
            "motor_power": self.power(x) / (self.efficiency_at_rated or 1.0),
            "source_level": self._level(x),
        }

    def _current(self, x: Array) -> float:
        if self._ammeter is None or not isfinite(power := self.power(x)):
            return 0.0
        return self._ammeter(power)

    def _level(self, x: Array) -> float:
        """Level of the source that this suction pressure and flow ask for [m]."""
        if self.surface_pressure is None:
            return 0.0
        rated = self.pump.rated.flow or self.best_flow
        loss = (self.pump.source.line_loss or 0.0) * (self.flow(x) / rated) ** 2
        over = (1e5 * float(x[1]) + self.strainer_drop - self.surface_pressure) / (
            self.density * GRAVITY
        )
        return over + self._velocity(x, self.pump.suction_diameter) + loss

    def _velocity(self, x: Array, diameter: float | None) -> float:
        if diameter is None:
            return 0.0
        return (self.flow(x) / (pi * diameter**2 / 4.0)) ** 2 / (2.0 * GRAVITY)

    def _elevation(self, point: str) -> float:
        entry = self.pump.point(point)
        return entry.elevation if entry else 0.0


def machine_of(pump: Pump, readings: Mapping[str, float], barometric: float) -> Machine | str:
    """Return the pump as its readings need it, or the words for what is missing."""
    liquid = physics_liquid(pump.liquid)
    if pump.curve is None:
        return "the plant file holds no curve of this pump"
    if liquid is None:
        return f"the liquid {pump.liquid.name!r} is not known"
    temperature = readings.get("liquid_temperature", pump.liquid.temperature)
    if temperature is None:
        return "the liquid's temperature is not known"
    curve = physics_curve(pump.curve)
    vapor = float(vapor_pressure(liquid, temperature))
    best = (
        best_efficiency_flow(curve)
        if curve.power is not None
        else pump.rated.best_efficiency_flow or pump.rated.flow or 0.7 * float(curve.flow[-1])
    )
    try:
        curve = _thickened(curve, liquid, temperature, best)
    except OutOfRangeError as error:
        return f"the liquid is too thick for the curve's correction: {error}".rstrip(".")
    plate = _plate(pump)
    powers = np.linspace(0.0, 0.99 * HIGHEST_LOAD * plate.power, 61) if plate else np.empty(0)
    return Machine(
        pump=pump,
        curve=curve,
        liquid=liquid,
        temperature=temperature,
        density=float(density(liquid, temperature)),
        vapor_pressure=vapor,
        best_flow=best,
        speed=readings.get("speed") or pump.driver.speed or curve.speed,
        efficiency_at_rated=plate.rated_efficiency() if plate else None,
        motor_power=powers,
        motor_current=current_at_load(powers, plate) if plate else powers,
        surface_pressure=_surface(pump, readings, vapor, barometric),
        strainer_drop=readings.get("suction_strainer_dp", 0.0),
    )


def _thickened(curve: PumpCurve, liquid: Liquid, temperature: float, best: float) -> PumpCurve:
    """Return the curve on this liquid; unchanged up to twice the viscosity of cold water."""
    try:
        viscosity = float(kinematic_viscosity(liquid, temperature))
    except ArgumentError:
        return curve  # the liquid's table gives none: as water
    if viscosity <= _THIN:
        return curve
    thick = float(density(liquid, temperature))
    return viscous_curve(curve, viscosity, density=thick, best_flow=best)


def _plate(pump: Pump) -> Nameplate | None:
    """Return the motor's plate where it is complete enough for the ammeter to tell power."""
    driver = pump.driver
    if (
        driver.kind != "electric motor"
        or driver.power is None
        or driver.current is None
        or driver.voltage is None
        or driver.power_factor is None
    ):
        return None
    return Nameplate(
        power=driver.power,
        current=driver.current,
        voltage=driver.voltage,
        power_factor=driver.power_factor,
        efficiency=driver.efficiency,
        idle_current=driver.idle_current,
    )


def _surface(
    pump: Pump, readings: Mapping[str, float], vapor: float, barometric: float
) -> float | None:
    """Return the pressure on the source's surface, [Pa]."""
    if "source_pressure" in readings:
        return readings["source_pressure"]
    if pump.source.boiling:
        return vapor
    return pump.source.pressure if pump.source.pressure is not None else barometric
