"""What can be worked out from the readings: numbers with formula and source, and what they say.

A number that needs something unknown is left out, and the answer says so; nothing is assumed in
silence.
"""

from collections.abc import Callable
from dataclasses import dataclass

from gaugewalk.diagnose.case import Case
from gaugewalk.diagnose.evidence import Piece, soft
from gaugewalk.diagnose.reading_rules import logistic
from gaugewalk.diagnose.worked_pump import WorkedPump, worked_pump

# Judgement, no source. Half the best flow and less is far below, a fifth above is far above.
FAR_BELOW, FAR_BELOW_SPREAD = 0.5, 0.06
FAR_ABOVE, FAR_ABOVE_SPREAD = 1.2, 0.05
# NPSH margin [m] under which boiling at the inlet is as likely as not; bubbles begin well above.
MARGIN, MARGIN_SPREAD = 0.8, 1.3
# Head missing against the curve, as a share of it.
HEAD_SHORT, HEAD_SHORT_SPREAD = 0.08, 0.025
# Where the suction gauge was not read, so much head either way is open. [m]
SUCTION_UNREAD = 5.0
CASING_HOTTER, CASING_HOTTER_SPREAD = 12.0, 3.0  # [K]
RISE_LARGE, RISE_LARGE_SPREAD = 10.0, 1.5  # of the cooling water [K]
RISE_SMALL, RISE_SMALL_SPREAD = 2.6, 0.5  # [K]
# How much further a bearing of the driver must be from its usual than one of the pump [K], and how
# much more it must shake.
END_HOTTER, END_HOTTER_SPREAD = 8.0, 2.5
END_SHAKES, END_SHAKES_SPREAD = 1.3, 0.12
SHAKES_AT_ALL = 2.5e-3  # [m/s] below which it does not matter who shakes more
OTHER_END_UNREAD = 0.8  # trust where only the driver's end was read: the other may be as bad
# Readings that move together: where one is off by so much of its usual value while so many others
# stand as usual, it is the gauge. A current that is off alone is not: friction takes current.
MOVES_TOGETHER = ("suction_pressure", "discharge_pressure", "flow", "motor_current", "motor_power")
GAUGES = frozenset(MOVES_TOGETHER[:3])
OFF, OFF_SPREAD, AS_USUAL, OTHERS = 0.30, 0.04, 0.04, 2
_BAR = 1e5


@dataclass(frozen=True, slots=True, kw_only=True)
class Number:
    """One worked-out number, in the unit shown."""

    quantity: str
    value: float
    unit: str
    formula: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkedOut:
    """Numbers, the evidence they make, and what had to be left out."""

    numbers: tuple[Number, ...] = ()
    pieces: tuple[Piece, ...] = ()
    notes: tuple[str, ...] = ()


def work_out(case: Case) -> WorkedOut:
    """Return what can be worked out from this case, and what could not and why."""
    pump = worked_pump(case)
    parts = [part(case, pump) for part in _PARTS]
    pieces: dict[str, Piece] = {}
    for part in parts:
        for piece in part.pieces:
            pieces.setdefault(piece.finding, piece)
    return WorkedOut(
        numbers=tuple(number for part in parts for number in part.numbers),
        pieces=tuple(pieces.values()),
        notes=tuple(dict.fromkeys(pump.notes + tuple(n for part in parts for n in part.notes))),
    )


def _flow_share(case: Case, pump: WorkedPump) -> WorkedOut:
    flow = case.readings.get("flow")
    if flow is None or pump.best_flow is None:
        return WorkedOut()
    share = flow.value / pump.best_flow
    text = f"flow at {100.0 * share:.0f} % of the best flow"
    below = logistic((FAR_BELOW - share) / FAR_BELOW_SPREAD)
    above = logistic((share - FAR_ABOVE) / FAR_ABOVE_SPREAD)
    return WorkedOut(
        numbers=(
            Number(
                quantity=f"flow over {pump.best_flow_is}",
                value=100.0 * share,
                unit="%",
                formula="Q / Q_best",
                source="definition",
            ),
        ),
        pieces=(
            soft("flow-far-below-best", below, text, "worked out", detail=text),
            soft("flow-far-above-best", above, text, "worked out", detail=text),
        ),
    )


