"""What all gauges say together: flow, head, power, wear, gas, and which gauge may lie.

Weighted least squares over whichever of suction and discharge pressure, flow, current or power,
speed and source level were read, against the pump's curve and the motor's plate. What the readings
cannot tell is said to be unobservable, never guessed.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from gaugewalk.judge.display import display_unit
from gaugewalk.judge.gauges import Array, Machine, machine_of
from gaugewalk.judge.reconcile import Measured, Solution, propagated, solve
from gaugewalk.physics.constants import GRAVITY
from gaugewalk.plant.points import point_kind
from gaugewalk.plant.pump import Pump
from gaugewalk.units import show

AGREE = 0.05  # chance below which the readings do not agree

# Curves are printed with tolerances: ISO 9906 grade 2 allows 5 % of head and 8 % of power (from
# memory, unverified); taken as the ends of an even spread that belongs to one pump: half of it.
_HEAD_SHARE = 0.05 / np.sqrt(3.0) / 2.0
_POWER_SHARE = 0.08 / np.sqrt(3.0) / 2.0
_GAUGE_CLASS = 0.016  # of the range, where no accuracy is given: class 1.6 of EN 837-1
_METER_SHARE = 0.02  # of the reading, for flow, current and power without accuracy
_LEVEL = 0.1  # m
_SPEED = {True: 0.3, False: 0.01}  # share, variable or fixed speed, where no speed was read
_WIDE = np.array([3.0, 300.0, 1.0, 1e-3, 1e-3])  # scaled; the last two are shut unless set free

_WEAR, _GAS = 3, 4  # places of the two among the unknowns

Cause = Literal["gauge", "wear", "gas"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimated:
    """One quantity with its standard uncertainty, [SI]; pressures absolute."""

    value: float
    uncertainty: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Explanation:
    """One thing that, if so, would make all readings agree.

    `chance` is that of the remaining disagreement; `checked` is false where nothing redundant is
    left to check it with.
    """

    kind: Cause
    point: str | None
    size: Estimated
    chance: float
    checked: bool
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """What the readings say together; `unobservable` says why a quantity is missing."""

    values: Mapping[str, Estimated]
    unobservable: Mapping[str, str]
    chi_square: float
    degrees: int
    chance: float
    explanations: tuple[Explanation, ...]
    sentence: str

    @property
    def agree(self) -> bool | None:
        """Whether the readings agree; none where nothing is redundant."""
        return self.chance >= AGREE if self.degrees else None


def estimate(pump: Pump, readings: Mapping[str, float], barometric: float) -> Estimate:
    """Estimate what no single gauge shows, from all that were read.

    Parameters
    ----------
    pump
        With its curve, liquid and, for power, its motor's plate.
    readings
        Present readings of the running pump by point, SI, pressures absolute.
    barometric
        Pressure of the air. [Pa]

    Returns
    -------
    Estimate
        Quantities `flow` [m3/s], `head` [m], `power` [W], `efficiency` [-], `npsh_margin` [m],
        `wear` (share of head lost) [-], `gas_share` [-].

    Notes
    -----
    A flow outside the curve is taken from its last slope. Wear and gas both take head; only a power
    reading tells them apart.
    """
    machine = machine_of(pump, readings, barometric)
    if isinstance(machine, str):
        return _nothing(machine)
    measured = _measured(machine, readings)
    if len([m for m in measured if m.point != "speed"]) < 2:
        return _nothing("fewer than two of pressures, flow, current, power and level were read")
    sound = _widened(_fit(machine, measured))
    values, missing = _values(machine, sound)
    faults = {column: _faulty(machine, measured, column, sound) for column in (_WEAR, _GAS)}
    for column, (_, size) in faults.items():
        _add_fault(measured, size, column, values, missing)
    explanations = _explanations(machine, measured, sound, faults, barometric)
    return Estimate(
        values=values,
        unobservable=missing,
        chi_square=sound.chi_square,
        degrees=sound.degrees,
        chance=sound.chance,
        explanations=explanations,
        sentence=_sentence(sound, explanations, values, pump),
    )


def _measured(machine: Machine, readings: Mapping[str, float]) -> list[Measured]:
    """Return the usable readings with their uncertainties; a usual speed where none was read."""
    usable = ["suction_pressure", "discharge_pressure", "flow"]
    if machine.efficiency_at_rated is not None and machine.curve.power is not None:
        usable.append("motor_power" if "motor_power" in readings else "motor_current")
    if machine.surface_pressure is not None and machine.pump.source.line_loss is not None:
        usable.append("source_level")
    found = [
        Measured(point=p, value=readings[p], uncertainty=_uncertainty(machine, p, readings[p]))
        for p in usable
        if p in readings and np.isfinite(readings[p])
    ]
    unsure = 0.002 if "speed" in readings else _SPEED[machine.pump.driver.variable_speed]
    speed = Measured(point="speed", value=machine.speed, uncertainty=unsure * machine.speed)
    return [*found, speed]


def _uncertainty(machine: Machine, point: str, value: float) -> float:
    """Return a reading's standard uncertainty, the curve's or the motor's share included, [SI]."""
    entry = machine.pump.point(point)
    if entry and entry.accuracy:
        gauge = entry.accuracy / np.sqrt(3.0)
    elif entry and entry.range_low is not None and entry.range_high is not None:
        gauge = _GAUGE_CLASS * (entry.range_high - entry.range_low) / np.sqrt(3.0)
    else:
        gauge = _METER_SHARE * abs(value)
    model = {
        "discharge_pressure": _HEAD_SHARE * machine.density * GRAVITY * machine.curve.head[0],
        "motor_current": _POWER_SHARE * abs(value),
        "motor_power": _POWER_SHARE * abs(value),
        "source_level": _LEVEL,
    }.get(point, 0.0)
    return float(np.hypot(gauge, model))


