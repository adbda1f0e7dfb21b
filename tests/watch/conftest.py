"""A real journal in a real file, a small real plant, the real knowledge."""

import shutil
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


# These run in a file and in PostgreSQL every day; all others only with `pytest --everywhere`.
BOTH = ("test_take", "test_rounds", "test_correct", "test_imports")


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Let each test that needs a journal run once for each place where one may be."""
    if "place" in metafunc.fixturenames:
        everywhere = metafunc.config.getoption("--everywhere")
        both = everywhere or metafunc.module.__name__.rpartition(".")[2] in BOTH
        metafunc.parametrize("place", ["sqlite", *(["postgresql"] if both else [])], indirect=True)


@pytest.fixture
def place(request: pytest.FixtureRequest, tmp_path: Path, empty_journal: Path) -> str:
    """Where an empty journal is."""
    if request.param == "postgresql":
        return str(request.getfixturevalue("postgres_url"))
    return str(shutil.copy(empty_journal, tmp_path / "watch.db"))


@pytest.fixture
def open_day(place: str, plant: Plant, knowledge: Knowledge) -> Iterator[Callable[[], Day]]:
    """Open the same journal as often as wanted, as several programs would."""
    opened: list[Journal] = []

    def again() -> Day:
        opened.append(Journal.open(place))
        return Day(Watch(plant=plant, journal=opened[-1], knowledge=knowledge))

    yield again
    for journal in opened:
        journal.close()


@pytest.fixture
def day(open_day: Callable[[], Day]) -> Day:
    return open_day()


@pytest.fixture(scope="session")
def care_plant() -> Plant:
    return load_plant(PLANT_FILE.with_name("care.toml"))


@pytest.fixture(scope="session")
def empty_journal(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An empty journal in a file, brought up to date once."""
    path = tmp_path_factory.mktemp("empty") / "watch.db"
    Journal.open(path).close()
    return path


@pytest.fixture
def care_day(place: str, care_plant: Plant, knowledge: Knowledge) -> Iterator[Day]:
    """A plant with every kind of lubrication, strainers and a pair."""
    journal = Journal.open(place)
    yield Day(Watch(plant=care_plant, journal=journal, knowledge=knowledge))
    journal.close()
