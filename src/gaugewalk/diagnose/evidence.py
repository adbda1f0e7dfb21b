"""From a case to evidence: observations are hard, readings soft, silence is nothing.

A finding that was not looked for is not absent. It is only leaned against where something that
excludes it was noted instead: who reports a steady low pressure would have said if it swung.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from gaugewalk.diagnose.case import Case, Done
from gaugewalk.diagnose.enumeration import Evidence
from gaugewalk.diagnose.knowledge import Knowledge
from gaugewalk.diagnose.network import Network, ids_to_columns
from gaugewalk.diagnose.trade import DoneRule, Finding

# Judgement, no source: how sure it is that the other finding would have been noted instead.
EXCLUDED = 0.75
EXCLUDED_SWING = 0.5  # between steady and swinging the line is less sharp
# Where a stronger finding is there, a weaker one that it brings along says little of its own.
IMPLIED = 0.6
# An observation that a reading of the same thing contradicts.
DOUBTED = 0.75
CONTRADICTS = 0.1
# Who describes a trouble names what is telling and leaves out the rest, so each sign counts for
# more than one picked blindly. The one number set by the published cases under `tests/cases`: with
# 1 the probabilities come out too timid (`python -m bench.diagnose` shows it).
SALIENCE = 1.3


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One piece of evidence about one finding.

    `if_there` and `if_not` are the likelihoods of what was noted; `share` is how surely a finding
    that a cause shows would have been noted (see `inference`); `origin` says where it comes from:
    seen, read, worked out, done, or follows; `sentence` says it in words (empty: nothing to say),
    `detail` with the numbers it rests on.
    """

    finding: str
    if_there: float
    if_not: float
    share: float = 1.0
    origin: str = "seen"
    sentence: str = ""
    detail: str = ""

    @property
    def present(self) -> bool:
        """Return whether the piece speaks for the finding being there."""
        return self.if_there > self.if_not


def soft(
    finding: str, probability: float, sentence: str, origin: str = "read", *, detail: str = ""
) -> Piece:
    """Make a piece of a reading that shows a finding with some probability (even odds: nothing).

    Where it leans against the finding, the lean is kept as a share, which keeps sets of causes
    apart exactly and cheaply.
    """
    if probability >= 0.5:
        return Piece(
            finding=finding,
            if_there=probability,
            if_not=1.0 - probability,
            origin=origin,
            sentence=sentence,
            detail=detail,
        )
    share = 1.0 - probability / (1.0 - probability)
    return Piece(
        finding=finding,
        if_there=0.0,
        if_not=1.0,
        share=share,
        origin=origin,
        sentence=sentence,
        detail=detail,
    )


def gather(
    case: Case, knowledge: Knowledge, read: Sequence[Piece]
) -> tuple[tuple[Piece, ...], tuple[str, ...]]:
    """Put together what was seen, done and read; return the pieces and what contradicts itself.

    Parameters
    ----------
    case : Case
    knowledge : Knowledge
    read : sequence of Piece
        Pieces of readings and of worked-out numbers, one a finding.
    """
    seen = {
        finding: _observed(knowledge.findings[finding], present)
        for finding, present in case.observations.items()
    }
    for finding, piece in _from_done(case.done, knowledge).items():
        seen.setdefault(finding, piece)
    contradictions = []
    for piece in read:
        if piece.finding not in seen:
            seen[piece.finding] = piece
        elif (doubt := _doubt(seen[piece.finding], piece, knowledge)) is not None:
            seen[piece.finding], sentence = doubt
            contradictions.append(sentence)
    contradictions += _clashes(seen, knowledge)
    pieces = _weaken_implied(seen, knowledge)
    return (*pieces, *_silent(pieces, knowledge)), tuple(contradictions)


def _observed(finding: Finding, present: bool) -> Piece:
    sentence = finding.title if present else f"{finding.title}: looked for, not found"
    return Piece(
        finding=finding.id, if_there=float(present), if_not=float(not present), sentence=sentence
    )


def _from_done(done: Sequence[Done], knowledge: Knowledge) -> dict[str, Piece]:
    pieces: dict[str, Piece] = {}
    for rule in knowledge.done_rules:
        if (count := _matches(done, rule)) >= rule.times:
            times = f" {count} times" if count > 1 else ""
            result = f": {rule.result}" if rule.result else ""
            sentence = f"{rule.action}{times}{result}"
            piece = _observed(knowledge.findings[rule.finding], rule.present)
            pieces.setdefault(rule.finding, replace(piece, origin="done", sentence=sentence))
    return pieces