def _npsh(case: Case, pump: WorkedPump) -> WorkedOut:
    suction = case.readings.get("suction_pressure")
    if suction is None or pump.density is None or pump.vapor_pressure is None:
        return WorkedOut()
    from gaugewalk.physics.npsh import npsh_from_gauge

    lowest = suction.value if suction.low is None else suction.low
    available = float(
        npsh_from_gauge(
            max(lowest, 0.0),
            pump.vapor_pressure,
            pump.density,
            gauge_elevation=_elevation(case, "suction_pressure"),
            flow=pump.flow or 0.0,
            diameter=case.suction_diameter,
        )
    )
    over = (max(lowest, 0.0) - pump.vapor_pressure) / _BAR
    numbers = [
        Number(
            quantity="NPSH available at the suction gauge",
            value=available,
            unit="m",
            formula="(p_suction - p_vapor) / (density g) + U^2 / 2g + z_gauge",
            source="ISO 9906:2012, definition of the NPSH",
        ),
        Number(
            quantity="suction pressure over vapor pressure",
            value=over,
            unit="bar",
            formula="p_suction - p_vapor",
            source="definition",
        ),
    ]
    if pump.npsh_required is None:
        return WorkedOut(numbers=tuple(numbers))
    margin = available - pump.npsh_required
    numbers.append(
        Number(
            quantity="NPSH margin",
            value=margin,
            unit="m",
            formula="NPSH available - NPSH required",
            source="ANSI/HI 9.6.1, in words; the wanted margin is the site's",
        )
    )
    text = f"NPSH margin {margin:.1f} m (available {available:.1f} m)"
    small = logistic((MARGIN - margin) / MARGIN_SPREAD)
    return WorkedOut(
        numbers=tuple(numbers),
        pieces=(soft("npsh-margin-small", small, text, "worked out", detail=text),),
    )


def _head(case: Case, pump: WorkedPump) -> WorkedOut:
    """Compare the head between the gauges with the curve at this flow."""
    discharge = case.readings.get("discharge_pressure")
    if discharge is None or pump.density is None:
        return WorkedOut()
    from gaugewalk.physics.head import differential_head

    suction = case.readings.get("suction_pressure")
    assumed = suction is None
    if assumed and case.facts.get("suction") == "vessel":
        return WorkedOut()
    head = float(
        differential_head(
            case.barometric if suction is None else suction.value,
            discharge.value,
            pump.density,
            suction_elevation=_elevation(case, "suction_pressure"),
            discharge_elevation=_elevation(case, "discharge_pressure"),
            flow=pump.flow or 0.0,
            suction_diameter=case.suction_diameter,
            discharge_diameter=case.discharge_diameter,
        )
    )
    numbers: tuple[Number, ...] = ()
    if not assumed:
        numbers = (
            Number(
                quantity="differential head",
                value=head,
                unit="m",
                formula="(p2 - p1) / (density g) + z2 - z1 + (U2^2 - U1^2) / 2g",
                source="ISO 9906:2012",
            ),
        )
    return WorkedOut(numbers=numbers, pieces=_against_curve(pump, head, assumed=assumed))


def _against_curve(pump: WorkedPump, head: float, *, assumed: bool) -> tuple[Piece, ...]:
    if pump.head_expected is None or pump.flow is None or pump.head_expected <= 0:
        return ()
    short = (pump.head_expected - head) / pump.head_expected
    spread = HEAD_SHORT_SPREAD + pump.head_uncertainty
    if assumed:
        spread += SUCTION_UNREAD / pump.head_expected
        if abs(short) < spread and short < HEAD_SHORT:
            # Unread suction: near the curve is all that can be said.
            text = f"discharge pressure fits the curve at this flow ({pump.curve_is})"
            return (soft("head-below-curve", 0.25, text, "worked out", detail=text),)
    chance = logistic((short - HEAD_SHORT) / spread)
    side = "below" if short > 0 else "above"
    text = f"head {head:.0f} m, {100 * abs(short):.0f} % {side} {pump.curve_is} at this flow"
    return (soft("head-below-curve", chance, text, "worked out", detail=text),)


def _casing(case: Case, pump: WorkedPump) -> WorkedOut:
    casing = case.readings.get("casing_temperature")
    if casing is None or pump.temperature is None:
        return WorkedOut()
    hotter = casing.value - pump.temperature
    chance = logistic((hotter - CASING_HOTTER) / CASING_HOTTER_SPREAD)
    text = f"casing {hotter:+.0f} K against the liquid"
    number = Number(
        quantity="casing over liquid temperature",
        value=hotter,
        unit="K",
        formula="T_casing - T_liquid",
        source="definition",
    )
    return WorkedOut(
        numbers=(number,), pieces=(soft("casing-hot", chance, text, "worked out", detail=text),)
    )


def _cooling(case: Case, pump: WorkedPump) -> WorkedOut:
    """Read the rise of the cooling water: little water warms much, much water hardly."""
    enters = case.readings.get("cooling_water_temperature_in")
    leaves = case.readings.get("cooling_water_temperature_out")
    if enters is None or leaves is None:
        return WorkedOut()
    rise = leaves.value - enters.value
    text = f"cooling water warms by {rise:.1f} K"
    large = logistic((rise - RISE_LARGE) / RISE_LARGE_SPREAD)
    small = logistic((RISE_SMALL - rise) / RISE_SMALL_SPREAD)
    number = Number(
        quantity="rise of the cooling water",
        value=rise,
        unit="K",
        formula="T_out - T_in",
        source="definition",
    )
    return WorkedOut(
        numbers=(number,),
        pieces=(
            soft("cooling-water-outlet-hot", large, text, "worked out", detail=text),
            soft("cooling-water-excess", small, text, "worked out", detail=text),
        ),
    )


