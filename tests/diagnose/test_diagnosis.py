"""The answer as a whole: its form, its sums, and what must change nothing in it."""

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gaugewalk.diagnose.case_file import read_case
from gaugewalk.diagnose.diagnosis import diagnose
from gaugewalk.diagnose.knowledge import load_knowledge

from .test_case_file import DESIGN

CASES = [json.loads(p.read_text("utf-8")) for p in sorted(Path("tests/cases").glob("*.json"))]
KEYS = {
    "version": int,
    "verdict": str,
    "causes": list,
    "hypotheses": list,
    "no_fault": float,
    "unexplained": float,
    "look_alikes": list,
    "next_checks": list,
    "actions": list,
    "numbers": list,
}


def answer(case: object) -> dict[str, Any]:
    return json.loads(json.dumps(diagnose(read_case(case)).to_json()))


def probabilities(case: object) -> dict[str, float]:
    return {one.cause: one.probability for one in diagnose(read_case(case)).causes}


def same(one: dict[str, float], other: dict[str, float]) -> None:
    assert one == pytest.approx(other, abs=1e-9)


def test_the_answer_has_the_agreed_form() -> None:
    found = answer(DESIGN)
    for key, kind in KEYS.items():
        assert isinstance(found[key], kind), key
    assert found["verdict"] in {"normal", "watch", "act", "stop"}
    assert found["version"] == 1
    known = load_knowledge()
    for cause in found["causes"]:
        assert cause["cause"] in known.causes
        assert {"title", "probability", "for", "against", "because"} <= cause.keys()
    for check in found["next_checks"]:
        assert check["finding"] in known.findings
        assert {"how", "gain", "minutes", "caution"} <= check.keys()
    for action in found["actions"]:
        assert action["kind"] in {"now", "temporary", "cure", "report"}
        assert action["do"]
        assert action["caution"]
    for number in found["numbers"]:
        assert {"quantity", "value", "unit", "formula", "source"} == number.keys()


@pytest.mark.parametrize("case", CASES, ids=[one["id"] for one in CASES])
def test_it_adds_up_and_is_sorted(case: dict[str, Any]) -> None:
    found = answer(case["case"])
    total = found["no_fault"] + found["unexplained"]
    total += sum(one["probability"] for one in found["hypotheses"])
    assert total == pytest.approx(1.0, abs=1e-9)
    chances = [one["probability"] for one in found["causes"]]
    assert chances == sorted(chances, reverse=True)
    assert all(one["causes"] for one in found["hypotheses"])


def test_a_marginal_is_at_least_the_sum_of_its_hypotheses() -> None:
    found = diagnose(read_case(DESIGN))
    for one in found.causes:
        named = sum(h.probability for h in found.hypotheses if one.cause in h.causes)
        assert one.probability >= named - 1e-9


def test_units_change_nothing() -> None:
    other = json.loads(json.dumps(DESIGN))
    other["readings"]["discharge_pressure"] = "310 kPag"
    other["normal"]["discharge_pressure"] = "500 kPag"
    other["pump"]["liquid"]["temperature"] = "176 degF"
    same(probabilities(DESIGN), probabilities(other))


def test_a_name_changes_nothing() -> None:
    other = json.loads(json.dumps(DESIGN))
    other["pump"] |= {"tag": "P-1", "name": "Feed pump"}
    same(probabilities(DESIGN), probabilities(other))


@settings(max_examples=12)
@given(st.permutations(range(8)))
def test_the_order_of_observations_changes_nothing(order: list[int]) -> None:
    case = next(one["case"] for one in CASES if one["id"] == "H061")
    turned = case | {"observations": [case["observations"][place] for place in order]}
    same(probabilities(case), probabilities(turned))


def test_an_unknown_liquid_leaves_numbers_out_and_says_so() -> None:
    pump = {"liquid": {"name": "miscella of the third kind", "temperature": "20 degC"}}
    found = answer({"pump": pump, "readings": {"suction_pressure": "0.2 barg"}})
    assert found["numbers"] == []
    assert any("miscella of the third kind" in note for note in found["notes"])


