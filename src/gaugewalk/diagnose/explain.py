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
AT_LEAST = 5  # causes listed, however unlikely
MOST_TOLD = 3  # signs told in one sentence
SPEAKS_AGAINST = 0.7  # log-likelihood ratio from which a sign against a cause is told with it
ROOT = 0.1  # a cause at least this likely is named as the root of a less likely one
# What a cause's prior says of it in plain words.
OFTEN = {
    "usual": "is met often",
    "expected": "is met often",
    "very common": "is met often",
    "common": "is met often",
    "occasional": "is met now and then",
    "rare": "is seldom met",
}
_WORDS = ((1.6, "strongly"), (0.7, "clearly"), (WORTH_A_WORD, "a little"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """One piece of evidence for or against a cause.

    `weight` is the natural logarithm of how much likelier the piece is with this cause than with
    nothing at work; for a sign that the cause leaves unexplained, than with what else may be.
    `present` says whether the sign is there, `unexplained` that the cause has no say in it.
    """

    finding: str
    sentence: str
    word: str
    weight: float
    present: bool = True
    unexplained: bool = False
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Kin:
    """Titles of a likelier cause from which one follows, and of one to which it leads."""

    root: str = ""
    leads_to: str = ""


def rank(
    knowledge: Knowledge, posterior: Posterior, pieces: Sequence[Piece], *, least: float = 0.01
) -> tuple[Ranked, ...]:
    """Return the causes, likeliest first, each with its reasons; a few also below `least`."""
    causes = list(knowledge.causes.values())
    faults = [
        row
        for row in np.argsort(-posterior.marginal, kind="stable").tolist()
        if posterior.marginal[row] > 0.0 and not causes[row].innocent
    ]
    enough = sum(bool(posterior.marginal[row] >= least) for row in faults)
    rows = faults[: max(enough, AT_LEAST)]
    weights = _log_ratios(knowledge, posterior, pieces, rows)
    told = [
        (place, piece, knowledge.findings[piece.finding].title)
        for place, piece in enumerate(pieces)
        if piece.origin != "follows" and piece.sentence
    ]
    kin = _kin(knowledge, posterior, rows)
    return tuple(
        _ranked(
            causes[row],
            float(posterior.marginal[row]),
            [(piece, title, float(weight[place])) for place, piece, title in told],
            kin[row],
        )
        for row, weight in zip(rows, weights, strict=True)
    )


def _kin(knowledge: Knowledge, posterior: Posterior, rows: Sequence[int]) -> dict[int, Kin]:
    """Return, for each cause, the likeliest root and consequence among the likelier causes."""
    leads = knowledge.network.leads
    titles = [cause.title for cause in knowledge.causes.values()]
    kin: dict[int, Kin] = {}
    for place, row in enumerate(rows):
        likelier = [one for one in rows[:place] if posterior.marginal[one] >= ROOT]
        kin[row] = Kin(
            root=next((titles[one] for one in likelier if leads[one, row]), ""),
            leads_to=next((titles[one] for one in likelier if leads[row, one]), ""),
        )
    return kin


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


def _ranked(
    cause: Cause, probability: float, told: Sequence[tuple[Piece, str, float]], kin: Kin
) -> Ranked:
    links = {link.finding: link for link in cause.links}
    reasons = [
        _reason(links.get(piece.finding), piece, title, weight)
        for piece, title, weight in told
        if abs(weight) >= WORTH_A_WORD
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
        because=because(cause, supporting, opposing, kin),
    )


def _reason(link: Link | None, piece: Piece, title: str, weight: float) -> Reason:
    return Reason(
        finding=piece.finding,
        sentence=_sentence(link, piece, title, weight),
        word=_word(weight),
        weight=weight,
        present=piece.present,
        unexplained=link is None and piece.present and weight < 0,
        why=link.why if link is not None else "",
        source=link.source if link is not None else "",
    )


def _sentence(link: Link | None, piece: Piece, title: str, weight: float) -> str:
    """Return what was noted, and against a cause what is wrong with it."""
    numbers = f" ({piece.detail})" if piece.detail else ""
    if piece.present:
        said = title + numbers if piece.origin != "done" else piece.sentence
        return said if weight > 0 or link is not None else f"{said}: not explained by it"
    if piece.origin == "done":
        return piece.sentence
    if piece.detail:
        return f"{title}: no ({piece.detail})"
    return f"{title}: looked for, not found"


def _word(weight: float) -> str:
    size = abs(weight)
    return next((word for limit, word in _WORDS if size >= limit), "hardly")


def because(
    cause: Cause, supporting: Sequence[Reason], opposing: Sequence[Reason], kin: Kin
) -> str:
    """Return in plain words what speaks for the cause, and the most that speaks against it.

    Parameters
    ----------
    cause : Cause
    supporting, opposing : sequence of Reason
        The weightiest first.
    kin : Kin
    """
    seen = [reason for reason in supporting if reason.present][:MOST_TOLD]
    missing = [reason for reason in supporting if not reason.present][:MOST_TOLD]
    parts = []
    if seen:
        parts.append(f"Points to it: {'; '.join(_with_why(reason) for reason in seen)}")
    elif kin.leads_to:
        parts.append(f"Nothing noted points to it itself; it leads to: {_lower(kin.leads_to)}")
    elif not kin.root:
        parts.append(f"Nothing noted points to it; it {OFTEN[cause.prior]} at pumps like this one")
    if missing:
        parts.append(f"Fits: {'; '.join(_lower(reason.sentence) for reason in missing)}")
    if kin.root:
        parts.append(f"It may be a consequence of: {_lower(kin.root)}")
    if opposing and abs(opposing[0].weight) >= SPEAKS_AGAINST:
        parts.append(_against(opposing[0]))
    return ". ".join(parts) + "."


def _with_why(reason: Reason) -> str:
    said = _lower(reason.sentence)
    if not reason.why:
        return said
    return f"{said[:-1]}; {reason.why})" if said.endswith(")") else f"{said} ({reason.why})"


def _against(reason: Reason) -> str:
    said = _lower(reason.sentence)
    if reason.unexplained:
        return f"It leaves unexplained: {said.removesuffix(': not explained by it')}"
    return f"Speaks against it: {said}"


def _lower(sentence: str) -> str:
    """Return the sentence as it stands inside another; an abbreviation stays as it is."""
    return sentence if sentence[1:2].isupper() else sentence[:1].lower() + sentence[1:]


def odds_in_words(probability: float) -> str:
    """Return a probability in words, as the operator would say it.

    Examples
    --------
    >>> odds_in_words(0.93), odds_in_words(0.3)
    ('very likely', 'possible')
    """
    steps = ((0.9, "very likely"), (0.6, "likely"), (0.35, "about even"), (0.1, "possible"))
    return next((word for limit, word in steps if probability >= limit), "unlikely")
