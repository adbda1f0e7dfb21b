"""What the forward model of this pump says its gauges would show, against the table."""

import numpy as np
import pytest

from gaugewalk.diagnose.case_file import read_case
from gaugewalk.diagnose.diagnosis import diagnose
from gaugewalk.diagnose.knowledge import load_knowledge
from gaugewalk.diagnose.signature import pump_of, with_signature
from gaugewalk.physics.circuit import operate
from gaugewalk.physics.circuit_parts import Condition
from gaugewalk.plant.circuit import circuit_of
from gaugewalk.units import show

PUMP = {
    "liquid": {"name": "water", "temperature": "25 degC"},
    "shaft_seal": "packing",
    "lubrication": "oil sump",
    "driver": "electric motor",
    "suction": "flooded",
    "suction_strainer": True,
    "rated": {"flow": "150 m3/h", "head": "40 m", "npshr": "3 m", "speed": "1480 rpm"},
}
UNITS = {
    "suction_pressure": "bara",
    "discharge_pressure": "bara",
    "flow": "m3/h",
    "motor_current": "A",
    "suction_strainer_dp": "bar",
}


def case_with(cause: str | None, severity: float) -> dict[str, object]:
    """Return a case whose readings the forward model made: sound, and with one cause."""
    pump = pump_of(read_case({"pump": PUMP}))
    assert pump is not None
    circuit = circuit_of(pump, barometric=101_325.0)

    def readings(severities: dict[str, float]) -> dict[str, str]:
        values = operate(circuit, Condition(severities=severities)).values
        return {
            point: show(float(values[point]), unit, digits=6)
            for point, unit in UNITS.items()
            if point in values
        }

    return {
        "pump": PUMP,
        "readings": readings({cause: severity} if cause else {}),
        "normal": readings({}),
    }


@pytest.mark.parametrize(
    ("cause", "severity", "accept"),
    [
        ("suction-strainer-plugged", 0.7, {"suction-strainer-plugged"}),
        (
            "wear-rings-worn",
            0.9,
            {"wear-rings-worn", "min-flow-valve-passing", "check-valve-leaking-back"},
        ),
        (
            "back-pressure-too-high",
            0.6,
            {"back-pressure-too-high", "discharge-strainer-plugged", "check-valve-stuck-closed"},
        ),
        ("runout", 0.8, {"runout", "runout-with-cavitation"}),
        ("speed-too-low", 0.6, {"speed-too-low", "density-too-low", "impeller-damaged"}),
    ],
)
def test_readings_of_the_model_lead_back_to_the_cause(
    cause: str, severity: float, accept: set[str]
) -> None:
    found = diagnose(read_case(case_with(cause, severity)))
    assert accept.intersection(one.cause for one in found.causes[:3])
    assert found.verdict != "normal"


def test_a_sound_pump_stays_sound() -> None:
    found = diagnose(read_case(case_with(None, 0.0)))
    assert found.verdict == "normal"
    assert found.no_fault > 0.6


def test_without_curve_or_duty_the_table_answers() -> None:
    knowledge = load_knowledge()
    bare = read_case({"readings": {"flow": "3 m3/h"}})
    assert with_signature(bare, knowledge) is knowledge.network


def test_only_what_a_reading_can_show_is_changed() -> None:
    knowledge = load_knowledge()
    case = read_case({"pump": PUMP, "readings": {"flow": "100 m3/h"}})
    changed = np.flatnonzero(
        (with_signature(case, knowledge).shows != knowledge.network.shows).any(axis=0)
    )
    names = {knowledge.network.findings[column] for column in changed}
    assert names == {"flow-low", "flow-high", "flow-zero", "flow-swinging"}


def test_chances_stay_chances() -> None:
    knowledge = load_knowledge()
    case = read_case(case_with("runout", 0.5))
    shows = with_signature(case, knowledge).shows
    assert ((shows >= 0.0) & (shows < 1.0)).all()


def test_a_moved_demand_is_not_taken_for_a_cause() -> None:
    """The pump in order at another resistance of the system: on its curve, all gauges agree."""
    pump = pump_of(read_case({"pump": PUMP}))
    assert pump is not None
    circuit = circuit_of(pump, barometric=101_325.0)
    moved = operate(circuit, Condition(demand=0.75)).values
    case = case_with(None, 0.0)
    case["readings"] = {
        point: show(float(moved[point]), unit, digits=6)
        for point, unit in UNITS.items()
        if point in moved
    }
    found = diagnose(read_case(case))
    assert found.verdict in {"normal", "watch"}
    assert found.no_fault > 0.5


def test_small_changes_that_fit_together_tell_what_no_single_one_does() -> None:
    """Six percent less pressure, nine less flow, seven more current: worn rings."""
    found = diagnose(read_case(case_with("wear-rings-worn", 0.9)))
    assert any("fit best" in note for note in found.notes)
