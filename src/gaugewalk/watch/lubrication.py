"""The lubrication program of one pump: what each bearing wants, how much, how often, and by whom.

What the plant file gives comes first; where it is silent a formula answers, and where both speak
both are told. Nothing here knows what was done: see `lubrication_due`.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from gaugewalk.errors import OutOfRangeError
from gaugewalk.physics.grease import (
    GreaseService,
    Kind,
    charge_mass,
    cup_turns_per_round,
    regrease_interval,
)
from gaugewalk.physics.oil_care import (
    CHANGE_COOL,
    MONTH,
    SURFACE_BELOW_BEARING,
    oil_change_interval,
)
from gaugewalk.plant.pump import Bearing, Lubrication, Pump
from gaugewalk.units import show
from gaugewalk.watch.procedure import Setting

GREASED = ("grease", "grease cup")
BATHS = ("oil sump", "constant-level oiler", "oil ring")
_KINDS: Mapping[str, Kind] = {
    "ball": "ball",
    "angular contact": "ball",
    "roller": "cylindrical roller",
    "thrust": "other roller",
}
_MASS = "G = 0.005 D B [g, mm]; corporate relubrication standards and trade magazines"
_INTERVAL = (
    "t = K (14e6 / (n sqrt d) - 4 d) [h, r/min, mm], halved for each 15 K over 70 °C and for a "
    "vertical shaft; public engineering guides, good to a factor of two"
)
_PLANT_FILE = "plant file"
_CUP_TOO_MUCH = 5.0  # times the formula's turns, of which some leave at the shaft; common practice
_HOTTEST_OIL, _COLDEST_OIL = 373.15, 273.15  # [K], range of the catalog's intervals


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """One figure of the program, [SI], with where it comes from; a second one beside it.

    `beside` is what the formula gives where the plant file decides.
    """

    value: float
    source: str
    beside: float | None = None
    beside_source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class GreasePoint:
    """A bearing lubricated with grease: how much [kg], how often [s of running], how many turns."""

    place: str
    kind: str  # grease, grease cup
    product: str
    mass: Amount | None = None
    interval: Amount | None = None
    strokes: int | None = None
    turns: Amount | None = None
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class OilPoint:
    """An oil bath or an oil system: change and sample, by running [s] and by the calendar [s]."""

    where: str  # pump, driver
    kind: str
    product: str
    change_running: Amount | None = None
    change_calendar: Amount | None = None
    sample: Amount | None = None  # by the calendar
    sample_running: Amount | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """What the program of a pump depends on beside the plant file."""

    settings: Mapping[str, Setting]
    housing: Mapping[str, float]  # place -> temperature last measured, [K]
    round_every: float = 86400.0  # [s]


def grease_points(pump: Pump, given: Conditions) -> tuple[GreasePoint, ...]:
    """Return the points of a pump that get grease, pump before driver."""
    return tuple(
        _grease_point(pump, place, bearing, oiled, given)
        for place, bearing, oiled in _bearings(pump)
        if oiled.kind in GREASED
    )


def oil_points(pump: Pump, given: Conditions) -> tuple[OilPoint, ...]:
    """Return the oil baths and systems of a pump and its driver."""
    both = (("pump", pump.lubrication), ("driver", pump.driver_lubrication))
    return tuple(
        _oil_point(where, oiled, given)
        for where, oiled in both
        if oiled is not None and oiled.kind not in GREASED
    )


def point_of(place: str) -> str:
    """Return the observation point at which a bearing's temperature is measured.

    Examples
    --------
    >>> point_of("driver_de")
    'driver_bearing_temperature_de'
    """
    driver, _, end = place.rpartition("_")
    return f"{driver}_bearing_temperature_{end}" if driver else f"bearing_temperature_{end}"


def _bearings(pump: Pump) -> Iterator[tuple[str, Bearing | None, Lubrication]]:
    """Yield each bearing with its lubrication; where the file lists none, one for the whole."""
    for driver, oiled in ((False, pump.lubrication), (True, pump.driver_lubrication)):
        if oiled is None:
            continue
        own = [b for b in pump.bearings if b.place.startswith("driver") is driver]
        own = [b for b in own if b.kind != "sleeve" or oiled.kind not in GREASED]
        if own:
            yield from ((bearing.place, bearing, oiled) for bearing in own)
        else:
            yield "driver_de" if driver else "de", None, oiled


def _grease_point(
    pump: Pump, place: str, bearing: Bearing | None, oiled: Lubrication, given: Conditions
) -> GreasePoint:
    mass = _given_or(oiled.grease_mass, _formula_mass(bearing), _MASS)
    computed, remark = _formula_interval(pump, place, bearing, given.housing.get(place))
    interval = _given_or(oiled.grease_interval, computed, _INTERVAL)
    remarks = [remark] if remark else []
    if mass is None:
        remarks.append(
            "Amount not known: add grease_mass, or the bearing's outside_diameter and width."
        )
    if interval is None and not remark:
        remarks.append(
            "Interval not known: add grease_interval, or the bearing's bore and the speed."
        )
    remarks += _at_odds(mass, interval)
    cup = oiled.kind == "grease cup"
    stroke = given.settings["gun_stroke"].low
    turns = _turns(oiled, mass, interval, given) if cup else None
    return GreasePoint(
        place=place,
        kind=oiled.kind,
        product=oiled.product,
        mass=mass,
        interval=interval,
        strokes=max(round(mass.value / stroke), 1) if mass and not cup else None,
        turns=turns,
        remarks=tuple(remarks) if not cup else tuple(_cup_remarks(turns)),
    )


def _given_or(given: float | None, computed: float | None, formula: str) -> Amount | None:
    if given is not None:
        return Amount(
            value=given, source=_PLANT_FILE, beside=computed,
            beside_source=formula if computed is not None else "",
        )  # fmt: skip
    return None if computed is None else Amount(value=computed, source=formula)


def _formula_mass(bearing: Bearing | None) -> float | None:
    if bearing is None or bearing.outside_diameter is None or bearing.width is None:
        return None
    return float(charge_mass(bearing.outside_diameter, bearing.width))


def _formula_interval(
    pump: Pump, place: str, bearing: Bearing | None, housing: float | None
) -> tuple[float | None, str]:
    """Return the interval by the formula [s of running], or why it gives none."""
    speed = pump.driver.speed if place.startswith("driver") else speed_of(pump)
    if bearing is None or bearing.bore is None or speed is None or bearing.kind not in _KINDS:
        return None, ""
    inside = housing + SURFACE_BELOW_BEARING if housing is not None else None
    service = GreaseService(temperature=inside, vertical=pump.orientation == "vertical")
    try:
        return float(regrease_interval(speed, bearing.bore, _KINDS[bearing.kind], service)), ""
    except OutOfRangeError as error:
        return None, f"The formula gives no interval: {error}"


def speed_of(pump: Pump) -> float | None:
    """Return the speed of the pump's shaft, or none where the plant file is silent. [1/s]"""
    if pump.curve is not None:
        return pump.curve.speed
    return pump.rated.speed or pump.driver.speed


