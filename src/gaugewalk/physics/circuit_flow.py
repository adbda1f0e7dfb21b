"""Where pump and system meet: the flow at which the head given equals the head asked for.

All of it in arrays of one shape, one entry a condition; the search for the flow runs over the whole
array at once.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from gaugewalk.physics.circuit_parts import Array, Circuit, Condition, Machine, Number, Screen
from gaugewalk.physics.constants import GRAVITY
from gaugewalk.physics.viscous import LIMIT as VISCOUS_LIMIT
from gaugewalk.physics.viscous import ViscousFactors, viscous_factors, viscous_parameter

_STEPS = 40  # of the search; it ends sooner when all flows stand still
_CLEAN_VALVE = 0.02  # head lost in an open valve at duty, share of the duty head; judgement
_GAS_HALF = 0.055  # gas share at which half of the head is left; common practice: 0.5 % fine, 6 %
_GAS_STEEPNESS = 3.0  # disastrous
_REVERSED_HEAD, _REVERSED_FLOW = 0.55, 0.7  # shut-off head and flow the wrong way round, memory


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Duty:
    """The balance found: flows [m3/s], heads [m], pressures [Pa absolute at the datum]."""

    pump_flow: Array  # through the nozzles
    system_flow: Array  # past the branches back to the source
    inner_flow: Array  # through the impeller, reduced to the curve's speed and channels
    head: Array
    npsh_available: Array
    npsh_required: Array
    held: Array  # share of the head that gas and vapor leave
    suction_pressure: Array  # static, at the flange
    suction_strainer_dp: Array
    discharge_strainer_dp: Array
    density: Array  # of liquid and gas together
    temperature: Array
    source_level: Array
    source_pressure: Array
    speed_ratio: Array
    viscous: ViscousFactors
    header_pressure: Array  # behind the check valve when no flow passes


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _State:
    """Everything about one solve that does not depend on the flow."""

    circuit: Circuit
    setting: Mapping[str, Array]
    demand: Number
    speed: Array
    temperature: Array
    liquid_density: Array
    density: Array  # of liquid and gas together, from the impeller on
    vapor_pressure: Array
    surface: Array
    level: Array
    thickness: Array  # viscosity over the usual one
    viscous: ViscousFactors
    duty_head: float
    shut_off: float


def balance(circuit: Circuit, condition: Condition, setting: Mapping[str, Array]) -> Duty:
    """Find the duty of the pump under a condition.

    Parameters
    ----------
    circuit : Circuit
    condition : Condition
        Its overrides are read here; its severities have become ``setting`` already.
    setting : mapping of setting to array
        From `circuit_effects.settings`.

    Returns
    -------
    Duty
        Arrays of the common shape of all that was given.

    Notes
    -----
    Head lost in lines and strainers grows with the flow squared. Gas takes head away smoothly
    until the pump is bound; NPSH below the required one takes head away so that exactly 3 % is
    lost where the two are equal, which is the definition of the required NPSH (ISO 17769-1). A
    pump that cannot lift a check valve has no flow. Flow backward is not modelled.

    References
    ----------
    .. [1] Viscosity: ANSI/HI 9.6.7, see `viscous`.
    .. [2] Search for the flow: Ridders, IEEE Trans. Circuits Syst. CAS-26 (1979) 979.
    """
    state = _prepare(circuit, condition, setting)
    shape = np.broadcast_shapes(*(np.shape(v) for v in _shaping(state)))
    top = np.full(shape, 1.5 * circuit.machine.flow[-1])

    def surplus(flow: Array) -> Array:
        given = _pump_head(state, flow)[0]
        return given - _asked_head(state, flow, given)

    return _found(state, _root(surplus, np.zeros(shape), top))


def _shaping(state: _State) -> list[Number]:
    return [*state.setting.values(), state.demand, state.speed, state.surface, state.level]


def _prepare(circuit: Circuit, condition: Condition, setting: Mapping[str, Array]) -> _State:
    suction, liquid, machine = circuit.suction, circuit.liquid, circuit.machine
    usual = circuit.liquid_temperature
    source_temperature = _given(condition.liquid_temperature, usual)
    surface = _surface_pressure(circuit, condition, source_temperature)
    density_usual = float(liquid.density_at(usual))
    npsh_usual = _npsh_in_order(circuit, density_usual)
    surface = surface - setting["source_pressure_loss"] * npsh_usual * density_usual * GRAVITY
    level = _given(condition.source_level, suction.level)
    level = level - setting["level_drop"] * (suction.level - suction.lowest_level)
    eye = suction.surface_pressure + density_usual * GRAVITY * (suction.level - suction.line_loss)
    boiling = liquid.boiling_at(eye)
    temperature = source_temperature + setting["heating"] * np.maximum(boiling - usual, 0.0)
    gas = np.clip(setting["gas_share"], 0.0, 0.9)
    liquid_density = liquid.density_at(temperature) * setting["density"]
    viscosity = liquid.viscosity_at(temperature) * setting["viscosity"]
    return _State(
        circuit=circuit,
        setting=setting,
        demand=condition.demand,
        speed=setting["speed"] * condition.speed_ratio,
        temperature=temperature,
        liquid_density=liquid_density,
        density=liquid_density * (1.0 - gas),
        vapor_pressure=liquid.vapor_pressure_at(temperature),
        surface=surface,
        level=level,
        thickness=viscosity / float(liquid.viscosity_at(usual)),
        viscous=thickened(machine, viscosity),
        duty_head=duty_head(circuit),
        shut_off=float(machine.head[0]),
    )


def duty_head(circuit: Circuit) -> float:
    """Head [m] of the sound pump at its duty flow, with the liquid as thick as it usually is."""
    machine = circuit.machine
    viscosity = circuit.liquid.viscosity_at(circuit.liquid_temperature)
    viscous = thickened(machine, viscosity)
    water_flow = circuit.duty_flow / viscous.flow
    return float(beyond(water_flow, machine.flow, machine.head) * viscous.head)


def _given(value: Number | None, usual: float) -> Array:
    return np.asarray(usual if value is None else value, dtype=float)


def _surface_pressure(circuit: Circuit, condition: Condition, temperature: Array) -> Array:
    suction = circuit.suction
    if condition.source_pressure is not None:
        return np.asarray(condition.source_pressure, dtype=float)
    if not suction.boiling:
        return np.asarray(suction.surface_pressure)
    # A boiling surface follows the temperature of its liquid.
    usual = circuit.liquid.vapor_pressure_at(circuit.liquid_temperature)
    return suction.surface_pressure + circuit.liquid.vapor_pressure_at(temperature) - usual


def _npsh_in_order(circuit: Circuit, density: float) -> float:
    suction = circuit.suction
    vapor = float(circuit.liquid.vapor_pressure_at(circuit.liquid_temperature))
    surface = (suction.surface_pressure - vapor) / (density * GRAVITY)
    return max(surface + suction.level - suction.line_loss, 0.0)


def thickened(machine: Machine, viscosity: Array) -> ViscousFactors:
    """Return the factors of a viscosity [m2/s] at the pump's best flow; 1 for water.

    Beyond the end of the method (see `viscous`) its last value stands: the pump is as good as
    stopped there.
    """
    best_head = float(np.interp(machine.best_flow, machine.flow, machine.head))
    parameter = viscous_parameter(viscosity, machine.best_flow, best_head, machine.speed)
    return viscous_factors(np.minimum(parameter, 0.999 * VISCOUS_LIMIT))


def _strainer_drop(screen: Screen | None, flow: Array, opening: Array) -> Array:
    """Pressure lost [Pa]; a screen closed to a share s of its area drops 1/s2 as much."""
    if screen is None:
        return np.zeros_like(flow)
    return screen.clean_dp * (flow / screen.clean_flow) ** 2 / opening**2


def _suction_loss(state: _State, flow: Array) -> tuple[Array, Array]:
    """Head lost before the pump without the strainer [m], and the strainer's drop [Pa]."""
    circuit, setting = state.circuit, state.setting
    share = (flow / circuit.duty_flow) ** 2
    valve = (0.1 * circuit.suction.line_loss + 0.02) * (setting["suction_valve_open"] ** -2.0 - 1.0)
    # Friction of a thicker liquid in a smooth turbulent pipe: Blasius, power 0.25.
    line = circuit.suction.line_loss * np.maximum(state.thickness, 0.1) ** 0.25
    drop = _strainer_drop(circuit.suction.strainer, flow, setting["suction_strainer_open"])
    return (line + valve) * share, drop


