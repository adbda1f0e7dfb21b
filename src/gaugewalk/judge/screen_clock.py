"""The time column of recorded history: gaps, doubled rows, late rows and clocks that were set.

Decided row by row, so that a live feed and a file get the same answer.
"""

import statistics
from dataclasses import dataclass, field
from typing import Literal

Place = Literal["next", "gap", "set forward", "same", "late", "set back"]

_GAP = 10.0  # usual intervals
_HOUR = 3600.0  # s, by which summer time is put forward and back
_LAST = 31  # steps that tell the usual interval


@dataclass(slots=True, kw_only=True)
class Clock:
    """Places each row in time; `interval` is the usual distance of rows, [s]."""

    interval: float = 0.0
    offset: float = 0.0  # [s] added since the clock was set back
    last: float | None = None  # adjusted time of the last row taken
    _steps: list[float] = field(default_factory=list)
    _late: bool = False  # the row before was late

    def place(self, time: float) -> Place:
        """Say how a row's time [s] follows the one before, and take it unless it is late.

        A step back of one hour, within two rows, is a clock set back from summer time: the rows go
        on. Any other step back is a late row, and so is every row of a file in falling order. A
        step ahead of one hour is a clock put forward, or an hour without rows: nothing tells which.
        """
        if self.last is None:
            self.last = time
            return "next"
        step = time + self.offset - self.last
        after_late, self._late = self._late, step < 0.0
        if step < 0.0:
            if after_late or not self._hour(-step):
                return "late"
            self._late = False
            self.offset += _HOUR
            self.last = time + self.offset
            return "set back"
        self.last = time + self.offset
        return self._forward(step) if step > 0.0 else "same"

    def _hour(self, step: float) -> bool:
        return abs(step - _HOUR) <= max(2.0 * self.interval, 1.0)

    def _forward(self, step: float) -> Place:
        """Place a later row; the usual interval follows a record that is kept more slowly."""
        known = len(self._steps) >= _LAST
        far = known and step > _GAP * self.interval
        self._steps.append(step)
        del self._steps[:-_LAST]
        if far or not known:
            before = self.interval
            self.interval = statistics.median(self._steps)
            far = step > _GAP * (before if known else self.interval)
        if not far:
            return "next"
        return "set forward" if self._hour(step) else "gap"
