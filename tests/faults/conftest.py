"""One real server, and the app in this process, on one journal file."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from gaugewalk.diagnose.knowledge import load_knowledge
from gaugewalk.journal.store import Journal
from gaugewalk.plant.plant_file import load_plant
from gaugewalk.watch.service import Watch
from gaugewalk.web.app import create_app

from .serving import PLANT, Serving


@dataclass(frozen=True, kw_only=True)
class Two:
    """Two programs that serve one journal: the real server, and the app in this process."""

    place: str
    server: Serving
    app: TestClient

    def ids(self) -> list[str]:
        """The ids of all entries, after a look whether the chain is whole."""
        return ids_in(self.place)


def ids_in(place: str) -> list[str]:
    """The ids of all entries of a journal in their order, after a look whether it is whole."""
    journal = Journal.open(place)
    found = [str(entry.id) for entry in journal.entries()]
    assert journal.verify().faults == ()
    journal.close()
    return found


def app_on(place: str) -> tuple[TestClient, Watch]:
    """The app in this process on a journal."""
    watch = Watch(plant=load_plant(PLANT), journal=Journal.open(place), knowledge=load_knowledge())
    return TestClient(create_app(watch), raise_server_exceptions=False), watch


@pytest.fixture(scope="session")
def two(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Two]:
    place = str(tmp_path_factory.mktemp("two") / "watch.db")
    Journal.open(Path(place)).close()
    server = Serving(journal=place)  # it starts while the app is made
    app, watch = app_on(place)
    yield Two(place=place, server=server.wait(), app=app)
    watch.journal.close()
    assert "Traceback" not in server.stop()