def _ends(case: Case, pump: WorkedPump) -> WorkedOut:
    """Tell from the readings whether it is the driver's end that is hot, or that shakes more."""
    pieces = []
    driver, own = (_rise(case, start + "bearing_temperature") for start in ("driver_", ""))
    if driver is not None:
        hotter = driver - (own or 0.0)
        chance = logistic((hotter - END_HOTTER) / END_HOTTER_SPREAD)
        chance *= OTHER_END_UNREAD if own is None else 1.0
        text = f"driver bearing {driver:+.0f} K from usual, "
        text += "pump bearings not read" if own is None else f"pump bearing {own:+.0f} K"
        if own is not None or chance >= 0.5:
            pieces.append(soft("driver-bearing-hot", chance, text, "worked out", detail=text))
    driver, own = (_most(case, start + "vibration") for start in ("driver_", ""))
    if driver is not None and own is not None and max(driver, own) >= SHAKES_AT_ALL:
        more = driver / max(own, 1e-4)
        chance = logistic((more - END_SHAKES) / END_SHAKES_SPREAD)
        text = f"driver shakes {more:.1f} times as much as the pump"
        pieces.append(soft("vibration-at-driver", chance, text, "worked out", detail=text))
    return WorkedOut(pieces=tuple(pieces))


def _one_off(case: Case, pump: WorkedPump) -> WorkedOut:
    """Tell a gauge that is off alone from a pump that is: pump and liquid move several at once."""
    moved = {
        point: _share_moved(case, point)
        for point in MOVES_TOGETHER
        if point in case.readings and point in case.normal and case.readings[point].low is None
    }
    if len(moved) <= OTHERS:
        return WorkedOut()
    furthest = max(moved, key=lambda point: moved[point])
    others = [share for point, share in moved.items() if point != furthest]
    if furthest not in GAUGES or max(others) > AS_USUAL:
        return WorkedOut()
    chance = logistic((moved[furthest] - OFF) / OFF_SPREAD)
    if chance < 0.5:
        return WorkedOut()
    name = furthest.replace("_", " ")
    text = f"{name} {moved[furthest]:.0%} from usual, all that moves with it as usual"
    return WorkedOut(
        pieces=(soft("only-one-reading-off", chance, text, "worked out", detail=text),)
    )


def _share_moved(case: Case, point: str) -> float:
    reading, usual = case.readings[point], case.normal[point]
    base = usual.value - case.barometric if usual.kind == "pressure" else usual.value
    least = 0.5 * _BAR if usual.kind == "pressure" else 1e-9
    return abs(reading.value - usual.value) / max(abs(base), least)


def _rise(case: Case, start: str) -> float | None:
    """Return the largest rise over usual of the readings whose point starts so."""
    rises = [
        reading.value - case.normal[point].value
        for point, reading in case.readings.items()
        if point.startswith(start) and point in case.normal
    ]
    return max(rises, default=None)


def _most(case: Case, start: str) -> float | None:
    values = [
        reading.value
        for point, reading in case.readings.items()
        if point.startswith(start) and reading.kind == "velocity"
    ]
    return max(values, default=None)


def _boiling(case: Case, pump: WorkedPump) -> WorkedOut:
    suction = case.readings.get("suction_pressure")
    if suction is None or pump.liquid is None or pump.temperature is None:
        return WorkedOut()
    from gaugewalk.errors import OutOfRangeError
    from gaugewalk.physics.npsh import boiling_margin

    try:
        margin = float(boiling_margin(pump.liquid, pump.temperature, suction.value))
    except (OutOfRangeError, ValueError) as error:
        return WorkedOut(notes=(f"Margin to boiling left out: {error}",))
    number = Number(
        quantity="liquid below its boiling point at the suction",
        value=margin,
        unit="K",
        formula="T_boiling(p_suction) - T_liquid",
        source="vapor pressure of the liquid (see `gaugewalk calc`)",
    )
    return WorkedOut(numbers=(number,))


def _elevation(case: Case, point: str) -> float:
    own = case.limits.get(point)
    return own.elevation if own is not None else 0.0


_PARTS: tuple[Callable[[Case, WorkedPump], WorkedOut], ...] = (
    _flow_share,
    _npsh,
    _boiling,
    _head,
    _casing,
    _cooling,
    _ends,
    _one_off,
)
