"""Faults injected in number, with figures: what was acknowledged, lost and doubled.

    python -m bench.faults [--kills 1000] [--packets 10000] [--part kill cut packets]

Programs are killed while they write to a journal in a file and to one in PostgreSQL (a server of
this run's own); a journal's files are cut at every length of their last page; readings as a phone
keeps them are sent doubled and shuffled to two servers on one file. The tests do the same in small.
"""

import argparse
import json
import os
import random
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, contextmanager
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from uuid import UUID

from tests.faults.serving import Serving, packet
from tests.journal.cutting import FRAME, PAGE, ROWS, Cut, closed_file, cut, journal_files
from tests.journal.killing import Aftermath, aftermath, kill_writers
from tests.postgres_server import Server, why_not

from gaugewalk.journal.store import Journal

COPIES, AT_ONCE = 4, 50  # of each packet, and packets in a request
TURNS = 12  # files that are cut at once


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """One line of the table."""

    what: str
    times: int  # that the fault was made
    acknowledged: int
    lost: int
    doubled: int
    silent: int = 0  # losses that nobody was told of
    faults: int = 0  # in the hash chain
    seconds: float = 0.0

    @property
    def held(self) -> bool:
        """Whether all that was acknowledged is there once, or its absence is told."""
        return not (self.lost or self.doubled or self.silent or self.faults)


def after(what: str, times: int, found: Aftermath) -> Found:
    """Put what became of a journal into a line."""
    return Found(
        what=what,
        times=times,
        acknowledged=found.acknowledged,
        lost=len(found.lost),
        doubled=len(found.doubled),
        faults=len(found.faults),
    )


@contextmanager
def database() -> Iterator[str]:
    """An empty database of a PostgreSQL of this run's own."""
    server = Server.make()
    try:
        yield server.url(server.new_database())
    finally:
        server.remove()


def killed(folder: Path, kills: int) -> Iterator[Found]:
    """Kill writers."""
    place = str(folder / "killed.db")
    yield after("kill -9 while writing, SQLite", kills, kill_writers(place, kills))
    if reason := why_not():
        print(reason)
        return
    with database() as url:
        yield after("kill -9 while writing, PostgreSQL", kills, kill_writers(url, kills))


def cuts(folder: Path) -> Iterator[Found]:
    """Cut the last page of the journal's file, and of its -wal, at every length."""
    wholes = [(closed_file(folder / f"closed{turn}"), "", PAGE) for turn in range(TURNS)]
    lefts = [(journal_files(_made(folder / f"left{turn}")), "-wal", FRAME) for turn in range(TURNS)]
    with ThreadPoolExecutor(TURNS) as pool:  # each looks three times before it says so
        for what, files in (("journal file cut", wholes), ("its -wal cut", lefts)):
            yield _cut(
                what, [one for some in pool.map(_every, range(TURNS), files) for one in some]
            )


def _made(folder: Path) -> Path:
    folder.mkdir()
    return folder


def _every(turn: int, given: tuple[Path, str, int]) -> list[Cut]:
    """Cut at every length that falls to this turn."""
    file, suffix, most = given
    return list(cut(file, suffix, range(1 + turn, most + 1, TURNS)))


def _cut(what: str, found: list[Cut]) -> Found:
    """Count the cuts; a cut file has lost something, so what counts is that it is told."""
    silent = [one for one in found if not (one.refused or one.lost or one.entries == ROWS)]
    torn = [one for one in found if not one.refused and not one.whole]
    return Found(
        what=f"{what} at every length of the last page",
        times=len(found),
        acknowledged=ROWS,
        lost=0,
        doubled=0,
        silent=len(silent),
        faults=len(torn),
    )


def packets(folder: Path, number: int) -> Iterator[Found]:
    """Send packets doubled and shuffled to two servers on one file, and to two on one database."""
    place = str(folder / "packets.db")
    yield _shuffled("SQLite", place, number)
    if not why_not():
        with database() as url:
            yield _shuffled("PostgreSQL", url, number)


def _shuffled(what: str, place: str, number: int) -> Found:
    Journal.open(place).close()
    chance = random.Random(11)
    sent = [packet(n) for n in range(number // COPIES)] * COPIES
    chance.shuffle(sent)
    batches = [sent[n : n + AT_ONCE] for n in range(0, len(sent), AT_ONCE)]
    with ExitStack() as stack:
        servers = [Serving(journal=place) for _ in range(2)]
        for server in servers:
            stack.callback(server.stop)
        clients = [stack.enter_context(server.wait().client()) for server in servers]

        def send(turn: int) -> list[str]:
            answer = clients[turn % 2].post("/api/v1/records", json={"records": batches[turn]})
            return [one["id"] for one in answer.json()["results"] if one["taken"]]

        with ThreadPoolExecutor(4) as pool:
            told = [UUID(id_) for ids in pool.map(send, range(len(batches))) for id_ in ids]
    found = aftermath(place, told)
    return after(f"packets doubled, shuffled, to two servers, {what}", len(sent), found)


NAMES = ("times", "acknowledged", "lost", "doubled", "silent", "faults")


def show(one: Found) -> None:
    """Print a line of the table."""
    figures = "".join(f"{getattr(one, name):>13}" for name in NAMES)
    print(
        f"{one.what:<60}{figures}{one.seconds:>8.0f} s{'' if one.held else '  NOT HELD'}",
        flush=True,
    )


def main() -> int:
    """Inject all of them, print, keep as JSON; say by the exit whether everything held."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--kills", type=int, default=1000)
    parser.add_argument("--packets", type=int, default=10_000)
    parser.add_argument("--part", nargs="+", default=["kill", "cut", "packets"])
    given = parser.parse_args()
    lines: list[Found] = []
    print(f"{'':<60}" + "".join(f"{name:>13}" for name in NAMES))
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        parts: dict[str, Callable[[], Iterator[Found]]] = {
            "kill": lambda: killed(folder, given.kills),
            "cut": lambda: cuts(folder),
            "packets": lambda: packets(folder, given.packets),
        }
        for name in given.part:
            start = time.perf_counter()
            for one in parts[name]():
                now = time.perf_counter()
                lines.append(replace(one, seconds=now - start))
                show(lines[-1])
                start = now
    out = Path(__file__).parent / "results" / "faults.json"
    out.parent.mkdir(exist_ok=True)
    record = {"load_average": os.getloadavg(), "lines": [asdict(one) for one in lines]}
    out.write_text(json.dumps(record, indent=2), "utf-8")
    return 0 if all(one.held for one in lines) else 1


if __name__ == "__main__":
    sys.exit(main())
