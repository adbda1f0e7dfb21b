"""What moves in a recorded history, as findings and as named causes."""

import pytest

from gaugewalk.diagnose.knowledge import load_knowledge
from gaugewalk.diagnose.moved import findings_of, namer
from gaugewalk.judge.screen_result import Move


@pytest.fixture(scope="module")
def knowledge():
    return load_knowledge()


def move(point, motion, now, usual=1.0, unit="m3/h"):
    return Move(
        point=point, unit=unit, motion=motion, usual=usual, now=now, low=0.9 * now, high=1.1 * now
    )


def test_findings_seen_and_seen_not_to_be_there(knowledge):
    seen = findings_of(knowledge, (move("flow", "low", 0.8),), {"flow": 1.0, "motor_current": 5.0})
    assert seen["flow-low"] is True
    assert seen["motor-current-low"] is False
    assert "discharge-pressure-low" not in seen  # not recorded: never taken as absent
    assert "flow-high" not in seen


def test_a_frozen_sensor_is_an_instrument_finding(knowledge):
    seen = findings_of(knowledge, (move("flow", "frozen", 1.0),), {"flow": 1.0})
    assert seen == {"gauge-stuck": True} | {k: v for k, v in seen.items() if k != "gauge-stuck"}
    assert "flow-low" not in seen


def test_a_swing_with_a_fallen_mean_is_no_hunting_drive(knowledge):
    assert findings_of(knowledge, (move("flow", "swinging", 0.3),), {})["speed-hunting"] is False
    assert "speed-hunting" not in findings_of(knowledge, (move("flow", "swinging", 1.0),), {})


def test_a_wild_swing_at_a_fraction_of_the_flow_is_gas_vapor_or_level(knowledge):
    name = namer(knowledge)((move("flow", "swinging", 0.2),), {"liquid_temperature": 300.0})
    assert any(word in name for word in ("Air", "vapor", "Level of the source"))
    assert "Governor" not in name


def test_inlet_and_outlet_throttling_are_not_told_apart_without_a_pressure(knowledge):
    low = (move("flow", "low", 0.9),)
    assert "cannot be told apart" in namer(knowledge)(low, {})
    assert "cannot be told apart" not in namer(knowledge)(low, {"suction_pressure": 1e5})
