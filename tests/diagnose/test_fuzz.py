"""Whatever a phone or a file sends: an answer that adds up, or an error that lists the faults."""

import json
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from gaugewalk.diagnose.case_file import read_case
from gaugewalk.diagnose.diagnosis import diagnose
from gaugewalk.diagnose.knowledge import load_knowledge
from gaugewalk.diagnose.knowledge_check import FACTS
from gaugewalk.errors import CaseError
from gaugewalk.plant.points import all_points

POINTS = sorted(all_points())
FINDINGS = sorted(load_knowledge().findings)
VALUES = st.sampled_from([0.0, 0.001, 1.0, 5.0, 20.0, 80.0, 150.0, 1e4, -0.5])
LIQUIDS = st.sampled_from(["water", "hexane", "crude miscella", "hot oil", "sea water", ""])


@st.composite
def entries(draw: st.DrawFn) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for point in draw(st.lists(st.sampled_from(POINTS), max_size=8, unique=True)):
        unit, value = all_points()[point].default_unit, draw(VALUES)
        swing = {"low": f"{value} {unit}", "high": f"{value + 2.0} {unit}"}
        found[point] = swing if draw(st.booleans()) else f"{value} {unit}"
    return found


@st.composite
def cases(draw: st.DrawFn) -> dict[str, Any]:
    facts = {
        key: draw(st.sampled_from(words)) for key, words in FACTS.items() if draw(st.booleans())
    }
    temperature = draw(st.sampled_from([-40, 20, 120, 300]))
    pump = facts | {
        "liquid": {"name": draw(LIQUIDS), "temperature": f"{temperature} degC"},
        "rated": {"flow": "30 m3/h", "head": f"{draw(st.sampled_from([2, 40, 900]))} m"},
    }
    signs = draw(st.dictionaries(st.sampled_from(FINDINGS), st.booleans(), max_size=12))
    return {
        "pump": pump,
        "readings": draw(entries()),
        "normal": draw(entries()),
        "observations": [{"finding": id, "present": there} for id, there in signs.items()],
    }


@settings(max_examples=12)
@given(cases())
def test_every_case_gets_an_answer_that_adds_up(case: dict[str, Any]) -> None:
    try:
        found = diagnose(read_case(case)).to_json()
    except CaseError as error:
        assert error.problems  # noqa: PT017 - either outcome is right here
        return
    json.dumps(found, allow_nan=False)
    total = found["no_fault"] + found["unexplained"]
    total += sum(one["probability"] for one in found["hypotheses"])
    assert abs(total - 1.0) < 1e-9
    assert all(0.0 <= one["probability"] <= 1.0 + 1e-9 for one in found["causes"])
