"""A real journal in a real file, a small real plant, the real knowledge."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from gaugewalk.diagnose.knowledge import Knowledge, load_knowledge
from gaugewalk.journal.store import Journal
from gaugewalk.plant.plant_file import load_plant
from gaugewalk.plant.pump import Plant
from gaugewalk.watch.service import Watch

from .watch_day import Day

PLANT_FILE = Path(__file__).with_name("pair.toml")


@pytest.fixture(scope="session")
def plant() -> Plant:
    return load_plant(PLANT_FILE)


@pytest.fixture(scope="session")
def knowledge() -> Knowledge:
    return load_knowledge()


@pytest.fixture
def open_day(tmp_path: Path, plant: Plant, knowledge: Knowledge) -> Iterator[Callable[[], Day]]:
    """Open the same journal as often as wanted, as several programs would."""
    opened: list[Journal] = []

    def again() -> Day:
        opened.append(Journal.open(tmp_path / "watch.db"))
        return Day(Watch(plant=plant, journal=opened[-1], knowledge=knowledge))

    yield again
    for journal in opened:
        journal.close()


@pytest.fixture
def day(open_day: Callable[[], Day]) -> Day:
    return open_day()
