"""The enumeration against a general-purpose exact library, by brute force, and in its bounds."""

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gaugewalk.diagnose.enumeration import Evidence
from gaugewalk.diagnose.inference import infer, weigh
from gaugewalk.diagnose.network import Floats, Network, elementary_sums
from gaugewalk.diagnose.posterior import Posterior, read_off, sharpening

from .networks import marginals_by_library, random_evidence, random_network

SEEDS = st.integers(0, 10_000)
FEW = settings(max_examples=40)


def by_hand(
    network: Network, evidence: Evidence, most: int, unknown: float
) -> tuple[Floats, float]:
    """Marginals and the probability of nothing, set by set, without chains."""
    odds = network.prior / (1 - network.prior)
    weights = {}
    for size in range(most + 1):
        for members in combinations(range(len(network.causes)), size):
            rows = list(members)
            weight = float(np.prod(odds[rows]))
            for column, there, absent, share in zip(
                evidence.columns, evidence.if_there, evidence.if_not, evidence.share, strict=True
            ):
                anyway = share * network.leak[column] * np.prod(1 - network.calms[rows, column])
                gone = (1 - anyway) * np.prod(1 - share * network.shows[rows, column])
                weight *= there * (1 - gone) + absent * gone
            weights[members] = weight
    odd = evidence.share * network.odd[evidence.columns]
    other = unknown / (1 - unknown) * np.prod(evidence.if_there * odd + evidence.if_not * (1 - odd))
    total = sum(weights.values()) + other
    marginal = np.zeros(len(network.causes))
    for members, weight in weights.items():
        marginal[list(members)] += weight / total
    return marginal, weights[()] / total


@pytest.mark.parametrize("chains", [False, True])
@pytest.mark.parametrize("seed", range(12))
def test_marginals_agree_with_a_general_library(seed: int, chains: bool) -> None:
    network = random_network(seed, causes=5, findings=6, chains=chains)
    # Every cause touched, so that the chains couple as the library couples them.
    network = replace(network, shows=np.where(network.calms > 0, 0, np.maximum(network.shows, 0.1)))
    evidence = random_evidence(seed, 6)
    seen = replace(evidence, if_there=np.maximum(evidence.if_there, 1e-9))
    ours = infer(network, network.prior, seen, unexplained_prior=0.0, most=5)
    np.testing.assert_allclose(
        ours.marginal, marginals_by_library(network, seen), rtol=0, atol=1e-6
    )


@pytest.mark.parametrize("seed", range(25))
def test_three_at_once_agrees_with_counting_by_hand(seed: int) -> None:
    network = random_network(seed, causes=7, findings=6)
    network = replace(network, prior=network.prior / 8)
    evidence = random_evidence(seed, 6)
    evidence = replace(evidence, share=np.where(evidence.if_there == 0.0, 0.6, 1.0))
    ours = infer(network, network.prior, evidence, most=3)
    if ours.cut_off > 0.02:
        return  # sets of four were added: another sum
    marginal, nothing = by_hand(network, evidence, 3, 0.02)
    np.testing.assert_allclose(ours.marginal, marginal, atol=1e-12)
    assert dict(zip(ours.sets, ours.probability, strict=True))[()] == pytest.approx(nothing)


def test_sets_of_four_bring_the_answer_nearer_and_say_what_is_left() -> None:
    """With many likely causes the mass beyond three matters; it is looked at and estimated."""
    network = random_network(3, causes=8, findings=6)
    evidence = random_evidence(3, 6)
    exact, _ = by_hand(network, evidence, 8, 0.02)
    three, _ = by_hand(network, evidence, 3, 0.02)
    ours = infer(network, network.prior, evidence)
    assert ours.cut_off > 0.0
    assert np.abs(ours.marginal - exact).max() < np.abs(three - exact).max()


@FEW
@given(SEEDS)
def test_everything_adds_up_to_one(seed: int) -> None:
    network = random_network(seed, causes=9, findings=7, chains=True)
    ours = infer(network, network.prior, random_evidence(seed, 7))
    assert ours.probability.sum() + ours.unexplained == pytest.approx(1.0)
    assert (ours.probability >= 0).all()
    assert (ours.marginal <= 1.0 + 1e-9).all()


