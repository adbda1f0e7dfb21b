"""Who walked which round when: the rounds of the plant file, walked by three watches in turn."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from gaugewalk.plant.pump import Plant, RoundPlan

WATCHES = ("A. watch", "B. watch", "C. watch")
_HALF_WALKED = "extraction and refinery"  # this round stands half way at now
_LEAVE = {  # minutes after it fell due at which each round is begun: one person walks them all
    "boiler house": 3.0,
    "extraction and refinery": 28.0,
    "outside": 75.0,
    "tank farm": 130.0,
}
_AT_A_PUMP = 3.2  # minutes
_WHOLE_DAYS = 10  # of these every round is there; before, about one a day from the paper sheets


@dataclass(frozen=True, slots=True, kw_only=True)
class Walk:
    """One round: its plan, when it was begun and when each pump was reached."""

    number: int
    plan: RoundPlan
    who: str
    begun: datetime
    stops: tuple[tuple[str, datetime], ...]
    whole: bool  # every pump was reached before now


def walks(plant: Plant, *, now: datetime, days: int, rng: np.random.Generator) -> list[Walk]:
    """Return every round of the last days, oldest first; the newest may stand unfinished.

    The last round of extraction and refinery is left half way, so that pumps are due now. Of the
    days longer ago about one round a day is there, as carried over from paper.
    """
    zone = ZoneInfo(plant.time_zone)
    found: list[Walk] = []
    for plan in plant.rounds:
        tags = _tags(plant, plan)
        for due in _dues(plant, plan, zone, now, days):
            late = _LEAVE.get(plan.name, 0.0) + float(rng.uniform(0.0, 9.0))
            begun = due + timedelta(minutes=late)
            steps = _AT_A_PUMP + rng.uniform(-0.8, 1.2, len(tags))
            reached = [begun + timedelta(minutes=float(m)) for m in np.cumsum(steps)]
            stops = tuple((t, at) for t, at in zip(tags, reached, strict=True) if at < now)
            if stops:
                whole = len(stops) == len(tags)
                who = _who(plant, begun.astimezone(zone))
                walk = Walk(number=0, plan=plan, who=who, begun=begun, stops=stops, whole=whole)
                found.append(walk)
    found.sort(key=lambda walk: walk.begun)
    return [replace(walk, number=n) for n, walk in enumerate(_half_way(found))]


def _tags(plant: Plant, plan: RoundPlan) -> list[str]:
    pumps = sorted(plant.pumps, key=lambda pump: pump.walk_order)
    every = not plan.tags and not plan.areas
    return [p.tag for p in pumps if every or p.tag in plan.tags or p.area in plan.areas]


def _dues(
    plant: Plant, plan: RoundPlan, zone: ZoneInfo, now: datetime, days: int
) -> Iterator[datetime]:
    first = time.fromisoformat(plant.first_shift)
    today = now.astimezone(zone).date()
    slots = max(1, round(86400.0 / plan.every))
    count = 0
    for back in range(days + 1, -1, -1):
        start = datetime.combine(today - timedelta(days=back), first, zone).astimezone(UTC)
        for n in range(slots):
            due = start + timedelta(seconds=n * plan.every)
            count += 1
            # One slot more than a day has: each day another hour, so that day and night are seen.
            kept = back <= _WHOLE_DAYS or count % (slots + 1) == 0
            if kept and now - timedelta(days=days) <= due < now:
                yield due


def _who(plant: Plant, local: datetime) -> str:
    first = time.fromisoformat(plant.first_shift)
    hours = (local.hour - first.hour) % 24 + local.minute / 60.0
    shift = int(hours // plant.shift_hours)
    # The three watches change places every week.
    return WATCHES[(shift + local.isocalendar().week) % len(WATCHES)]


def _half_way(found: Sequence[Walk]) -> list[Walk]:
    """Leave the newest round of extraction and refinery after half of its pumps."""
    kept = list(found)
    numbers = [n for n, walk in enumerate(kept) if walk.plan.name == _HALF_WALKED]
    if numbers:
        newest = kept[numbers[-1]]
        half = max(1, len(newest.stops) // 2)
        kept[numbers[-1]] = replace(newest, stops=newest.stops[:half], whole=False)
    return kept
