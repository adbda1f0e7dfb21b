"""One reading judged against everything known of its point: slips, limits, own normal, change.

The order is that of a careful person: can it be? is it past a limit? is it what this pump usually
shows at this duty? does it swing, drift, or has the gauge stopped moving? The most urgent answer
gives the word; the sentence says why, with the number it was compared to.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime

from gaugewalk.judge.change import frozen, shape, swinging
from gaugewalk.judge.charts import Charts
from gaugewalk.judge.display import display_unit
from gaugewalk.judge.drivers import drivers_of, is_counter, is_static, rise_only
from gaugewalk.judge.expect import expected_band, learn, rough_scale
from gaugewalk.judge.limits import Limit, limits_of, worst_beyond
from gaugewalk.judge.normal import BAND, Sample
from gaugewalk.judge.plausible import Doubt, doubt
from gaugewalk.judge.severity import Severity, worst
from gaugewalk.judge.state import Episode, PointState, Recent, remember
from gaugewalk.judge.verdict import Band, Change, Verdict
from gaugewalk.judge.words import Words
from gaugewalk.plant.pump import Pump
from gaugewalk.units import Quantity

_STILL = 5  # equal readings in a row that are called still
_ACT_BANDS = 3.0  # half widths of the own band from which a deviation is for this shift, not later


@dataclass(frozen=True, slots=True, kw_only=True)
class _Seen:
    """One reading with everything it is compared to; the parts of a verdict look at it."""

    quantity: Quantity
    band: Band | None
    doubt: Doubt | None
    limit: Limit | None
    running: bool
    judged: bool  # the own normal applies: running, or a point that is the same when standing
    swing: bool
    deviation: float | None

    def moved(self, point: str, charts: Charts) -> bool:
        """Off its middle by the charts, on a side that is a trouble."""
        return charts.alert and not (rise_only(point) and charts.ewma < 0.0)

    @property
    def outside(self) -> bool:
        """Outside what is usual, by the own normal or the plant file's usual value."""
        return self.deviation is not None and abs(self.deviation) > BAND


def judge_reading(
    pump: Pump,
    point: str,
    quantity: Quantity,
    *,
    seen_at: datetime,
    state: PointState,
    context: Mapping[str, float],
    barometric: float,
) -> tuple[Verdict, PointState]:
    """Judge one reading and return what is remembered from now on.

    Parameters
    ----------
    pump, point
        Where it was read.
    quantity
        What was read, with what was typed.
    seen_at
        When it was seen; aware.
    state
        What was remembered of this point before; `PointState()` for a point never read.
    context
        Other points' present values, [SI], and `running`: 0 for a standing pump.
    barometric
        Pressure of the air at the gauge. [Pa]

    Returns
    -------
    Verdict, PointState
        The state learns only from a running pump, with nothing off and nothing doubted.
    """
    seen = _look(pump, point, quantity, state, context, barometric)
    at = seen_at.timestamp()
    terms = tuple(driver.value(context) for driver in drivers_of(point))
    followed = _follow(state, seen, at, terms)
    change = _change(point, followed, seen)
    severity = _severity(point, seen, followed, change)
    if _is_back(seen, followed, change):
        severity, change = Severity.NORMAL, "steady"
    followed, alert = _episode(followed, seen, change, severity, at)
    learned = seen.judged and not seen.doubt and followed.episode is None
    if learned:
        sample = Sample(at=at, value=quantity.value, drivers=terms)
        followed = learn(followed, pump, point, sample, barometric=barometric)
    words = Words(unit=display_unit(pump, point), point=point, barometric=barometric)
    reasons = _reasons(words, seen, followed, change)
    since = datetime.fromtimestamp(followed.episode.since, UTC) if followed.episode else None
    verdict = Verdict(
        severity=severity,
        sentence=reasons[0],
        point=point,
        value=quantity.value,
        plausible=seen.doubt is None or seen.doubt.possible,
        suspicion=seen.doubt.words if seen.doubt else None,
        band=(seen.band.low, seen.band.high) if seen.band else None,
        rests_on=seen.band.readings if seen.band else 0,
        change=change,
        alert=alert,
        since=since,
        learned=learned,
        deviation=seen.deviation,
        reasons=reasons,
    )
    return verdict, followed


def _look(
    pump: Pump,
    point: str,
    quantity: Quantity,
    state: PointState,
    context: Mapping[str, float],
    barometric: float,
) -> _Seen:
    running = context.get("running", 1.0) > 0.5
    judged = (running or is_static(point)) and not is_counter(point)
    band = expected_band(pump, point, state, context, barometric=barometric)
    low = quantity.value if quantity.low is None else quantity.low
    high = quantity.value if quantity.high is None else quantity.high
    limits = limits_of(pump, point)
    # A standing pump has no pressure, flow or current: only too high still means something.
    limit = worst_beyond(limits, low, high, sides=("low", "high") if judged else ("high",))
    scale = band.scale if band and band.scale else None
    compared = judged and band is not None and band.source != "limits"
    usual_scatter = scale or rough_scale(quantity.value, quantity.kind, barometric)
    return _Seen(
        quantity=quantity,
        band=band,
        doubt=doubt(
            quantity,
            pump.point(point),
            band if judged else None,
            barometric=barometric,
            last=state.recent[-1].value if state.recent else None,
        ),
        limit=limit,
        running=running,
        judged=judged,
        swing=judged and high - low > 2.0 * BAND * usual_scatter,
        deviation=(quantity.value - band.middle) / scale if compared and scale and band else None,
    )


