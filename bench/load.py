"""200 people walk their rounds at once: what a reading, a page and a look over the plant take.

    python -m bench.load [--seconds 60] [--people 200] [--folder FOLDER]

A large plant (`bench.works`: 2,000 pumps, three years at some) is served by `gaugewalk serve` in a
process of its own, with an account for each person. This process walks the rounds, bounded in time
and number: who stands at a pump thinks 3 to 7 seconds, enters a reading as the page's script does,
and has the page fetched anew. Now and then somebody looks over the plant or opens a pump's page.
Beside it stands a bare page of the same framework that does one indexed read, served and asked in
the same way in the same run; every figure is also given as a multiple of it.
"""

import argparse
import asyncio
import json
import os
import platform
import random
import tempfile
import time
from collections.abc import Awaitable, Callable
from dataclasses import asdict, dataclass, replace
from datetime import UTC, datetime
from itertools import cycle
from pathlib import Path
from typing import Any

from bench import works
from bench.http_client import Person, Times
from bench.load_served import Server, bare, gaugewalk, sessions
from bench.load_walk import (
    PUMP_PAGE,
    READING,
    ROUND_PAGE,
    THIS_WATCH,
    Stop,
    Walk,
    begin,
    enter,
    flat_out,
    one_by_one,
    paced,
    stops_of,
    walk_round,
)
from gaugewalk.journal.store import Journal

