"""How a reading becomes a finding: the rule, in SI, and how likely it says the finding is there."""

import math
from dataclasses import dataclass
from typing import Literal

from gaugewalk.diagnose.trade import ReadingRow
from gaugewalk.errors import Problem, UnitError
from gaugewalk.units import Quantity, parse

SURE = 0.97  # a reading is never surer than this (judgement)
MOVED = 3.0  # swings away from usual, from which a reading has moved rather than swings (judgement)
_DIFFERENCE = {"pressure": "pressure_difference", "temperature": "temperature_difference"}


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingRule:
    """One rule in SI; a field is none where the rule does not name it."""

    finding: str
    points: tuple[str, ...]
    kind: str
    state: Literal["", "low", "high", "swinging", "zero"]
    change: Literal["", "ratio", "difference"]
    by: float | None
    spread: float | None
    least: float
    limit: float | None
    limit_spread: float | None
    act: float | None
    stop: float | None
    source: str

    @property
    def sign(self) -> float:
        """Return +1 where high is the trouble, -1 where low is."""
        return -1.0 if self.state in ("low", "zero") else 1.0


def rule_of(row: ReadingRow, problems: list[Problem]) -> ReadingRule | None:
    """Turn a written rule into SI, or name what is wrong with it."""
    before = len(problems)
    step = _DIFFERENCE.get(row.quantity, row.quantity)
    values = {
        "by": _value(row.by, "fraction" if row.change == "ratio" else step, row, problems),
        "spread": _value(row.spread, "fraction" if row.change == "ratio" else step, row, problems),
        "least": _value(row.least, step, row, problems),
        "limit": _value(row.limit, row.quantity, row, problems),
        "limit_spread": _value(row.limit_spread, step, row, problems),
        "act": _value(row.act, row.quantity, row, problems),
        "stop": _value(row.stop, row.quantity, row, problems),
    }
    if (values["by"] is None) != (row.change == "") or (
        (values["limit"] is None) != (values["limit_spread"] is None)
    ):
        problems.append(
            Problem(
                where=f"reading {row.finding}",
                given="half a rule",
                expected="change with by and spread, limit with limit_spread, or both",
            )
        )
    if len(problems) > before:
        return None
    return ReadingRule(
        finding=row.finding,
        points=row.points,
        kind=row.quantity,
        state=row.state,
        change=row.change,
        by=values["by"],
        spread=values["spread"],
        least=values["least"] or 0.0,
        limit=values["limit"],
        limit_spread=values["limit_spread"],
        act=values["act"],
        stop=values["stop"],
        source=row.source,
    )


def _value(text: str, kind: str, row: ReadingRow, problems: list[Problem]) -> float | None:
    if not text:
        return None
    try:
        return parse(text, kind).value
    except UnitError as error:
        problems.append(
            Problem(where=f"reading {row.finding}", given=repr(text), expected=str(error))
        )
        return None


def logistic(x: float) -> float:
    """Return 1 / (1 + exp(-x)), held inside what a reading may say.

    Examples
    --------
    >>> logistic(0.0), logistic(1e9)
    (0.5, 0.97)
    """
    bounded = min(max(x, -40.0), 40.0)
    return min(max(1.0 / (1.0 + math.exp(-bounded)), 1.0 - SURE), SURE)


def relative_change(
    rule: ReadingRule, reading: Quantity, normal: Quantity, barometric: float
) -> float | None:
    """Return the change from usual in the rule's direction, in its own measure.

    A usual value given as a band counts from its nearer edge. A pressure's ratio is taken of the
    gauge pressure, because that is what the operator compares.
    """
    if rule.change == "" or rule.kind not in (reading.kind, normal.kind):
        return None
    edge = normal.value
    if normal.low is not None and normal.high is not None:
        edge = normal.high if rule.sign > 0 else normal.low
    step = rule.sign * (reading.value - edge)
    if rule.change == "difference":
        return step
    base = normal.value - barometric if rule.kind == "pressure" else normal.value
    scale = max(abs(base), rule.least)
    return step / scale if scale > 0 else None


def swing(
    rule: ReadingRule, reading: Quantity, normal: Quantity | None, barometric: float
) -> float:
    """Return the swing of a reading as a share of what is usual, or of its own middle.

    A reading that moved away by far more than it swings has moved, and does not count as swinging.
    """
    if reading.low is None or reading.high is None:
        return 0.0
    if normal is not None:
        away = max(reading.low - normal.value, normal.value - reading.high)
        if away > MOVED * (reading.high - reading.low):
            return 0.0
    middle = normal.value if normal is not None else reading.value
    base = middle - barometric if rule.kind == "pressure" else middle
    scale = max(abs(base), rule.least)
    return (reading.high - reading.low) / scale if scale > 0 else 0.0
