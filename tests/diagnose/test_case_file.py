"""A case is read exactly, or every fault in it is named with the nearest known word."""

import json

import pytest

from gaugewalk.diagnose.case_file import read_case, read_case_text
from gaugewalk.errors import CaseError

# The case of the design's section 6, with rows that its dots leave out.
DESIGN = {
    "pump": {
        "liquid": {"name": "water", "temperature": "80 degC"},
        "shaft_seal": "packing",
        "lubrication": "oil sump",
        "driver": "electric motor",
        "suction": "flooded",
        "suction_strainer": True,
        "discharge_strainer": False,
        "curve": {
            "flow": [0, 20, 40, 60],
            "flow_unit": "m3/h",
            "head": [60, 58, 52, 40],
            "head_unit": "m",
            "npshr": [2, 2, 3, 5],
            "power": [5, 7, 9, 10],
            "power_unit": "kW",
        },
    },
    "readings": {
        "discharge_pressure": "3.1 barg",
        "motor_current": {"low": "18 A", "high": "24 A"},
    },
    "normal": {"discharge_pressure": "5.0 barg", "motor_current": "31 A"},
    "observations": [
        {"finding": "noise-rattle-intermittent", "present": True},
        {"finding": "gland-smoke", "present": False},
    ],
}


def faults(case: object) -> list[str]:
    with pytest.raises(CaseError) as caught:
        read_case(case)
    return [str(problem) for problem in caught.value.problems]


def test_the_case_of_the_design() -> None:
    case = read_case(DESIGN)
    assert case.facts["suction_strainer"] is True
    assert case.liquid.temperature == pytest.approx(353.15)
    assert case.readings["motor_current"].low == 18.0
    assert case.readings["motor_current"].high == 24.0
    assert case.curve is not None
    assert case.curve.flow[-1] == pytest.approx(60 / 3600)
    assert case.curve.npshr[-1] == 5.0
    assert case.observations == {"noise-rattle-intermittent": True, "gland-smoke": False}


def test_every_key_may_be_left_out() -> None:
    assert read_case({}).readings == {}


@pytest.mark.parametrize(
    ("case", "words"),
    [
        ({"pumps": {}}, "pump"),
        ({"pump": {"shaftseal": "packing"}}, "shaft_seal"),
        ({"pump": {"shaft_seal": "packings"}}, "packing"),
        ({"pump": {"suction_strainer": "yes"}}, "true or false"),
        ({"pump": {"suction_strainer": 1}}, "true or false"),
        ({"pump": {"rated": {"flows": "3 m3/h"}}}, "flow"),
        ({"pump": {"rated": {"flow": "3"}}}, "unit"),
        ({"pump": {"liquid": {"temp": "3 degC"}}}, "temperature"),
        ({"pump": {"liquid": {"temperature": "80 barg"}}}, "temperature"),
        ({"pump": {"curve": {"flow": [0, 1], "flow_unit": "m3/h"}}}, "head"),
        (
            {
                "pump": {
                    "curve": {"flow": [2, 1], "flow_unit": "m3/h", "head": [1, 2], "head_unit": "m"}
                }
            },
            "rising flow",
        ),
        ({"readings": {"dischrge_pressure": "3 barg"}}, "discharge_pressure"),
        ({"readings": {"discharge_pressure": "3 bar"}}, "gauge"),
        ({"readings": {"discharge_pressure": "3 barf"}}, "bar"),
        ({"readings": {"discharge_pressure": 3.1}}, "a text with its unit"),
        ({"readings": {"motor_current": {"low": "18 A"}}}, "low"),
        ({"normal": {"flow": "3 A"}}, "flow"),
        ({"observations": [{"finding": "noise-rattle", "present": True}]}, "noise-rattle"),
        ({"observations": [{"finding": "gland-smoke", "present": "no"}]}, "true or false"),
        ({"observations": [{"finding": "gland-smoke"}]}, "true or false"),
        ({"observations": {"gland-smoke": True}}, "a list"),
        (
            {
                "observations": [
                    {"finding": "gland-smoke", "present": True},
                    {"finding": "gland-smoke", "present": False},
                ]
            },
            "twice",
        ),
        ({"done": [{"action": "vented"}]}, "vent"),
        ({"done": [{"action": "vent", "result": "gas came"}]}, "gas"),
        ([], "a table"),
    ],
)
def test_each_fault_is_named(case: object, words: str) -> None:
    assert any(words in fault for fault in faults(case)), faults(case)


def test_all_faults_at_once() -> None:
    found = faults({"pump": {"suction": "lifted"}, "readings": {"flw": "1 m3/h"}, "x": 1})
    assert len(found) == 3


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("{\n", "line 2, column 1: given the end; expected one case as JSON"),
        ("", "line 1, column 1: given the end"),
        ('{"pump": {},}', "line 1, column 13: given '}'"),
        ("null", "given None; expected a table"),
        ("[" * 100_000, "cannot be read"),
        ('{"pump": ' + "9" * 5000 + "}", "cannot be read"),
    ],
    ids=["cut", "empty", "comma", "null", "deep", "long"],
)
def test_text_that_is_no_case(text: str, words: str) -> None:
    with pytest.raises(CaseError) as told:
        read_case_text(text)
    assert words in str(told.value)


def test_text_that_is_a_case() -> None:
    assert read_case_text(json.dumps(DESIGN)).facts["driver"] == "electric motor"


def test_elevation_sets_the_air_pressure() -> None:
    high = read_case({"pump": {"elevation": "1500 m"}, "readings": {"suction_pressure": "0 barg"}})
    assert high.readings["suction_pressure"].value == pytest.approx(high.barometric)
    assert high.barometric < 86_000