def _suction_head(state: _State, flow: Array) -> tuple[Array, Array]:
    """Absolute total head at the suction flange over the datum [m], and the strainer's drop."""
    loss, drop = _suction_loss(state, flow)
    pressure = (state.surface - drop) / (state.liquid_density * GRAVITY)
    return pressure + state.level - loss, drop


def _inner_flow(state: _State, flow: Array) -> Array:
    machine, setting = state.circuit.machine, state.setting
    backward = setting["reversed"]
    width = setting["impeller_open"] * (1.0 + backward * (_REVERSED_FLOW - 1.0))
    scale = state.speed * width * state.viscous.flow
    first = np.interp(flow / scale, machine.flow, machine.head)
    leak = setting["ring_leak"] * machine.best_flow * np.sqrt(first / state.duty_head)
    return (flow + leak) / scale


def _pump_head(state: _State, flow: Array) -> tuple[Array, Array, Array, Array]:
    """Head given [m], share held against gas and vapor, NPSH available and required [m]."""
    machine, setting = state.circuit.machine, state.setting
    inner = _inner_flow(state, flow)
    clean = beyond(inner, machine.flow, machine.head) * state.speed**2 * state.viscous.head
    clean = clean * setting["impeller_head"] * (1.0 + setting["reversed"] * (_REVERSED_HEAD - 1.0))
    total, _ = _suction_head(state, flow)
    available = total - state.vapor_pressure / (state.liquid_density * GRAVITY)
    required = beyond(inner, machine.flow, machine.npshr) * state.speed**2
    held = npsh_share(available, required) * gas_share_held(setting["gas_share"])
    return np.maximum(clean, 0.0) * held, held, available, required


