"""Sixty days of rounds at Larkmoor, made anew from a seed: who read what, when, and what was done.

Each pump's readings come from the forward model under that pump's story, at the times at which it
was visited; then a person reads the gauge. Nothing here stores anything.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from gaugewalk.drill.faults import STORIES, Deed, Scene, Story, running
from gaugewalk.drill.rounds import Walk, walks
from gaugewalk.drill.seen import Record, Seen
from gaugewalk.drill.upkeep import engine_hours, standing_by, upkeep
from gaugewalk.drill.weather import Weather, wander, weather
from gaugewalk.physics.circuit import at_rest, operate
from gaugewalk.physics.circuit_parts import Circuit, Condition
from gaugewalk.plant.circuit import circuit_of
from gaugewalk.plant.pump import Plant, Pump
from gaugewalk.plant.site import barometric

Array = NDArray[np.float64]

# Share of the duty head that stands at no flow, where it is not the usual one: a loop has hardly
# any, a boiler nearly all.
STATIC_SHARE = {
    "B11": 0.88,
    "B21": 0.7,
    "R11": 0.5,
    "R21": 0.45,
    "R31": 0.5,
    "R41": 0.03,
    "T11": 0.3,
    "T12": 0.3,
    "F11": 0.55,
}
_ROOM = 291.15  # the heated fire-pump room leans to this, [K]


def records(plant: Plant, *, now: datetime, seed: int = 7, days: int = 60) -> list[Record]:
    """Return everything written down in the last days, in the order of time.

    Parameters
    ----------
    plant : Plant
        Larkmoor.
    now : datetime
        With its time zone; the history ends here.
    seed : int
        The same seed and now give the same records.
    days : int
        How far back.

    Returns
    -------
    list of Record
    """
    rng = np.random.default_rng(seed)
    rounds = walks(plant, now=now, days=days, rng=rng)
    found: list[Record] = [record for walk in rounds for record in _bounds(walk, now)]
    for pump in sorted(plant.pumps, key=lambda pump: pump.walk_order):
        visits = [(walk, at) for walk in rounds for tag, at in walk.stops if tag == pump.tag]
        if visits:
            found += _at_pump(plant, pump, visits, (now, days), seed)
    return sorted((r for r in found if r.seen_at <= now), key=lambda record: record.seen_at)


def _bounds(walk: Walk, now: datetime) -> Iterator[Record]:
    base = Record(
        seen_at=walk.begun, who=walk.who, kind="round", text=walk.plan.name, round_no=walk.number
    )
    yield base
    end = walk.stops[-1][1] + timedelta(minutes=3)
    if walk.whole and end < now:
        yield replace(base, seen_at=end, point="finished")


def _at_pump(
    plant: Plant,
    pump: Pump,
    visits: Sequence[tuple[Walk, datetime]],
    span: tuple[datetime, int],
    seed: int,
) -> list[Record]:
    """Return all that was written down at one pump; ``span`` is now and how many days back."""
    now, days = span
    rng = np.random.default_rng((seed, *pump.tag.encode()))
    seconds = np.array([at.timestamp() for _, at in visits])
    since = (seconds - now.timestamp()) / 86400.0
    sky = weather(seconds, now.timestamp(), np.random.default_rng(seed))
    scene = Scene(days=since, weather=sky)
    story = STORIES[pump.tag](scene) if pump.tag in STORIES else Story()
    circuit = _circuit(pump, barometric(plant))
    condition = _condition(pump, circuit, scene, story, rng)
    used = upkeep(pump, since, rng, -float(days))
    on = running(pump.tag, since, _hours(plant, visits))
    seen = Seen(
        pump=pump,
        running=operate(circuit, condition),
        standing=at_rest(circuit, condition),
        extra={"run_hours": engine_hours(since)},
        missing=used.missing,
        on=on,
        barometric=circuit.barometric,
        rng=rng,
    )
    bases = [_base(pump, walk, at) for walk, at in visits]
    found = [record for n, base in enumerate(bases) for record in seen.at(n, base)]
    deeds = (*story.deeds, *used.deeds, *standing_by(pump, since, on))
    return [*_switched(bases, on), *found, *_deeds(deeds, bases, since)]


def _base(pump: Pump, walk: Walk, at: datetime) -> Record:
    return Record(seen_at=at, who=walk.who, kind="reading", tag=pump.tag, round_no=walk.number)


def _hours(plant: Plant, visits: Sequence[tuple[Walk, datetime]]) -> Array:
    zone = ZoneInfo(plant.time_zone)
    local = [at.astimezone(zone) for _, at in visits]
    return np.array([moment.hour + moment.minute / 60.0 for moment in local])


def _circuit(pump: Pump, air: float) -> Circuit:
    share = STATIC_SHARE.get(pump.tag[:3])
    if share is None:
        return circuit_of(pump, barometric=air)
    return circuit_of(pump, barometric=air, static_share=share)


def _condition(
    pump: Pump, circuit: Circuit, scene: Scene, story: Story, rng: np.random.Generator
) -> Condition:
    days, sky = scene.days, scene.weather
    usual = circuit.liquid_temperature
    outside = pump.area in ("River intake", "Fire water")
    liquid = sky.river if outside else usual + 0.0 * days
    liquid = liquid + story.liquid_warmer + wander(days, rng, scale=0.6)
    level = circuit.suction.level + story.level + wander(days, rng, scale=0.08)
    load = 1.0 + 0.02 * np.sin(2 * np.pi * days) + wander(days, rng, scale=0.02)
    return Condition(
        severities=story.severities,
        offsets=story.offsets,
        bearing=story.bearing,
        liquid_temperature=liquid,
        source_level=level,
        ambient=_ambient(pump, sky),
        cooling_water_in=sky.cooling_water,
        demand=np.maximum(load, 0.8) ** -2.0,
    )


def _ambient(pump: Pump, sky: Weather) -> Array:
    if pump.area in ("Boiler house", "Extraction", "Refinery"):
        return sky.boiler_house
    return 0.25 * sky.air + 0.75 * _ROOM if pump.area == "Fire water" else sky.air


def _switched(bases: Sequence[Record], on: NDArray[np.bool_]) -> Iterator[Record]:
    """Yield an event wherever the pump was started or stopped since the visit before."""
    before: bool | None = None
    for base, turning in zip(bases, on, strict=True):
        if before is None or before != bool(turning):
            yield replace(base, kind="event", text="started" if turning else "stopped")
        before = bool(turning)


def _deeds(deeds: Sequence[Deed], bases: Sequence[Record], days: Array) -> Iterator[Record]:
    """Yield what was done, seen and noted, right after the first visit on or after its day."""
    for deed in sorted(deeds, key=lambda deed: deed.day):
        if deed.day < days[0] or deed.day > days[-1]:
            continue
        base = bases[int(np.searchsorted(days, deed.day))]
        said = deed.text + deed.finding + deed.place
        moment = base.seen_at + timedelta(minutes=3, seconds=len(said) % 20)
        yield replace(
            base,
            seen_at=moment,
            kind=deed.kind,
            text=deed.text,
            finding=deed.finding,
            present=deed.present,
            trial=deed.trial,
            result=deed.result,
            cause=deed.cause,
            what=deed.what,
            place=deed.place,
            amount=deed.amount,
        )
