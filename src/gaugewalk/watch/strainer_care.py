"""Strainers and filters: when the next cleaning is due, and how clean the last one was."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from statistics import median

from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ledger import Ledger
from gaugewalk.judge.forecast import Forecast, Past, look_ahead
from gaugewalk.physics.strainer import scaled_drop
from gaugewalk.plant.points import point_kind
from gaugewalk.plant.pump import Pump, Strainer
from gaugewalk.units import show
from gaugewalk.watch.care import Care, Deed
from gaugewalk.watch.care_views import CleanView
from gaugewalk.watch.deeds import FILTER_CHANGED, STRAINER_CLEANED
from gaugewalk.watch.desk import Desk, unit_of
from gaugewalk.watch.remembered import Remembered, point_key

PAST = timedelta(days=90)
_CLEAN_FOR = timedelta(hours=48)  # readings so soon after a cleaning show the clean strainer
_CLEAN_READINGS = 5
# Clean differential pressure against the last cleaning; common practice, no source.
_WORSE, _LESS = 1.25, 0.6


@dataclass(frozen=True, slots=True, kw_only=True)
class Dirt:
    """One strainer or filter of a pump: its point, the deed that cleans it, what the file says."""

    point: str
    deed: str
    place: str
    strainer: Strainer | None = None


def dirt_of(pump: Pump) -> tuple[Dirt, ...]:
    """Return the strainers and oil filters of a pump whose differential pressure is read."""
    all_ = [
        Dirt(
            point=f"{place}_strainer_dp",
            deed=STRAINER_CLEANED,
            place=place,
            strainer=pump.suction_strainer if place == "suction" else pump.discharge_strainer,
        )
        for place in ("suction", "discharge")
    ]
    forced = pump.lubrication.kind == "forced feed"
    oil = "pump" if forced or pump.driver_lubrication is None else "driver"
    all_.append(Dirt(point="oil_filter_dp", deed=FILTER_CHANGED, place=oil))
    return tuple(one for one in all_ if pump.point(one.point) is not None)


def readings_of(ledger: Ledger, pump: Pump, dirt: Dirt, care: Care, now: datetime) -> list[Entry]:
    """Return the sound readings of a running pump since the last cleaning but one, oldest first."""
    done = care.done(dirt.deed, dirt.place)
    since = now - PAST
    if len(done) > 1:
        since = min(since, _at(done[-2]))
    rows = ledger.history(pump.tag, since=since, until=now, points=[dirt.point], kinds=["reading"])
    return [row for row in rows if _counts(row)]


def next_cleaning(
    desk: Desk,
    ledger: Ledger,
    pump: Pump,
    dirt: Dirt,
    readings: Sequence[Entry],
    last: Deed | None,
    now: datetime,
) -> Forecast:
    """Say when the differential pressure reaches its limit, from the readings since `last`."""
    start = _at(last) if last else None
    past = [
        Past(
            at=row.seen_at.timestamp(),
            value=float(row.value or 0.0),
            context=row.body.get("context", {}),
        )
        for row in readings
        if start is None or row.seen_at >= start
    ]
    stored = ledger.load_state(point_key(pump.tag, dirt.point))
    bare = {**stored, "state": {**stored["state"], "samples": [], "recent": []}} if stored else None
    fit = Remembered.from_json(bare).state.fit
    return look_ahead(pump, dirt.point, past, now=now, barometric=desk.barometric, fit=fit)


def clean_view(pump: Pump, dirt: Dirt, readings: Sequence[Entry], care: Care) -> CleanView:
    """Compare what a strainer showed after its last cleaning with the time before.

    Both are scaled to one flow where flow was read beside them; else that is said.
    """
    done = care.done(dirt.deed, dirt.place)
    now = _clean(dirt, readings, done[-1], None) if done else _Clean()
    if len(done) > 1:
        before = _clean(dirt, readings, done[-2], done[-1])
        before_source = f"after the cleaning of {_at(done[-2]):%d %b %Y}"
    else:
        before, before_source = _filed(dirt), "plant file"
    compared = now.value is not None and before.value is not None
    like = now.scaled_to == before.scaled_to
    worse, sentence = False, _alone(pump, dirt, now, done)
    if compared:
        worse, sentence = _compared(pump, dirt, now, before, before_source, like)
    return CleanView(
        point=dirt.point,
        label=point_kind(dirt.point).label,
        cleaned_at=_at(done[-1]) if done else None,
        clean=now.value,
        readings=now.readings,
        before=before.value,
        before_source=before_source if before.value is not None else "",
        scaled_to=now.scaled_to if like else None,
        worse=worse,
        sentence=sentence,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Clean:
    """A clean differential pressure [Pa], on how many readings, scaled to which flow [m3/s]."""

    value: float | None = None
    readings: int = 0
    scaled_to: float | None = None


def _filed(dirt: Dirt) -> _Clean:
    filed = dirt.strainer
    if filed is None or filed.clean_dp is None:
        return _Clean()
    return _Clean(value=filed.clean_dp, scaled_to=filed.clean_flow)


def _clean(dirt: Dirt, readings: Sequence[Entry], deed: Deed, after: Deed | None) -> _Clean:
    start = _at(deed)
    end = min(start + _CLEAN_FOR, _at(after)) if after else start + _CLEAN_FOR
    rows = [row for row in readings if start <= row.seen_at < end][:_CLEAN_READINGS]
    if not rows:
        return _Clean()
    to_flow = dirt.strainer.clean_flow if dirt.strainer else None
    values = [max(float(row.value or 0.0), 0.0) for row in rows]
    flows = [float(row.body.get("context", {}).get("flow") or 0.0) for row in rows]
    if to_flow is None or min(flows) <= 0.0:
        return _Clean(value=median(values), readings=len(rows))
    scaled = [float(scaled_drop(dp, q, to_flow)) for dp, q in zip(values, flows, strict=True)]
    return _Clean(value=median(scaled), readings=len(rows), scaled_to=to_flow)


def _alone(pump: Pump, dirt: Dirt, now: _Clean, done: Sequence[Deed]) -> str:
    label = point_kind(dirt.point).label
    if not done:
        return f"{label}: no cleaning on record."
    if now.value is None:
        return f"{label}: not read within two days of the cleaning; read it at a known flow."
    unit = unit_of(pump, dirt.point)
    return f"{label}: {show(now.value, unit)} clean ({_read(now)}); nothing to compare."


def _compared(
    pump: Pump, dirt: Dirt, now: _Clean, before: _Clean, source: str, like: bool
) -> tuple[bool, str]:
    unit = unit_of(pump, dirt.point)
    value, old = float(now.value or 0.0), float(before.value or 0.0)
    entry = pump.point(dirt.point)
    least = 2.0 * (entry.accuracy or 0.0) if entry else 0.0
    at = f" at {show(now.scaled_to, unit_of(pump, 'flow'))}" if like and now.scaled_to else ""
    words = (
        f"{point_kind(dirt.point).label}: {show(value, unit)} clean{at} ({_read(now)}), "
        f"{show(old, unit)} {source}"
    )
    if not like:
        return False, f"{words}. Flow was not read beside both: compare with care."
    if value > _WORSE * old and value - old > least:
        return True, f"{words}: not as clean as before. Look at basket, mesh, valve and gauge."
    if value < _LESS * old and old - value > least:
        return True, f"{words}: less than before. Is the basket torn, or not seated?"
    return False, f"{words}: as clean as before."


def _read(clean: _Clean) -> str:
    return f"{clean.readings} reading{'s' * (clean.readings != 1)}"


def _at(deed: Deed) -> datetime:
    return datetime.fromtimestamp(deed.at, UTC)


def _counts(entry: Entry) -> bool:
    standing = entry.body.get("context", {}).get("running") == 0.0
    return bool(entry.body.get("verdict", {}).get("plausible", True)) and not standing
