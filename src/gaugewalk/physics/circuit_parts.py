"""The parts of the forward model: frozen data, SI, pressure absolute, heights over the datum.

A circuit is one pump with what stands before and behind it. The numbers are those of the machine in
order at its usual duty; what a trouble does to them stands in `circuit_effects`.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.motor import Nameplate

Array = NDArray[np.float64]
Number = float | Array


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LiquidTable:
    """Properties of the liquid on a rising grid of temperatures, for quick interpolation.

    Parameters
    ----------
    temperature : array, shape (k,)
        Rising. [K]
    vapor_pressure, density, kinematic_viscosity : array, shape (k,)
        [Pa], [kg/m3], [m2/s]; all above zero.
    specific_heat : float
        [J/(kg K)]
    """

    temperature: Array
    vapor_pressure: Array
    density: Array
    kinematic_viscosity: Array
    specific_heat: float

    def __post_init__(self) -> None:
        size = self.temperature.size
        rows = (self.vapor_pressure, self.density, self.kinematic_viscosity)
        if size < 2 or any(row.size != size for row in rows):
            raise ArgumentError(f"liquid table: {size} temperatures need as many values in a row.")
        if np.any(np.diff(self.temperature) <= 0):
            raise ArgumentError("liquid table: temperatures must rise from row to row.")
        if any(np.any(row <= 0) for row in rows):
            raise ArgumentError("liquid table: every value must be above zero.")

    def vapor_pressure_at(self, temperature: Number) -> Array:
        """Vapor pressure [Pa]; its logarithm is straight over the reciprocal temperature."""
        return np.exp(self._over_reciprocal(temperature, np.log(self.vapor_pressure)))

    def density_at(self, temperature: Number) -> Array:
        """Density [kg/m3]."""
        return np.asarray(np.interp(temperature, self.temperature, self.density))

    def viscosity_at(self, temperature: Number) -> Array:
        """Kinematic viscosity [m2/s], straight in its logarithm."""
        return np.exp(self._over_reciprocal(temperature, np.log(self.kinematic_viscosity)))

    def boiling_at(self, pressure: Number) -> Array:
        """Temperature [K] at which the liquid boils under an absolute pressure [Pa]."""
        logs = np.log(np.maximum(pressure, 1.0))
        return np.asarray(
            1.0 / np.interp(logs, np.log(self.vapor_pressure), 1.0 / self.temperature)
        )

    def _over_reciprocal(self, temperature: Number, row: Array) -> Array:
        return np.asarray(np.interp(-1.0 / np.asarray(temperature), -1.0 / self.temperature, row))


@dataclass(frozen=True, slots=True, kw_only=True)
class Screen:
    """A strainer: its clean drop [Pa] at a flow [m3/s]."""

    clean_dp: float
    clean_flow: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SuctionSide:
    """Source, line and gauge before the pump."""

    surface_pressure: float  # absolute, on the liquid's surface; of a boiling source at usual heat
    level: float  # surface above the pump's datum, negative for a lift
    lowest_level: float  # surface above datum below which air is drawn in
    line_loss: float  # head lost at the duty flow, strainer left out
    boiling: bool = False  # the surface stands under the liquid's own vapor pressure
    strainer: Screen | None = None
    diameter: float | None = None
    gauge_elevation: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class DischargeSide:
    """What the pump works against: a standing head and a loss that grows with the flow squared."""

    static_head: float  # head at no flow, source to destination, pressures included
    strainer: Screen | None = None
    diameter: float | None = None
    gauge_elevation: float = 0.0
    check_valve: bool = True


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Machine:
    """The pump's curve at its running speed, on one flow grid that begins at zero."""

    flow: Array
    head: Array
    power: Array
    npshr: Array
    speed: float
    density: float  # for which the power row holds
    best_flow: float

    def __post_init__(self) -> None:
        size = self.flow.size
        if size < 3 or any(row.size != size for row in (self.head, self.power, self.npshr)):
            raise ArgumentError(f"pump curve: {size} flows need as many heads, powers, NPSHr.")
        if self.flow[0] != 0.0 or np.any(np.diff(self.flow) <= 0):
            raise ArgumentError("pump curve: flow must begin at zero and rise from row to row.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Motor:
    """Electric motor: its nameplate, and the rise of its frame over ambient at full load [K]."""

    plate: Nameplate
    rise: float = 55.0  # judgement, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class BearingHeat:
    """Heat balance of one bearing housing.

    ``friction`` at the usual duty [W]; ``to_air``, ``to_liquid`` and ``to_oil`` are the
    conductances [W/K] to the surroundings, along the shaft to the liquid, and into fed oil.
    """

    place: str  # de, nde, driver_de, driver_nde
    friction: float
    to_air: float
    to_liquid: float = 0.0
    to_oil: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class OilCircuit:
    """Forced-feed oil: pump with relief valve, filter, cooler, supply, reservoir."""

    flow: float  # oil, [m3/s]
    supply_pressure: float  # absolute
    filter_dp: float  # clean, at the usual supply temperature
    supply_temperature: float  # usual
    conductance: float  # of the clean cooler, UA, [W/K]; zero: no cooler
    water_flow: float  # [m3/s]
    other_heat: float = 0.0  # from gears and the oil pump, [W]
    heater_power: float = 0.0
    reservoir_level: float = 0.7  # share of the glass
    density: float = 860.0
    specific_heat: float = 2000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PackedGland:
    """A packed stuffing box."""

    leak_off: float  # wanted, [m3/s]
    friction: float  # heat of the packing at that leak-off, [W]
    conductance: float  # from the box to liquid and housing, [W/K]
    water_pressure: float | None = None  # seal water, absolute
    water_flow: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FaceSeal:
    """A mechanical seal with its liquid."""

    face_heat: float  # [W]
    conductance: float  # [W/K]
    flush_pressure: float | None = None
    flush_flow: float | None = None
    barrier_pressure: float | None = None  # of the pot
    pot: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Circuit:
    """One pump in its circuit, in order, at its usual duty."""

    liquid: LiquidTable
    liquid_temperature: float
    barometric: float
    ambient: float
    cooling_water_in: float
    suction: SuctionSide
    discharge: DischargeSide
    machine: Machine
    duty_flow: float
    motor: Motor | None = None
    bearings: tuple[BearingHeat, ...] = ()
    oil: OilCircuit | None = None
    packing: PackedGland | None = None
    seal: FaceSeal | None = None
    casing_conductance: float = 20.0  # casing to air, [W/K]
    vibration: float = 1.2e-3  # r.m.s. of the sound machine, [m/s]

    def __post_init__(self) -> None:
        top = float(self.machine.flow[-1])
        if not 0.0 < self.duty_flow <= top:
            raise ArgumentError(
                f"duty_flow = {self.duty_flow:g} m3/s; expected above 0 and up to the last flow "
                f"of the curve, {top:g} m3/s."
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """What is the matter, and how the day is: one number each, or arrays of one shape (n,).

    ``severities`` maps a cause to 0 (not there) to 1 (as bad as it gets while the pump turns); the
    rest overrides what the circuit calls usual. ``demand`` multiplies the resistance of the system,
    below 1 for more flow. ``offsets`` is what a gauge shows too much, in the SI unit of its point;
    ``stuck`` is what a dead gauge shows. ``gauge`` names the point whose gauge the causes
    `gauge-faulty` and `gauge-line-plugged` concern, ``bearing`` the end at which a bearing or its
    lubricant is in trouble; the other end of the same machine feels a little of it.
    """

    severities: Mapping[str, Number] = field(default_factory=dict)
    liquid_temperature: Number | None = None
    source_level: Number | None = None
    source_pressure: Number | None = None
    ambient: Number | None = None
    cooling_water_in: Number | None = None
    demand: Number = 1.0
    speed_ratio: Number = 1.0
    offsets: Mapping[str, Number] = field(default_factory=dict)
    stuck: Mapping[str, Number] = field(default_factory=dict)
    gauge: str = "discharge_pressure"
    bearing: Literal["de", "nde"] = "de"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Swing:
    """Lowest and highest of a swinging reading, SI."""

    low: Array
    high: Array


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Operation:
    """What the gauges show, the mean and the swing, and what no gauge shows.

    ``values`` and ``swings`` are keyed by observation point; ``inner`` holds `head`,
    `npsh_available`, `npsh_required` [m], `efficiency`, `gas_share`, `power` [W] and `pump_flow`
    [m3/s].
    """

    values: Mapping[str, Array]
    swings: Mapping[str, Swing]
    inner: Mapping[str, Array]
