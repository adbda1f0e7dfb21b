"""Where the heat goes: bearings, fed oil and its cooler, gland, seal faces, casing, motor.

Every temperature is that of the settled machine: what comes in as friction leaves as heat.
"""

from collections.abc import Mapping

import numpy as np

from gaugewalk.physics.circuit_flow import Duty
from gaugewalk.physics.circuit_parts import (
    Array,
    BearingHeat,
    Circuit,
    FaceSeal,
    OilCircuit,
    PackedGland,
)
from gaugewalk.physics.constants import GRAVITY
from gaugewalk.physics.cooler import effectiveness

_WATER_HEAT = 4.18e6  # of cooling water at 20 °C, [J/(m3 K)]; IAPWS-95: 998.2 kg/m3, 4184 J/(kg K)
_OIL_THINNING = 0.04  # share by which mineral oil thins per kelvin near 45 °C; common practice
_OTHER_END = 0.3  # power of the friction's factor that the other end feels; judgement
_CHURNING = 5.0 / 3.0  # friction of a lubricated rolling bearing over speed: Palmgren, memory


def friction(
    bearing: BearingHeat, setting: Mapping[str, Array], speed_ratio: Array, troubled: str
) -> Array:
    """Heat made in a bearing [W]; ``troubled`` is the end, de or nde, at which it is in trouble."""
    name = "driver_friction" if bearing.place.startswith("driver") else "pump_friction"
    share = 1.0 if bearing.place.removeprefix("driver_") == troubled else _OTHER_END
    turning = np.maximum(speed_ratio, 0.0) ** _CHURNING
    return bearing.friction * setting[name] ** share * turning


def bearing_temperature(
    bearing: BearingHeat, heat: Array, ambient: Array, liquid: Array, oil_supply: Array
) -> Array:
    """Housing temperature [K] at which what flows off equals the friction.

    Notes
    -----
    ``heat = to_air (T - ambient) + to_liquid (T - liquid) + to_oil (T - oil_supply)``.

    Examples
    --------
    >>> housing = BearingHeat(place="de", friction=60.0, to_air=3.0)
    >>> cool = np.asarray(293.15)
    >>> round(float(bearing_temperature(housing, np.asarray(60.0), cool, cool, cool)), 2)
    313.15
    """
    taken = bearing.to_air * ambient + bearing.to_liquid * liquid + bearing.to_oil * oil_supply
    return (heat + taken) / (bearing.to_air + bearing.to_liquid + bearing.to_oil)


def oil_temperatures(
    oil: OilCircuit, heat: Array, water_in: Array, setting: Mapping[str, Array]
) -> dict[str, Array]:
    """Oil supply and reservoir and cooling-water outlet temperature [K], water flow [m3/s].

    Parameters
    ----------
    oil : OilCircuit
    heat : array
        Friction that the oil takes up, heater left out. [W]
    water_in : array
        [K]
    setting : mapping of setting to array

    Notes
    -----
    All heat leaves through a counterflow cooler: ``heat = eps C_min (T_return - T_water)``.

    References
    ----------
    .. [1] Effectiveness and number of transfer units: see `cooler.effectiveness`.
    """
    oil_rate = oil.flow * oil.density * oil.specific_heat * np.minimum(setting["oil_pump"], 1.0)
    water_flow = oil.water_flow * setting["cooling_water"]
    water_rate = water_flow * _WATER_HEAT
    # Outside film: grows with the water flow to the power 0.6 (shell side, textbook exponent),
    # and is taken to carry half of the resistance of the clean cooler (judgement).
    film = 0.5 + 0.5 * setting["cooling_water"] ** -0.6
    worth = oil.conductance / (film + 1.0 / setting["cooler_conductance"] - 1.0)
    least, most = np.minimum(oil_rate, water_rate), np.maximum(oil_rate, water_rate)
    share = effectiveness(worth / least, least / most, "counterflow")
    total = heat + oil.heater_power * setting["oil_heater"]
    hot = water_in + total / (share * least)
    return {
        "oil_reservoir_temperature": hot,
        "oil_supply_temperature": hot - total / oil_rate,
        "cooling_water_temperature_out": water_in + total / water_rate,
        "cooling_water_flow": water_flow,
    }