def _follow(state: PointState, seen: _Seen, at: float, terms: tuple[float, ...]) -> PointState:
    """Count the reading in the charts, the last readings and the gauge's repeats."""
    if not seen.judged or (seen.doubt and not seen.doubt.possible):
        return state
    value = seen.quantity.value
    state = replace(state, repeats=state.repeats.add(value))
    if state.fit is None or seen.deviation is None:
        return state
    last = Recent(at=at, value=value, deviation=seen.deviation, drivers=terms)
    return replace(
        state, recent=remember(state.recent, last), charts=state.charts.add(seen.deviation)
    )


def _change(point: str, state: PointState, seen: _Seen) -> Change:
    if seen.swing:
        return "swing"
    repeats = state.repeats
    if not seen.judged:
        return "steady"
    # A level may well stand still between two rounds; a gauge of a running pump does not.
    if not is_static(point) and frozen(repeats.run, repeats.pairs, repeats.equal):
        return "frozen"
    deviations = [r.deviation for r in state.recent]
    if swinging(deviations):
        return "swing"
    moved = seen.moved(point, state.charts)
    # Equal readings cannot drift, whatever the drivers did meanwhile.
    if repeats.run >= min(_STILL, len(deviations)) or not (moved or seen.outside):
        return "steady"
    before = state.episode.kind if state.episode else "steady"
    found = shape([r.at for r in state.recent], deviations, before=before)
    return before if found == "steady" else found


def _severity(point: str, seen: _Seen, state: PointState, change: Change) -> Severity:
    if not seen.judged:
        return seen.limit.severity if seen.limit else Severity.NORMAL
    found = [seen.limit.severity] if seen.limit else []
    moved = seen.moved(point, state.charts)
    if seen.doubt or seen.outside or moved or change in ("swing", "frozen"):
        found.append(Severity.WATCH)
    if _far(point, seen):
        found.append(Severity.ACT)
    return worst(*found)


def _far(point: str, seen: _Seen) -> bool:
    """Tell whether a deviation from the own normal is so large that this shift must act."""
    if seen.band is None or seen.band.source != "own normal" or seen.deviation is None:
        return False
    if rise_only(point) and seen.deviation < 0:
        return False
    return seen.judged and abs(seen.deviation) > _ACT_BANDS * BAND


def _far_decides(point: str, seen: _Seen) -> bool:
    """Tell whether it is act for being far from usual, not for a limit; no slip of the pen is."""
    by_limit = seen.limit is not None and seen.limit.severity.rank >= Severity.ACT.rank
    possible = seen.doubt is None or seen.doubt.possible
    return _far(point, seen) and possible and not by_limit


def _episode(
    state: PointState, seen: _Seen, change: Change, severity: Severity, at: float
) -> tuple[PointState, bool]:
    """Open, keep or close the episode; tell whether this reading is the one that alerts."""
    before = state.episode
    if severity is Severity.NORMAL or not seen.judged:
        if before is not None and seen.judged and _over(state, before):
            return replace(state, episode=None, charts=Charts()), False
        return state, False
    if before is None:
        return replace(state, episode=Episode(since=at, kind=change, severity=severity)), True
    worse = severity.rank > before.severity.rank
    now = replace(before, kind=change, severity=worst(severity, before.severity))
    return replace(state, episode=now), worse


def _is_back(seen: _Seen, state: PointState, change: Change) -> bool:
    """Tell whether only the charts still remember an episode that the last readings have left."""
    if not state.charts.alert or state.episode is None or not seen.judged:
        return False
    if seen.outside or seen.limit or seen.doubt or change in ("swing", "frozen"):
        return False
    return _over(state, state.episode)


def _over(state: PointState, episode: Episode) -> bool:
    """Tell whether the last readings are back: three for a plain excursion, six for a drift."""
    count = 6 if episode.kind in ("drift", "step") else 3
    last = [r.deviation for r in state.recent[-count:]]
    if len(last) < count:
        return len(state.recent) < count
    return max(map(abs, last)) < 2.0 and abs(sum(last)) / count < 0.8


def _reasons(words: Words, seen: _Seen, state: PointState, change: Change) -> tuple[str, ...]:
    """Return the sentences, the one that decided the word first."""
    reasons = [words.beyond(seen.quantity, seen.limit, seen.band)] if seen.limit else []
    if seen.band and _far_decides(words.point, seen):
        reasons.insert(0, words.far(seen.quantity, seen.band))
    if not seen.judged:
        return (*reasons, words.standing(seen.quantity))
    reasons += _of_change(words, seen, state, change)
    if not reasons:
        reasons.append(words.inside(seen.quantity, seen.band, len(state.samples)))
    if seen.doubt and seen.doubt.possible:
        reasons.append(words.doubted(seen.doubt, ""))
    elif seen.doubt:
        # A reading that cannot be is asked about first, whatever limit it would be past.
        reasons[0] = words.doubted(seen.doubt, reasons[0] if seen.limit else "")
    return tuple(reasons)


def _of_change(words: Words, seen: _Seen, state: PointState, change: Change) -> list[str]:
    reasons = []
    if change == "swing":
        reasons.append(words.swing(seen.quantity, [r.value for r in state.recent[-8:]], seen.band))
    if seen.outside and seen.band and not _far_decides(words.point, seen):
        reasons.append(words.outside(seen.quantity, seen.band))
    if change == "frozen":
        reasons.append(words.frozen(seen.quantity, state.repeats.run))
    if seen.moved(words.point, state.charts) and not seen.outside:
        values = [r.value for r in state.recent]
        below = state.charts.ewma < 0.0
        reasons.append(words.moved(seen.quantity, values, change, seen.band, below=below))
    return reasons
