"""An open database of people, empty, and some who may sign in."""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from gaugewalk.people.store import Store
from tests.cheap_hashing import cheap_hashing

NOW = datetime(2025, 11, 20, 9, 30, tzinfo=UTC)
PASSWORD = "lantern ring follows gland"


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = Store.open(tmp_path / "people.db")
    yield opened
    opened.close()


@pytest.fixture(scope="session", autouse=True)
def _quick() -> Iterator[None]:
    with cheap_hashing():
        yield
