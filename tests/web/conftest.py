"""A client over a real watch; nothing is mocked."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient

from gaugewalk.watch.service import Watch
from gaugewalk.web.app import create_app
from gaugewalk.web.door import Door

from .seeded import NOW, copy_of, seed


@pytest.fixture(scope="session")
def seeded(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return seed(tmp_path_factory.mktemp("seeded"))


@pytest.fixture
def watch(seeded: Path, tmp_path: Path) -> Iterator[Watch]:
    opened = copy_of(seeded, tmp_path)
    yield opened
    opened.journal.close()


@pytest.fixture(scope="session")
def app(seeded: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[FastAPI]:
    """One app for all tests, because making its routes takes longer than most of them."""
    first = copy_of(seeded, tmp_path_factory.mktemp("first"))
    yield create_app(first, clock=lambda: NOW)
    first.journal.close()


@pytest.fixture
def client(app: FastAPI, watch: Watch) -> TestClient:
    app.state.door = Door(watch=watch, clock=lambda: NOW)
    return TestClient(app, follow_redirects=False)
