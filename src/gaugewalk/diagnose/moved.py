"""From what moves in a recorded history to the causes that would move it so."""

from collections.abc import Mapping

from gaugewalk.diagnose.case import Case
from gaugewalk.diagnose.diagnosis import diagnose
from gaugewalk.diagnose.explain import Ranked
from gaugewalk.diagnose.knowledge import Knowledge
from gaugewalk.judge.screen_result import NameCause, Signature

_NEAR = 0.4  # of the leading cause's probability, from which another is named beside it
_MOST = 3  # causes named
_LEAST = 0.05  # probability below which no cause is named
_FALLEN = 0.7  # of the usual value
# Points of which one would tell a throttled inlet from a throttled outlet.
_TELLING = ("suction_pressure", "suction_strainer_dp", "discharge_pressure")


def findings_of(
    knowledge: Knowledge, signature: Signature, usual: Mapping[str, float]
) -> dict[str, bool]:
    """Return the findings that a signature shows, and those that it shows not to be there.

    Parameters
    ----------
    knowledge
        Whose findings name their points and states.
    signature
        What moves now. A frozen point says nothing about the pump.
    usual
        Points that would show if they moved; those that do not move count as seen to be usual.
    """
    moving = {move.point: move.motion for move in signature}
    seen: dict[str, bool] = {}
    for finding in knowledge.findings.values():
        motions = [moving[point] for point in finding.points if point in moving]
        if finding.state in motions:
            seen[finding.id] = True
        elif finding.state and any(p in usual for p in finding.points) and not motions:
            seen[finding.id] = False
    if "frozen" in moving.values():
        seen["gauge-stuck"] = True
    if any(m.motion == "swinging" and m.now < _FALLEN * m.usual for m in signature):
        # A hunting drive swings about its set point; a mean this far down has another reason.
        seen["speed-hunting"] = False
    return seen


def namer(knowledge: Knowledge, *, facts: Mapping[str, object] | None = None) -> NameCause:
    """Return a function that names the likeliest causes of a signature in one line.

    Causes nearly as likely as the first are named beside it. Where inlet and outlet throttling
    cannot be told apart with the points recorded, the line says so.
    """

    def name(signature: Signature, usual: Mapping[str, float]) -> str:
        observations = findings_of(knowledge, signature, usual)
        case = Case(facts=dict(facts or {}), observations=observations, told=False)
        named = _leading(diagnose(case, knowledge).causes)
        words = " or ".join(f"{one.title} {one.probability:.0%}" for one in named)
        return (words or "cause not known") + _not_told(usual, signature)

    return name


def _leading(causes: tuple[Ranked, ...]) -> list[Ranked]:
    if not causes or causes[0].probability < _LEAST:
        return []
    return [one for one in causes[:_MOST] if one.probability >= _NEAR * causes[0].probability]


def _not_told(usual: Mapping[str, float], signature: Signature) -> str:
    """Say what a low flow alone leaves open."""
    motions = {move.point: move.motion for move in signature}
    if motions.get("flow") != "low" or (set(motions) | set(usual)) & set(_TELLING):
        return ""
    return "; a throttled inlet and a throttled outlet cannot be told apart without a pressure"
