"""From a pump as it stands in the plant file to the circuit that the forward model drives.

What the plant file does not say is taken from common practice and named as such here; a figure read
off such a circuit shows which way a reading moves and about how far, not what the maker measured.
"""

from functools import lru_cache

import numpy as np

from gaugewalk.errors import ArgumentError, NotFoundError, OutOfRangeError
from gaugewalk.physics import liquids
from gaugewalk.physics.circuit_flow import thickened
from gaugewalk.physics.circuit_parts import (
    Array,
    Circuit,
    DischargeSide,
    LiquidTable,
    Machine,
    Motor,
    Screen,
    SuctionSide,
)
from gaugewalk.physics.constants import GRAVITY
from gaugewalk.physics.curve import PumpCurve, best_efficiency_flow, head_at, npshr_at, power_at
from gaugewalk.physics.motor import Nameplate
from gaugewalk.plant.circuit_heat import bearing_heats, face_seal, oil_circuit, packed_gland
from gaugewalk.plant.liquid import physics_curve, physics_liquid
from gaugewalk.plant.pump import Driver, PlantLiquid, Pump, Strainer

_GRID = 65  # flows on which the curve is kept
_COLDER, _HOTTER, _ROWS = 60.0, 140.0, 41  # liquid table around the usual temperature, [K]
_USUAL_TEMPERATURE = 293.15  # where the plant file gives none
_WATER_HEAT = 4180.0  # where a table gives no specific heat, [J/(kg K)]
_WATER_VISCOSITY = 1e-6  # where a table gives no viscosity, [m2/s]
_STATIC_SHARE = 0.6  # of the duty head that stands at no flow; common practice, no source
_LEVEL = {"flooded": 2.0, "vessel": 3.0, "lift": -2.5, "sump": 1.0}  # [m], common practice
_LINE_LOSS = 0.5  # [m], common practice
_TO_LOWEST = 1.5  # usual level over the lowest where none is given, [m], common practice
_POWER_FACTOR, _EFFICIENCY = 0.85, 0.9  # of a motor whose plate was not copied; common practice


def circuit_of(
    pump: Pump,
    *,
    barometric: float,
    ambient: float = 293.15,
    cooling_water_in: float = 293.15,
    static_share: float = _STATIC_SHARE,
) -> Circuit:
    """Return the pump in its circuit, in order, at its usual duty.

    Parameters
    ----------
    pump : Pump
        With a curve, or with a rated flow and head.
    barometric : float
        [Pa]
    ambient, cooling_water_in : float
        Usual temperatures. [K]
    static_share : float
        Share of the duty head that the system asks for at no flow, 0 to below 1. [-]

    Returns
    -------
    Circuit

    Raises
    ------
    ArgumentError
        Neither curve nor rated flow and head, or a static share outside 0 to 1.
    NotFoundError
        The liquid is not known and has no table.

    Notes
    -----
    The duty flow is the usual reading of the flow meter; none: the flow at which the curve gives
    the usual head between the gauges; none: the rated flow; none: the best one.
    """
    if not 0.0 <= static_share < 1.0:
        raise ArgumentError(f"static_share = {static_share:g}; expected 0 to below 1.")
    liquid = liquid_table(pump.liquid)
    temperature = pump.liquid.temperature or _USUAL_TEMPERATURE
    curve = _curve(pump)
    suction = _suction(pump, liquid, temperature, barometric)
    machine = _machine(curve)
    flow = _duty_flow(pump, machine, liquid, temperature)
    head = float(np.interp(flow, machine.flow, machine.head))
    speed = machine.speed
    heats = bearing_heats(pump, speed)
    return Circuit(
        liquid=liquid,
        liquid_temperature=temperature,
        barometric=barometric,
        ambient=ambient,
        cooling_water_in=cooling_water_in,
        suction=suction,
        discharge=DischargeSide(
            static_head=static_share * head,
            strainer=_screen(pump.discharge_strainer, flow, 0.01 * head),
            diameter=pump.discharge_diameter,
            gauge_elevation=_elevation(pump, "discharge_pressure"),
            check_valve=pump.check_valve,
        ),
        machine=machine,
        duty_flow=flow,
        motor=_motor(pump.driver, machine, flow),
        bearings=heats,
        oil=oil_circuit(pump, heats, cooling_water_in, barometric),
        packing=packed_gland(pump, speed, barometric),
        seal=face_seal(pump, barometric),
        casing_conductance=_casing_conductance(pump),
    )


