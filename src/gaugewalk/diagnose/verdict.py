"""How urgent it is: danger signs and limits first, then what the causes would mean.

A danger sign sets the word whatever the ranking says. Where an innocent reason explains what is
seen, nothing is made of it beyond `watch`, unless a danger sign or a limit says otherwise.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from gaugewalk.diagnose.case import Case
from gaugewalk.diagnose.evidence import Piece
from gaugewalk.diagnose.knowledge import Knowledge
from gaugewalk.diagnose.readings import NOTABLE, Judged
from gaugewalk.judge.severity import Severity, worst
from gaugewalk.plant.pump import Point

# Judgement, no source: from what probability on a cause's own urgency becomes the word.
STOP_FROM = 0.5
ACT_FROM = 0.6
EXPLAINED = 0.5  # from this probability on "nothing wrong" explains what is seen
FAR = 3.5  # a change of so many times what is worth noting is for this shift
PLAIN = 0.8  # a soft finding this sure counts as a sign


@dataclass(frozen=True, slots=True, kw_only=True)
class Urgency:
    """The word and why."""

    word: Severity
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Belief:
    """What the verdict needs of the ranking."""

    no_fault: float
    stop_causes: float  # probability that a cause is at work for which the pump is made safe
    act_causes: float  # ... that is for this shift, or worse


def decide(
    case: Case,
    knowledge: Knowledge,
    pieces: Sequence[Piece],
    judged: Sequence[Judged],
    belief: Belief,
) -> Urgency:
    """Return the least urgent word that may stand, with its reasons."""
    signs = _signs(pieces)
    words: list[tuple[Severity, str]] = []
    words += _of_combinations(knowledge, signs)
    words += _of_limits(judged)
    words += _of_own_limits(case)
    words += _of_findings(knowledge, signs, belief)
    words += _of_causes(belief, signs)
    words += _of_nameplate(case)
    words += _of_changes(judged, belief)
    word = worst(*(one for one, _ in words))
    reasons = dict.fromkeys(text for one, text in words if one == word)
    return Urgency(word=word, reasons=tuple(reasons) if word != Severity.NORMAL else ())


def _signs(pieces: Sequence[Piece]) -> set[str]:
    return {
        piece.finding
        for piece in pieces
        if piece.present and piece.if_there >= PLAIN * (piece.if_there + piece.if_not)
    } | {piece.finding for piece in pieces if piece.present and piece.origin == "seen"}


def _of_combinations(knowledge: Knowledge, signs: set[str]) -> list[tuple[Severity, str]]:
    return [
        (Severity(danger.word), danger.why)
        for danger in knowledge.dangers
        if signs.issuperset(danger.all) and (not danger.any or signs.intersection(danger.any))
    ]


def _of_limits(judged: Sequence[Judged]) -> list[tuple[Severity, str]]:
    words = []
    for one in judged:
        if one.beyond_stop:
            words.append((Severity.STOP, f"{one.sentence}: at or beyond the value for a stop"))
        elif one.beyond_act:
            words.append((Severity.ACT, f"{one.sentence}: at or beyond the value for an alarm"))
    return words


def _of_own_limits(case: Case) -> list[tuple[Severity, str]]:
    """Return what the plant's own limits say of the readings."""
    words = []
    for point, reading in case.readings.items():
        own = case.limits.get(point)
        if own is None:
            continue
        low = reading.value if reading.low is None else reading.low
        high = reading.value if reading.high is None else reading.high
        words.append((_outside(own, low, high), f"{own.point}: outside the limits of this pump"))
    return [(word, text) for word, text in words if word != Severity.NORMAL]


def _outside(own: Point, low: float, high: float) -> Severity:
    steps = (
        (Severity.STOP, own.stop_low, own.stop_high),
        (Severity.ACT, own.act_low, own.act_high),
        (Severity.WATCH, own.watch_low, own.watch_high),
    )
    for word, lower, upper in steps:
        if (lower is not None and low < lower) or (upper is not None and high > upper):
            return word
    return Severity.NORMAL


def _of_findings(
    knowledge: Knowledge, signs: set[str], belief: Belief
) -> list[tuple[Severity, str]]:
    words = []
    for id in sorted(signs):
        finding = knowledge.findings[id]
        if not finding.danger:
            continue
        word = Severity(finding.danger)
        if word == Severity.ACT and belief.no_fault >= EXPLAINED:
            word = Severity.WATCH
        words.append((word, finding.title))
    return words


def _of_causes(belief: Belief, signs: set[str]) -> list[tuple[Severity, str]]:
    if not signs:
        return []
    if belief.stop_causes >= STOP_FROM:
        return [(Severity.STOP, "the likely cause does not allow it to run on")]
    if belief.act_causes >= ACT_FROM:
        return [(Severity.ACT, "the likely cause is for this shift")]
    if belief.no_fault < EXPLAINED:
        return [(Severity.WATCH, "something is likely not as it should be")]
    return []


def _of_nameplate(case: Case) -> list[tuple[Severity, str]]:
    """A motor above the current of its nameplate is for this shift."""
    current, plate = case.readings.get("motor_current"), case.rated.get("current")
    if current is None or plate is None:
        return []
    highest = current.value if current.high is None else current.high
    if highest <= plate:
        return []
    return [(Severity.ACT, f"motor current at {highest / plate:.0%} of the nameplate")]


def _of_changes(judged: Sequence[Judged], belief: Belief) -> list[tuple[Severity, str]]:
    words = []
    for one in judged:
        if one.size is None or one.size < NOTABLE:
            continue
        far = one.size >= FAR and belief.no_fault < EXPLAINED
        words.append((Severity.ACT if far else Severity.WATCH, one.sentence))
    return words
