from collections.abc import Iterator
from pathlib import Path

import pytest

from gaugewalk.journal.store import Journal


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "watch.db"


@pytest.fixture
def journal(path: Path) -> Iterator[Journal]:
    opened = Journal.open(path)
    yield opened
    opened.close()