def _matches(done: Sequence[Done], rule: DoneRule) -> int:
    return sum(
        one.action == rule.action and (not rule.result or _result(one) == rule.result)
        for one in done
    )


def _result(one: Done) -> str:
    """Return what came of it; a trouble that returned after a while had only been helped."""
    return one.result or ("helped, came back" if one.returned_after is not None else "")


def _doubt(seen: Piece, read: Piece, knowledge: Knowledge) -> tuple[Piece, str] | None:
    """Return the observation as doubtful where the reading says plainly otherwise."""
    ratio = (1.0 - read.share) if not read.present else read.if_not / read.if_there
    if seen.present == read.present or ratio > CONTRADICTS or seen.origin == "done":
        return None
    title = knowledge.findings[seen.finding].title
    said = "noted as there" if seen.present else "noted as not there"
    sentence = f"{title}: {said}, but {read.sentence}. Look again, and check the entry's unit."
    doubted = replace(
        seen,
        if_there=DOUBTED if seen.present else 1.0 - DOUBTED,
        if_not=1.0 - DOUBTED if seen.present else DOUBTED,
    )
    return doubted, sentence


def _clashes(seen: Mapping[str, Piece], knowledge: Knowledge) -> list[str]:
    """Return a sentence for each pair noted as there that can hardly be there together."""
    there = [id for id, piece in seen.items() if piece.present and piece.if_not == 0.0]
    return [
        f"{knowledge.findings[id].title}, and {knowledge.findings[other].title}: "
        "both can hardly be at once. Which one was it?"
        for id in there
        for other in knowledge.findings[id].excludes
        if other in there and id < other
    ]


def _weaken_implied(seen: Mapping[str, Piece], knowledge: Knowledge) -> list[Piece]:
    """Let a finding that another one brings along anyway say little of its own."""
    brought = {
        weaker
        for id, piece in seen.items()
        if piece.present
        for weaker in knowledge.findings[id].implies
    }
    return [
        replace(piece, if_not=max(piece.if_not, IMPLIED * piece.if_there))
        if id in brought and piece.present
        else piece
        for id, piece in seen.items()
    ]


def _silent(pieces: Sequence[Piece], knowledge: Knowledge) -> list[Piece]:
    """Lean against what would have been noted, had it been there."""
    noted = {piece.finding for piece in pieces}
    shares: dict[str, float] = {}
    for piece in pieces:
        if piece.if_there < 0.8 and piece.present:
            continue
        for other, share in _leans(knowledge.findings[piece.finding], piece, knowledge):
            if other not in noted:
                shares[other] = max(shares.get(other, 0.0), share)
    return [
        Piece(finding=id, if_there=0.0, if_not=1.0, share=share, origin="follows")
        for id, share in shares.items()
    ]


def _leans(finding: Finding, piece: Piece, knowledge: Knowledge) -> list[tuple[str, float]]:
    """Return what a noted finding leans against, and how much."""
    stronger = [f.id for f in knowledge.findings.values() if finding.id in f.implies]
    if not piece.present:
        return [(other, EXCLUDED * piece.share) for other in stronger]
    swings = finding.state == "swinging"
    leans = []
    for other in finding.excludes:
        unsteady = swings or knowledge.findings[other].state == "swinging"
        leans.append((other, EXCLUDED_SWING if unsteady else EXCLUDED))
    return leans + [(other, EXCLUDED_SWING) for other in stronger]


def answered(pieces: Sequence[Piece]) -> set[str]:
    """Return the findings that need not be asked: noted, or excluded by what was noted."""
    return {p.finding for p in pieces if p.origin != "follows" or p.share >= EXCLUDED}


def as_evidence(pieces: Sequence[Piece], network: Network) -> Evidence:
    """Return the pieces as columns of the network."""
    return Evidence(
        columns=ids_to_columns(network.findings, [piece.finding for piece in pieces]),
        if_there=np.array([piece.if_there for piece in pieces]),
        if_not=np.array([piece.if_not for piece in pieces]),
        share=np.array([piece.share for piece in pieces]),
        salience=SALIENCE,
    )
