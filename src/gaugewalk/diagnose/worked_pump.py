"""What is known of the pump for working things out: liquid, curve or rated duty, duty now."""

from dataclasses import dataclass, replace

from gaugewalk.diagnose.case import Case, CaseCurve
from gaugewalk.errors import GaugewalkError
from gaugewalk.physics.curve import (
    PumpCurve,
    best_efficiency_flow,
    curve_of,
    head_at,
    npshr_at,
)
from gaugewalk.physics.liquids import Liquid, density, vapor_pressure
from gaugewalk.plant.liquid import known_liquid
from gaugewalk.plant.pump import PlantLiquid

# A radial pump's head at no flow over its rated head, where only the rated duty is known:
# common practice, no source; its uncertainty is added to what a missing head means.
SHUT_OFF_RISE = 1.2
RATED_UNCERTAINTY = 0.04
_NOMINAL_SPEED = 25.0  # where a curve is given without its speed; only ratios are then used


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkedPump:
    """One pump now: a field is none where it is not known; `notes` say what was left out."""

    liquid: Liquid | None = None
    temperature: float | None = None
    density: float | None = None
    vapor_pressure: float | None = None
    flow: float | None = None
    best_flow: float | None = None
    best_flow_is: str = ""
    head_expected: float | None = None
    head_uncertainty: float = 0.0
    curve_is: str = ""
    npsh_required: float | None = None
    notes: tuple[str, ...] = ()


def worked_pump(case: Case) -> WorkedPump:
    """Return what is known of the pump of this case for working things out."""
    return _with_duty(_with_liquid(WorkedPump(), case), case)


def _with_liquid(pump: WorkedPump, case: Case) -> WorkedPump:
    measured = case.readings.get("liquid_temperature")
    temperature = case.liquid.temperature if measured is None else measured.value
    pump = replace(pump, temperature=temperature)
    if not case.liquid.name:
        return pump
    table = case.pump.liquid.table if case.pump is not None else None
    liquid = PlantLiquid(
        name=case.liquid.name, mass_fraction=case.liquid.mass_fraction, table=table
    )
    try:
        known = known_liquid(liquid)
        if temperature is None:
            return replace(pump, liquid=known)
        return replace(
            pump,
            liquid=known,
            density=float(density(known, temperature)),
            vapor_pressure=float(vapor_pressure(known, temperature)),
        )
    except GaugewalkError as error:
        note = f"Numbers that need the properties of {case.liquid.name!r} are left out: {error}"
        return replace(pump, notes=(*pump.notes, note))


def _with_duty(pump: WorkedPump, case: Case) -> WorkedPump:
    flow = case.readings.get("flow")
    pump = replace(pump, flow=None if flow is None else flow.value)
    if case.curve is not None:
        return _from_curve(pump, case, case.curve)
    return _from_rated(pump, case)


def _from_curve(pump: WorkedPump, case: Case, given: CaseCurve) -> WorkedPump:
    try:
        curve = _at_speed(given, case)
        best = best_efficiency_flow(curve) if curve.power is not None else None
        pump = replace(
            pump,
            best_flow=best or case.rated.get("flow") or float(curve.flow[-1]) * 0.75,
            best_flow_is="the best flow of the curve" if best else "the rated flow",
            curve_is="the curve",
        )
        if pump.flow is None:
            return pump
        return replace(
            pump,
            head_expected=float(head_at(curve, pump.flow, clamp=True)),
            npsh_required=(
                float(npshr_at(curve, pump.flow, clamp=True)) if curve.npshr is not None else None
            ),
        )
    except GaugewalkError as error:
        note = f"The curve could not be used: {error}"
        return _from_rated(replace(pump, notes=(*pump.notes, note)), case)


def _at_speed(given: CaseCurve, case: Case) -> PumpCurve:
    speed = given.speed or _NOMINAL_SPEED
    curve = curve_of(
        speed=speed,
        flow=given.flow,
        head=given.head,
        power=given.power,
        efficiency=given.efficiency,
        npshr=given.npshr,
        density=given.density,
    )
    now = case.readings.get("speed")
    if now is None or given.speed is None or now.value <= 0:
        return curve
    return curve.at_speed(now.value)


def _from_rated(pump: WorkedPump, case: Case) -> WorkedPump:
    flow, head = case.rated.get("flow"), case.rated.get("head")
    required = case.rated.get("npshr")
    if flow is None or flow <= 0:
        return replace(pump, npsh_required=required)
    share = None if pump.flow is None else pump.flow / flow
    if required is not None and share is not None:
        # Between the square of the flow and a constant; the steeper is the cautious side.
        required *= max(share, 1.0) ** 2
    expected = None
    if head is not None and share is not None and share < 1.6:
        expected = head * (SHUT_OFF_RISE - (SHUT_OFF_RISE - 1.0) * share**2)
    return replace(
        pump,
        best_flow=flow,
        best_flow_is="the rated flow",
        head_expected=expected,
        head_uncertainty=RATED_UNCERTAINTY,
        curve_is="a usual curve through the rated duty",
        npsh_required=required,
    )
