"""Why a cause stands where it stands: each piece of evidence for and against it, in plain words."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gaugewalk.diagnose.evidence import Piece
from gaugewalk.diagnose.knowledge import Knowledge
from gaugewalk.diagnose.network import Floats, ids_to_columns
from gaugewalk.diagnose.posterior import Posterior
from gaugewalk.diagnose.trade import Cause, Link

# Log-likelihood ratio from which a piece is worth a word, and its words (judgement).
WORTH_A_WORD = 0.15
UNEXPLAINED = 0.7
MOST_SETS = 150  # of the likeliest sets stand for what else may be at work
_WORDS = ((1.6, "strongly"), (0.7, "clearly"), (WORTH_A_WORD, "a little"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """One piece of evidence for or against a cause.

    `weight` is the natural logarithm of how much likelier the piece is with this cause than with
    nothing at work; for a sign that the cause leaves unexplained, than with what else may be.
    """

    finding: str
    sentence: str
    word: str
    weight: float
    why: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranked:
    """A cause with its probability and its reasons."""

    cause: str
    title: str
    probability: float
    reasons_for: tuple[Reason, ...]
    reasons_against: tuple[Reason, ...]
    because: str


def rank(
    knowledge: Knowledge, posterior: Posterior, pieces: Sequence[Piece], *, least: float = 0.004
) -> tuple[Ranked, ...]:
    """Return the causes, likeliest first, each with its reasons."""
    causes = list(knowledge.causes.values())
    rows = [
        row
        for row in np.argsort(-posterior.marginal, kind="stable").tolist()
        if posterior.marginal[row] >= least and not causes[row].innocent
    ]
    weights = _log_ratios(knowledge, posterior, pieces, rows)
    return tuple(
        _ranked(causes[row], float(posterior.marginal[row]), weight, pieces)
        for row, weight in zip(rows, weights, strict=True)
    )


def _log_ratios(
    knowledge: Knowledge, posterior: Posterior, pieces: Sequence[Piece], rows: Sequence[int]
) -> Floats:
    """Return, for each of the causes and pieces, how much the piece speaks for (+) or against (-).

    A piece speaks for a cause as far as the cause makes it likelier than nothing does, and against
    it as far as the cause makes it less likely. A sign that the cause leaves as it is, while what
    else may be at work shows it, speaks against it too.
    """
    network = knowledge.network
    columns = ids_to_columns(network.findings, [piece.finding for piece in pieces])
    share = np.array([piece.share for piece in pieces])
    there = np.array([piece.if_there for piece in pieces])
    absent = np.array([piece.if_not for piece in pieces])

    def likelihood(chance: Floats) -> Floats:
        return np.asarray(np.maximum(there * share * chance + absent * (1 - share * chance), 1e-9))

    own = likelihood(network.alone(columns)[rows])
    against_nothing = np.log(own / likelihood(network.leak[columns]))
    sets = posterior.sets[:MOST_SETS]
    inside = np.zeros((len(network.causes), len(sets)), dtype=bool)
    for column, members in enumerate(sets):
        inside[list(members), column] = True
    without = ~inside[rows] * posterior.probability[:MOST_SETS]  # (causes, sets): what else may be
    total = np.maximum(without.sum(axis=1, keepdims=True), 1e-12)
    # Not a matrix product: on a busy machine its threads cost more than they save.
    mean = np.einsum("cs,sp->cp", without, likelihood(network.given(sets, columns))) / total
    against_rest = np.log(own / np.maximum(mean, 1e-9))
    unexplained = (np.abs(against_nothing) < WORTH_A_WORD) & (against_rest < -UNEXPLAINED)
    return np.asarray(np.where(unexplained, against_rest, against_nothing))


def _ranked(cause: Cause, probability: float, weights: Floats, pieces: Sequence[Piece]) -> Ranked:
    links = {link.finding: link for link in cause.links}
    reasons = [
        _reason(links.get(pieces[place].finding), pieces[place], float(weights[place]))
        for place in np.flatnonzero(np.abs(weights) >= WORTH_A_WORD).tolist()
        if pieces[place].origin != "follows"
    ]
    reasons.sort(key=lambda reason: (-abs(reason.weight), reason.finding))
    supporting = tuple(reason for reason in reasons if reason.weight > 0)
    opposing = tuple(reason for reason in reasons if reason.weight < 0)
    return Ranked(
        cause=cause.id,
        title=cause.title,
        probability=probability,
        reasons_for=supporting,
        reasons_against=opposing,
        because=because(cause, supporting, opposing),
    )


def _reason(link: Link | None, piece: Piece, weight: float) -> Reason:
    if weight < 0 and piece.present and link is None:
        sentence = f"does not explain: {piece.sentence}"
    else:
        sentence = piece.sentence
    return Reason(
        finding=piece.finding,
        sentence=sentence,
        word=_word(weight),
        weight=weight,
        why=link.why if link is not None else "",
        source=link.source if link is not None else "",
    )


def _word(weight: float) -> str:
    size = abs(weight)
    return next((word for limit, word in _WORDS if size >= limit), "hardly")


def because(cause: Cause, supporting: Sequence[Reason], opposing: Sequence[Reason]) -> str:
    """Return one plain sentence: what speaks for the cause, and the most that speaks against it."""
    if not supporting:
        return f"{cause.title}: nothing noted points to it; it is merely {cause.prior}."
    text = f"Points to it: {'; '.join(_with_why(reason) for reason in supporting[:3])}"
    if opposing and abs(opposing[0].weight) >= 0.7:
        text += f". Speaks against it: {_lower(opposing[0].sentence)}"
    return text + "."


def _with_why(reason: Reason) -> str:
    return _lower(reason.sentence) + (f" ({reason.why})" if reason.why else "")


def _lower(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]


def odds_in_words(probability: float) -> str:
    """Return a probability in words, as the operator would say it.

    Examples
    --------
    >>> odds_in_words(0.93), odds_in_words(0.3)
    ('very likely', 'possible')
    """
    steps = ((0.9, "very likely"), (0.6, "likely"), (0.35, "about even"), (0.1, "possible"))
    return next((word for limit, word in steps if probability >= limit), "unlikely")
