"""The forward model: one pump in its circuit, and what the gauges show under a condition.

`operate` answers for one condition or for a whole array of them at once, so that a spread of
severities becomes a spread of readings. `solve` is the same without the swings.
"""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from gaugewalk.errors import NotFoundError
from gaugewalk.physics import circuit_heat
from gaugewalk.physics.circuit_effects import settings
from gaugewalk.physics.circuit_flow import Duty, balance, beyond, duty_head
from gaugewalk.physics.circuit_parts import (
    Array,
    Circuit,
    Condition,
    Motor,
    Number,
    Operation,
    Swing,
)
from gaugewalk.physics.constants import GRAVITY
from gaugewalk.physics.motor import current_at_load

_HIGHEST_LOAD = 1.3  # of the motor's rated power; more trips it
_UNSTEADY = 0.3  # half swing of the head, share, at the worst of gas or vapor; judgement
_BOX_SHARE = 0.15  # of the pump's pressure rise that stands in the stuffing box; judgement
_BUBBLES = 4.0e-3  # vibration at the worst of gas or vapor, r.m.s., judgement, [m/s]
_OFF_BEST = 2.0e-3  # vibration at half or one and a half the best flow; judgement, [m/s]
_PRESSURES = ("suction_pressure", "discharge_pressure")


def solve(circuit: Circuit, condition: Condition) -> dict[str, Array]:
    """What the gauges show, the mean where they swing, keyed by observation point, SI.

    Parameters
    ----------
    circuit : Circuit
    condition : Condition

    Returns
    -------
    dict of point to array
        Shape () or that of the arrays in the condition. Pressures absolute [Pa].

    Raises
    ------
    NotFoundError
        A cause without a physical model, or a gauge that this circuit has not.
    """
    return dict(operate(circuit, condition).values)


def operate(circuit: Circuit, condition: Condition) -> Operation:
    """What the gauges show under a condition, mean and swing, and what no gauge shows.

    Parameters
    ----------
    circuit : Circuit
    condition : Condition

    Returns
    -------
    Operation

    Raises
    ------
    NotFoundError
        A cause without a physical model, or a gauge that this circuit has not.

    Notes
    -----
    A model of the settled machine: nothing here knows how long a change takes. How far a cause goes
    at severity 1 is judgement (see `circuit_effects`); compare directions and shapes, not third
    digits.
    """
    setting = settings(condition.severities)
    duty = balance(circuit, condition, setting)
    inner = _inner(circuit, duty, setting)
    values = _hydraulic(circuit, duty)
    values |= _driver(circuit, duty, inner["power"], setting, condition)
    values |= _heat(circuit, duty, inner, setting, condition)
    values |= _vibration(circuit, duty, setting)
    shape = np.shape(duty.pump_flow)
    values = {point: np.broadcast_to(value, shape) for point, value in values.items()}
    swings = _swings(circuit, duty, values, setting)
    shown = _instruments(circuit, values, setting, condition)
    moved = {p: _shifted(s, values[p], shown[p]) for p, s in swings.items()}
    return Operation(values=shown, swings=moved, inner=inner)


def at_rest(circuit: Circuit, condition: Condition) -> dict[str, Array]:
    """What the gauges of the stopped pump show, its suction valve open, its check valve holding.

    Parameters
    ----------
    circuit : Circuit
    condition : Condition
        Only its overrides are read; a cause at a standing pump is not modelled.

    Returns
    -------
    dict of point to array
        Pressures absolute [Pa]; temperatures those of the surroundings.
    """
    liquid = _given(condition.liquid_temperature, circuit.liquid_temperature)
    ambient = _given(condition.ambient, circuit.ambient)
    level = _given(condition.source_level, circuit.suction.level)
    surface = _given(condition.source_pressure, circuit.suction.surface_pressure)
    weight = circuit.liquid.density_at(liquid) * GRAVITY
    standing = surface + weight * level
    values = {
        "suction_pressure": standing - weight * circuit.suction.gauge_elevation,
        "discharge_pressure": standing - weight * circuit.discharge.gauge_elevation,
        "flow": np.zeros(()),
        "speed": np.zeros(()),
        "motor_current": np.zeros(()),
        "source_level": level,
        "source_pressure": surface,
        "liquid_temperature": liquid,
        "ambient_temperature": ambient,
    }
    return values | {_bearing_point(bearing.place): ambient for bearing in circuit.bearings}


