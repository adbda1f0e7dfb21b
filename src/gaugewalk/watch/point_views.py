"""A pump's observation points as the doors show them: last value, word, expected band, past."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from functools import cache

from gaugewalk.journal.entry import Entry
from gaugewalk.journal.glimpse import Glimpse
from gaugewalk.journal.ledger import Ledger
from gaugewalk.judge.expect import expected_band
from gaugewalk.judge.severity import Severity
from gaugewalk.plant.points import GROUPS, all_points, point_kind
from gaugewalk.plant.pump import Pump
from gaugewalk.units import table
from gaugewalk.watch.board import Board
from gaugewalk.watch.desk import Desk, unit_of
from gaugewalk.watch.remembered import Remembered, load_points
from gaugewalk.watch.sitting import Sitting
from gaugewalk.watch.take import verdict_in
from gaugewalk.watch.views import PointView, Sample


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A round's time: what was read or skipped inside it counts as done."""

    since: datetime
    until: datetime | None = None

    def holds(self, moment: datetime) -> bool:
        """Whether a moment lies inside."""
        return self.since <= moment and (self.until is None or moment <= self.until)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Known:
    """Everything looked up once for all points of a pump."""

    work: Sitting
    now: datetime
    states: dict[str, Remembered]
    last: dict[str, Entry]
    skips: dict[str, Entry] = field(default_factory=dict)
    samples: dict[str, list[Sample]] = field(default_factory=dict)


def point_views(
    desk: Desk,
    ledger: Ledger,
    pump: Pump,
    now: datetime,
    *,
    span: Span | None = None,
    past: Iterable[Glimpse] = (),
) -> tuple[PointView, ...]:
    """Return the pump's points in drawing order.

    Parameters
    ----------
    desk, ledger, pump, now
        Of which pump, as it stands when.
    span : Span, optional
        The round that is walked; tells which points are taken or skipped in it.
    past : iterable of Glimpse, optional
        Readings of the pump, for the samples of its trends.
    """
    latest = ledger.latest(pump.tag)
    skips = ledger.history(pump.tag, since=span.since, kinds=["skipped"]) if span else []
    known = _Known(
        work=Sitting(desk=desk, ledger=ledger, now=now),
        now=now,
        states=load_points(ledger, pump.tag, fits_only=True),
        last=latest,
        skips={str(entry.point): entry for entry in skips},
        samples=_samples(past),
    )
    names = ordered(pump, latest)
    return tuple(_view(pump, name, known, span) for name in names)


def ordered(pump: Pump, also: Iterable[str] = ()) -> list[str]:
    """Return the pump's points in the order of the drawing, then others that were read.

    Examples
    --------
    >>> from gaugewalk.plant.pump import Lubrication, PlantLiquid, Point, ShaftSeal
    >>> points = (Point(point="leak_off", unit="drops/min"), Point(point="flow", unit="m3/h"))
    >>> pump = Pump(tag="P", name="p", liquid=PlantLiquid(name="water"), points=points,
    ...             seal=ShaftSeal(kind="packing"), lubrication=Lubrication(kind="grease"))
    >>> ordered(pump, ["motor_current"])
    ['flow', 'leak_off', 'motor_current']
    """
    own = [entry.point for entry in pump.points]
    place = {name: n for n, name in enumerate(own)}
    others = [name for name in also if name not in place and name in all_points()]
    return [*sorted(own, key=lambda n: (GROUPS.index(point_kind(n).group), place[n])), *others]


@cache
def units_for(kinds: tuple[str, ...]) -> tuple[str, ...]:
    """Return the units in which a value of these kinds may be entered."""
    return tuple(name for name, unit in table().items() if set(unit.kinds) & set(kinds))


def sample_of(entry: Entry) -> Sample:
    """Return a stored reading as a sample of a trend."""
    severity = entry.body.get("verdict", {}).get("severity")
    return Sample(
        seen_at=entry.seen_at,
        value=float(entry.value or 0.0),
        low=entry.low,
        high=entry.high,
        severity=Severity(severity) if severity else None,
    )


def _samples(past: Iterable[Glimpse]) -> dict[str, list[Sample]]:
    found: dict[str, list[Sample]] = {}
    for one in past:
        severity = Severity(one.severity) if one.severity else None
        sample = Sample(
            seen_at=one.seen_at, value=one.value, low=one.low, high=one.high, severity=severity
        )
        found.setdefault(one.point, []).append(sample)
    return found


def plain_view(pump: Pump, name: str, board: Board, span: Span) -> PointView:
    """Return one point with no more than what its board tells of a round: taken, or skipped."""
    kind = point_kind(name)
    last, skip = board.last.get(name), board.skipped.get(name)
    taken = last is not None and span.holds(datetime.fromisoformat(last.seen_at))
    passed = not taken and skip is not None and span.holds(datetime.fromisoformat(skip.seen_at))
    return PointView(
        point=name,
        label=kind.label,
        group=kind.group,
        how=kind.how,
        unit=unit_of(pump, name),
        units=(),
        skipped=skip.reason if passed and skip else "",
        taken=taken,
    )


def _view(pump: Pump, name: str, known: _Known, span: Span | None) -> PointView:
    kind, entry = point_kind(name), pump.point(name)
    last, skipped = known.last.get(name), known.skips.get(name)
    taken = last is not None and span is not None and span.holds(last.seen_at)
    passed = skipped is not None and span is not None and span.holds(skipped.seen_at) and not taken
    return PointView(
        point=name,
        label=kind.label,
        group=kind.group,
        how=kind.how,
        unit=unit_of(pump, name),
        units=units_for(kind.kinds),
        place=entry.place if entry else "",
        last=last,
        verdict=verdict_in(last) if last and "verdict" in last.body else None,
        expected=expected_band(
            pump,
            name,
            known.states.get(name, Remembered()).state,
            known.work.context(pump.tag, name, known.now),
            barometric=known.work.desk.barometric,
        ),
        skipped=str(skipped.body["reason"]) if passed and skipped else "",
        taken=taken,
        history=tuple(known.samples.get(name, ())),
    )