def _at_odds(mass: Amount | None, interval: Amount | None) -> Iterator[str]:
    """Say where plant file and formula differ by more than the formula's own spread."""
    if mass and mass.beside and mass.value > 2.0 * mass.beside:
        yield (
            f"The plant file gives {show(mass.value, 'gram')}, the formula "
            f"{show(mass.beside, 'gram')}: too much heats a bearing."
        )
    if interval and interval.beside and interval.value > 2.0 * interval.beside:
        yield (
            f"The plant file greases every {show(interval.value, 'h')}, the formula asks for "
            f"{show(interval.beside, 'h')} at this size, speed and temperature."
        )


def _cup_remarks(turns: Amount | None) -> Iterator[str]:
    """Say where a cup gives far more than its bearing can use."""
    if turns and turns.beside and turns.value > _CUP_TOO_MUCH * turns.beside:
        yield (
            f"The set turns give {turns.value / turns.beside:.0f} times what the formula asks for: "
            "a cup turned at each round usually gives too much. Ask before changing it."
        )


def _turns(
    oiled: Lubrication, mass: Amount | None, interval: Amount | None, given: Conditions
) -> Amount:
    """Return the turns of the cup at each round."""
    setting = given.settings["cup_turns"]
    per_turn = given.settings["cup_turn_mass"].low
    computed = None
    if mass and interval:
        computed = float(
            cup_turns_per_round(mass.value, interval.value, given.round_every, per_turn)
        )
    formula = f"charge over its interval at {show(per_turn, 'gram')} a turn"
    value, source = oiled.cup_turns_per_round, _PLANT_FILE
    if value is None:
        value, source = setting.low, setting.source
    return Amount(
        value=value, source=source, beside=computed,
        beside_source=formula if computed is not None else "",
    )  # fmt: skip


# ------------------------------------------------------------------ oil


def _oil_point(where: str, oiled: Lubrication, given: Conditions) -> OilPoint:
    bath = oiled.kind in BATHS
    kind = "bath" if bath else "forced"
    sample = given.settings[f"oil_sample_{kind}"]
    sample_running = given.settings[f"oil_sample_{kind}_running"]
    running = oiled.oil_change_interval
    return OilPoint(
        where=where,
        kind=oiled.kind,
        product=oiled.product,
        change_running=Amount(value=running, source=_PLANT_FILE) if running else None,
        change_calendar=_calendar(where, running, given) if bath else None,
        sample=Amount(value=sample.low, source=sample.source),
        sample_running=Amount(value=sample_running.low, source=sample_running.source),
    )


def _calendar(where: str, running: float | None, given: Conditions) -> Amount:
    """Return the longest time between two changes of a bath, running or not."""
    warm = [
        t for place, t in given.housing.items() if place.startswith("driver") == (where != "pump")
    ]
    catalog = "12 months up to 50 °C, 3 months at 100 °C; public catalog of a bearing maker"
    if warm:
        hottest = min(max(warm), _HOTTEST_OIL)
        return Amount(
            value=float(oil_change_interval(max(hottest, _COLDEST_OIL))),
            source=f"{catalog}; at {show(hottest, 'degC')}",
        )
    if running is not None:
        return Amount(value=CHANGE_COOL[1] * MONTH, source=catalog)
    setting = given.settings["oil_change_every"]
    return Amount(value=setting.low, source=setting.source)
