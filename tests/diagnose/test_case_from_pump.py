"""A case made of a pump of the plant file: its facts, its limits, its own words."""

import pytest

from gaugewalk.diagnose.case import Done, case_from_pump
from gaugewalk.diagnose.diagnosis import diagnose
from gaugewalk.plant.pump import (
    Driver,
    Lubrication,
    PlantCurve,
    PlantLiquid,
    Point,
    Pump,
    ShaftSeal,
    Source,
    Strainer,
)
from gaugewalk.units import parse

PUMP = Pump(
    tag="P-7",
    name="Cooling water pump",
    liquid=PlantLiquid(name="water", temperature=298.15),
    source=Source(kind="sump"),
    curve=PlantCurve(
        speed=24.5, flow=(0.0, 0.02, 0.04, 0.06), head=(40.0, 39.0, 35.0, 27.0), npshr=(2, 2, 3, 5)
    ),
    seal=ShaftSeal(kind="packing"),
    lubrication=Lubrication(kind="grease"),
    driver=Driver(kind="electric motor"),
    suction_strainer=Strainer(),
    points=(
        Point(point="bearing_temperature_de", unit="degC", watch_high=333.15, stop_high=343.15),
    ),
)


def test_the_plant_files_words_become_facts() -> None:
    case = case_from_pump(PUMP)
    assert case.facts["shaft_seal"] == "packing"
    assert case.facts["suction"] == "sump"
    assert case.facts["suction_strainer"] is True
    assert case.facts["discharge_strainer"] is False
    assert case.curve is not None
    assert case.curve.head[0] == 40.0


# The pump's own limits: watch from 60, stop from 70 degC, lower than the general ones.
@pytest.mark.parametrize(
    ("reading", "word"), [("58 degC", "normal"), ("62 degC", "watch"), ("71 degC", "stop")]
)
def test_the_pumps_own_limits_count(reading: str, word: str) -> None:
    case = case_from_pump(PUMP, readings={"bearing_temperature_de": parse(reading, "temperature")})
    assert diagnose(case).verdict == word


def test_what_was_done_is_evidence() -> None:
    vented = tuple(Done(action="vent", when=f"night {n}", returned_after=1800.0) for n in range(2))
    case = case_from_pump(PUMP, observations={"discharge-pressure-swinging": True}, done=vented)
    found = diagnose(case)
    assert any(piece.finding == "venting-helps-briefly" and piece.present for piece in found.pieces)
    assert found.causes[0].cause.startswith(("air-through", "gas-in", "vapor-from"))


def test_a_venting_that_held_was_trapped_air() -> None:
    signs = {"discharge-pressure-zero": True, "noise-quiet-hum": True}
    held = case_from_pump(
        PUMP, observations=signs, done=(Done(action="vent", result="stayed away"),)
    )
    assert diagnose(held).causes[0].cause in {"air-trapped", "foot-valve-leaking"}
