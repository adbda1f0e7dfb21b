"""How long a pump has run: from starts and stops, from what the gauges showed, from its hour meter.

The clock is a fold over observations and keeps only the last marks: a mark says that the pump ran,
or stood, from then on. Where a gauge showed that it was started or stopped since it was last looked
at, the mark is put halfway; a start or stop that a person recorded is put where it was. Between two
readings of an hour meter the meter is believed.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

KEPT = 64  # marks; older ones are counted and forgotten
_METER_SLACK = (1.02, 600.0)  # a meter may run 2 % and ten minutes ahead of the wall clock

Mark = tuple[float, bool]
"""When [s since 1970], and whether the pump ran from then on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Meter:
    """A reading of the hour meter: which, when, what [s], and the correction before it."""

    id: str
    at: float
    value: float
    before: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RunClock:
    """Running time of one pump; times in seconds since 1970, spans in [s]."""

    first: float | None = None  # first observation ever
    anchor: float = 0.0  # from here the marks are kept
    total: float = 0.0  # run before the anchor
    state: bool = False  # at the anchor
    marks: tuple[Mark, ...] = ()  # rising; one may say again what the one before said
    seen: float = 0.0  # last observation
    starts: int = 0
    correction: float = 0.0  # what the hour meter said more than was observed
    meter: Meter | None = None
    last_meter: Meter | None = None  # the one before, in case the newest is corrected

    @property
    def running(self) -> bool | None:
        """Whether it ran when it was last looked at; none where nobody ever looked."""
        if self.first is None:
            return None
        return self.marks[-1][1] if self.marks else self.state

    @property
    def since(self) -> float | None:
        """Since when it runs or stands as it was last seen, as far as is known."""
        if self.first is None:
            return None
        marks = ((self.anchor, self.state), *self.marks)
        since = marks[-1][0]
        for when, running in reversed(marks):
            if running != self.running:
                break
            since = when
        return since

    def ran(self, at: float) -> float:
        """Running time up to a moment, on this clock's own count. [s]

        Examples
        --------
        >>> clock = RunClock().see(0.0, True, exact=True).see(3600.0, False, exact=True)
        >>> clock.ran(1800.0), clock.ran(7200.0)
        (1800.0, 3600.0)
        """
        if self.first is None:
            return 0.0
        return self.correction + self.total + self._counted(at)

    def _counted(self, at: float) -> float:
        """Running time from the anchor to a moment. [s]"""
        state, start, sum_ = self.state, self.anchor, 0.0
        for when, running in self.marks:
            if when >= at:
                break
            sum_ += (when - start) * state
            state, start = running, when
        return sum_ + max(at - start, 0.0) * state

    def see(self, at: float, running: bool, *, exact: bool) -> "RunClock":
        """Return the clock after one more observation.

        Parameters
        ----------
        at
            When. [s since 1970]
        running
            Whether the pump turned.
        exact
            It was started or stopped just then; else it was only seen so.
        """
        if self.first is None:
            return replace(
                self, first=at, anchor=at, state=running, seen=at, starts=int(running and exact)
            )
        if at < self.seen:
            return self._late(at, running) if exact and at > self.anchor else self
        if running == self.running and not exact:
            return replace(self, seen=at)
        when = at if exact else (self.seen + at) / 2.0
        return self._marked((*self.marks, (when, running)), seen=at)

    def _late(self, at: float, running: bool) -> "RunClock":
        """Put in a start or stop that came late, from a phone that was away."""
        earlier = [mark for mark in self.marks if mark[0] <= at]
        later = [mark for mark in self.marks if mark[0] > at]
        if not later and running != self.running:  # seen otherwise since: it was switched back
            later = [((at + self.seen) / 2.0, not running)]
        return self._marked((*earlier, (at, running), *later), seen=self.seen)

    def _marked(self, marks: Sequence[Mark], *, seen: float) -> "RunClock":
        more = _starts(self.state, marks) - _starts(self.state, self.marks)
        new = replace(self, marks=tuple(marks), seen=seen, starts=self.starts + max(more, 0))
        while len(new.marks) > KEPT:
            when, running = new.marks[0]
            new = replace(
                new,
                total=new.total + (when - new.anchor) * new.state,
                anchor=when,
                state=running,
                marks=new.marks[1:],
            )
        return new

    # ------------------------------------------------------------------ the hour meter

    def read_meter(self, id: str, at: float, value: float) -> "RunClock":
        """Return the clock after a reading of the hour meter; a jump of the meter is not followed.

        Examples
        --------
        >>> clock = RunClock().see(0.0, False, exact=True).read_meter("a", 0.0, 100.0)
        >>> clock.read_meter("b", 7200.0, 3700.0).ran(7200.0)
        3600.0
        """
        old = self.meter
        if old is not None and at < old.at:
            return self
        first = self if self.first is not None else replace(self, first=at, anchor=at, seen=at)
        new = Meter(id=id, at=at, value=value, before=first.correction)
        return replace(first, meter=new, last_meter=old, correction=first._corrected(old, new))

    def _corrected(self, old: Meter | None, new: Meter) -> float:
        if old is None:
            return new.before
        span, counted = new.at - old.at, self._counted(new.at) - self._counted(old.at)
        gone = new.value - old.value
        if not 0.0 <= gone <= span * _METER_SLACK[0] + _METER_SLACK[1] or old.at < self.anchor:
            return new.before
        return new.before + gone - counted

    def correct_meter(self, id: str, value: float | None) -> "RunClock":
        """Return the clock after the newest reading of the meter was corrected, or withdrawn."""
        if self.meter is None or self.meter.id != id:
            return self
        if value is None:
            return replace(self, meter=self.last_meter, correction=self.meter.before)
        new = replace(self.meter, value=value)
        return replace(self, meter=new, correction=self._corrected(self.last_meter, new))

    # ------------------------------------------------------------------ as plain values

    def to_json(self) -> dict[str, Any]:
        """Return plain values."""
        return {
            "first": self.first,
            "anchor": [self.anchor, self.total, self.state],
            "marks": [list(mark) for mark in self.marks],
            "seen": self.seen,
            "starts": self.starts,
            "correction": self.correction,
            "meter": _meter_json(self.meter),
            "last_meter": _meter_json(self.last_meter),
        }

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> "RunClock":
        """Return the clock that `to_json` wrote."""
        anchor, total, state = data["anchor"]
        return cls(
            first=data["first"],
            anchor=anchor,
            total=total,
            state=state,
            marks=tuple((when, running) for when, running in data["marks"]),
            seen=data["seen"],
            starts=data["starts"],
            correction=data["correction"],
            meter=_meter(data["meter"]),
            last_meter=_meter(data["last_meter"]),
        )


def _starts(state: bool, marks: Sequence[Mark]) -> int:
    """Count the starts among marks."""
    states = [state, *(running for _, running in marks)]
    return sum(after and not before for before, after in pairwise(states))


def _meter_json(meter: Meter | None) -> list[Any] | None:
    return None if meter is None else [meter.id, meter.at, meter.value, meter.before]


def _meter(data: Sequence[Any] | None) -> Meter | None:
    if data is None:
        return None
    id, at, value, before = data
    return Meter(id=id, at=at, value=value, before=before)
