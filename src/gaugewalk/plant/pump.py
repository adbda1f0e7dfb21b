"""What stands in the plant: frozen data, SI inside, every field optional unless the pump needs it.

The plant file mirrors these classes: a TOML key is a field name, a nested table is a nested class,
and a quantity is a text with its unit. The kind of quantity stands in the type, as
``Annotated[float, "flow"]``, so that the reader of the file needs no second list; a second word
bounds it: ``"above zero"``, ``"not negative"`` or ``"share"`` (0 to 1).
"""

from dataclasses import dataclass, field
from typing import Annotated, Literal

# One alias a kind of quantity; the string is the kind's name in `units.toml`.
Pressure = Annotated[float, "pressure"]  # absolute, [Pa]
PressureDifference = Annotated[float, "pressure_difference", "not negative"]  # [Pa]
Flow = Annotated[float, "flow", "not negative"]  # [m3/s]
Length = Annotated[float, "length"]  # also level and elevation, [m]
Head = Annotated[float, "length", "not negative"]  # [m]
Size = Annotated[float, "length", "above zero"]  # [m]
Temperature = Annotated[float, "temperature"]  # [K]
TemperatureDifference = Annotated[float, "temperature_difference"]  # [K]
Speed = Annotated[float, "speed", "above zero"]  # revolutions per second, [1/s]
Current = Annotated[float, "current", "above zero"]  # [A]
Voltage = Annotated[float, "voltage", "above zero"]  # [V]
Power = Annotated[float, "power", "not negative"]  # [W]
Frequency = Annotated[float, "frequency", "above zero"]  # [Hz]
Density = Annotated[float, "density", "above zero"]  # [kg/m3]
KinematicViscosity = Annotated[float, "kinematic_viscosity", "above zero"]  # [m2/s]
DynamicViscosity = Annotated[float, "dynamic_viscosity", "above zero"]  # [Pa s]
Leakage = Annotated[
    float, "leakage", "not negative"
]  # [m3/s]; drops at 0.05 mL each unless said otherwise
Fraction = Annotated[float, "fraction", "share"]  # [-]
Duration = Annotated[float, "duration", "above zero"]  # [s]
Volume = Annotated[float, "volume", "above zero"]  # [m3]
Mass = Annotated[float, "mass", "above zero"]  # [kg]
SpecificHeat = Annotated[float, "specific_heat", "above zero"]  # [J/(kg K)]
Any = Annotated[float, "any"]  # of the kind its observation point has
AnyDifference = Annotated[float, "any_difference"]  # of that kind, as a difference
Count = Annotated[int, "above zero"]
PointName = Annotated[str, "point"]  # an id of `points.toml`
UnitName = Annotated[str, "unit"]  # a name of `units.toml` that fits the point
ZoneName = Annotated[str, "time zone"]
ClockTime = Annotated[str, "clock time"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LiquidTable:
    """A liquid known by a table: rows of equal length, temperatures rising."""

    temperature: tuple[Temperature, ...]
    vapor_pressure: tuple[Pressure, ...]
    density: tuple[Density, ...]
    kinematic_viscosity: tuple[KinematicViscosity, ...] = ()
    specific_heat: SpecificHeat | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlantLiquid:
    """The liquid a pump moves: a known name, a solution with its mass fraction, or a table."""

    name: str
    temperature: Temperature | None = None  # usual temperature at the pump
    mass_fraction: Fraction | None = None  # of glycol or salt in water
    table: LiquidTable | None = None
    hazards: tuple[Literal["hot", "toxic", "flammable", "corrosive", "slippery"], ...] = ()
    gas_laden: bool = False  # known to carry gas


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Where the pump draws from."""

    kind: Literal["flooded", "lift", "vessel", "sump"] = "flooded"
    name: str = ""
    pressure: Pressure | None = None  # on the liquid's surface; none: open to the air
    boiling: bool = False  # surface at its own vapor pressure
    level: Length | None = None  # usual surface above the pump's datum; negative for a lift
    lowest_level: Length | None = None  # surface above datum, below which air may be drawn in
    line_loss: Head | None = None  # head lost in the suction line at the rated flow
    bell_diameter: Size | None = None  # intake bell, for submergence
    bell_level: Length | None = None  # intake mouth above the pump's datum (negative below)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlantCurve:
    """The maker's curve at one speed, tuples of equal length, flow rising."""

    speed: Speed
    flow: tuple[Flow, ...]
    head: tuple[Head, ...]
    power: tuple[Power, ...] = ()
    efficiency: tuple[Fraction, ...] = ()
    npshr: tuple[Head, ...] = ()
    density: Density = 998.2  # for which the power row holds


@dataclass(frozen=True, slots=True, kw_only=True)
class Rated:
    """The duty the pump was bought for; stands in where no curve is known."""

    flow: Flow | None = None
    head: Head | None = None
    npshr: Head | None = None
    speed: Speed | None = None
    power: Power | None = None
    minimum_flow: Flow | None = None
    best_efficiency_flow: Flow | None = None
    vanes: Count | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SealLiquid:
    """Flush, barrier, buffer or quench liquid of a shaft seal, or the seal water of a packing."""

    plan: Literal[
        "none",
        "seal water",
        "own liquid",
        "flush",
        "cooled flush",
        "external flush",
        "buffer",
        "barrier",
        "quench",
    ] = "none"
    pressure: Pressure | None = None
    flow: Flow | None = None
    over_chamber: PressureDifference | None = None  # set above the seal chamber
    pot: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ShaftSeal:
    """Packing with its wanted leak-off, or a mechanical seal, which shall not drip."""

    kind: Literal["packing", "single mechanical seal", "double mechanical seal"]
    shaft_diameter: Size | None = None
    leak_off_low: Leakage | None = None
    leak_off_target: Leakage | None = None
    leak_off_high: Leakage | None = None
    gland_nuts: Count = 2
    wait_between_flats: Duration = 900.0
    chamber_pressure: Pressure | None = None
    liquid: SealLiquid = field(default_factory=SealLiquid)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bearing:
    """One bearing of the pump or the driver."""

    place: Literal["de", "nde", "driver_de", "driver_nde"]
    kind: Literal["ball", "roller", "angular contact", "sleeve", "thrust"] = "ball"
    bore: Size | None = None
    outside_diameter: Size | None = None
    width: Size | None = None
    balls: Count | None = None
    ball_diameter: Size | None = None
    contact_angle_deg: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class OilSystem:
    """A forced-feed oil system."""

    pump: bool = True
    auxiliary_pump: bool = True
    reservoir: Volume | None = None
    heater: bool = False
    cooler: bool = False
    cooler_duplex: bool = False
    filter: bool = True
    filter_duplex: bool = False
    supply_pressure: Pressure | None = None
    supply_pressure_low: Pressure | None = None  # act
    supply_pressure_trip: Pressure | None = None  # stop
    supply_temperature_low: Temperature | None = None
    supply_temperature_high: Temperature | None = None
    filter_dp_limit: PressureDifference | None = None
    oil_flow: Flow | None = None
    water_flow: Flow | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Lubrication:
    """How the bearings get their oil or grease."""

    kind: Literal[
        "grease", "grease cup", "oil sump", "constant-level oiler", "oil ring", "forced feed"
    ]
    product: str = ""
    iso_vg: Count | None = None
    viscosity_index: float | None = None
    grease_interval: Duration | None = None
    grease_mass: Mass | None = None
    cup_turns_per_round: float | None = None
    oil_change_interval: Duration | None = None
    system: OilSystem | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Strainer:
    """A strainer in the suction or discharge line, with its clean drop at a flow."""

    clean_dp: PressureDifference | None = None
    clean_flow: Flow | None = None
    limit_dp: PressureDifference | None = None
    duplex: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Driver:
    """Electric motor, turbine or engine, from its nameplate."""

    kind: Literal["electric motor", "turbine", "engine"] = "electric motor"
    power: Power | None = None
    speed: Speed | None = None
    voltage: Voltage | None = None
    current: Current | None = None
    power_factor: Fraction | None = None
    efficiency: Fraction | None = None
    poles: Count | None = None
    frequency: Frequency | None = None
    service_factor: float = 1.0
    variable_speed: bool = False
    idle_current: Current | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One observation point of one pump, with its limits: outside them the word is at least that.

    A limit that is not given is not judged. `watch_low` to `watch_high` is the band inside which a
    reading needs no word; `act_*` asks for a hand this shift; `stop_*` for a safe pump now.
    """

    point: PointName
    unit: UnitName
    place: str = ""  # the marked spot, in words
    usual: Any | None = None
    watch_low: Any | None = None
    watch_high: Any | None = None
    act_low: Any | None = None
    act_high: Any | None = None
    stop_low: Any | None = None
    stop_high: Any | None = None
    range_low: Any | None = None  # of the gauge
    range_high: Any | None = None
    accuracy: AnyDifference | None = None  # of the gauge, as a difference
    elevation: Length = 0.0  # of the gauge above the pump's datum
    source: str = ""  # of the limits


@dataclass(frozen=True, slots=True, kw_only=True)
class Pump:
    """One pump as it stands in the plant."""

    tag: str
    name: str
    area: str = ""
    walk_order: float = 0.0
    service: Literal["critical", "normal", "minor"] = "normal"
    liquid: PlantLiquid
    source: Source = field(default_factory=Source)
    curve: PlantCurve | None = None
    rated: Rated = field(default_factory=Rated)
    suction_diameter: Size | None = None
    discharge_diameter: Size | None = None
    seal: ShaftSeal
    bearings: tuple[Bearing, ...] = ()
    lubrication: Lubrication
    driver_lubrication: Lubrication | None = None
    suction_strainer: Strainer | None = None
    discharge_strainer: Strainer | None = None
    driver: Driver = field(default_factory=Driver)
    partner: str | None = None  # tag of the pump it stands by for, or that stands by for it
    heat_traced: bool = False
    minimum_flow_line: bool = False
    check_valve: bool = True
    orientation: Literal["horizontal", "vertical"] = "horizontal"
    points: tuple[Point, ...] = ()
    notes: str = ""

    def point(self, name: str) -> Point | None:
        """Return the observation point of that name, or none where this pump has it not."""
        return next((p for p in self.points if p.point == name), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundPlan:
    """A round: which pumps, how often."""

    name: str
    every: Duration
    tags: tuple[str, ...] = ()  # empty: every pump of the areas
    areas: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Plant:
    """The whole plant file."""

    name: str
    time_zone: ZoneName = "UTC"
    elevation: Length = 0.0
    barometric_pressure: Pressure | None = None  # none: from the elevation
    shift_hours: Count = 8
    first_shift: ClockTime = "06:00"
    rounds: tuple[RoundPlan, ...] = ()
    pumps: tuple[Pump, ...] = ()

    def pump(self, tag: str) -> Pump | None:
        """Return the pump with that tag, or none."""
        return next((p for p in self.pumps if p.tag == tag), None)
