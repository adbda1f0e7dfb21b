"""The plant of the demo, and the journal that it is given."""

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import get_args

import pytest

from gaugewalk import units
from gaugewalk.diagnose.knowledge import load_knowledge
from gaugewalk.drill.history import STATIC_SHARE, records
from gaugewalk.drill.larkmoor import create, larkmoor, plant_text
from gaugewalk.errors import ArgumentError
from gaugewalk.journal.store import Journal
from gaugewalk.physics.circuit import solve
from gaugewalk.physics.circuit_effects import EXTENT
from gaugewalk.physics.circuit_parts import Condition
from gaugewalk.plant.circuit import circuit_of
from gaugewalk.plant.plant_file import check_plant_text, load_plant
from gaugewalk.plant.pump import Lubrication, Pump, ShaftSeal
from gaugewalk.plant.site import barometric
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.rebuild import projector

PLANT = larkmoor()
AIR = barometric(PLANT)
NOW = datetime(2025, 11, 25, 9, 40, tzinfo=UTC)
DAYS = 1


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("demo") / "larkmoor"
    shares: list[float] = []
    path = create(folder, now=NOW, days=DAYS, progress=shares.append)
    assert shares == sorted(shares)
    assert shares[-1] == 1.0
    return path


# ------------------------------------------------------------------ the plant file


def test_the_plant_file_has_no_problem_at_all() -> None:
    plant, problems = check_plant_text(plant_text(), "larkmoor.toml")
    assert plant is not None
    assert problems == ()
    assert 20 <= len(plant.pumps) <= 28


def test_every_kind_of_seal_and_lubrication_stands_somewhere() -> None:
    kinds = {pump.lubrication.kind for pump in PLANT.pumps}
    assert kinds == set(get_args(Lubrication.__annotations__["kind"]))
    seals = {pump.seal.kind for pump in PLANT.pumps}
    assert seals == set(get_args(ShaftSeal.__annotations__["kind"]))
    drivers = {pump.driver.kind for pump in PLANT.pumps}
    assert drivers == {"electric motor", "turbine", "engine"}


@pytest.mark.parametrize("pump", PLANT.pumps, ids=lambda pump: pump.tag)
def test_usual_readings_are_those_of_the_forward_model(pump: Pump) -> None:
    share = STATIC_SHARE.get(pump.tag[:3], 0.6)
    values = solve(circuit_of(pump, barometric=AIR, static_share=share), Condition())
    for point in pump.points:
        if point.usual is None or point.point == "ambient_temperature":
            continue
        read = units.from_si(point.usual, point.unit, barometric=AIR)
        model = units.from_si(float(values[point.point]), point.unit, barometric=AIR)
        if point.unit == "%":  # a level has no model; it stands where it was filled to
            assert 50.0 <= read <= 80.0
            continue
        assert read == pytest.approx(model, rel=0.03, abs=0.6 if point.unit == "degC" else 0.06)


@pytest.mark.parametrize("pump", PLANT.pumps, ids=lambda pump: pump.tag)
def test_motors_are_loaded_as_motors_are(pump: Pump) -> None:
    circuit = circuit_of(pump, barometric=AIR)
    if circuit.motor is None:
        return
    values = solve(circuit, Condition())
    assert 0.4 < values["motor_current"] / circuit.motor.plate.current < 0.95


def test_the_causes_of_the_forward_model_are_known_to_the_diagnosis() -> None:
    assert EXTENT.keys() <= load_knowledge().causes.keys()


# ------------------------------------------------------------------ the journal


def test_the_journal_holds_every_reading_once_and_unbroken(made: Path) -> None:
    written = records(PLANT, now=NOW, days=DAYS)
    journal = Journal.open(made.with_name("watch.db"))
    try:
        readings = sum(1 for _ in journal.entries(kinds=["reading"]))
        assert readings == sum(r.kind == "reading" and not r.corrects for r in written)
        assert journal.verify().ok
        first = next(iter(journal.entries(kinds=["reading"])))
    finally:
        journal.close()
    assert first.body["verdict"]["severity"] in ("normal", "watch", "act", "stop")
    assert first.recorded_at is not None
    assert timedelta(0) <= first.recorded_at - first.seen_at < timedelta(hours=4)


def test_what_the_screens_show_follows_from_the_journal_alone(made: Path) -> None:
    journal = Journal.open(made.with_name("watch.db"))
    try:
        desk = Desk(plant=PLANT, journal=journal, knowledge=load_knowledge())
        shown = journal.load_states("")
        journal.rebuild(projector(desk))
        assert shown
        assert journal.load_states("") == shown
    finally:
        journal.close()


def test_the_written_plant_file_is_read_back(made: Path) -> None:
    assert load_plant(made) == PLANT


def test_a_plant_that_is_there_is_never_written_over(made: Path) -> None:
    with pytest.raises(ArgumentError, match="exists already"):
        create(made.parent, now=NOW, days=1)


def test_a_history_longer_than_its_stories_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ArgumentError, match="days = 90; expected 1 to 60"):
        create(tmp_path / "long", now=NOW, days=90)