def oil_pressures(
    oil: OilCircuit, supply: Array, setting: Mapping[str, Array], barometric: float
) -> dict[str, Array]:
    """Oil supply pressure [Pa absolute] and filter drop [Pa] at a supply temperature [K].

    Notes
    -----
    The relief valve holds the pressure before the filter; a pump that gives less lets it sink, and
    cold, thick oil raises both a little.
    """
    thickness = np.exp(-_OIL_THINNING * (supply - oil.supply_temperature))
    drop = oil.filter_dp * thickness * setting["oil_pump"] / setting["oil_filter_open"] ** 2
    usual = oil.supply_pressure - barometric + oil.filter_dp
    before = usual * setting["oil_relief"] * setting["oil_pump"] ** 1.5 * thickness**0.15
    drop = np.minimum(drop, 0.95 * before)
    return {"oil_supply_pressure": barometric + before - drop, "oil_filter_dp": drop}


def gland(
    packing: PackedGland,
    box_over_air: Array,
    usual_over_air: float,
    inside: Array,
    setting: Mapping[str, Array],
    barometric: float,
) -> dict[str, Array]:
    """Leak-off, gland temperature and seal water of a packed box.

    Parameters
    ----------
    packing : PackedGland
    box_over_air, usual_over_air : array, float
        Pressure in the box over the air outside, now and in order. [Pa]
    inside : array
        Temperature of what flows through the packing. [K]

    Notes
    -----
    Leak-off through a narrow gap grows with the cube of the gap and with the pressure (laminar slit
    flow, textbook). Seal water, where fitted, is what pushes; a box under vacuum without it draws
    air in, so that nothing drips.
    """
    if packing.water_pressure is not None:
        usual_over_air = max(packing.water_pressure - barometric, usual_over_air)
        water = (packing.water_pressure - barometric) * setting["seal_water_pressure"]
        box_over_air = np.maximum(box_over_air, water)
    push = np.clip(box_over_air / max(usual_over_air, 1e3), 0.0, 3.0)
    leak = packing.leak_off * setting["gland_gap"] ** 3 * push
    rise = packing.friction * setting["gland_friction"] / packing.conductance
    result = {"leak_off": leak, "gland_temperature": inside + rise}
    if packing.water_pressure is not None:
        result["seal_water_pressure"] = barometric + water
    if packing.water_flow is not None:
        result["seal_water_flow"] = packing.water_flow * setting["seal_water_flow"]
    return result


def seal_faces(
    seal: FaceSeal, inside: Array, setting: Mapping[str, Array], barometric: float
) -> dict[str, Array]:
    """Drip, temperature, flush and pot of a mechanical seal."""
    rise = seal.face_heat * setting["face_heat"] / seal.conductance
    result = {"seal_leakage": setting["seal_drip"], "gland_temperature": inside + rise}
    if seal.flush_pressure is not None:
        over = (seal.flush_pressure - barometric) * setting["flush_pressure"]
        result["seal_flush_pressure"] = barometric + over
    if seal.flush_flow is not None:
        result["seal_flush_flow"] = seal.flush_flow * setting["flush_flow"]
    if seal.barrier_pressure is not None:
        over = (seal.barrier_pressure - barometric) * setting["barrier_pressure"]
        result["seal_pot_pressure"] = barometric + over
    if seal.pot:
        result["seal_pot_level"] = np.clip(0.6 + setting["pot_level"], 0.0, 1.0)
        result["seal_pot_temperature"] = inside + 0.5 * rise
    return result


def casing_temperature(circuit: Circuit, duty: Duty, lost: Array, ambient: Array) -> Array:
    """Casing temperature [K]: the power that is not head warms what little flows through.

    Notes
    -----
    Once hardly anything flows, the casing ends at the boiling point under its own pressure.
    """
    stream = duty.pump_flow * duty.density * circuit.liquid.specific_heat
    to_air = circuit.casing_conductance
    settled = (stream * duty.temperature + to_air * ambient + lost) / (stream + to_air)
    pressure = duty.suction_pressure + duty.density * GRAVITY * duty.head
    hottest = np.maximum(circuit.liquid.boiling_at(pressure), duty.temperature)
    return np.minimum(settled, hottest)
