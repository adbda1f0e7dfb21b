"""The time column of recorded history: gaps, doubled rows, late rows and clocks that were set.

Decided row by row, so that a live feed and a file get the same answer.
"""

import statistics
from dataclasses import dataclass, field
from typing import Literal

Place = Literal["next", "gap", "same", "late", "set back"]

_GAP = 10.0  # usual intervals
_HOUR = 3600.0  # s, by which summer time is put forward and back


@dataclass(slots=True, kw_only=True)
class Clock:
    """Places each row in time; `interval` is the usual distance of rows, [s]."""

    interval: float = 0.0
    offset: float = 0.0  # [s] added since the clock was set back
    last: float | None = None  # adjusted time of the last row taken
    _steps: list[float] = field(default_factory=list)

    def place(self, time: float) -> Place:
        """Say how a row's time [s] follows the one before, and take it unless it is late.

        A step back of one hour, within two rows, is a clock set back from summer time: the rows go
        on. Any other step back is a late row. A step forward of an hour is a gap like any other.
        """
        if self.last is None:
            self.last = time
            return "next"
        step = time + self.offset - self.last
        if step < 0.0:
            if abs(step + _HOUR) > max(2.0 * self.interval, 1.0):
                return "late"
            self.offset += _HOUR
            self.last = time + self.offset
            return "set back"
        self.last = time + self.offset
        if step == 0.0:
            return "same"
        return self._gap(step)

    def _gap(self, step: float) -> Place:
        if len(self._steps) < 200:
            self._steps.append(step)
            self.interval = statistics.median(self._steps)
        return "gap" if step > _GAP * self.interval else "next"