def _inner(circuit: Circuit, duty: Duty, setting: Mapping[str, Array]) -> dict[str, Array]:
    machine = circuit.machine
    row = beyond(duty.inner_flow, machine.flow, machine.power)
    power = row * duty.speed_ratio**3 * duty.density / machine.density
    power = power * duty.viscous.flow * duty.viscous.head / duty.viscous.efficiency
    power = power * setting["impeller_open"] * np.sqrt(setting["impeller_head"])
    # An impeller that throws less liquid takes less, though never less than its disk friction.
    power = power * (0.35 + 0.65 * duty.held) * (1.0 - 0.25 * setting["reversed"])
    usual = float(np.interp(circuit.duty_flow, machine.flow, machine.power))
    power = power + setting["rub"] * usual
    useful = duty.density * GRAVITY * duty.system_flow * duty.head
    return {
        "head": duty.head,
        "npsh_available": duty.npsh_available,
        "npsh_required": duty.npsh_required,
        "efficiency": useful / power,
        "power": power,
        "pump_flow": duty.pump_flow,
        "gas_share": np.broadcast_to(setting["gas_share"], np.shape(duty.head)),
    }


def _hydraulic(circuit: Circuit, duty: Duty) -> dict[str, Array]:
    weight = duty.density * GRAVITY
    suction, discharge = circuit.suction, circuit.discharge
    out = (duty.pump_flow / _area(discharge.diameter)) ** 2 / (2 * GRAVITY)
    into = (duty.pump_flow / _area(suction.diameter)) ** 2 / (2 * GRAVITY)
    flange = duty.suction_pressure + weight * (duty.head + into - out)
    values = {
        "suction_pressure": duty.suction_pressure - weight * suction.gauge_elevation,
        "discharge_pressure": flange - weight * discharge.gauge_elevation,
        "flow": duty.system_flow,
        "liquid_temperature": duty.temperature,
        "source_level": duty.source_level,
        "source_pressure": duty.source_pressure,
        "speed": circuit.machine.speed * duty.speed_ratio,
    }
    if suction.strainer is not None:
        values["suction_strainer_dp"] = duty.suction_strainer_dp
    if discharge.strainer is not None:
        values["discharge_strainer_dp"] = duty.discharge_strainer_dp
    return {
        point: np.maximum(value, 0.0) if point in _PRESSURES else value
        for point, value in values.items()
    }


def _area(diameter: float | None) -> float:
    return float("inf") if diameter is None else np.pi * diameter**2 / 4


def _driver(
    circuit: Circuit, duty: Duty, power: Array, setting: Mapping[str, Array], condition: Condition
) -> dict[str, Array]:
    if circuit.motor is None:
        return {}
    motor = circuit.motor
    current = _current(motor, power) * setting["motor_current"]
    rise = motor.rise * (current / motor.plate.current) ** 2 * setting["motor_rise"]
    ambient = _given(condition.ambient, circuit.ambient)
    return {
        "motor_current": current,
        "motor_power": power / motor.plate.rated_efficiency(),
        "motor_temperature": ambient + rise,
    }


def _current(motor: Motor, power: Array) -> Array:
    return current_at_load(np.clip(power, 0.0, _HIGHEST_LOAD * motor.plate.power), motor.plate)


def _heat(
    circuit: Circuit,
    duty: Duty,
    inner: Mapping[str, Array],
    setting: Mapping[str, Array],
    condition: Condition,
) -> dict[str, Array]:
    ambient = _given(condition.ambient, circuit.ambient)
    heats = [
        circuit_heat.friction(b, setting, duty.speed_ratio, condition.bearing)
        for b in circuit.bearings
    ]
    values = {"ambient_temperature": ambient}
    supply = ambient
    if circuit.oil is not None:
        values |= _oil(circuit, heats, setting, condition)
        supply = values["oil_supply_temperature"]
    for bearing, heat in zip(circuit.bearings, heats, strict=True):
        values[_bearing_point(bearing.place)] = circuit_heat.bearing_temperature(
            bearing, heat, ambient, duty.temperature, supply
        )
    lost = np.maximum(inner["power"] - duty.density * GRAVITY * duty.pump_flow * duty.head, 0.0)
    values["casing_temperature"] = circuit_heat.casing_temperature(circuit, duty, lost, ambient)
    values["oil_level"] = setting["oil_level"]
    values["oiler_level"] = np.clip(0.7 + setting["oiler_level"], 0.0, 1.0)
    return values | _shaft_seal(circuit, duty, values["casing_temperature"], setting)


def _bearing_point(place: str) -> str:
    driver = place.startswith("driver_")
    side = place.removeprefix("driver_")
    return f"driver_bearing_temperature_{side}" if driver else f"bearing_temperature_{side}"


def _oil(
    circuit: Circuit, heats: list[Array], setting: Mapping[str, Array], condition: Condition
) -> dict[str, Array]:
    oil = circuit.oil
    if oil is None:
        return {}
    water_in = _given(condition.cooling_water_in, circuit.cooling_water_in)
    water_in = water_in + setting["cooling_water_warmer"]
    fed = [h for b, h in zip(circuit.bearings, heats, strict=True) if b.to_oil > 0.0]
    total = sum(fed, np.asarray(oil.other_heat))
    values = circuit_heat.oil_temperatures(oil, total, water_in, setting)
    values["cooling_water_temperature_in"] = water_in
    values |= circuit_heat.oil_pressures(
        oil, values["oil_supply_temperature"], setting, circuit.barometric
    )
    level = oil.reservoir_level + setting["oil_reservoir"]
    return values | {"oil_reservoir_level": np.clip(level, 0.0, 1.0)}


