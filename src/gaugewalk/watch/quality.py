"""How well a round tells of its pumps: what is missing, repeated, or quicker than one can walk.

It is a quality of the round and of its gauges, never of a person: no name is kept here. A repeated
value may be a stuck gauge, a time may be that of writing instead of looking.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from itertools import pairwise
from statistics import median

from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ledger import Ledger
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.point_views import ordered
from gaugewalk.watch.walks import Walk, arrivals, walks_since

PAST = timedelta(days=14)  # from which a round's usual is learned
FEWEST_PAIRS = 5  # readings of a point with one before, for its own share of repeats
FEWEST_LEGS = 5  # earlier rounds, for the usual time from pump to pump
MANY_COPIES = 5  # fewer are never remarked on
RARE = 0.001  # chance of so many repeats by themselves, under which they are remarked on
QUICK = 0.25  # of the usual time between two pumps; common practice, no source
LEAST_S = 15.0  # between two pumps where no usual is known, [s]; common practice, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """The way from one pump to the next, with the time taken and the usual one. [s]"""

    start: str
    end: str
    took: float
    usual: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundQuality:
    """What a round has and lacks.

    `copies` of `compared` values equal those of the time before; by the points' own past about
    `usual_copies` would, and so many or more would with probability `chance`.
    """

    walk: Walk
    planned: int
    taken: int
    skipped: Mapping[str, int]  # reason -> points
    untouched: Mapping[str, int]  # pump where nothing was written -> its points
    copies: int
    compared: int
    usual_copies: float
    chance: float
    quick: tuple[Leg, ...]
    legs: int

    @property
    def repeats(self) -> bool:
        """Whether so many values are the same again that it is worth a word."""
        return self.copies >= MANY_COPIES and self.chance < RARE

    @property
    def at_one_sitting(self) -> bool:
        """Whether most pumps follow each other quicker than they can be walked."""
        return len(self.quick) >= 3 and 2 * len(self.quick) >= self.legs

    @property
    def open(self) -> int:
        """Points neither taken nor skipped, of pumps where something was written."""
        answered = self.taken + sum(self.skipped.values()) + sum(self.untouched.values())
        return self.planned - answered


def round_qualities(
    desk: Desk, ledger: Ledger, since: datetime, now: datetime
) -> tuple[RoundQuality, ...]:
    """Return the rounds under way from `since` to `now` with their quality, oldest first."""
    walks = walks_since(ledger, since - PAST, now)
    wanted = [walk for walk in walks if walk.until >= since]
    tags = {tag for walk in wanted for tag in walk.tags}
    seen = {
        tag: ledger.history(tag, since=since - PAST, until=now, kinds=["reading", "skipped"])
        for tag in tags & desk.pumps.keys()
    }
    return tuple(
        quality_of(desk, walk, [w for w in walks if w.until < walk.begun_at], seen)
        for walk in wanted
    )


def quality_of(
    desk: Desk, walk: Walk, before: Iterable[Walk], seen: Mapping[str, Sequence[Entry]]
) -> RoundQuality:
    """Return the quality of one round.

    Parameters
    ----------
    desk : Desk
    walk : Walk
        The round.
    before : iterable of Walk
        Earlier rounds; those of the same name tell the usual times.
    seen : mapping of tag to entries
        Readings and skipped points in the order seen, from long before the round.
    """
    points = _points(desk, walk, seen)
    same = [_same_again(rows) for tag in walk.tags for rows in _by_point(walk, seen.get(tag, ()))]
    known = [one for one in same if one is not None]
    shares = [share for _, share in known]
    copies = sum(again for again, _ in known)
    ways = _legs(walk, before, seen)
    return RoundQuality(
        walk=walk,
        planned=points.planned,
        taken=points.taken,
        skipped=dict(points.reasons.most_common()),
        untouched=points.untouched,
        copies=copies,
        compared=len(known),
        usual_copies=sum(shares),
        chance=at_least(copies, shares),
        quick=tuple(leg for leg in ways if _is_quick(leg)),
        legs=len(ways),
    )


@dataclass(slots=True)
class _Points:
    planned: int = 0
    taken: int = 0
    reasons: Counter[str] = field(default_factory=Counter)
    untouched: dict[str, int] = field(default_factory=dict)


def _points(desk: Desk, walk: Walk, seen: Mapping[str, Sequence[Entry]]) -> _Points:
    """Count what was planned and taken, the reasons of what was skipped, the pumps left out."""
    found = _Points()
    for tag in walk.tags:
        if tag not in desk.pumps:
            continue
        names = set(ordered(desk.pumps[tag]))
        inside = [e for e in seen.get(tag, ()) if walk.holds(e.seen_at) and e.point in names]
        read = {e.point for e in inside if e.kind == "reading"}
        skips = {e.point: str(e.body["reason"]) for e in inside if e.kind == "skipped"}
        found.planned += len(names)
        found.taken += len(read)
        found.reasons.update(why for point, why in skips.items() if point not in read)
        if names and not inside:
            found.untouched[tag] = len(names)
    return found


# ------------------------------------------------------------------ the same value again


def _by_point(walk: Walk, rows: Sequence[Entry]) -> list[list[Entry]]:
    """Return the readings of each point up to the one of this round, of the running pump."""
    found: dict[str, list[Entry]] = {}
    for row in rows:
        running = row.body.get("context", {}).get("running") != 0.0
        if row.kind == "reading" and row.seen_at <= walk.until and running:
            found.setdefault(str(row.point), []).append(row)
    return [rows for rows in found.values() if walk.holds(rows[-1].seen_at)]


def _same_again(rows: Sequence[Entry]) -> tuple[bool, float] | None:
    """Whether the last value equals the one before, and how often this point's values do."""
    again = [_equal(a, b) for a, b in pairwise(rows)]
    if len(again) <= FEWEST_PAIRS:
        return None
    *past, last = again
    return last, (sum(past) + 1.0) / (len(past) + 2.0)  # rule of succession