def npsh_share(available: Array, required: Array) -> Array:
    """Share of the head that is left at an NPSH available, given the required (3 %) one.

    Examples
    --------
    >>> [round(float(npsh_share(np.asarray(a), np.asarray(2.0))), 3) for a in (0.0, 1.0, 2.0, 4.0)]
    [0.0, 0.584, 0.97, 1.0]
    """
    ratio = np.maximum(available, 0.0) / np.maximum(required, 1e-6)
    return 1.0 - 0.03 ** np.minimum(ratio, 10.0) ** 2


def gas_share_held(gas_share: Array) -> Array:
    """Share of the head that is left with a gas share of the volume at the suction.

    Examples
    --------
    >>> [round(float(gas_share_held(np.asarray(g))), 2) for g in (0.0, 0.01, 0.055, 0.12)]
    [1.0, 0.99, 0.5, 0.09]
    """
    return 1.0 / (1.0 + (np.maximum(gas_share, 0.0) / _GAS_HALF) ** _GAS_STEEPNESS)


def beyond(flow: Array, grid: Array, row: Array) -> Array:
    """Interpolate on a rising grid; past the last point go on along the last slope."""
    inside = np.asarray(np.interp(flow, grid, row))
    slope = float((row[-1] - row[-2]) / (grid[-1] - grid[-2]))
    past: Array = np.maximum(flow - grid[-1], 0.0)
    return inside + slope * past


def _asked_head(state: _State, flow: Array, given: Array) -> Array:
    """Head [m] that source, lines and destination ask for at a flow through the pump."""
    circuit, setting = state.circuit, state.setting
    through = _system_flow(state, flow, given)
    suction, _ = _suction_head(state, flow)
    share = (through / circuit.duty_flow) ** 2
    valve = _CLEAN_VALVE * state.duty_head * (setting["discharge_open"] ** -2.0 - 1.0)
    loss = _discharge_loss(state) * setting["resistance"] * state.demand
    screen = circuit.discharge.strainer
    drop = _strainer_drop(screen, through, setting["discharge_strainer_open"])
    spare = drop / (state.density * GRAVITY)
    return _destination(state) - suction + (loss + valve) * share + spare


def _destination(state: _State) -> Array:
    """Absolute total head that stands behind the check valve at no flow [m]."""
    circuit = state.circuit
    weight = state.liquid_density * GRAVITY
    source = circuit.suction.surface_pressure / weight + circuit.suction.level
    back = state.setting["back_pressure"] * (state.shut_off - circuit.discharge.static_head)
    return source + circuit.discharge.static_head + back


