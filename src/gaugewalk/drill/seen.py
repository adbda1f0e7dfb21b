"""What the person at the pump writes down on a visit: readings, points not taken, slips."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from gaugewalk.drill.gauge import reading, step_of, swing_at
from gaugewalk.physics.circuit_parts import Operation
from gaugewalk.plant.pump import Point, Pump

Array = NDArray[np.float64]

STANDBY_POINTS = frozenset(
    {
        "suction_pressure",
        "source_level",
        "seal_leakage",
        "seal_pot_level",
        "seal_pot_pressure",
        "oil_level",
        "oiler_level",
        "oil_reservoir_level",
        "ambient_temperature",
        "run_hours",
    }
)
_PACE = timedelta(seconds=14)  # from one point to the next
_SLIP, _SKIP = 4.0e-4, 3.0e-3  # chances a reading is miswritten, or not taken
_REASONS = (
    "gauge glass fogged over",
    "could not reach it: hose across the walkway",
    "called away by the control room",
)
_METER_REASONS = ("meter battery flat", "called away by the control room")
# Scatter of what is read, by unit: as a share of the value, and in SI.
_SCATTER: Mapping[str, tuple[float, float]] = {
    "degC": (0.0, 0.6),
    "mm/s": (0.05, 2e-5),
    "drops/min": (0.09, 0.0),
    "m": (0.0, 0.01),
    "%": (0.0, 0.012),
    "mm": (0.0, 9e-4),
    "L/min": (0.02, 0.0),
    "rpm": (0.001, 0.0),
    "h": (0.0, 0.0),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """One thing written down, in the order in which it was.

    ``kind`` is reading, skipped, observation, action, note, event or round. Of a reading ``text``
    is what was typed, of a skipped point the reason, of an event `started` or `stopped`, of a round
    its name (``point`` is `finished` at its end). ``trial``, ``result`` and ``cause`` belong to an
    action: what it tried, what came of it, which cause it removed. Care is ``what`` was done, at
    which ``place``, with how much, and in ``text`` what was found. ``corrects``: the
    reading of the same point just before was a slip, and this one replaces it.
    """

    seen_at: datetime
    who: str
    kind: Literal["reading", "skipped", "observation", "action", "note", "event", "round", "care"]
    tag: str = ""
    point: str = ""
    text: str = ""
    finding: str = ""
    present: bool = True
    trial: str = ""
    result: str = ""
    cause: str = ""
    corrects: bool = False
    round_no: int = -1
    what: str = ""
    place: str = ""
    amount: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Seen:
    """All visits to one pump: what its gauges really show, and how they are read."""

    pump: Pump
    running: Operation
    standing: Mapping[str, Array]
    extra: Mapping[str, Array]  # what no model gives, by point
    missing: Mapping[str, Array]  # what was used up, by point
    on: NDArray[np.bool_]
    barometric: float
    rng: np.random.Generator
    _bias: dict[str, float] = field(default_factory=dict)
    _steps: dict[str, float] = field(default_factory=dict)

    def at(self, number: int, base: Record) -> Iterator[Record]:
        """Yield what is written down on one visit; ``base`` holds who, when and the tag."""
        moment = base.seen_at
        for point in self.pump.points:
            if not self.on[number] and point.point not in STANDBY_POINTS:
                continue
            moment += _PACE
            record = replace(base, seen_at=moment, point=point.point)
            if self.rng.random() < _SKIP:
                yield replace(record, kind="skipped", text=self._reason(point))
                continue
            text = self._text(number, point)
            if text is None:
                continue
            yield from self._written(record, text)

    def _reason(self, point: Point) -> str:
        metered = point.unit in ("mm/s", "degC")
        return str(self.rng.choice(_METER_REASONS if metered else _REASONS))

    def _written(self, record: Record, text: str) -> Iterator[Record]:
        wrong = slip(text) if self.rng.random() < _SLIP else text
        yield replace(record, text=wrong)
        if wrong != text:
            later = record.seen_at + timedelta(seconds=6)
            yield replace(record, text=text, corrects=True, seen_at=later)

    def _text(self, number: int, point: Point) -> str | None:
        values = self.running.values if self.on[number] else self._at_rest()
        true = self.extra.get(point.point, values.get(point.point))
        if true is None:
            return None
        value = float(np.asarray(true)[number]) if np.ndim(true) else float(true)
        if point.point in self.missing:
            value -= float(self.missing[point.point][number])
        swing = self.running.swings.get(point.point) if self.on[number] else None
        return reading(
            self._scattered(value, point),
            swing_at(swing, number),
            point,
            step=self._step(point),
            barometric=self.barometric,
        )

    def _at_rest(self) -> Mapping[str, Array]:
        """Levels stand still whether it runs or not; a standing seal does not drip."""
        still = {p: v for p, v in self.running.values.items() if p in STANDBY_POINTS}
        return {**still, "seal_leakage": np.zeros(()), **self.standing}

    def _step(self, point: Point) -> float:
        if point.point not in self._steps:
            self._steps[point.point] = step_of(point)
        return self._steps[point.point]

    def _scattered(self, value: float, point: Point) -> float:
        """Add the gauge's lasting error and this reading's own scatter."""
        accuracy = point.accuracy or 0.0
        if point.unit in _SCATTER:
            share, fixed = _SCATTER[point.unit]
            width, lasting = share * abs(value) + fixed, 0.0
        else:
            width, lasting = 0.35 * accuracy, 0.3 * accuracy
        if point.point not in self._bias:
            self._bias[point.point] = lasting * float(np.clip(self.rng.standard_normal(), -2, 2))
        low = 0.0 if point.unit in ("drops/min", "L/min", "mm/s") else -np.inf
        drawn = width * float(np.clip(self.rng.standard_normal(), -2.5, 2.5))
        return max(value + self._bias[point.point] + drawn, low)


def slip(text: str) -> str:
    """Return a text as a tired hand writes it: the decimal point lost, or two digits changed.

    Examples
    --------
    >>> slip("3.1 barg"), slip("57 degC"), slip("5 drops/min"), slip("-0.3 barg")
    ('31 barg', '75 degC', '55 drops/min', '-03 barg')
    """
    number, _, unit = text.partition(" ")
    if "to" in text.split() or not number.strip("-0."):
        return text
    if "." in number:
        wrong = number.replace(".", "").lstrip("0") or number
    elif len(number.lstrip("-")) > 1:
        wrong = number[:-2] + number[-1] + number[-2]
    else:
        wrong = number * 2
    return f"{wrong} {unit}"