def _fit(
    machine: Machine,
    measured: Sequence[Measured],
    *,
    free: int | None = None,
    near: Solution | None = None,
) -> Solution:
    """Fit the sound pump, or one with wear (3) or gas (4) set free, from the best start of a few.

    Flow, suction and speed count as unknowns; the speed always has a row of its own. Gas starts at
    half its scale: a trace of it changes nothing, so that from none there would be no way to go.
    """
    spread = _WIDE.copy()
    if free is not None:
        spread[free] = 5.0
    gas = 0.5 if free == _GAS else 0.0
    shown = {m.point: m.value for m in measured}
    suction = shown.get("suction_pressure", machine.surface_pressure or 1e5) / 1e5
    shares = (0.2, 0.5, 0.8) if near is None else (float(near.unknowns[0]),)
    fits = [
        solve(
            machine.shown,
            measured,
            np.array([share, suction, 1.0, 0.0, gas]),
            spread,
            free=3 + (free is not None),
        )
        for share in shares
    ]
    return min(fits, key=lambda fit: fit.chi_square)


def _widened(fit: Solution) -> Solution:
    """Widen the uncertainties by Birge's ratio where the readings do not agree."""
    if fit.degrees == 0 or fit.chance >= AGREE:
        return fit
    return replace(fit, covariance=fit.covariance * fit.chi_square / fit.degrees)


def _values(machine: Machine, fit: Solution) -> tuple[dict[str, Estimated], dict[str, str]]:
    values, missing = {}, {}
    flow, unsure = propagated(machine.flow, fit)
    if unsure > 0.25 * float(machine.curve.flow[-1]):
        why = "needs both pressures on a curve that is not flat here, or a flow or power reading"
        return {}, dict.fromkeys(("flow", "head", "power", "efficiency", "npsh_margin"), why)
    values["flow"] = Estimated(value=flow, uncertainty=unsure)
    no_power = "the curve has no power row"
    functions: dict[str, tuple[Callable[[Array], float], float, str]] = {
        "head": (machine.head, 0.0, ""),
        "power": (machine.power, _POWER_SHARE, no_power),
        "efficiency": (machine.efficiency, float(np.hypot(_POWER_SHARE, _HEAD_SHARE)), no_power),
        "npsh_margin": (machine.npsh_margin, 0.0, "the curve has no NPSH required row"),
    }
    for name, (function, share, why) in functions.items():
        value, unsure = propagated(function, fit)
        unsure = float(np.hypot(unsure, share * value))
        if not np.isfinite(value):
            missing[name] = why
        elif name == "npsh_margin" and fit.covariance[1, 1] > 1.0:
            missing[name] = "needs the suction pressure or the level of the source"
        else:
            values[name] = Estimated(value=value, uncertainty=unsure)
    return values, missing


def _faulty(
    machine: Machine, measured: Sequence[Measured], column: int, sound: Solution
) -> tuple[Solution, Estimated]:
    """Return the pump with wear or gas set free, and how much of it."""
    fit = _fit(machine, measured, free=column, near=sound)
    return fit, _fault_size(machine, fit, column)


def _add_fault(
    measured: Sequence[Measured],
    size: Estimated,
    column: int,
    values: dict[str, Estimated],
    missing: dict[str, str],
) -> None:
    """Add wear or gas share where the readings can tell it to a tenth of the head or better."""
    name, limit = {_WEAR: ("wear", 0.10), _GAS: ("gas_share", 0.03)}[column]
    if not values or size.uncertainty > limit:
        missing[name] = _why_not_known({m.point for m in measured}, 2.0 * size.uncertainty)
    else:
        values[name] = size