def _discharge_loss(state: _State) -> float:
    """Head lost behind the pump at duty [m]: what the curve leaves after everything else."""
    circuit = state.circuit
    density = float(circuit.liquid.density_at(circuit.liquid_temperature))
    loss = state.duty_head - circuit.discharge.static_head - circuit.suction.line_loss
    for screen in (circuit.suction.strainer, circuit.discharge.strainer):
        if screen is not None:
            drop = screen.clean_dp * (circuit.duty_flow / screen.clean_flow) ** 2
            loss -= drop / (density * GRAVITY)
    return max(loss, 0.02 * state.duty_head)


def _system_flow(state: _State, flow: Array, head: Array) -> Array:
    """Flow past the branches that lead back to the source [m3/s]; these follow the head's root."""
    share = state.setting["bypass"] * np.sqrt(np.maximum(head, 0.0) / state.duty_head)
    return np.maximum(flow - share * state.circuit.duty_flow, 0.0)


def _root(function: Callable[[Array], Array], low: Array, high: Array) -> Array:
    """Where a function that is above zero at low and below at high is zero (Ridders 1979).

    Where it is below zero at low already, low is the answer; where it never falls below, high.
    """
    at_low, at_high = function(low), function(high)
    stuck_low, stuck_high = at_low <= 0.0, at_high >= 0.0
    close = 1e-9 * np.maximum(high, 1e-12)
    a, b, fa, fb = low, high, np.maximum(at_low, 1e-300), np.minimum(at_high, -1e-300)
    for _ in range(_STEPS):
        middle = (a + b) / 2
        fm = function(middle)
        root = np.sqrt(fm**2 - fa * fb)
        guess = middle + (middle - a) * fm / np.where(root > 0, root, 1.0)
        fg = function(guess)
        first, fl = np.minimum(middle, guess), np.where(middle < guess, fm, fg)
        last, fr = np.maximum(middle, guess), np.where(middle < guess, fg, fm)
        # Four places in order; keep the innermost pair that encloses the change of sign.
        a, fa, b, fb = _narrow((a, first, last, b), (fa, fl, fr, fb))
        if np.all((b - a <= close) | (np.abs(fg) < 1e-9) | stuck_low | stuck_high):
            break
    found = np.where(np.abs(fg) < 1e-9, guess, (a + b) / 2)
    return np.where(stuck_low, low, np.where(stuck_high, high, found))


def _narrow(
    places: tuple[Array, Array, Array, Array], values: tuple[Array, Array, Array, Array]
) -> tuple[Array, Array, Array, Array]:
    """Return the part of three between four places in which the value turns negative."""
    a, first, last, b = places
    fa, fl, fr, fb = values
    early, late = fl < 0.0, fr >= 0.0
    left = np.where(early, a, np.where(late, last, first))
    right = np.where(early, first, np.where(late, b, last))
    at_left = np.where(early, fa, np.where(late, fr, fl))
    at_right = np.where(early, fl, np.where(late, fb, fr))
    return left, at_left, right, at_right


def _found(state: _State, flow: Array) -> Duty:
    circuit, setting = state.circuit, state.setting
    head, held, available, required = _pump_head(state, flow)
    total, suction_drop = _suction_head(state, flow)
    through = _system_flow(state, flow, head)
    weight = state.liquid_density * GRAVITY
    velocity = _velocity_head(flow, circuit.suction.diameter)
    return Duty(
        pump_flow=flow,
        system_flow=through,
        inner_flow=_inner_flow(state, flow),
        head=head,
        npsh_available=available,
        npsh_required=required,
        held=held,
        suction_pressure=np.maximum((total - velocity) * weight, 0.0),
        suction_strainer_dp=suction_drop,
        discharge_strainer_dp=_strainer_drop(
            circuit.discharge.strainer, through, setting["discharge_strainer_open"]
        ),
        density=state.density,
        temperature=state.temperature,
        source_level=state.level,
        source_pressure=state.surface,
        speed_ratio=state.speed,
        viscous=state.viscous,
        header_pressure=_destination(state) * weight,
    )


def _velocity_head(flow: Array, diameter: float | None) -> Array:
    if diameter is None:
        return np.zeros_like(flow)
    return (flow / (np.pi * diameter**2 / 4)) ** 2 / (2 * GRAVITY)
