"""From the journal to a case: what the diagnosis of a pump rests on at a given time."""

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from gaugewalk.diagnose.case import Case, Done, case_from_pump
from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ledger import Ledger
from gaugewalk.judge.expect import expected_band
from gaugewalk.plant.pump import Pump
from gaugewalk.units import Quantity
from gaugewalk.watch.care_findings import care_findings
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.remembered import load_points, quantity_of
from gaugewalk.watch.taught import counts_of

if TYPE_CHECKING:
    from gaugewalk.diagnose.diagnosis import Diagnosis

# A reading this much older than the pump's newest one no longer tells of the same trouble.
_TOGETHER = timedelta(hours=12)
_KEPT = 100  # diagnoses at hand
_LATELY = timedelta(hours=24)  # observations and trials, where no trouble says since when


def case_of(
    desk: Desk, ledger: Ledger, pump: Pump, now: datetime, *, since: datetime | None = None
) -> Case:
    """Return the case of a pump at a time.

    Parameters
    ----------
    desk, ledger, pump, now
        Which pump, when; nothing seen later is used.
    since : datetime, optional
        From when observations and trials count, as the opening of a trouble; else the last day.
    """
    from_when = min(since or now - _LATELY, now - _LATELY)
    seen = ledger.history(
        pump.tag, since=from_when, until=now, kinds=["reading", "observation", "action"]
    )
    readings = _readings(seen)
    counted = [e for e in seen if e.seen_at >= (since or now - _LATELY)]
    return case_from_pump(
        pump,
        readings={point: quantity_of(entry) for point, entry in readings.items()},
        normal=_normal(desk, ledger, pump, readings),
        # What a person saw comes before what follows from the readings and the log of care.
        observations=_of_gauges(readings)
        | care_findings(desk, ledger, pump, now)
        | _observations(counted),
        done=_done(desk, counted),
        barometric=desk.barometric,
        confirmed=counts_of(desk, ledger, pump, now),
    )


def diagnosis_of(desk: Desk, case: Case) -> "Diagnosis":
    """Return what the knowledge says of a case."""
    from gaugewalk.diagnose.diagnosis import diagnose

    # What follows from a case alone is worked out once, however many look at it.
    kept, key = desk.diagnoses, repr(case)
    found = kept.get(key)
    if found is None:
        found = diagnose(case, desk.knowledge)
        while len(kept) >= _KEPT:
            kept.pop(next(iter(kept), key), None)
        kept[key] = found
    return found


def _readings(seen: list[Entry]) -> dict[str, Entry]:
    """Return the newest reading of each point, of those that belong together."""
    rows = [e for e in seen if e.kind == "reading" and _can_be(e)]
    if not rows:
        return {}
    start = rows[-1].seen_at - _TOGETHER
    return {str(e.point): e for e in rows if e.seen_at >= start}


def _can_be(entry: Entry) -> bool:
    return bool(entry.body.get("verdict", {}).get("plausible", True))


def _of_gauges(readings: Mapping[str, Entry]) -> dict[str, bool]:
    """Return that a gauge has stopped moving, where the newest reading of a point says so."""
    stuck = any(e.body.get("verdict", {}).get("change") == "frozen" for e in readings.values())
    return {"gauge-stuck": True} if stuck else {}


def _normal(
    desk: Desk, ledger: Ledger, pump: Pump, readings: Mapping[str, Entry]
) -> dict[str, Quantity]:
    """Return what each reading was expected to be, under what was read beside it."""
    states = load_points(ledger, pump.tag, fits_only=True)
    values = {point: float(entry.value or 0.0) for point, entry in readings.items()}
    found = {}
    for point, entry in readings.items():
        if point not in states:
            continue
        others = {name: value for name, value in values.items() if name != point}
        band = expected_band(pump, point, states[point].state, others, barometric=desk.barometric)
        if band is not None:
            found[point] = Quantity(
                value=band.middle,
                low=None,
                high=None,
                kind=entry.quantity or "number",
                unit=entry.unit or "1",
                entered=band.sentence,
            )
    return found


def _observations(seen: list[Entry]) -> dict[str, bool]:
    """Return the newest answer to each finding; where nobody could look there is none."""
    newest = {str(e.point): e.body["present"] for e in seen if e.kind == "observation"}
    return {finding: bool(there) for finding, there in newest.items() if there is not None}


def _done(desk: Desk, seen: list[Entry]) -> tuple[Done, ...]:
    """Return the trials that the knowledge has a rule for, with what came of them."""
    known = {rule.action for rule in desk.knowledge.done_rules}
    return tuple(
        Done(
            action=str(e.body["trial"]),
            when=desk.local(e.seen_at).isoformat(timespec="minutes"),
            result=str(e.body.get("result", "")),
        )
        for e in seen
        if e.kind == "action" and e.body.get("trial") in known
    )