BARE = "a bare page, one indexed read"
FLAT_OUT = 16  # who ask without a pause
AIM_RATIO, AIM_P99 = 3.0, 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One line of the table, with its peer in the same run."""

    what: str
    how: str
    count: int
    failed: int
    p50: float
    p99: float
    bare_p50: float
    bare_p99: float
    busy: float = 0.0  # share of one core that the server needed meanwhile
    per_second: float = 0.0
    bare_per_second: float = 0.0

    @property
    def ratio(self) -> float:
        """How many times the bare page it takes; flat out, by answers a second."""
        if self.per_second:
            return self.bare_per_second / self.per_second
        return self.p50 / self.bare_p50


def figure(how: str, ours: Times, peer: Times) -> Figure:
    """Put times beside those of the bare page."""
    return Figure(
        what=ours.what,
        how=how,
        count=len(ours.seconds),
        failed=ours.failed,
        p50=ours.quantile(0.5),
        p99=ours.quantile(0.99),
        bare_p50=peer.quantile(0.5),
        bare_p99=peer.quantile(0.99),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """What is asked, and by whom."""

    made: works.Works
    pid: int  # of the server
    ids: list[str]  # entries for the bare page
    walks: list[Walk]
    bare_people: list[Person]

    async def bare_page(self, person: Person, times: Times) -> None:
        """Ask for the bare page of some entry."""
        await person.get(f"/entry/{random.choice(self.ids)}", times)


async def alone(bench: Bench) -> list[Figure]:
    """One person, one thing after the other: what each takes on an idle server."""
    walk, lone = bench.walks[0], bench.bare_people[0]
    peer = Times(what=BARE)
    await one_by_one(lambda times: bench.bare_page(lone, times), peer, count=200)
    normal = cycle([(s, r) for s in walk.stops if s.normal for r in s.readings])
    odd = cycle([(s, r) for s in walk.stops if not s.normal for r in s.readings])
    stops, old = cycle(walk.stops), cycle(bench.made.old_tags)

    def entered(readings: Any) -> Callable[[Times], Awaitable[object]]:
        return lambda times: enter(walk, *next(readings), times)

    asked: list[tuple[str, Callable[[Times], Awaitable[object]], int]] = [
        (READING, entered(normal), 200),
        (f"{READING}, at a pump in trouble", entered(odd), 100),
        (ROUND_PAGE, lambda times: walk.person.get(walk.address(next(stops)), times), 60),
        (PUMP_PAGE, lambda times: walk.person.get(f"/pump/{next(old)}", times), 30),
        (THIS_WATCH, lambda times: walk.person.get("/", times), 40),
    ]
    figures = []
    for what, ask, count in asked:
        times = Times(what=what)
        await one_by_one(ask, times, count=count)
        figures.append(figure("one at a time", times, peer))
    return figures


async def together(bench: Bench, seconds: float) -> list[Figure]:
    """Everybody at once, at the pace of a round; then the bare page at the same pace."""
    kinds = {what: Times(what=what) for what in (READING, ROUND_PAGE, PUMP_PAGE, THIS_WATCH)}
    start, before = time.perf_counter(), cpu_of(bench.pid)
    until = start + seconds
    walks = (walk_round(walk, until, kinds, bench.made.old_tags) for walk in bench.walks)
    await asyncio.gather(*walks)
    busy = (cpu_of(bench.pid) - before) / (time.perf_counter() - start)
    peer = Times(what=BARE)
    until = time.perf_counter() + seconds / 3
    await paced(bench.bare_page, bench.bare_people, until, peer)
    how = f"{len(bench.walks)} people walking"
    return [replace(figure(how, times, peer), busy=busy) for times in kinds.values()]


async def pressed(bench: Bench, seconds: float) -> Figure:
    """A few without any pause: how many readings a second can be entered at most."""
    bare_asks = [
        lambda times, one=one: bench.bare_page(one, times) for one in bench.bare_people[:FLAT_OUT]
    ]
    peer = await flat_out(bare_asks, seconds)
    asks = []
    for walk in bench.walks[:FLAT_OUT]:
        readings = cycle([(stop, reading) for stop in walk.stops for reading in stop.readings])
        asks.append(lambda times, walk=walk, all=readings: enter(walk, *next(all), times))
    ours = await flat_out(asks, seconds)
    ours.times.what = READING
    plain = figure(f"{FLAT_OUT} without a pause", ours.times, peer.times)
    return replace(plain, per_second=ours.per_second, bare_per_second=peer.per_second)


# ------------------------------------------------------------------ the run


async def run(bench: Bench, seconds: float) -> list[Figure]:
    """Take all figures."""
    for walk in bench.walks:
        await begin(walk)
    figures = await alone(bench)
    figures += await together(bench, seconds)
    figures.append(await pressed(bench, min(seconds / 4, 10.0)))
    for person in (*(walk.person for walk in bench.walks), *bench.bare_people):
        await person.leave()
    return figures


def prepared(made: works.Works, server: Server, peer: Server, cookies: list[str]) -> Bench:
    """Put each person at another pump of a round."""
    rounds: dict[str, list[Stop]] = stops_of(made)
    walks = []
    for number, cookie in enumerate(cookies):
        name = list(rounds)[number % len(rounds)]
        stops = rounds[name]
        first = number // len(rounds) * 7 % max(len(stops), 1)
        walks.append(
            Walk(
                person=Person(server.port, cookie),
                name=name,
                stops=stops[first:] + stops[:first],
                dice=random.Random(number),
            )
        )
    journal = Journal.open(made.journal)
    ids = [str(entry.id) for entry, _ in zip(journal.entries(), range(2000), strict=False)]
    journal.close()
    people = [Person(peer.port) for _ in cookies]
    return Bench(made=made, pid=server.pid, ids=ids, walks=walks, bare_people=people)


def cpu_of(pid: int) -> float:
    """Return the time that a process has worked. [s]"""
    fields = Path(f"/proc/{pid}/stat").read_text("ascii").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def memory_of(pid: int) -> float:
    """Return the memory that a process has resident. [MB]"""
    pages = int(Path(f"/proc/{pid}/statm").read_text("ascii").split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def show(figures: list[Figure]) -> None:
    """Print the figures as an aligned table."""
    print(f"{'':<58}{'answers':>8} {'p50':>10} {'p99':>10} {'bare p50':>9} {'p99':>8} {'ratio':>7}")
    for one in figures:
        ends = [one.how, f"{one.failed} FAILED" if one.failed else ""]
        if one.busy:
            ends.append(f"server {one.busy:.0%} of a core")
        if one.per_second:
            ends.append(f"{one.per_second:.0f}/s, bare {one.bare_per_second:.0f}/s")
        print(
            f"{one.what:<58}{one.count:>8} {one.p50 * 1e3:>7.2f} ms {one.p99 * 1e3:>7.2f} ms"
            f" {one.bare_p50 * 1e3:>6.2f} ms {one.bare_p99 * 1e3:>5.1f} ms {one.ratio:>6.2f} x"
            f"  {'; '.join(filter(None, ends))}"
        )


def main() -> None:
    """Make the plant, serve it, walk, print, keep as JSON."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--seconds", type=float, default=60.0)
    parser.add_argument("--people", type=int, default=200)
    parser.add_argument("--folder", type=Path, help="where the plant is made, or was")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as made_here:
        folder = given.folder or Path(made_here)
        start = time.perf_counter()
        made = works.make(folder, now=datetime.now(UTC))
        print(f"{made.pumps} pumps, {made.entries} entries ({time.perf_counter() - start:.0f} s)")
        cookies = sessions(folder, given.people)
        with gaugewalk(made.plant) as server, bare(made.journal) as peer:
            print(f"answers {server.started_s:.1f} s after its start")
            bench = prepared(made, server, peer, cookies)
            figures = asyncio.run(run(bench, given.seconds))
            resident = memory_of(server.pid)
    show(figures)
    print(f"load average {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores; {resident:.0f} MB")
    _keep(figures, resident)


def _keep(figures: list[Figure], resident: float) -> None:
    out = Path(__file__).parent / "results" / "load.json"
    out.parent.mkdir(exist_ok=True)
    record = {
        "python": platform.python_version(),
        "cores": os.cpu_count(),
        "load_average": os.getloadavg(),
        "resident_mb": resident,
        "figures": [asdict(one) | {"ratio": one.ratio} for one in figures],
    }
    out.write_text(json.dumps(record, indent=2), "utf-8")


if __name__ == "__main__":
    main()
