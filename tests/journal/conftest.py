"""A journal in a file, and the same in PostgreSQL; nothing is mocked."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from gaugewalk.journal.store import Journal


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "watch.db"


@pytest.fixture(params=["sqlite", "postgresql"])
def place(request: pytest.FixtureRequest, path: Path) -> str:
    """Where a journal may be: each test that asks runs once for each."""
    return str(path if request.param == "sqlite" else request.getfixturevalue("postgres_url"))


@pytest.fixture
def journal(place: str) -> Iterator[Journal]:
    opened = Journal.open(place)
    yield opened
    opened.close()


@pytest.fixture
def file_journal(path: Path) -> Iterator[Journal]:
    opened = Journal.open(path)
    yield opened
    opened.close()
