"""What every test has: one Hypothesis profile, and a PostgreSQL where there can be one.

The profile: the same examples each time, no stopwatch. A deadline measures how busy the machine
is, not whether the code is right, and a first example pays for lazy imports. The examples are
drawn afresh with `--hypothesis-profile=explore`.
"""

from collections.abc import Iterator

import pytest
from hypothesis import settings

from .postgres_server import Server, why_not

settings.register_profile("same", deadline=None, derandomize=True)
settings.register_profile("explore", deadline=None, max_examples=500)
settings.load_profile("same")


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add `--everywhere`, which doubles the time that the tests of the watch take."""
    parser.addoption(
        "--everywhere",
        action="store_true",
        help="run every test that keeps a journal in PostgreSQL too, not only the journal's own",
    )


@pytest.fixture(scope="session")
def postgres() -> Iterator[Server]:
    """A server of this run's own; without PostgreSQL its tests say so and are left out."""
    reason = why_not()
    if reason:
        pytest.skip(reason)
    server = Server.make()
    yield server
    server.remove()


@pytest.fixture
def postgres_url(postgres: Server) -> str:
    """The URL of a database in which nothing is recorded."""
    return postgres.url(postgres.emptied())