def _shaft_seal(
    circuit: Circuit, duty: Duty, inside: Array, setting: Mapping[str, Array]
) -> dict[str, Array]:
    air = circuit.barometric
    if circuit.packing is not None:
        rise = _BOX_SHARE * duty.density * GRAVITY
        over = duty.suction_pressure + rise * duty.head - air
        suction = circuit.suction
        usual = (
            suction.surface_pressure
            - air
            + float(np.max(duty.density))
            * GRAVITY
            * (suction.level - suction.line_loss + _BOX_SHARE * duty_head(circuit))
        )
        return circuit_heat.gland(circuit.packing, over, usual, inside, setting, air)
    if circuit.seal is not None:
        return circuit_heat.seal_faces(circuit.seal, inside, setting, air)
    return {}


def unsteadiness(held: Array) -> Array:
    """Half swing of the head as a share of it, from the share of head that gas or vapor leave.

    None where nothing is lost, none where all is lost: a pump that is bound runs quietly.

    Examples
    --------
    >>> [round(float(unsteadiness(np.asarray(h))), 3) for h in (1.0, 0.97, 0.5, 0.0)]
    [0.0, 0.035, 0.3, 0.0]
    """
    return _UNSTEADY * 4.0 * held * (1.0 - held)


def _vibration(circuit: Circuit, duty: Duty, setting: Mapping[str, Array]) -> dict[str, Array]:
    sound = circuit.vibration * np.maximum(duty.speed_ratio, 0.0)
    off = _OFF_BEST * 2.0 * np.abs(duty.pump_flow / circuit.machine.best_flow - 1.0)
    bubbles = _BUBBLES * unsteadiness(duty.held) / _UNSTEADY
    pump = np.sqrt(sound**2 + off**2 + bubbles**2 + setting["vibration_pump"] ** 2)
    axial = np.sqrt((0.4 * pump) ** 2 + setting["vibration_axial"] ** 2)
    driver = np.sqrt((0.7 * sound) ** 2 + (0.3 * pump) ** 2 + setting["vibration_driver"] ** 2)
    values = {}
    for side, share in (("de", 1.0), ("nde", 0.85)):
        values[f"vibration_{side}"] = share * pump
        values[f"vibration_{side}_horizontal"] = share * pump
        values[f"vibration_{side}_vertical"] = 0.8 * share * pump
        values[f"vibration_{side}_axial"] = axial
        values[f"driver_vibration_{side}"] = share * driver
    return values


def _swings(
    circuit: Circuit, duty: Duty, values: Mapping[str, Array], setting: Mapping[str, Array]
) -> dict[str, Swing]:
    """Swing of the readings that gas, vapor or a hunting speed disturb."""
    share = unsteadiness(duty.held)
    hunting = setting["speed_swing"]
    rise = duty.density * GRAVITY * duty.head
    half = {
        "discharge_pressure": (share + 2.0 * hunting) * rise,
        "suction_pressure": 0.1 * (share + hunting) * rise,
        "flow": (share + hunting) * values["flow"],
        "speed": hunting * values["speed"],
    }
    if circuit.motor is not None:
        current = values["motor_current"]
        idle = _current(circuit.motor, np.zeros(()))
        half["motor_current"] = (0.8 * share + 3.0 * hunting) * np.maximum(current - idle, 0.0)
    return {
        point: Swing(low=np.maximum(values[point] - h, 0.0), high=values[point] + h)
        for point, h in half.items()
    }


def _shifted(swing: Swing, before: Array, after: Array) -> Swing:
    return Swing(low=swing.low + after - before, high=swing.high + after - before)


def _instruments(
    circuit: Circuit,
    values: Mapping[str, Array],
    setting: Mapping[str, Array],
    condition: Condition,
) -> dict[str, Array]:
    """What the gauges show of the true values."""
    shown = dict(values)
    causes = condition.severities
    if "gauge-faulty" in causes or "gauge-line-plugged" in causes:
        point = condition.gauge
        true = _known(values, point)
        over = true - circuit.barometric if point in _PRESSURES else true
        low = true - setting["gauge_low"] * over
        in_order = operate(circuit, replace(condition, severities={})).values[point]
        shown[point] = low + setting["gauge_dead"] * (in_order - low)
    for point, offset in condition.offsets.items():
        shown[point] = _known(shown, point) + offset
    for point, reading in condition.stuck.items():
        shown[point] = np.broadcast_to(reading, np.shape(_known(shown, point)))
    return shown


def _known(values: Mapping[str, Array], point: str) -> Array:
    if point not in values:
        raise NotFoundError(f"gauge {point!r} is not on this pump; it has: {', '.join(values)}.")
    return values[point]


def _given(value: Number | None, usual: float) -> Array:
    return np.asarray(usual if value is None else value, dtype=float)
