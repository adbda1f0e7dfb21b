"""What a verdict costs after 100, 10,000 and 1,000,000 past readings of one point.

First the judge alone, with the state that so many readings leave behind; then the whole way of a
reading into a journal file that holds so many rows of the same point already. Feeding a million
readings one by one would take longer than anybody waits, so two things are shortened and said: of
the judge's state, the bounded set of good readings is fed with every one, and the line is fitted
for the last 300 only; of the journal, the old rows are written by one statement, without verdicts.
"""

import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np

from bench.common import Row, seconds, show
from gaugewalk.diagnose.knowledge import load_knowledge
from gaugewalk.drill.larkmoor import larkmoor
from gaugewalk.journal.store import Journal
from gaugewalk.judge.judge import judge_reading
from gaugewalk.judge.normal import Sample, keep
from gaugewalk.judge.state import PointState
from gaugewalk.judge.verdict import Verdict
from gaugewalk.units import Quantity
from gaugewalk.watch.service import Watch

COUNTS = (100, 10_000, 1_000_000)
TAG, POINT = "W21A", "discharge_pressure"
START = datetime(2023, 1, 1, tzinfo=UTC)
MINUTE = timedelta(minutes=1)
JUDGED = 300  # of the last readings, judged one by one
PLANT = larkmoor()
_ROWS = """
WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < :rows)
INSERT INTO entries SELECT i, printf('00000000-0000-7000-8000-%012x', i), 'reading', :tag, :point,
  414325.0 + i % 50, NULL, NULL, 'pressure', 'barg', '3.13', 'bench', :first + 60000000 * i,
  :first + 60000000 * i, NULL, :body, printf('%064x', i) FROM n
"""
_BODY = '{"verdict":{"severity":"normal","sentence":"' + "." * 90 + '","plausible":true}}'


def rows() -> list[Row]:
    """Time a verdict, and a reading taken, after so many readings, each against the fewest."""
    return [*verdict_rows(), *journal_rows()]


def verdict_rows() -> list[Row]:
    """Time a verdict after so many readings, each against the one after the fewest."""
    times = {count: seconds(_verdict(count), repeat=300) for count in COUNTS}
    return _table("a verdict, past readings of its point", times)


def journal_rows() -> list[Row]:
    """Time taking a reading into a file with so many rows, each against the fewest."""
    times = {}
    for count in COUNTS:
        with _watch(count) as watch:
            times[count] = _taking(watch)
    return _table("a reading taken, rows in the journal file", times)


def _table(what: str, times: dict[int, float]) -> list[Row]:
    few, *more = times
    return [
        Row(what=f"{what}: {count:,}", ours_s=times[count], peer=f"{few}", peer_s=times[few])
        for count in more
    ]


def _bar(number: int) -> float:
    return float(3.13 + 0.02 * np.random.default_rng(number).standard_normal())


def _judge(state: PointState, number: int) -> tuple[Verdict, PointState]:
    pump = PLANT.pump(TAG)
    assert pump is not None
    bar = _bar(number)
    return judge_reading(
        pump,
        POINT,
        Quantity(value=bar * 1e5 + 101325.0, kind="pressure", unit="barg", entered=f"{bar:.2f}"),
        seen_at=START + number * MINUTE,
        state=state,
        context={"running": 1.0},
        barometric=101325.0,
    )


def _after(count: int) -> PointState:
    """Return the state after so many readings, a minute apart."""
    noise = np.random.default_rng(0).standard_normal(count)
    samples: tuple[Sample, ...] = ()
    before = max(count - JUDGED, 0)
    for i in range(before):
        at = (START + i * MINUTE).timestamp()
        value = (3.13 + 0.02 * noise[i]) * 1e5 + 101325.0
        samples = keep(samples, Sample(at=at, value=float(value), drivers=(np.nan,) * 3))
    state = replace(PointState(), samples=samples, learned=before)
    for i in range(before, count):
        _, state = _judge(state, i)
    return state


def _verdict(count: int) -> "Verdicts":
    return Verdicts(_after(count), count + 1)


class Verdicts:
    """The next verdict on a state, again and again."""

    def __init__(self, state: PointState, number: int) -> None:
        self.state, self.number = state, number

    def __call__(self) -> Verdict:
        """Judge one reading."""
        return _judge(self.state, self.number)[0]


@contextmanager
def _watch(count: int) -> Iterator[Watch]:
    """Yield a watch over a journal file with so many rows of the point."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "watch.db"
        Journal.open(file).close()
        _fill(file, count)
        journal = Journal.open(file)
        yield Watch(plant=PLANT, journal=journal, knowledge=load_knowledge())
        journal.close()


def _fill(file: Path, count: int) -> None:
    first = int((START - count * MINUTE).timestamp() * 1e6)
    given = {"rows": count, "tag": TAG, "point": POINT, "first": first, "body": _BODY}
    connection = sqlite3.connect(file)
    with connection:
        connection.execute(_ROWS, given)
    connection.close()


def _taking(watch: Watch) -> float:
    """Return the seconds of one reading, after as many as make an own normal."""
    number = iter(range(10**6))

    def take() -> None:
        i = next(number)
        at = START + 10 * i * MINUTE
        watch.take_reading(TAG, POINT, f"{_bar(i):.2f}", who="bench", now=at, seen_at=at)

    for _ in range(60):
        take()
    return seconds(take, repeat=200)


if __name__ == "__main__":
    show(rows())
