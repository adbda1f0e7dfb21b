"""What counts as evidence, and what does not."""

import pytest

from gaugewalk.diagnose.case_file import read_case
from gaugewalk.diagnose.diagnosis import Diagnosis, diagnose
from gaugewalk.diagnose.evidence import Piece, gather, soft
from gaugewalk.diagnose.knowledge import load_knowledge
from gaugewalk.diagnose.readings import judge_readings, pieces_of


def probability(found: Diagnosis, cause: str) -> float:
    return next((one.probability for one in found.causes if one.cause == cause), 0.0)


def of(case: dict[str, object]) -> Diagnosis:
    return diagnose(read_case(case))


def seen(*there: str, absent: tuple[str, ...] = ()) -> list[dict[str, object]]:
    return [{"finding": one, "present": True} for one in there] + [
        {"finding": one, "present": False} for one in absent
    ]


def pieces(case: dict[str, object]) -> dict[str, Piece]:
    read, knowledge = read_case(case), load_knowledge()
    found, _ = gather(read, knowledge, pieces_of(judge_readings(read, knowledge), knowledge))
    return {piece.finding: piece for piece in found}


def test_not_looked_at_is_not_absent() -> None:
    with_seal = {"pump": {"shaft_seal": "packing"}}
    silent = of(with_seal | {"observations": seen("gland-hot")})
    looked = of(with_seal | {"observations": seen("gland-hot", absent=("seal-water-low",))})
    assert probability(silent, "seal-water-lost") > 2 * probability(looked, "seal-water-lost")


def test_steady_and_swinging_are_different_findings() -> None:
    steady = pieces({"readings": {"flow": "30 m3/h"}, "normal": {"flow": "40 m3/h"}})
    swinging = pieces(
        {"readings": {"flow": {"low": "25 m3/h", "high": "35 m3/h"}}, "normal": {"flow": "40 m3/h"}}
    )
    assert steady["flow-low"].present
    assert "flow-swinging" not in steady or not steady["flow-swinging"].present
    assert swinging["flow-swinging"].present
    assert not swinging.get("flow-low", soft("flow-low", 0.1, "")).present


def test_a_reading_as_usual_speaks_against() -> None:
    found = pieces({"readings": {"flow": "40 m3/h"}, "normal": {"flow": "40 m3/h"}})
    assert not found["flow-low"].present
    assert found["flow-low"].share > 0.9


def test_a_reading_at_the_edge_says_nothing() -> None:
    found = pieces({"readings": {"flow": "36 m3/h"}, "normal": {"flow": "40 m3/h"}})
    assert found["flow-low"].if_there == pytest.approx(0.5, abs=0.01)


def test_a_usual_band_counts_from_its_edge() -> None:
    band = {"low": "10 drops/min", "high": "40 drops/min"}
    found = pieces({"readings": {"leak_off": "45 drops/min"}, "normal": {"leak_off": band}})
    assert not found["leak-off-high"].present


def test_an_observation_comes_before_a_reading() -> None:
    found = pieces(
        {
            "readings": {"flow": "30 m3/h"},
            "normal": {"flow": "40 m3/h"},
            "observations": seen("flow-low"),
        }
    )
    assert (found["flow-low"].if_there, found["flow-low"].if_not) == (1.0, 0.0)


def test_a_contradiction_is_pointed_out_and_doubted() -> None:
    case: dict[str, object] = {
        "readings": {"flow": "40 m3/h"},
        "normal": {"flow": "40 m3/h"},
        "observations": seen("flow-low"),
    }
    assert pieces(case)["flow-low"].if_not == pytest.approx(0.25)
    assert any("Look again" in text for text in of(case).contradictions)


def test_what_excludes_itself_is_pointed_out() -> None:
    found = of({"observations": seen("flow-low", "flow-high")})
    assert any("can hardly be at once" in text for text in found.contradictions)


def test_one_noted_state_leans_against_the_others() -> None:
    found = pieces({"observations": seen("discharge-pressure-low")})
    assert found["discharge-pressure-high"].origin == "follows"
    assert found["discharge-pressure-high"].share == pytest.approx(0.75)


def test_a_finding_that_comes_along_says_little_of_its_own() -> None:
    found = pieces({"observations": seen("gland-smoke", "gland-hot")})
    assert found["gland-hot"].if_not == pytest.approx(0.6)


def test_venting_again_and_again_is_a_finding() -> None:
    """Vented four times: the lasting causes rise, the one that a single venting cures falls."""
    base: dict[str, object] = {
        "pump": {"suction": "lift"},
        "observations": seen("discharge-pressure-swinging"),
    }
    vented = of(base | {"done": [{"action": "vent", "when": f"day {i}"} for i in range(4)]})
    assert probability(vented, "air-through-suction-joint") > probability(
        of(base), "air-through-suction-joint"
    )
    assert probability(vented, "air-trapped") < probability(of(base), "air-trapped")


@pytest.mark.parametrize(
    ("action", "result", "rises"),
    [
        ("throttle discharge", "better", "suction-strainer-plugged"),
        ("throttle discharge", "worse", "low-flow-recirculation"),
        ("vent", "vapor", "vapor-from-hot-liquid"),
        ("vent", "gas", "air-through-suction-joint"),
    ],
)
def test_what_came_of_a_trial_is_evidence(action: str, result: str, rises: str) -> None:
    base: dict[str, object] = {"observations": seen("vibration-unsteady", "flow-low")}
    after = of(base | {"done": [{"action": action, "result": result}]})
    assert probability(after, rises) > probability(of(base), rises)


def test_a_gland_that_answers_was_only_loose() -> None:
    base: dict[str, object] = {
        "pump": {"shaft_seal": "packing"},
        "observations": seen("leak-off-high"),
    }
    answered = of(base | {"done": [{"action": "tighten gland", "result": "answered"}]})
    deaf = of(base | {"done": [{"action": "tighten gland", "result": "no change"}]})
    assert answered.causes[0].cause == "packing-too-loose"
    assert deaf.causes[0].cause in {"packing-worn", "shaft-sleeve-worn"}