def _equal(a: Entry, b: Entry) -> bool:
    return (a.value, a.low, a.high) == (b.value, b.low, b.high)


def at_least(count: int, shares: Iterable[float]) -> float:
    """Return the probability that at least `count` of independent events happen.

    Parameters
    ----------
    count : int
    shares : iterable of float
        Probability of each event.

    Returns
    -------
    float

    Notes
    -----
    Exact, by adding one event after the other (Poisson binomial distribution).

    Examples
    --------
    >>> round(at_least(2, [0.5, 0.5, 0.5]), 6), at_least(0, [0.1])
    (0.5, 1.0)
    """
    chances = [1.0]  # of 0, 1, 2, ... events
    for share in shares:
        stay = [p * (1.0 - share) for p in chances] + [0.0]
        grow = [0.0] + [p * share for p in chances]
        chances = [a + b for a, b in zip(stay, grow, strict=True)]
    return min(1.0, sum(chances[count:]))


# ------------------------------------------------------------------ the way from pump to pump


def _legs(walk: Walk, before: Iterable[Walk], seen: Mapping[str, Sequence[Entry]]) -> list[Leg]:
    past: dict[tuple[str, str], list[float]] = {}
    for other in before:
        if other.name == walk.name:
            for pair, took in _ways(other, seen):
                past.setdefault(pair, []).append(took)
    return [
        Leg(
            start=pair[0],
            end=pair[1],
            took=took,
            usual=median(past[pair]) if len(past.get(pair, ())) >= FEWEST_LEGS else None,
        )
        for pair, took in _ways(walk, seen)
    ]


def _ways(walk: Walk, seen: Mapping[str, Sequence[Entry]]) -> list[tuple[tuple[str, str], float]]:
    reached = arrivals(walk, seen)
    return [((a, b), (then - at).total_seconds()) for (a, at), (b, then) in pairwise(reached)]


def _is_quick(leg: Leg) -> bool:
    return leg.took < (LEAST_S if leg.usual is None else QUICK * leg.usual)


# ------------------------------------------------------------------ in words


def coverage(quality: RoundQuality) -> str:
    """Say how many points were taken, and why the others were not.

    Examples
    --------
    >>> from datetime import UTC
    >>> noon = datetime(2025, 11, 3, 12, tzinfo=UTC)
    >>> walk = Walk(id="1", name="outside", tags=(), begun_at=noon, until=noon, finished=True)
    >>> coverage(RoundQuality(walk=walk, planned=12, taken=6, skipped={"no light": 2},
    ...                       untouched={"W2": 3}, copies=0, compared=0, usual_copies=0.0,
    ...                       chance=1.0, quick=(), legs=0))
    '6 of 12 points taken; not taken: no light (2); nothing written at W2 (3); 1 open.'
    """
    parts = [f"{quality.taken} of {quality.planned} points taken"]
    if quality.skipped:
        reasons = ", ".join(f"{why} ({count})" for why, count in quality.skipped.items())
        parts.append(f"not taken: {reasons}")
    if quality.untouched:
        where = ", ".join(f"{tag} ({count})" for tag, count in quality.untouched.items())
        parts.append(f"nothing written at {where}")
    if quality.open > 0:
        parts.append(f"{quality.open} open")
    return "; ".join(parts) + "."


def remarks(quality: RoundQuality) -> list[str]:
    """Say what is worth a second look; nothing where nothing stands out."""
    said = []
    if quality.repeats:
        said.append(
            f"{quality.copies} of {quality.compared} values are the same as the time before, "
            f"where about {quality.usual_copies:.0f} usually are. A gauge that hangs shows the "
            "same; worth reading a few of them anew."
        )
    if quality.at_one_sitting:
        said.append(
            f"{len(quality.quick)} of {quality.legs} pumps follow each other quicker than they "
            "are walked. The times seem to be those of writing, as from a sheet; then trends and "
            "forecasts rest on times that are a little off."
        )
    else:
        said += [_leg_words(leg) for leg in quality.quick]
    return said


def _leg_words(leg: Leg) -> str:
    usual = f", usually {_span(leg.usual)}" if leg.usual is not None else ""
    return (
        f"From {leg.start} to {leg.end} in {_span(leg.took)}{usual}: perhaps the time of writing."
    )


def _span(seconds: float) -> str:
    return f"{seconds:.0f} s" if seconds < 100 else f"{seconds / 60:.0f} min"
