"""What the readings of a case say: each finding with a probability and a sentence."""

from collections.abc import Mapping
from dataclasses import dataclass

from gaugewalk.diagnose.case import Case
from gaugewalk.diagnose.evidence import Piece, soft
from gaugewalk.diagnose.knowledge import Knowledge
from gaugewalk.diagnose.reading_rules import ReadingRule, logistic, relative_change, swing
from gaugewalk.plant.points import all_points
from gaugewalk.plant.pump import Point
from gaugewalk.units import Quantity, show

# A change of so many times what is worth noting is large (judgement, no source).
LARGE = 2.2
LARGE_SPREAD = 0.35
# From half the change worth noting on, a reading is worth a second look.
NOTABLE = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """One rule applied to one reading.

    `swing` says that the rule is for a swinging needle; `size` is the change from usual in
    multiples of what is worth noting (none where no usual value is known); `beyond_act` and
    `beyond_stop` say that a limit was passed.
    """

    finding: str
    point: str
    probability: float
    swing: bool
    size: float | None
    beyond_act: bool
    beyond_stop: bool
    sentence: str
    source: str


def judge_readings(case: Case, knowledge: Knowledge) -> tuple[Judged, ...]:
    """Apply every rule to every reading it is for."""
    judged = []
    for rule in knowledge.reading_rules:
        for point in rule.points:
            reading = case.readings.get(point)
            if reading is None or reading.kind != rule.kind:
                continue
            if (one := _judge(rule, point, reading, case)) is not None:
                judged.append(one)
    return tuple(judged)


def pieces_of(judged: tuple[Judged, ...], knowledge: Knowledge) -> list[Piece]:
    """Return one piece a finding: the reading that shows it most."""
    best: dict[str, Judged] = {}
    swinging = {one.point for one in judged if one.swing and one.probability >= 0.5}
    for one in judged:
        if one.point in swinging and not one.swing:
            continue  # a swinging needle is neither steady low nor steady high
        if one.finding not in best or one.probability > best[one.finding].probability:
            best[one.finding] = one
    pieces = []
    for one in best.values():
        title = knowledge.findings[one.finding].title
        says = title if one.probability >= 0.5 else f"{title}: no"
        sentence = f"{says} ({one.sentence})"
        pieces.append(soft(one.finding, one.probability, sentence, detail=one.sentence))
    sizes = [one.size for one in judged if one.size is not None]
    if sizes:
        large = logistic((max(sizes) - LARGE) / LARGE_SPREAD)
        pieces.append(soft("change-large", large, ""))
    return pieces


def _judge(rule: ReadingRule, point: str, reading: Quantity, case: Case) -> Judged | None:
    normal = case.normal.get(point)
    size, chances = _from_change(rule, reading, normal, case)
    limit = _limit_chance(rule, reading, case.limits.get(point))
    if limit is not None:
        chances.append(limit)
    if not chances:
        return None
    return Judged(
        finding=rule.finding,
        point=point,
        probability=max(chances),
        swing=rule.state == "swinging",
        size=size,
        beyond_act=_beyond(rule.act, rule, reading),
        beyond_stop=_beyond(rule.stop, rule, reading),
        sentence=_sentence(point, reading, normal, case),
        source=rule.source,
    )


def _from_change(
    rule: ReadingRule, reading: Quantity, normal: Quantity | None, case: Case
) -> tuple[float | None, list[float]]:
    """Return the change in multiples of what is worth noting, and what it says."""
    change = _change(rule, reading, normal, case)
    if change is None or not rule.by or not rule.spread:
        return None, []
    return change / rule.by, [logistic((change - rule.by) / rule.spread)]


def _change(
    rule: ReadingRule, reading: Quantity, normal: Quantity | None, case: Case
) -> float | None:
    if rule.state == "swinging":
        return swing(rule, reading, normal, case.barometric) if reading.low is not None else None
    if normal is None or normal.kind != rule.kind:
        return None
    return relative_change(rule, reading, normal, case.barometric)


def _limit_chance(rule: ReadingRule, reading: Quantity, own: Point | None) -> float | None:
    """Return how likely a limit says the finding is there; the plant's own limit comes first."""
    if rule.state == "swinging":
        return None
    if own is not None:
        edge = own.watch_high if rule.sign > 0 else own.watch_low
        if edge is not None and rule.state != "zero":
            return 0.9 if rule.sign * (reading.value - edge) > 0 else 0.1
    if rule.limit is None or rule.limit_spread is None:
        return None
    return logistic(rule.sign * (reading.value - rule.limit) / rule.limit_spread)


def _beyond(limit: float | None, rule: ReadingRule, reading: Quantity) -> bool:
    if limit is None:
        return False
    worst = reading.value
    if reading.high is not None and reading.low is not None:
        worst = reading.high if rule.sign > 0 else reading.low
    return rule.sign * (worst - limit) >= 0


def _sentence(point: str, reading: Quantity, normal: Quantity | None, case: Case) -> str:
    label = all_points()[point].label
    text = f"{label} {_shown(reading, case)}"
    return text if normal is None else f"{text}, usual {_shown(normal, case)}"


def _shown(quantity: Quantity, case: Case) -> str:
    ends: Mapping[str, float | None] = {"low": quantity.low, "high": quantity.high}
    low, high = ends["low"], ends["high"]
    if low is None or high is None:
        return show(quantity.value, quantity.unit, barometric=case.barometric)
    first = show(low, quantity.unit, barometric=case.barometric)
    return f"{first} to {show(high, quantity.unit, barometric=case.barometric)}"
