"""A calculation's inputs are filled from the pump's own data, as a person would type them."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ids import new_id
from gaugewalk.plant.pump import Lubrication, PlantLiquid, Pump, ShaftSeal, Source
from gaugewalk.units import STANDARD_PRESSURE, parse
from gaugewalk.watch.calculation import Calculation, Input
from gaugewalk.watch.handbook import calculations, find
from gaugewalk.watch.handbook_fill import fill

SEEN = datetime(2025, 11, 20, 9, tzinfo=UTC)
PUMP = Pump(
    tag="P-1",
    name="Rinse",
    liquid=PlantLiquid(name="hexane"),
    source=Source(kind="vessel", boiling=True),
    suction_diameter=0.06,
    seal=ShaftSeal(kind="packing"),
    lubrication=Lubrication(kind="grease"),
)


def read(point: str, value: float) -> Entry:
    return Entry(
        id=new_id(SEEN), kind="reading", who="R. Vale", seen_at=SEEN, tag="P-1", point=point,
        value=value,
    )  # fmt: skip


def filled(name: str, last: dict[str, Entry], pump: Pump = PUMP) -> dict[str, str]:
    return fill(find(name), pump, last, barometric=STANDARD_PRESSURE)


def test_readings_and_the_plant_file_fill_the_total_head() -> None:
    last = {"discharge_pressure": read("discharge_pressure", 411325.0)}
    found = filled("total-head", last)
    assert found["discharge_pressure"] == "3.1 barg"
    assert found["liquid"] == "hexane"
    assert found["suction_diameter"] == "60 mm"
    assert "suction_pressure" not in found  # not read: left to the person


def test_nothing_known_fills_nothing_that_is_not_there() -> None:
    bare = replace(PUMP, suction_diameter=None)
    assert "suction_diameter" not in filled("total-head", {}, bare)


@pytest.mark.parametrize("boiling", [True, False])
def test_a_yes_or_no_is_filled_as_a_word(boiling: bool) -> None:
    pump = replace(PUMP, source=Source(kind="vessel", boiling=boiling))
    one = Input(name="boiling", form="yes-no", words="", fill="source.boiling")
    calculation = replace(find("total-head"), inputs=(one,))
    found = fill(calculation, pump, {}, barometric=STANDARD_PRESSURE)
    assert found == {"boiling": "yes" if boiling else "no"}


def _paths() -> list[tuple[Calculation, Input]]:
    return [(c, i) for c in calculations().values() for i in c.inputs if i.fill]


def test_every_place_that_is_named_exists() -> None:
    """A path with a typing error would fill nothing and never be missed."""
    from gaugewalk.plant.points import all_points

    for calculation, one in _paths():
        if one.fill.startswith("point:"):
            assert one.fill.removeprefix("point:") in all_points(), (calculation.name, one.name)
            continue
        first = one.fill.split(".")[0]
        assert first in Pump.__dataclass_fields__, (calculation.name, one.name)


def test_what_is_filled_in_reads_back_as_the_same() -> None:
    last = {"flow": read("flow", 412.34 / 3600)}
    text = filled("total-head", last)["flow"]
    assert parse(text, "flow").value == pytest.approx(412.34 / 3600, rel=1e-5)
