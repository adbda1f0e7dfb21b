"""Bearings, oil system and shaft seal of a plant's pump, as the forward model wants them."""

import numpy as np

from gaugewalk.physics.circuit_parts import BearingHeat, FaceSeal, OilCircuit, PackedGland
from gaugewalk.physics.cooler import transfer_units
from gaugewalk.plant.pump import Bearing, Pump

_BORE = 0.045  # of a bearing whose size is not given, [m]; common practice
_THICKNESS = 30.0  # oil in the warm bearing, [mm2/s]; common practice
_TORQUE_FACTOR = 2.0  # f0 of a deep-groove ball bearing in grease or oil bath: Palmgren, memory
_LOAD_FACTOR, _LOAD = 1.0e-3, 1500.0  # f1 and a usual load [N]; common practice
_HOUSING_LOSS = 15.0  # housing to air, [W/(m2 K)]; common practice
_OIL_RISE = 12.0  # fed oil through a bearing at duty, [K]; common practice, at most 30 K wanted
_GLAND_RISE, _FACE_RISE = 12.0, 8.0  # over the liquid inside, [K]; common practice
_DUTY_RISE = 10.0  # reservoir over supply at duty, [K]; common practice
_SUPPLY = 316.15  # oil supply where no limits are given, [K]; common practice 38 to 49 °C
_WATER_HEAT = 4.18e6  # [J/(m3 K)]


def bearing_heats(pump: Pump, speed: float) -> tuple[BearingHeat, ...]:
    """Return the heat balance of each bearing; one at either end of pump and driver if none given.

    Parameters
    ----------
    pump : Pump
    speed : float
        [1/s]
    """
    given = pump.bearings or (
        Bearing(place="de"),
        Bearing(place="nde"),
        Bearing(place="driver_de"),
        Bearing(place="driver_nde"),
    )
    return tuple(_bearing_heat(bearing, pump, speed) for bearing in given)


def _bearing_heat(bearing: Bearing, pump: Pump, speed: float) -> BearingHeat:
    bore = bearing.bore or _BORE
    outside = bearing.outside_diameter or 2.2 * bore
    friction = _friction(bearing, bore, outside, speed)
    driver = bearing.place.startswith("driver")
    if pump.lubrication.kind == "forced feed" and not driver:
        return BearingHeat(
            place=bearing.place, friction=friction, to_air=0.0, to_oil=friction / _OIL_RISE
        )
    # Housing: a drum 2.2 times as wide and as long as the bearing's outside diameter.
    to_air = _HOUSING_LOSS * np.pi * (2.2 * outside) ** 2
    # Along the shaft: steel of the bore's section, about four bores long, 45 W/(m K).
    to_liquid = 0.0 if driver else 45.0 * np.pi * bore / 16.0
    return BearingHeat(
        place=bearing.place, friction=friction, to_air=float(to_air), to_liquid=float(to_liquid)
    )


def _friction(bearing: Bearing, bore: float, outside: float, speed: float) -> float:
    """Friction heat [W]: Petroff for a sleeve, Palmgren for rolling bearings (both from memory)."""
    if bearing.kind == "sleeve":
        width, clearance, viscosity = bearing.width or 0.8 * bore, 1.2e-3 * bore, 0.02
        surface_speed = np.pi * bore * speed
        return float(viscosity * surface_speed**2 * np.pi * bore * width / clearance)
    mean = (bore + outside) / 2
    rpm = speed * 60.0
    viscous = 1e-10 * _TORQUE_FACTOR * (_THICKNESS * rpm) ** (2 / 3) * (mean * 1e3) ** 3
    loaded = _LOAD_FACTOR * _LOAD * (bore / _BORE) ** 2 * mean
    return float((viscous + loaded) * 2 * np.pi * speed)


def oil_circuit(
    pump: Pump, heats: tuple[BearingHeat, ...], cooling_water_in: float, barometric: float
) -> OilCircuit | None:
    """Return the forced-feed oil system, its cooler as large as the usual supply asks for."""
    system = pump.lubrication.system
    if pump.lubrication.kind != "forced feed" or system is None:
        return None
    flow = system.oil_flow or 20.0 / 60e3
    water = system.water_flow or 1.0 / 3600.0
    oil_rate = flow * 860.0 * 2000.0
    fed = sum(bearing.friction for bearing in heats if bearing.to_oil > 0.0)
    total = max(fed, oil_rate * _DUTY_RISE)
    supply = _supply_temperature(pump)
    return OilCircuit(
        flow=flow,
        supply_pressure=system.supply_pressure or barometric + 1.5e5,
        filter_dp=0.2e5,
        supply_temperature=supply,
        conductance=_conductance(total, oil_rate, water * _WATER_HEAT, supply, cooling_water_in),
        water_flow=water,
        other_heat=total - fed,
        heater_power=2000.0 if system.heater else 0.0,
    )


def _supply_temperature(pump: Pump) -> float:
    point = pump.point("oil_supply_temperature")
    if point is not None and point.usual is not None:
        return float(point.usual)
    system = pump.lubrication.system
    low = system.supply_temperature_low if system else None
    high = system.supply_temperature_high if system else None
    return _SUPPLY if low is None or high is None else (low + high) / 2


def _conductance(
    total: float, oil_rate: float, water_rate: float, supply: float, water_in: float
) -> float:
    """Conductance [W/K] of a cooler that holds the supply temperature, or the largest sensible."""
    least, most = min(oil_rate, water_rate), max(oil_rate, water_rate)
    hot = supply + total / oil_rate
    reached = min(total / (least * max(hot - water_in, 1.0)), 0.95)
    return float(transfer_units(reached, least / most, "counterflow")) * least


def packed_gland(pump: Pump, speed: float, barometric: float) -> PackedGland | None:
    """Return the packed box, or none where the pump has a mechanical seal."""
    seal = pump.seal
    if seal.kind != "packing":
        return None
    diameter = seal.shaft_diameter or 0.045
    # Packing that presses 0.1 bar over five rings of 10 mm, friction factor 0.15: common practice.
    heat = 0.15 * 1e4 * np.pi * diameter * 0.05 * np.pi * diameter * speed
    target = seal.leak_off_target or 40.0 * 0.05e-6 / 60.0
    pressure = seal.liquid.pressure
    if pressure is None and seal.chamber_pressure is not None:
        pressure = seal.chamber_pressure + (seal.liquid.over_chamber or 0.0)
    water = seal.liquid.plan != "none" and pressure is not None
    return PackedGland(
        leak_off=target,
        friction=float(heat),
        conductance=float(heat) / _GLAND_RISE,
        water_pressure=pressure if water else None,
        water_flow=seal.liquid.flow,
    )


def face_seal(pump: Pump, barometric: float) -> FaceSeal | None:
    """Return the mechanical seal, or none where the pump is packed."""
    seal = pump.seal
    if seal.kind == "packing":
        return None
    liquid = seal.liquid
    pressure = liquid.pressure
    if pressure is None and seal.chamber_pressure is not None and liquid.over_chamber is not None:
        pressure = seal.chamber_pressure + liquid.over_chamber
    diameter = seal.shaft_diameter or 0.045
    heat = 100.0 * (diameter / 0.045) ** 2  # common practice, no source
    return FaceSeal(
        face_heat=heat,
        conductance=heat / _FACE_RISE,
        flush_pressure=None if liquid.pot else pressure,
        flush_flow=liquid.flow,
        barrier_pressure=pressure if liquid.pot else None,
        pot=liquid.pot,
    )
