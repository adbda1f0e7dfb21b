"""What to mind about a deed: grease too soon, too much or while hot, a cup or a vent once more."""

from collections.abc import Iterator
from datetime import datetime, timedelta

from gaugewalk.judge.severity import Severity
from gaugewalk.plant.pump import Pump
from gaugewalk.units import Quantity, show
from gaugewalk.watch.board import Board
from gaugewalk.watch.clock import shift_start
from gaugewalk.watch.deeds import CUP_TURNED, GREASED, PLACES, VENTED
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.lubrication import Conditions, GreasePoint, grease_points, point_of
from gaugewalk.watch.oil_use import DAY
from gaugewalk.watch.procedure_fit import settings_for
from gaugewalk.watch.sitting import Sitting

FRESH = timedelta(days=7)  # a temperature older than this tells nothing of a bearing today
_AGAIN = 0.5  # of the time between rounds, before which a cup was turned a moment ago


def warnings_of(
    work: Sitting, pump: Pump, what: str, place: str, quantity: Quantity | None, at: datetime
) -> Iterator[str]:
    """Say what may harm before it is done, or right after."""
    if what == VENTED:
        yield from _vented_again(work, pump, at)
    if what not in (GREASED, CUP_TURNED):
        return
    given = conditions(work.desk, pump, work.board(pump.tag), at)
    one = next((p for p in grease_points(pump, given) if p.place == place), None)
    if one is None:
        yield f"The program has no grease point at the {PLACES[place]} of {pump.tag}."
    elif what == CUP_TURNED:
        yield from _cup_again(work, pump, one, quantity, given, at)
    else:
        yield from _too_soon(work, pump, one, at)
        yield from _too_much(work, one, quantity)
        yield from _while_hot(work, pump, place)


def _too_much(work: Sitting, one: GreasePoint, quantity: Quantity | None) -> Iterator[str]:
    most = work.desk.procedures.setting("grease_too_much").low
    if quantity and one.mass and quantity.value > most * one.mass.value:
        yield (
            f"{show(quantity.value, quantity.unit)} is more than the set "
            f"{show(one.mass.value, 'gram')} ({one.mass.source}): too much grease heats a bearing. "
            "Relief plug out, let it run out, and watch the temperature."
        )


def _while_hot(work: Sitting, pump: Pump, place: str) -> Iterator[str]:
    last = work.board(pump.tag).last.get(point_of(place))
    if last is not None and last.severity != Severity.NORMAL:
        yield (
            f"The bearing is not as usual now: {last.sentence} A warm bearing usually has too much "
            "grease, not too little (MIL-HDBK-1164, Table 17)."
        )


def _cup_again(
    work: Sitting,
    pump: Pump,
    one: GreasePoint,
    quantity: Quantity | None,
    given: Conditions,
    at: datetime,
) -> Iterator[str]:
    """Say that a cup was turned a moment ago, or further than it is set."""
    last = work.care(pump.tag).last(CUP_TURNED, one.place)
    ago = at.timestamp() - last.at if last else None
    if ago is not None and 0.0 <= ago < _AGAIN * given.round_every:
        yield f"Turned {ago / 60:.0f} min ago already: once at each round, and no more for luck."
    most = work.desk.procedures.setting("grease_too_much").low
    if quantity and one.turns and quantity.value > most * one.turns.value:
        yield (
            f"{quantity.value:g} turns are more than the set {one.turns.value:g} "
            f"({one.turns.source}): too much grease heats a bearing."
        )


def _vented_again(work: Sitting, pump: Pump, at: datetime) -> Iterator[str]:
    """Say that venting once more is no cure: each one helps, and hides the inlet."""
    began = shift_start(work.desk.plant, at).timestamp()
    times = sum(deed.at >= began for deed in work.care(pump.tag).done(VENTED))
    if times >= work.desk.procedures.setting("vent_most").low:
        yield (
            f"Vented {times + 1} times this shift: gas has a cause. Look for an inlet of air, gas "
            "in the liquid, or vapor, and report it; the time until it comes back tells them apart."
        )


def _too_soon(work: Sitting, pump: Pump, one: GreasePoint, at: datetime) -> Iterator[str]:
    care = work.care(pump.tag)
    last = care.last(GREASED, one.place)
    if last is None or one.interval is None or last.at > at.timestamp():
        return
    ran = care.clock.ran(at.timestamp()) - last.ran
    share = work.desk.procedures.setting("grease_too_soon").low
    if ran < share * one.interval.value:
        days = (at.timestamp() - last.at) / DAY
        yield (
            f"Greased {days:.0f} days ago ({last.told}); it ran {show(ran, 'h')} since, the "
            f"interval is {show(one.interval.value, 'h')} ({one.interval.source}). Too soon is "
            "too much grease."
        )


def conditions(desk: Desk, pump: Pump, board: Board, now: datetime) -> Conditions:
    """Return what the lubrication program of a pump depends on."""
    oldest = (now - FRESH).timestamp()
    housing = {}
    for place in ("de", "nde", "driver_de", "driver_nde"):
        last = board.last.get(point_of(place))
        if last is None or not last.plausible:
            continue
        if datetime.fromisoformat(last.seen_at).timestamp() >= oldest:
            housing[place] = last.value
    every = [
        plan.every
        for plan in desk.plant.rounds
        if pump.tag in plan.tags or pump.area in plan.areas or not (plan.tags or plan.areas)
    ]
    return Conditions(
        settings=settings_for(desk.procedures, pump),
        housing=housing,
        round_every=min(every, default=DAY),
    )