@lru_cache(maxsize=256)
def liquid_table(liquid: PlantLiquid) -> LiquidTable:
    """Return the liquid's properties on a grid around its usual temperature.

    Raises
    ------
    NotFoundError
        The liquid's name is not known and it has no table of its own.
    """
    known = physics_liquid(liquid)
    if known is None:
        raise NotFoundError(
            f"liquid {liquid.name!r} is not known; give it a table of vapor pressure and density."
        )
    usual = liquid.temperature or _USUAL_TEMPERATURE
    low, high = _limits(known, usual - _COLDER, usual + _HOTTER)
    grid = np.linspace(low, high, _ROWS)
    return LiquidTable(
        temperature=grid,
        vapor_pressure=np.maximum(liquids.vapor_pressure(known, grid), 1e-3),
        density=np.asarray(liquids.density(known, grid)),
        kinematic_viscosity=_viscosity(known, grid),
        specific_heat=_specific_heat(known, usual),
    )


def _limits(known: liquids.Liquid, low: float, high: float) -> tuple[float, float]:
    """Return the part of a range of temperatures in which every property is known."""
    for _ in range(8):
        try:
            for name in (liquids.vapor_pressure, liquids.density, liquids.kinematic_viscosity):
                name(known, np.array([low, high]))
        except OutOfRangeError as fault:
            low, high = max(low, fault.low + 0.01), min(high, fault.high - 0.01)
        except ArgumentError:
            break
        else:
            break
    return low, high


def _viscosity(known: liquids.Liquid, grid: Array) -> Array:
    try:
        return np.asarray(liquids.kinematic_viscosity(known, grid))
    except ArgumentError:  # a table without viscosity
        return np.full(grid.shape, _WATER_VISCOSITY)


def _specific_heat(known: liquids.Liquid, temperature: float) -> float:
    try:
        return float(liquids.specific_heat(known, temperature))
    except ArgumentError:  # a table without specific heat
        return _WATER_HEAT


def _curve(pump: Pump) -> PumpCurve:
    """Return the pump's curve at the speed at which it runs."""
    if pump.curve is None:
        return typical_curve(pump)
    curve = physics_curve(pump.curve)
    return curve.at_speed(pump.driver.speed) if pump.driver.speed else curve


def typical_curve(pump: Pump) -> PumpCurve:
    """Return a curve for a pump of which only the rated duty is known.

    Notes
    -----
    Shut-off head 1.2 times the rated, falling with the square of the flow; a power at no flow of
    0.45 of the rated; NPSH required that doubles from half to full flow. Common practice.

    Raises
    ------
    ArgumentError
        No rated flow or no rated head.
    """
    rated = pump.rated
    if rated.flow is None or rated.head is None:
        raise ArgumentError(
            f"pump {pump.tag}: needs a curve, or a rated flow and head, for the forward model."
        )
    share = np.linspace(0.0, 1.4, 15)
    useful = 998.2 * GRAVITY * rated.flow * rated.head
    full = rated.power or useful / 0.65
    npshr = rated.npshr or max(2.0, 0.07 * rated.head)
    return PumpCurve(
        speed=rated.speed or pump.driver.speed or 24.5,
        flow=share * rated.flow,
        head=rated.head * (1.2 - 0.2 * share**2),
        power=full * (0.45 + 0.55 * share),
        npshr=npshr * (1.0 / 3.0 + 2.0 / 3.0 * share**2),
    )


def _machine(curve: PumpCurve) -> Machine:
    """Return the curve on the fine grid, with what it lacks from common practice."""
    grid = np.linspace(0.0, float(curve.flow[-1]), _GRID)
    head = head_at(curve, grid, clamp=True)
    if curve.power is None:
        # No power row: 70 % at two thirds of the last flow, straight from 45 % of that power.
        middle = _GRID * 2 // 3
        full = curve.density * GRAVITY * grid[middle] * head[middle] / 0.7
        power = full * (0.45 + 0.55 * grid / grid[middle])
        best = float(grid[middle])
    else:
        power = power_at(curve, grid, clamp=True)
        best = float(best_efficiency_flow(curve))
    if curve.npshr is None:
        npshr = max(2.0, 0.07 * float(head[0])) * (1.0 / 3.0 + 2.0 / 3.0 * (grid / best) ** 2)
    else:
        npshr = npshr_at(curve, grid, clamp=True)
    return Machine(
        flow=grid,
        head=np.asarray(head),
        power=np.asarray(power),
        npshr=np.asarray(npshr),
        speed=curve.speed,
        density=curve.density,
        best_flow=best,
    )


