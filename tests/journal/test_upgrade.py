"""A journal that any earlier version wrote is opened, whole, by this one."""

import gzip
import sqlite3
from pathlib import Path
from typing import Any

import pytest
import sqlalchemy as sa

from gaugewalk.journal import schema
from gaugewalk.journal.store import Journal
from gaugewalk.watch.form import is_kept, keep
from tests.postgres_server import Server
from tests.web.seeded import NOW, open_watch

KEPT = sorted((Path(__file__).parents[1] / "data" / "journals").glob("v*.db.gz"))
# What the program that wrote it said of its chain: entries and last hash.
SAID = {"0001": (24, "13cdb2b2b56988088e855f317ef0552e88398e8aea0141d4444fa157e8cb7a5e")}


def version_of(file: Path) -> str:
    return file.name[1:5]


@pytest.fixture(params=KEPT, ids=version_of)
def kept(request: pytest.FixtureRequest) -> Path:
    return Path(request.param)


@pytest.fixture
def old(kept: Path, path: Path) -> Path:
    path.write_bytes(gzip.decompress(kept.read_bytes()))
    return path


def test_every_version_but_this_one_is_kept() -> None:
    versions = [f"{n:04}" for n in range(1, int(schema.VERSION))]
    assert [version_of(file) for file in KEPT] == versions
    assert sorted(SAID) == versions


def test_an_old_file_is_upgraded_and_whole(kept: Path, old: Path) -> None:
    count, head = SAID[version_of(kept)]
    journal = Journal.open(old)
    found = journal.verify()
    with journal.engine.connect() as connection:
        assert schema.current_version(connection) == schema.VERSION
    assert (found.count, found.head, found.faults) == (count, head, ())
    entries = list(journal.entries())
    assert {"Zoë Vale", "S. Marsh"} <= {entry.who for entry in entries}
    assert [e.value is not None and e.low is not None for e in entries].count(True) >= 1  # a swing
    assert any("🔧" in str(entry.body) for entry in entries)
    journal.close()


def test_the_watch_goes_on_with_an_old_file(old: Path) -> None:
    watch = open_watch(old)
    assert not is_kept(watch.desk)
    keep(watch.desk)
    tag = watch.plant.pumps[0].tag
    before = watch.handover_text(NOW)
    assert "Stairs to the cellar are icy." in before
    assert watch.pump_page(tag, NOW).pump.tag == tag
    watch.take_reading(tag, "discharge_pressure", "3.1 barg", who="R. Vale", now=NOW)
    watch.rebuild()
    assert "Stairs to the cellar are icy." in watch.handover_text(NOW)
    assert watch.journal.verify().ok
    watch.journal.close()


def test_an_upgrade_that_breaks_off_changes_nothing(
    old: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = schema.upgrade

    def break_off(connection: sa.Connection) -> None:
        real(connection)
        raise KeyboardInterrupt

    with sqlite3.connect(old) as raw:
        before = list(raw.iterdump())
    raw.close()
    monkeypatch.setattr(schema, "upgrade", break_off)
    with pytest.raises(KeyboardInterrupt):
        Journal.open(old)
    monkeypatch.undo()
    with sqlite3.connect(old) as raw:
        assert list(raw.iterdump()) == before
    raw.close()
    journal = Journal.open(old)
    assert journal.verify().ok
    journal.close()


def rows_of(file: Path, table: str) -> list[dict[str, Any]]:
    raw = sqlite3.connect(file)
    raw.row_factory = sqlite3.Row
    rows = [dict(row) for row in raw.execute(f"SELECT * FROM {table}")]
    raw.close()
    return rows


def test_an_old_database_is_upgraded_and_whole(kept: Path, old: Path, postgres: Server) -> None:
    url = postgres.url(postgres.new_database())
    engine = sa.create_engine(url.replace("postgresql", "postgresql+psycopg", 1))
    with engine.begin() as connection:
        schema.upgrade(connection, version_of(kept))
        for table in ("entries", "states"):
            rows = rows_of(old, table)
            columns = sa.table(table, *(sa.column(name) for name in rows[0]))
            connection.execute(sa.insert(columns), rows)
    engine.dispose()
    journal = Journal.open(url)
    found = journal.verify()
    assert (found.count, found.head, found.faults) == (*SAID[version_of(kept)], ())
    with journal.engine.connect() as connection:
        assert schema.current_version(connection) == schema.VERSION
    journal.close()
