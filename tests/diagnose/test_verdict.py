"""The word: danger signs and limits first; nothing made of what an innocent reason explains."""

import pytest

from gaugewalk.diagnose.case_file import read_case
from gaugewalk.diagnose.diagnosis import Diagnosis, diagnose

WATER = {"liquid": {"name": "water", "temperature": "20 degC"}}
RATED = {"rated": {"flow": "150 m3/h", "head": "40 m", "npshr": "3 m", "speed": "1480 rpm"}}


def of(
    there: str = "",
    absent: str = "",
    pump: dict[str, object] | None = None,
    **more: dict[str, str],
) -> Diagnosis:
    observations = [
        {"finding": finding, "present": present}
        for words, present in ((there, True), (absent, False))
        for finding in words.split()
    ]
    return diagnose(read_case({"pump": pump or {}, "observations": observations, **more}))


# DESIGN: smoke, spray, a dead-headed casing getting hot, a bearing rising fast, grinding, oil lost.
@pytest.mark.parametrize(
    "signs",
    [
        "gland-smoke",
        "seal-spraying",
        "casing-hot flow-zero",
        "casing-hot discharge-valve-closed",
        "bearing-temperature-rising-fast",
        "bearing-smoke",
        "motor-smell",
        "noise-grinding",
        "oil-pressure-lost",
        "oil-ring-stopped",
        "rotation-wrong",
        "shaft-stands-driver-turns",
        "rotor-moved-axially",
        "discharge-pressure-zero noise-quiet-hum",
    ],
)
def test_a_danger_sign_is_a_stop_whatever_else_is_fine(signs: str) -> None:
    fine = "noise-bearing oil-milky after-maintenance"
    assert of(signs, fine).verdict == "stop"


# Rolling bearings, published maker guidance: alarm at 82 degC, stop at 88 degC.
@pytest.mark.parametrize(
    ("reading", "word"), [("81 degC", "watch"), ("84 degC", "act"), ("89 degC", "stop")]
)
def test_bearing_temperature_limits(reading: str, word: str) -> None:
    readings = {"bearing_temperature_de": reading}
    assert of(readings=readings, normal={"bearing_temperature_de": "72 degC"}).verdict == word


# ISO 10816-7 category I up to 200 kW, zone limits 4.0 and 6.6 mm/s: from memory, unverified.
@pytest.mark.parametrize(
    ("reading", "word"), [("2.6 mm/s", "normal"), ("4.6 mm/s", "act"), ("7 mm/s", "stop")]
)
def test_vibration_limits(reading: str, word: str) -> None:
    readings = {"vibration_de": reading}
    assert of(readings=readings, normal={"vibration_de": "2.5 mm/s"}).verdict == word


def test_oil_pressure_at_the_trip_value() -> None:
    assert of(readings={"oil_supply_pressure": "0.4 barg"}).verdict == "stop"


def test_a_motor_above_its_nameplate_is_for_this_shift() -> None:
    pump: dict[str, object] = {"rated": {"current": "60 A"}}
    assert of(pump=pump, readings={"motor_current": "58 A"}).verdict == "normal"
    assert of(pump=pump, readings={"motor_current": "63 A"}).verdict == "act"


def test_a_reading_far_from_usual_is_for_this_shift() -> None:
    readings, usual = {"bearing_temperature_de": "78 degC"}, {"bearing_temperature_de": "48 degC"}
    assert of(readings=readings, normal=usual).verdict == "act"


def test_a_moved_operating_point_is_no_fault() -> None:
    """More flow, more current, less pressure, all on the curve: the pump does what it is asked."""
    found = of(
        "flow-high motor-current-high discharge-pressure-low",
        pump={**WATER, **RATED, "suction": "flooded"},
        readings={
            "flow": "172 m3/h",
            "motor_current": "68 A",
            "suction_pressure": "0.1 barg",
            "discharge_pressure": "3.7 barg",
        },
        normal={"motor_current": "61 A"},
    )
    assert found.verdict in {"normal", "watch"}
    assert found.no_fault > 0.6
    assert any("operating point" in text for text in found.innocent)


def test_the_same_signs_far_out_are_a_fault() -> None:
    found = of(
        "flow-high motor-current-high discharge-pressure-low came-suddenly",
        pump={**WATER, **RATED, "suction": "flooded"},
        readings={"flow": "290 m3/h"},
        normal={"flow": "150 m3/h"},
    )
    assert found.verdict in {"act", "stop"}
    assert found.causes[0].cause in {"runout", "runout-with-cavitation"}


@pytest.mark.parametrize(
    ("there", "absent", "readings", "normal"),
    [
        ("", "flow-low motor-current-swinging", {"flow": "40 m3/h"}, {"flow": "41 m3/h"}),
        (
            "hot-surroundings",
            "noise-bearing",
            {"bearing_temperature_de": "66 degC"},
            {"bearing_temperature_de": "61 degC"},
        ),
        (
            "came-slowly",
            "oil-supply-pressure-low",
            {"oil_filter_dp": "0.7 bar"},
            {"oil_filter_dp": "0.4 bar"},
        ),
        ("seal-moist-cold", "seal-dripping seal-hot", {}, {}),
        (
            "discharge-pressure-swinging",
            "motor-current-swinging flow-swinging noise-rattle-intermittent",
            {},
            {},
        ),
        ("just-started", "vent-gives-gas motor-current-swinging", {}, {}),
        ("after-maintenance", "gland-hot leak-off-none", {"leak_off": "60 drops/min"}, {}),
    ],
)
def test_tempting_signs_of_a_sound_pump_are_no_alarm(
    there: str, absent: str, readings: dict[str, str], normal: dict[str, str]
) -> None:
    assert of(there, absent, readings=readings, normal=normal).verdict in {"normal", "watch"}


def test_nothing_known_is_normal_and_says_so() -> None:
    found = of()
    assert found.verdict == "normal"
    assert found.no_fault > 0.5
    assert found.actions == ()