def _usual(pump: Pump, name: str) -> float | None:
    point = pump.point(name)
    return None if point is None else point.usual


def _elevation(pump: Pump, name: str) -> float:
    point = pump.point(name)
    return 0.0 if point is None else point.elevation


def _duty_flow(pump: Pump, machine: Machine, liquid: LiquidTable, temperature: float) -> float:
    top = float(machine.flow[-1])
    flow = _usual(pump, "flow") or _flow_from_gauges(pump, machine, liquid, temperature)
    return min(flow or pump.rated.flow or machine.best_flow, top)


def _flow_from_gauges(
    pump: Pump, machine: Machine, liquid: LiquidTable, temperature: float
) -> float | None:
    low, high = _usual(pump, "suction_pressure"), _usual(pump, "discharge_pressure")
    if low is None or high is None:
        return None
    weight = float(liquid.density_at(temperature)) * GRAVITY
    rise = _elevation(pump, "discharge_pressure") - _elevation(pump, "suction_pressure")
    factors = thickened(machine, liquid.viscosity_at(temperature))
    falling = machine.head[::-1] * float(factors.head)
    head = (high - low) / weight + rise
    if not falling[0] < head < falling[-1]:
        return None
    return float(np.interp(head, falling, machine.flow[::-1] * float(factors.flow)))


def _suction(pump: Pump, liquid: LiquidTable, temperature: float, barometric: float) -> SuctionSide:
    source = pump.source
    vapor = float(liquid.vapor_pressure_at(temperature))
    surface = vapor if source.boiling else (source.pressure or barometric)
    loss = _LINE_LOSS if source.line_loss is None else source.line_loss
    level = source.level
    if level is None:
        level = _level_from_gauge(pump, liquid, temperature, surface, loss)
    lowest = level - _TO_LOWEST if source.lowest_level is None else source.lowest_level
    return SuctionSide(
        surface_pressure=surface,
        level=level,
        lowest_level=lowest,
        line_loss=loss,
        boiling=source.boiling,
        strainer=_screen(pump.suction_strainer, pump.rated.flow, 0.2),
        diameter=pump.suction_diameter,
        gauge_elevation=_elevation(pump, "suction_pressure"),
    )


def _level_from_gauge(
    pump: Pump, liquid: LiquidTable, temperature: float, surface: float, loss: float
) -> float:
    """Return the level that the usual suction pressure stands for, or that of common practice."""
    usual = _usual(pump, "suction_pressure")
    if usual is None:
        return _LEVEL[pump.source.kind]
    weight = float(liquid.density_at(temperature)) * GRAVITY
    return (usual - surface) / weight + _elevation(pump, "suction_pressure") + loss


def _screen(strainer: Strainer | None, flow: float | None, drop: float) -> Screen | None:
    """Return the strainer; a clean drop that is not given is a head of common practice, [m]."""
    if strainer is None or (strainer.clean_flow or flow) is None:
        return None
    clean = drop * 998.2 * GRAVITY if strainer.clean_dp is None else strainer.clean_dp
    return Screen(clean_dp=clean, clean_flow=strainer.clean_flow or flow or 1.0)


def _motor(driver: Driver, machine: Machine, flow: float) -> Motor | None:
    if driver.kind != "electric motor":
        return None
    power = driver.power or 1.25 * float(np.interp(flow, machine.flow, machine.power))
    voltage = driver.voltage or 400.0
    factor = driver.power_factor or _POWER_FACTOR
    efficiency = driver.efficiency or _EFFICIENCY
    current = driver.current or power / (np.sqrt(3.0) * voltage * factor * efficiency)
    plate = Nameplate(
        power=power,
        current=float(current),
        voltage=voltage,
        power_factor=factor,
        efficiency=driver.efficiency if driver.current else efficiency,
        idle_current=driver.idle_current,
    )
    return Motor(plate=plate)


def _casing_conductance(pump: Pump) -> float:
    """Conductance casing to air: 12 W/(m2 K) over a surface set by the discharge nozzle, [W/K]."""
    diameter = pump.discharge_diameter or 0.08
    return 12.0 * 12.0 * diameter * (6.0 * diameter)  # common practice, no source
