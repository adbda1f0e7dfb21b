"""What the liquid is, and which end is hot or shakes, moves the causes as the trade would."""

from pathlib import Path

import pytest

from gaugewalk.diagnose.case import Case, CaseLiquid, facts_of
from gaugewalk.diagnose.case_file import read_case
from gaugewalk.diagnose.diagnosis import Diagnosis, diagnose
from gaugewalk.diagnose.knowledge import load_knowledge
from gaugewalk.errors import FileError


def why(pump: dict[str, object], *there: str, **more: object) -> Diagnosis:
    observations = [{"finding": finding, "present": True} for finding in there]
    return diagnose(read_case({"pump": pump, "observations": observations, **more}))


def chance(found: Diagnosis, cause: str) -> float:
    return next((one.probability for one in found.causes if one.cause == cause), 0.0)


@pytest.mark.parametrize(
    ("name", "temperature", "near"),
    [
        ("water", 293.0, False),
        ("water", 373.0, True),
        ("water", 330.0, None),
        ("water", None, None),
        ("river water", None, False),
        ("condensate", None, True),
        ("boiler feedwater", 380.0, True),
        ("cooling water", None, None),
        ("hot oil", 450.0, None),
        ("propane", 290.0, True),
    ],
)
def test_a_liquid_near_its_boiling_point_is_known(
    name: str, temperature: float | None, near: bool | None
) -> None:
    case = Case(liquid=CaseLiquid(name=name, temperature=temperature))
    assert facts_of(case).get("near_boiling") is near


@pytest.mark.parametrize(
    ("name", "dirty"),
    [
        ("river water", True),
        ("Sewage", True),
        ("spray-pond water", True),
        ("fly-ash slurry", True),
        ("flash drum liquid", None),
        ("condensate", None),
    ],
)
def test_a_liquid_with_solids_is_known(name: str, dirty: bool | None) -> None:
    assert facts_of(Case(liquid=CaseLiquid(name=name))).get("dirty") is dirty


def test_solids_plug_impellers_sooner() -> None:
    signs = ("flow-low", "motor-current-high")
    dirty = why({"liquid": {"name": "sewage"}}, *signs)
    clean = why({"liquid": {"name": "water"}}, *signs)
    assert dirty.causes[0].cause == "impeller-plugged"
    assert chance(dirty, "impeller-plugged") > 1.5 * chance(clean, "impeller-plugged")


def test_cold_water_hardly_boils() -> None:
    signs = ("discharge-pressure-swinging", "motor-current-swinging")
    hot = why({"liquid": {"name": "water", "temperature": "96 degC"}}, *signs)
    cold = why({"liquid": {"name": "water", "temperature": "15 degC"}}, *signs)
    assert chance(hot, "vapor-from-hot-liquid") > 4.0 * chance(cold, "vapor-from-hot-liquid")


HOT_DRIVER = {"driver_bearing_temperature_de": "88 degC", "bearing_temperature_de": "58 degC"}
ALL_HOT = {"driver_bearing_temperature_de": "75 degC", "bearing_temperature_de": "76 degC"}
USUAL = {"driver_bearing_temperature_de": "60 degC", "bearing_temperature_de": "57 degC"}


def test_the_driver_s_own_bearing_is_named_where_only_it_is_hot() -> None:
    found = why({}, readings=HOT_DRIVER, normal=USUAL)
    assert found.causes[0].cause == "driver-bearing-worn"


def test_bearings_hot_alike_do_not_accuse_the_driver() -> None:
    found = why({}, readings=ALL_HOT, normal=USUAL)
    assert chance(found, "driver-bearing-worn") < 0.2


def test_the_end_that_shakes_more_counts() -> None:
    driver = {"driver_vibration_de": "6 mm/s", "vibration_de": "2.2 mm/s"}
    pump = {"driver_vibration_de": "2.2 mm/s", "vibration_de": "6 mm/s"}
    at_driver = why({}, readings=driver)
    at_pump = why({}, readings=pump)
    assert chance(at_driver, "driver-bearing-worn") > 3 * chance(at_pump, "driver-bearing-worn")
    assert str(at_driver.verdict) == str(at_pump.verdict) == "act"


def test_a_senseless_factor_for_solids_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "own.toml"
    path.write_text('[[cause]]\nid = "air-trapped"\nin_dirt = 0.0\n', "utf-8")
    with pytest.raises(FileError, match="faults") as caught:
        load_knowledge(path)
    assert "in_dirt" in str(caught.value)


@pytest.mark.parametrize("sign", ["casing-hot", "vent-gives-vapor", "gland-hot"])
def test_a_pump_without_pressure_and_with_heat_is_stopped(sign: str) -> None:
    found = why({"shaft_seal": "packing"}, "discharge-pressure-zero", sign)
    assert str(found.verdict) == "stop"


ONE_FLOW = {"flow": "110 m3/h", "motor_current": "58 A", "suction_pressure": "0.5 barg"}


def test_a_gauge_that_is_off_alone_is_the_suspect() -> None:
    usual = ONE_FLOW | {"discharge_pressure": "3.9 barg"}
    off = why({}, readings=ONE_FLOW | {"discharge_pressure": "1.9 barg"}, normal=usual)
    assert {one.cause for one in off.causes[:2]} == {"gauge-faulty", "gauge-line-plugged"}
    assert str(off.verdict) in ("watch", "act")


def test_a_current_that_is_off_alone_is_no_gauge() -> None:
    usual = ONE_FLOW | {"discharge_pressure": "3.9 barg"}
    off = why({}, readings=usual | {"motor_current": "85 A"}, normal=usual)
    assert chance(off, "gauge-faulty") < 0.1


def test_readings_that_move_together_are_no_gauge() -> None:
    usual = ONE_FLOW | {"discharge_pressure": "3.9 barg"}
    moved = {"flow": "70 m3/h", "motor_current": "45 A", "discharge_pressure": "2.4 barg"}
    assert chance(why({}, readings=usual | moved, normal=usual), "gauge-faulty") < 0.1