def _why_not_known(read: set[str], reach: float) -> str:
    """Say what is missing, or that these gauges are too coarse, for a share of head or gas."""
    both = {"suction_pressure", "discharge_pressure"} <= read
    if both and read & {"flow", "motor_current", "motor_power"} and np.isfinite(reach):
        return f"these gauges tell it only to {min(reach, 1.0):.0%} either way"
    return "needs a flow or power reading beside both pressures"


def _fault_size(machine: Machine, fit: Solution, column: int) -> Estimated:
    """Return the head lost by wear as a share, or the gas share."""

    def lost(x: Array) -> float:
        sound = x.copy()
        sound[_WEAR] = 0.0
        return 1.0 - machine.head(x) / max(machine.head(sound), 1e-6)

    def gas(x: Array) -> float:
        return float(0.05 * x[4])

    value, unsure = propagated(lost if column == _WEAR else gas, fit)
    return Estimated(value=value, uncertainty=unsure)


def _explanations(
    machine: Machine,
    measured: Sequence[Measured],
    sound: Solution,
    faults: Mapping[int, tuple[Solution, Estimated]],
    barometric: float,
) -> tuple[Explanation, ...]:
    """Return what alone would make the readings agree, the best first; none where they do."""
    if sound.degrees == 0 or sound.chance >= AGREE:
        return ()
    found = [
        _gauge(machine, measured, m, sound, barometric) for m in measured if m.point != "speed"
    ]
    found += [_fault("wear", *faults[_WEAR]), _fault("gas", *faults[_GAS])]
    fitting = [e for e in found if e is not None and e.chance >= AGREE]
    return tuple(sorted(fitting, key=lambda e: (not e.checked, -e.chance)))


def _gauge(
    machine: Machine,
    measured: Sequence[Measured],
    suspect: Measured,
    sound: Solution,
    barometric: float,
) -> Explanation | None:
    rest = [m for m in measured if m is not suspect]
    if len([m for m in rest if m.point != "speed"]) < 2:
        return None
    fit = _fit(machine, rest, near=sound)
    shown, unsure = propagated(lambda x: machine.shown(x)[suspect.point], fit)
    if shown < 0.0 and suspect.point != "source_level":
        return None  # the gauge would have to hide what cannot be
    offset = Estimated(
        value=suspect.value - shown, uncertainty=float(np.hypot(unsure, suspect.uncertainty))
    )
    unit = display_unit(machine.pump, suspect.point)
    label = point_kind(suspect.point).label.lower()
    reads = show(suspect.value, unit, barometric=barometric)
    should = show(shown, unit, barometric=barometric)
    return Explanation(
        kind="gauge",
        point=suspect.point,
        size=offset,
        chance=fit.chance,
        checked=fit.degrees > 0,
        sentence=f"The gauge for {label} reads {reads}; all others together ask for {should}.",
    )


def _fault(kind: Cause, fit: Solution, size: Estimated) -> Explanation | None:
    if size.value <= 0.0 or not np.isfinite(size.uncertainty):
        return None
    spread = 100.0 * size.uncertainty
    words = (
        f"Wear that costs {100 * size.value:.0f} % of the head (± {spread:.0f} %) would explain it."
        if kind == "wear"
        else f"Gas of {100 * size.value:.1f} % of the volume (± {spread:.1f} %) would explain it."
    )
    return Explanation(
        kind=kind,
        point=None,
        size=size,
        chance=fit.chance,
        checked=fit.degrees > 0,
        sentence=words,
    )


def _sentence(
    fit: Solution,
    explanations: Sequence[Explanation],
    values: Mapping[str, Estimated],
    pump: Pump,
) -> str:
    test = f"chi-square {fit.chi_square:.1f} with {fit.degrees} redundant"
    flow = ""
    if "flow" in values:
        unit = display_unit(pump, "flow")
        most = show(2.0 * values["flow"].uncertainty, unit, digits=2)
        flow = f"Flow {show(values['flow'].value, unit)} ± {most}. "
    if fit.degrees == 0:
        return f"{flow}The readings just suffice: none is redundant, so none is checked."
    if fit.chance >= AGREE:
        return f"{flow}The readings agree with each other and the curve ({test})."
    first = (
        explanations[0].sentence if explanations else "No single gauge, wear or gas explains it."
    )
    return f"The readings do not agree ({test}). {first}"


def _nothing(why: str) -> Estimate:
    names = ("flow", "head", "power", "efficiency", "npsh_margin", "wear", "gas_share")
    return Estimate(
        values={},
        unobservable=dict.fromkeys(names, why),
        chi_square=0.0,
        degrees=0,
        chance=1.0,
        explanations=(),
        sentence=f"No estimate: {why}.",
    )
