"""An open database of people, empty, and some who may sign in."""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from gaugewalk.people import passwords
from gaugewalk.people.store import Store

NOW = datetime(2025, 11, 20, 9, 30, tzinfo=UTC)
REAL_HASHER = passwords._hasher
PASSWORD = "lantern ring follows gland"


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = Store.open(tmp_path / "people.db")
    yield opened
    opened.close()


@pytest.fixture(scope="session", autouse=True)
def _quick() -> Iterator[None]:
    """Hash with less effort, once for all tests; one test looks at the real effort."""
    from argon2 import PasswordHasher

    with pytest.MonkeyPatch.context() as patch:
        cheap = PasswordHasher(time_cost=1, memory_cost=64, parallelism=1)
        patch.setattr(passwords, "_hasher", lambda: cheap)
        passwords._stand_in.cache_clear()
        yield
    passwords._stand_in.cache_clear()