@FEW
@given(SEEDS)
def test_the_order_of_the_evidence_changes_nothing(seed: int) -> None:
    network = random_network(seed, causes=8, findings=7, chains=True)
    evidence = random_evidence(seed, 7)
    turned = evidence.only(np.arange(len(evidence.columns))[::-1])
    _same(infer(network, network.prior, evidence), infer(network, network.prior, turned))


def _same(one: Posterior, other: Posterior) -> None:
    np.testing.assert_allclose(one.marginal, other.marginal, atol=1e-12)
    assert one.unexplained == pytest.approx(other.unexplained)


@FEW
@given(SEEDS, st.integers(0, 7))
def test_a_sign_that_only_one_cause_shows_never_lowers_it(seed: int, cause: int) -> None:
    network = random_network(seed, causes=8, findings=6)
    shows, calms = network.shows.copy(), network.calms.copy()
    shows[:, 0] = calms[:, 0] = 0.0
    shows[cause, 0] = 0.5
    network = replace(network, shows=shows, calms=calms, odd=network.leak)
    before = random_evidence(seed, 6)
    before = before.only(before.columns != 0)
    after = Evidence(
        columns=np.append(before.columns, 0),
        if_there=np.append(before.if_there, 1.0),
        if_not=np.append(before.if_not, 0.0),
        share=np.append(before.share, 1.0),
    )
    least = infer(network, network.prior, before).marginal[cause]
    assert infer(network, network.prior, after).marginal[cause] >= least - 1e-9


@FEW
@given(SEEDS)
def test_a_cause_that_cannot_be_has_no_probability(seed: int) -> None:
    network = random_network(seed, causes=6, findings=5, chains=True)
    prior = network.prior.copy()
    prior[2] = 0.0
    ours = infer(network, prior, random_evidence(seed, 5))
    assert ours.marginal[2] == 0.0
    assert all(2 not in members for members in ours.sets)


def test_no_evidence_leaves_the_prior() -> None:
    network = random_network(1, causes=6, findings=5)
    network = replace(network, prior=np.full(6, 0.01))
    nothing = Evidence(
        columns=np.zeros(0, dtype=np.intp),
        if_there=np.zeros(0),
        if_not=np.zeros(0),
        share=np.zeros(0),
    )
    ours = infer(network, network.prior, nothing, unexplained_prior=0.0)
    np.testing.assert_allclose(ours.marginal, 0.01, atol=1e-6)


@given(st.lists(st.floats(0.0, 3.0), max_size=7))
def test_elementary_sums_count_every_set(odds: list[float]) -> None:
    sums = elementary_sums(np.array(odds), 3)
    for size in range(4):
        counted = sum(float(np.prod(one)) for one in combinations(odds, size))
        assert sums[size] == pytest.approx(counted)


@FEW
@given(SEEDS, st.floats(1.0, 3.0))
def test_sharpening_keeps_the_sum_the_leader_and_what_is_nothing_wrong(
    seed: int, power: float
) -> None:
    network = random_network(seed, causes=9, findings=7, chains=True)
    counted = weigh(network, network.prior, random_evidence(seed, 7))
    plain = read_off(counted)
    sharp = read_off(counted, sharpening(counted, power, network.innocent))
    assert sharp.probability.sum() + sharp.unexplained == pytest.approx(1.0)
    assert sharp.unexplained == pytest.approx(plain.unexplained)
    empty = {members: one for members, one in zip(sharp.sets, sharp.probability, strict=True)}[()]
    before = {members: one for members, one in zip(plain.sets, plain.probability, strict=True)}[()]
    assert empty == pytest.approx(before)
    leader = int(counted.weighed.touched[np.argmax(np.diagonal(counted.led))])
    assert sharp.marginal[leader] >= plain.marginal[leader] - 1e-12
    assert (sharp.marginal <= 1.0 + 1e-9).all()


@FEW
@given(SEEDS)
def test_marginals_are_those_of_the_sets(seed: int) -> None:
    """With every set listed by itself, a marginal is the sum of the sets that hold the cause."""
    network = random_network(seed, causes=6, findings=7)
    network = replace(network, shows=np.maximum(network.shows, 0.02))
    counted = weigh(network, network.prior / 8, random_evidence(seed, 7), least=0.0)
    sharp = read_off(counted, sharpening(counted, 1.8, network.innocent))
    held = np.zeros(6)
    for members, probability in zip(sharp.sets, sharp.probability, strict=True):
        held[list(members)] += probability
    if counted.weighed.fourth is None:
        np.testing.assert_allclose(sharp.marginal, held, atol=1e-12)
