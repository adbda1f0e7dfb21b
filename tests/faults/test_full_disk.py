"""The disk is full: what is refused is told, what was acknowledged is there, and it goes on."""

import time
from contextlib import suppress
from pathlib import Path

import pytest

from gaugewalk.errors import StorageError
from gaugewalk.journal.store import Journal
from tests.journal.journal_entries import put, reading
from tests.postgres_server import Server, why_not

from .conftest import app_on, ids_in
from .full_disk import ballast, fill, longest_file, small_disk
from .serving import packet


def test_a_full_disk_is_told_and_when_there_is_space_again_it_goes_on(tmp_path: Path) -> None:
    with small_disk(tmp_path / "disk", "600k") as disk:
        place = str(disk / "watch.db")
        app, watch = app_on(place)
        filler = ballast(disk, leave=200_000)
        acknowledged, said = fill(watch.journal)
        assert "The disk is full. Nothing was stored" in str(said)
        refused = packet(9000)
        answer = app.post("/api/v1/records", json={"records": [refused]}).json()
        assert answer["results"][0]["again"]
        assert app.get("/pump/C1A").status_code == 200  # what is there can be read
        assert ids_in(place) == acknowledged
        filler.unlink()
        answer = app.post("/api/v1/records", json={"records": [refused]}).json()
        assert answer["results"][0]["taken"]
        assert ids_in(place) == [*acknowledged, refused["id"]]
        watch.journal.close()


def test_a_new_journal_on_a_full_disk_is_refused_and_leaves_none(tmp_path: Path) -> None:
    with small_disk(tmp_path / "disk", "400k") as disk:
        filler = ballast(disk, leave=20_000)
        with pytest.raises(StorageError, match=r"full"):
            Journal.open(disk / "watch.db")
        filler.unlink()
        journal = Journal.open(disk / "watch.db")
        put(journal, reading())
        assert journal.verify().ok
        journal.close()


def test_files_that_may_not_become_longer(tmp_path: Path) -> None:
    place = tmp_path / "watch.db"
    journal = Journal.open(place)
    with longest_file(400_000):
        acknowledged, said = fill(journal)
        assert "disk I/O error" in str(said)
        assert "not known" in str(said)
        assert ids_in(str(place)) == acknowledged
    entry = reading(9000)
    put(journal, entry)
    assert ids_in(str(place)) == [*acknowledged, str(entry.id)]
    journal.close()


@pytest.mark.skipif(why_not() is not None, reason=str(why_not()))
def test_postgresql_on_a_full_disk(tmp_path: Path) -> None:
    with small_disk(Path(f"/tmp/gw-disk-{tmp_path.name}"), "70m") as disk:
        server = Server.make(disk / "pg")
        place = server.url(server.new_database())
        journal = Journal.open(place)
        filler = ballast(disk, leave=1_100_000)
        acknowledged, said = fill(journal)
        assert "Nothing was stored" in str(said) or "is not known" in str(said)
        filler.unlink()
        if server.process and server.process.poll() is not None:  # it gives up where it cannot log
            server.start()
        entry = reading(9000)
        for _ in range(50):  # while it recovers
            with suppress(StorageError):
                put(journal, entry)
                break
            time.sleep(0.05)
        stored = ids_in(place)
        assert set(acknowledged) <= set(stored)
        assert len(stored) == len(set(stored)) <= len(acknowledged) + 2
        assert stored[-1] == str(entry.id)
        journal.close()
        server.stop()
