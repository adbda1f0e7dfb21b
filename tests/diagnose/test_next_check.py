"""The next check: what tells the suspects apart best per minute, and when to stop asking."""

import numpy as np
import pytest

from gaugewalk.diagnose.case_file import read_case
from gaugewalk.diagnose.diagnosis import Diagnosis, diagnose
from gaugewalk.diagnose.inference import infer
from gaugewalk.diagnose.knowledge import load_knowledge
from gaugewalk.diagnose.next_check import information

from .networks import random_evidence, random_network


def of(there: str, absent: str = "", pump: dict[str, object] | None = None) -> Diagnosis:
    observations = [
        {"finding": finding, "present": present}
        for words, present in ((there, True), (absent, False))
        for finding in words.split()
    ]
    return diagnose(read_case({"pump": pump or {}, "observations": observations}))


def asked(found: Diagnosis) -> list[str]:
    return [check.finding for check in found.next_checks]


# TRADE, "the cheap tests that tell suspects apart": common practice, no source.
@pytest.mark.parametrize(
    ("pump", "there", "among"),
    [
        (
            {"suction": "flooded", "suction_strainer": True},
            "suction-pressure-low noise-rattle-steady",
            {"suction-strainer-dp-high", "source-level-low", "suction-valve-not-open"},
        ),
        (
            {"shaft_seal": "packing"},
            "leak-off-none gland-hot",
            {"seal-water-low"},
        ),
        (
            {"lubrication": "oil sump"},
            "bearing-temperature-high",
            {"oil-level-low", "oil-level-high"},
        ),
        (
            {"lubrication": "forced feed"},
            "oil-supply-pressure-low",
            {"oil-filter-dp-high", "relief-line-warm", "oil-reservoir-falling"},
        ),
    ],
)
def test_the_cheap_telling_check_is_among_the_first(
    pump: dict[str, object], there: str, among: set[str]
) -> None:
    assert among.intersection(asked(of(there, pump=pump))[:3])


def test_what_was_answered_is_not_asked_again() -> None:
    there, absent = "suction-pressure-low noise-rattle-steady", "source-level-low"
    assert not set(f"{there} {absent}".split()).intersection(asked(of(there, absent)))


def test_it_stops_asking_when_nothing_would_change_the_action() -> None:
    found = of(
        "suction-strainer-dp-high suction-pressure-low noise-rattle-steady flow-low",
        "source-level-low vent-gives-vapor vent-gives-gas",
        {"suction": "flooded", "suction_strainer": True},
    )
    assert found.causes[0].probability > 0.9
    assert found.next_checks == ()


def test_checks_of_another_kind_of_seal_are_not_asked() -> None:
    found = of("gland-hot", pump={"shaft_seal": "packing"})
    known = load_knowledge().findings
    assert all(known[id].group != "Mechanical seal" for id in asked(found))


@pytest.mark.parametrize(
    ("pump", "signs", "lacking"),
    [
        ({"shaft_seal": "single mechanical seal"}, "seal-dripping", "seal-pot"),
        ({"lubrication": "oil sump"}, "bearing-temperature-high", "oil-supply"),
        ({"suction_strainer": False}, "suction-pressure-low", "suction-strainer-dp"),
        ({"driver": "turbine"}, "bearing-temperature-high vibration-radial-high", "motor-"),
        ({"standby": False}, "flow-low discharge-pressure-low", "standby-"),
    ],
)
def test_nothing_is_asked_about_what_the_pump_does_not_have(
    pump: dict[str, object], signs: str, lacking: str
) -> None:
    """With the fact unknown it may be asked; with the fact known it is not."""
    asked_for = asked(of(signs, pump=pump))
    assert asked_for
    assert not [id for id in asked_for if id.startswith(lacking)]


def test_what_was_noted_the_other_way_round_is_not_asked() -> None:
    assert "flow-high" not in asked(of("flow-low"))
    assert "discharge-pressure-low" not in asked(of("discharge-pressure-high"))


def test_a_hazardous_check_costs_more() -> None:
    """Turning by hand needs a lock-out: it is not asked where listening would do."""
    checks = of("driver-tripped motor-current-high").next_checks
    assert checks[0].finding != "shaft-hard-to-turn"


@pytest.mark.parametrize("seed", range(5))
def test_expected_gain_is_the_mutual_information(seed: int) -> None:
    """Against the sum over sets and answers, written out."""
    network = random_network(seed, causes=5, findings=4)
    posterior = infer(network, network.prior, random_evidence(seed, 4), most=5, least=0.0)
    knowledge = load_knowledge()
    small = {
        "causes": dict(zip(network.causes, list(knowledge.causes.values())[:5], strict=True)),
        "findings": dict(zip(network.findings, list(knowledge.findings.values())[:4], strict=True)),
    }
    from dataclasses import replace

    chance, gain, _ = information(replace(knowledge, network=network, **small), posterior)
    weight = np.append(posterior.probability, posterior.unexplained)
    given = np.vstack([network.given(posterior.sets, np.arange(4)), network.odd])
    for finding in range(4):
        expected = 0.0
        for answer in (given[:, finding], 1 - given[:, finding]):
            total = float(weight @ answer)
            for prior, likelihood in zip(weight, answer, strict=True):
                if prior * likelihood > 0:
                    expected += prior * likelihood * np.log2(likelihood / total)
        assert gain[finding] == pytest.approx(expected, abs=1e-6)
        assert chance[finding] == pytest.approx(float(weight @ given[:, finding]))
