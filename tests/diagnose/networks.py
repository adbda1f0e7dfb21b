"""Small networks made at random, and the same networks in a general-purpose library."""

from itertools import product

import numpy as np
import pyagrum as gum

from gaugewalk.diagnose.enumeration import CHAIN, Evidence
from gaugewalk.diagnose.network import Floats, Network, strengths_to_numbers


def random_network(seed: int, causes: int, findings: int, *, chains: bool = False) -> Network:
    rng = np.random.default_rng(seed)
    choices = [0, 0, 1, 2, 3, 4, -1, -2, -3]
    shows, calms = strengths_to_numbers(rng.choice(choices, size=(causes, findings)))
    leads = np.zeros((causes, causes), dtype=bool)
    if chains:
        leads = np.triu(rng.random((causes, causes)) < 0.4, k=1)
    return Network(
        causes=tuple(f"cause-{i}" for i in range(causes)),
        findings=tuple(f"finding-{i}" for i in range(findings)),
        prior=rng.uniform(0.02, 0.4, causes),
        shows=shows,
        calms=calms,
        leak=rng.uniform(0.01, 0.3, findings),
        odd=np.full(findings, 0.2),
        innocent=np.zeros(causes, dtype=bool),
        leads=leads,
    )


def random_evidence(seed: int, findings: int) -> Evidence:
    """Seen, looked for and absent, soft for, soft against, and not looked at."""
    rng = np.random.default_rng(seed + 1000)
    kinds = rng.integers(0, 5, findings)
    kept = np.flatnonzero(kinds < 4)
    pairs = {0: (1.0, 0.0), 1: (0.0, 1.0), 2: (0.8, 0.2), 3: (0.3, 0.7)}
    chosen = [pairs[kinds[column]] for column in kept]
    return Evidence(
        columns=kept,
        if_there=np.array([one[0] for one in chosen]),
        if_not=np.array([one[1] for one in chosen]),
        share=np.ones(len(kept)),
    )


def marginals_by_library(network: Network, evidence: Evidence) -> Floats:
    """Return the marginals as pyAgrum works them out, with no unknown trouble."""
    net = gum.BayesNet("check")
    causes = list(network.causes)
    for name in (*network.causes, *network.findings):
        net.add(gum.LabelizedVariable(name, "", 2))
    for row, name in enumerate(causes):
        roots = [causes[r] for r in np.flatnonzero(network.leads[:, row])]
        for root in roots:
            net.addArc(root, name)
        for states in product((0, 1), repeat=len(roots)):
            idle = (1 - network.prior[row]) * (1 - CHAIN) ** sum(states)
            net.cpt(name)[dict(zip(roots, states, strict=True))] = [idle, 1 - idle]
    for column, name in enumerate(network.findings):
        for cause in causes:
            net.addArc(cause, name)
        for states in product((0, 1), repeat=len(causes)):
            on = np.array(states, dtype=bool)
            anyway = network.leak[column] * np.prod(1 - network.calms[on, column])
            absent = (1 - anyway) * np.prod(1 - network.shows[on, column])
            net.cpt(name)[dict(zip(causes, states, strict=True))] = [absent, 1 - absent]
    engine = gum.LazyPropagation(net)
    engine.setEvidence(
        {
            network.findings[column]: [float(absent), float(there)]
            for column, there, absent in zip(
                evidence.columns, evidence.if_there, evidence.if_not, strict=True
            )
        }
    )
    engine.makeInference()
    return np.array([float(engine.posterior(name)[1]) for name in causes])