def test_numbers_carry_formula_and_source() -> None:
    """Cold water at 0.5 bar under atmosphere: about 5.2 m of NPSH (hand: 0.513e5 - 2.3e3 Pa)."""
    pump = {"liquid": {"name": "water", "temperature": "20 degC"}, "rated": {"npshr": "3 m"}}
    found = answer({"pump": pump, "readings": {"suction_pressure": "-0.5 barg"}})
    numbers = {one["quantity"]: one for one in found["numbers"]}
    available = numbers["NPSH available at the suction gauge"]
    assert available["value"] == pytest.approx((51_325 - 2_339) / (998.2 * 9.80665), rel=1e-3)
    assert numbers["NPSH margin"]["value"] == pytest.approx(available["value"] - 3.0)
    assert "ISO 9906" in available["source"]


def test_root_and_consequence_are_both_named() -> None:
    """A plugged strainer starves the pump until the hot liquid boils: root first, then the rest."""
    case = {
        "pump": {"suction": "vessel", "suction_strainer": True},
        "observations": [
            {"finding": finding, "present": True}
            for finding in (
                "suction-strainer-dp-high",
                "suction-pressure-low",
                "vent-gives-vapor",
                "motor-current-swinging",
            )
        ],
    }
    found = diagnose(read_case(case))
    assert found.causes[0].cause == "suction-strainer-plugged"
    pairs = {(one.root, one.consequence) for one in found.chains}
    assert any(
        root == "suction-strainer-plugged" and consequence.startswith("vapor-from")
        for root, consequence in pairs
    )


def test_look_alikes_are_named_together_with_how_to_tell() -> None:
    case = {
        "pump": {"shaft_seal": "packing"},
        "observations": [
            {"finding": "leak-off-high", "present": True},
            {"finding": "leak-off-not-adjustable", "present": True},
        ],
    }
    groups = {
        frozenset(one.causes): one.tell_apart for one in diagnose(read_case(case)).look_alikes
    }
    assert frozenset({"packing-worn", "shaft-sleeve-worn"}) in groups
    assert all(groups.values())


def test_reasons_for_and_against_are_sentences_with_their_weight() -> None:
    case = {
        "pump": {"suction": "lift"},
        "observations": [
            {"finding": "noise-hiss", "present": True},
            {"finding": "venting-helps-briefly", "present": False},
        ],
    }
    joint = next(
        one for one in diagnose(read_case(case)).causes if one.cause == "air-through-suction-joint"
    )
    assert [reason.finding for reason in joint.reasons_for] == ["noise-hiss"]
    assert joint.reasons_for[0].word == "strongly"
    assert [reason.finding for reason in joint.reasons_against] == ["venting-helps-briefly"]
    assert "sucks" in joint.because


MACHINE_WORDS = (
    "nothing noted points to it; it is merely",
    "does not explain",
    "looked for and not there",
    "not so:",
    "size of the change",
    " nPSH",
)


def test_reasons_are_sentences_an_operator_would_say() -> None:
    for one in CASES:
        found = diagnose(read_case(one["case"]))
        for cause in found.causes:
            told = " ".join([cause.because, *(r.sentence for r in cause.reasons_against)])
            assert not [words for words in MACHINE_WORDS if words in told], (one["id"], told)


def test_a_consequence_is_named_as_one() -> None:
    found = diagnose(
        read_case(
            {
                "observations": [
                    {"finding": id, "present": True}
                    for id in ("vibration-axial-high", "vibration-radial-high", "coupling-debris")
                ]
            }
        )
    )
    worn = next(one for one in found.causes if one.cause == "coupling-worn")
    assert "may be a consequence of: pump and driver out of line" in worn.because


def test_signs_that_were_asked_for_are_not_sharpened() -> None:
    """Who tells of a trouble picks the telling signs; a round picks nothing."""
    case = read_case({"observations": [{"finding": "noise-bearing", "present": True}]})
    told, asked = diagnose(case), diagnose(replace(case, told=False))
    assert told.causes[0].cause == asked.causes[0].cause
    assert told.causes[0].probability > asked.causes[0].probability + 0.05
    assert told.verdict == asked.verdict
    assert told.no_fault == pytest.approx(asked.no_fault)
