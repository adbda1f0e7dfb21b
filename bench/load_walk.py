"""What people do on a round, as their browsers do it."""

import asyncio
import random
import time
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from urllib.parse import quote_plus

from bench import works
from bench.http_client import Person, Times
from gaugewalk.journal.ids import new_id
from gaugewalk.journal.store import Journal
from gaugewalk.plant.plant_file import load_plant
from gaugewalk.plant.pump import Pump
from gaugewalk.plant.site import barometric
from gaugewalk.units import from_si
from gaugewalk.watch.board import Board, board_key

THINK = (5.0, 15.0)  # s before each reading: 200 readings in half an hour, twice as fast as people
LOOKS, OPENS = 0.02, 0.02  # share of readings after which somebody looks over the plant, or a pump
READING, ROUND_PAGE, PUMP_PAGE, THIS_WATCH = (
    "entering a reading, with its verdict",
    "the page of a pump in a round",
    "a pump's page with 3 years of history",
    "this watch over 2,000 pumps",
)
Kinds = dict[str, Times]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """One pump to be read, with texts that are what it showed last."""

    tag: str
    normal: bool
    readings: tuple[tuple[str, str], ...]  # point, text with unit


@dataclass(slots=True, kw_only=True)
class Walk:
    """One person's round."""

    person: Person
    name: str
    stops: list[Stop]
    dice: random.Random
    round_id: str = ""

    def address(self, stop: Stop) -> str:
        """Return where the page of a stop is."""
        return f"/round/{self.round_id}/{stop.tag}"


def stops_of(made: works.Works) -> dict[str, list[Stop]]:
    """Return for each round its pumps that were ever read, and what they showed."""
    plant = load_plant(made.plant)
    air, prefix = barometric(plant), board_key("")
    journal = Journal.open(made.journal)
    stored = journal.load_states(prefix).items()
    journal.close()
    boards = {key.removeprefix(prefix): Board.from_json(row) for key, row in stored}
    by_area: dict[str, list[Stop]] = {}
    for pump in plant.pumps:
        if pump.tag in boards:
            by_area.setdefault(pump.area, []).append(_stop(pump, boards[pump.tag], air))
    return {
        plan.name: [stop for area in plan.areas for stop in by_area.get(area, [])]
        for plan in plant.rounds
    }


def _stop(pump: Pump, board: Board, air: float) -> Stop:
    last = [(point, board.last[point.point]) for point in pump.points if point.point in board.last]
    texts = (
        (point.point, f"{from_si(one.value, point.unit, barometric=air):.4g} {point.unit}")
        for point, one in last
    )
    return Stop(tag=pump.tag, normal=board.severity.rank == 0, readings=tuple(texts))


async def begin(walk: Walk) -> None:
    """Begin the round, or join it where it is being walked; learn its id."""
    answer = await walk.person.submit("/rounds", f"name={quote_plus(walk.name)}", Times(what=""))
    walk.round_id = answer.head["location"].split("/")[2]


async def enter(walk: Walk, stop: Stop, reading: tuple[str, str], times: Times) -> None:
    """Enter a reading as the page's script does."""
    now = datetime.now(UTC)
    record = {
        "kind": "reading",
        "id": str(new_id(now)),
        "tag": stop.tag,
        "point": reading[0],
        "text": reading[1],
        "seen_at": now.isoformat(),
        "round": walk.round_id,
    }
    answer = await walk.person.post("/api/v1/records", {"records": [record]}, times)
    times.failed += b'"verdict":{' not in answer.body


async def walk_round(walk: Walk, until: float, kinds: Kinds, old: tuple[str, ...]) -> None:
    """Walk, pump by pump, until the time is over."""
    dice = walk.dice
    await asyncio.sleep(dice.uniform(0, THINK[1]))
    while walk.stops:
        for stop in walk.stops:
            await walk.person.get(walk.address(stop), kinds[ROUND_PAGE])
            for reading in stop.readings:
                await asyncio.sleep(dice.uniform(*THINK))
                if time.perf_counter() > until:
                    return
                await enter(walk, stop, reading, kinds[READING])
                await walk.person.get(walk.address(stop), kinds[ROUND_PAGE])
                await _look_around(walk, kinds, old)


async def _look_around(walk: Walk, kinds: Kinds, old: tuple[str, ...]) -> None:
    if walk.dice.random() < LOOKS:
        await walk.person.get("/", kinds[THIS_WATCH])
    if walk.dice.random() < OPENS:
        await walk.person.get(f"/pump/{walk.dice.choice(old)}", kinds[PUMP_PAGE])


async def paced(
    ask: Callable[[Person, Times], Awaitable[object]],
    people: list[Person],
    until: float,
    times: Times,
) -> None:
    """Let each person ask one thing at the pace of a round."""

    async def one(person: Person, dice: random.Random) -> None:
        await asyncio.sleep(dice.uniform(0, THINK[1]))
        while time.perf_counter() < until:
            await ask(person, times)
            await asyncio.sleep(dice.uniform(*THINK))

    await asyncio.gather(*(one(person, random.Random(n)) for n, person in enumerate(people)))


@dataclass(slots=True, kw_only=True)
class Flat:
    """What was reached without a pause."""

    per_second: float
    times: Times = field(default_factory=lambda: Times(what="flat out"))


async def flat_out(asks: list[Callable[[Times], Awaitable[object]]], seconds: float) -> Flat:
    """Let some ask again and again without a pause; return how many answers a second there were."""
    times = Times(what="flat out")
    until = time.perf_counter() + seconds

    async def one(ask: Callable[[Times], Awaitable[object]]) -> None:
        while time.perf_counter() < until:
            await ask(times)

    start = time.perf_counter()
    await asyncio.gather(*(one(ask) for ask in asks))
    return Flat(per_second=len(times.seconds) / (time.perf_counter() - start), times=times)


async def one_by_one(
    ask: Callable[[Times], Awaitable[object]], times: Times, *, count: int, warm_up: int = 10
) -> None:
    """Ask again and again, one at a time, after some to warm up."""
    for _ in range(warm_up):
        await ask(Times(what=""))
    for _ in range(count):
        await ask(times)
