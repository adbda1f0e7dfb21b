"""What this plant's closed troubles teach: counts of confirmed causes shift the priors.

The counts are all that is kept, so that the shift can be shown and taken back.
"""

from collections.abc import Mapping

from gaugewalk.diagnose.knowledge import Knowledge
from gaugewalk.errors import ArgumentError, NotFoundError

WEIGHT_OF_KNOWLEDGE = 12.0  # troubles that the knowledge's own priors are worth (judgement)


def prior_shares(counts: Mapping[str, float], knowledge: Knowledge) -> dict[str, float]:
    """Return factors on the prior odds of every cause, from counts of confirmed causes.

    Parameters
    ----------
    counts : mapping of cause to float
        How often each cause was confirmed when a trouble of this pump, or its kind, was closed;
        those of other pumps may count for less.
    knowledge : Knowledge

    Returns
    -------
    dict of cause to float
        1 for every cause where nothing was counted.

    Raises
    ------
    NotFoundError
        A cause that the knowledge does not hold.
    ArgumentError
        A negative count.

    Notes
    -----
    The share of a cause among troubles is taken as (count + w p) / (total + w), with p its share
    in the knowledge and w the weight of the knowledge: the mean of a Dirichlet distribution.

    Examples
    --------
    >>> from gaugewalk.diagnose.knowledge import load_knowledge
    >>> shares = prior_shares({"suction-strainer-plugged": 3}, load_knowledge())
    >>> shares["suction-strainer-plugged"] > 2.0 > 1.0 > shares["air-trapped"]
    True
    """
    for id, count in counts.items():
        if id not in knowledge.causes:
            raise NotFoundError(f"no cause {id[:60]!r} in the knowledge.")
        if count < 0:
            raise ArgumentError(f"count of {id} = {count}; expected 0 or more.")
    faults = {
        cause.id: float(prior)
        for cause, prior in zip(knowledge.causes.values(), knowledge.network.prior, strict=True)
        if not cause.innocent
    }
    everything = sum(faults.values())
    total = sum(counts.values())
    shares = {}
    for id, prior in faults.items():
        own = prior / everything
        now = (counts.get(id, 0) + WEIGHT_OF_KNOWLEDGE * own) / (total + WEIGHT_OF_KNOWLEDGE)
        shares[id] = now / own
    return shares
