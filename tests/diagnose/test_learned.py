"""Confirmed causes shift the priors of this plant, by counts that can be taken back."""

from dataclasses import replace

import pytest

from gaugewalk.diagnose.case_file import read_case
from gaugewalk.diagnose.diagnosis import diagnose
from gaugewalk.diagnose.knowledge import load_knowledge
from gaugewalk.diagnose.learned import prior_shares
from gaugewalk.errors import ArgumentError, NotFoundError

CASE = {
    "pump": {"suction": "vessel", "suction_strainer": True},
    "observations": [{"finding": "suction-pressure-low", "present": True}],
}


def probability(counts: dict[str, int], cause: str) -> float:
    knowledge = load_knowledge()
    found = diagnose(replace(read_case(CASE), confirmed=counts), knowledge)
    return next(one.probability for one in found.causes if one.cause == cause)


def test_what_was_confirmed_here_is_likelier_here() -> None:
    cause = "source-level-too-low"
    assert probability({cause: 4}, cause) > probability({}, cause) + 0.1


def test_no_counts_change_nothing() -> None:
    shares = list(prior_shares({}, load_knowledge()).values())
    assert shares == pytest.approx([1.0] * len(shares))


def test_shares_stay_a_distribution() -> None:
    """The expected number of troubles does not change, only which they are."""
    knowledge = load_knowledge()
    shares = prior_shares({"air-trapped": 5, "packing-worn": 2}, knowledge)
    priors = dict(zip(knowledge.network.causes, knowledge.network.prior, strict=True))
    before = sum(float(priors[id]) for id in shares)
    assert sum(float(priors[id]) * share for id, share in shares.items()) == pytest.approx(before)


def test_an_unknown_cause_or_a_negative_count_is_refused() -> None:
    with pytest.raises(NotFoundError):
        prior_shares({"gremlins": 1}, load_knowledge())
    with pytest.raises(ArgumentError):
        prior_shares({"air-trapped": -1}, load_knowledge())
