"""Sound pumps with a sign that tempts: nothing is made of them beyond `watch`.

The signs are common practice, no source; the limits that make them harmless stand in the knowledge.
"""

from typing import Any

import pytest

from gaugewalk.diagnose.case_file import read_case
from gaugewalk.diagnose.diagnosis import diagnose

PACKED = {"shaft_seal": "packing", "lubrication": "grease", "liquid": {"name": "water"}}
SEALED = {"shaft_seal": "single mechanical seal", "liquid": {"name": "water"}}
SUMP = SEALED | {"lubrication": "oil sump"}
FORCED = SEALED | {"lubrication": "forced feed"}
TEMPTING: dict[str, tuple[dict[str, Any], str, dict[str, str], dict[str, str]]] = {
    "new packing runs in": (
        PACKED,
        "just-started after-maintenance !gland-hot !leak-off-none",
        {"leak_off": "110 drops/min"},
        {},
    ),
    "packing on few drops": (PACKED, "leak-off-low !leak-off-none !gland-hot", {}, {}),
    "fresh grease": (
        PACKED,
        "bearing-hot-after-greasing !noise-bearing !bearing-temperature-rising-fast",
        {"bearing_temperature_de": "62 degC"},
        {"bearing_temperature_de": "55 degC"},
    ),
    "moist cold seal": (SEALED, "seal-moist-cold !seal-dripping", {}, {}),
    "hot day": (
        SUMP,
        "bearing-temperature-high all-bearings-warm hot-surroundings !noise-bearing",
        {"bearing_temperature_de": "72 degC"},
        {"bearing_temperature_de": "64 degC"},
    ),
    "standby at no pressure": (
        SUMP | {"standby": True},
        "pump-stopped !standby-turning-backward",
        {"discharge_pressure": "0 barg", "motor_current": "0 A"},
        {},
    ),
    "standby of a known duty": (
        SUMP | {"rated": {"flow": "110 m3/h", "head": "35 m", "speed": "1480 rpm"}},
        "pump-stopped",
        {"discharge_pressure": "0.5 barg", "suction_pressure": "0.5 barg", "flow": "0 m3/h"},
        {"discharge_pressure": "3.9 barg", "flow": "110 m3/h"},
    ),
    "needle that flutters": (
        SUMP,
        "discharge-pressure-swinging !motor-current-swinging !flow-swinging !vibration-unsteady",
        {},
        {},
    ),
    "throttled on purpose": (
        SUMP,
        "demand-changed discharge-valve-closed flow-low discharge-pressure-high !casing-hot",
        {},
        {},
    ),
    "turned down on purpose": (
        SUMP | {"variable_speed": True},
        "demand-changed speed-low flow-low discharge-pressure-low motor-current-low",
        {},
        {},
    ),
    "oil still cold": (
        FORCED,
        "just-started cold-weather !oil-supply-pressure-low",
        {"oil_supply_pressure": "2.1 barg"},
        {"oil_supply_pressure": "1.8 barg"},
    ),
    "started after work": (SUMP, "just-started after-maintenance !vibration-radial-high", {}, {}),
    "filter loads": (
        FORCED,
        "came-slowly !oil-supply-pressure-low",
        {"oil_filter_dp": "0.6 bar"},
        {"oil_filter_dp": "0.35 bar"},
    ),
}


@pytest.mark.parametrize("name", TEMPTING)
def test_a_tempting_sign_raises_no_alarm(name: str) -> None:
    pump, signs, readings, normal = TEMPTING[name]
    observations = [
        {"finding": sign.lstrip("!"), "present": not sign.startswith("!")} for sign in signs.split()
    ]
    case = {"pump": pump, "observations": observations, "readings": readings, "normal": normal}
    found = diagnose(read_case(case))
    assert str(found.verdict) in ("normal", "watch")
    assert found.no_fault > found.causes[0].probability


def test_the_same_signs_with_a_bad_one_are_no_longer_harmless() -> None:
    """Each innocent reason gives way to the sign that speaks against it."""
    worse = {
        "packing on few drops": "gland-hot",
        "needle that flutters": "motor-current-swinging",
        "fresh grease": "noise-bearing",
        "oil still cold": "oil-metal",
    }
    for name, sign in worse.items():
        pump, signs, readings, normal = TEMPTING[name]
        kept = [one for one in signs.split() if one.lstrip("!") != sign and one[0] != "!"]
        observations = [{"finding": one, "present": True} for one in [*kept, sign]]
        case = {"pump": pump, "observations": observations, "readings": readings, "normal": normal}
        found = diagnose(read_case(case))
        assert found.no_fault < 0.5, name
        assert str(found.verdict) in ("act", "stop"), name


def test_a_pump_that_turns_without_pressure_is_not_taken_for_standing() -> None:
    readings = {"discharge_pressure": "0 barg", "motor_current": "30 A", "flow": "0 m3/h"}
    normal = {"discharge_pressure": "3.9 barg", "motor_current": "58 A", "flow": "110 m3/h"}
    found = diagnose(read_case({"pump": SUMP, "readings": readings, "normal": normal}))
    assert str(found.verdict) == "stop"
    assert found.no_fault < 0.1
