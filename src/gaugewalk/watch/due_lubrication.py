"""What of the lubrication program is due at one pump: grease, cups, oil, samples, oil that goes."""

from collections.abc import Iterator
from datetime import timedelta

from gaugewalk.units import show
from gaugewalk.watch.care_views import DueItem, State
from gaugewalk.watch.deeds import (
    CUP_TURNED,
    GREASED,
    OIL_CHANGED,
    OIL_SAMPLED,
    OILED,
    PLACES,
    TOPPED_UP,
)
from gaugewalk.watch.due_basis import AtPump, again, moment
from gaugewalk.watch.due_item import item
from gaugewalk.watch.lubrication import (
    BATHS,
    Amount,
    GreasePoint,
    OilPoint,
    grease_points,
    oil_points,
)
from gaugewalk.watch.upkeep import oiled_by, use_of

_GREASE_CARE = (
    "Not because it is warm: a warm bearing usually has too much. Relief plug out, guard on, clear "
    "of turning parts."
)
_CUP_CARE = "Clear of shaft and coupling; the set turns, once."
_OIL_CARE = "Standing and locked out by the site's procedure; the product marked on the point."
_SAMPLE_CARE = "Hot oil, turning parts: trained, and the sampling point only."
_LATE_ROUND, _DUE_ROUND = 1.5, 0.75  # of the time between rounds, for a cup turned at each


def lubrication_items(here: AtPump) -> Iterator[DueItem]:
    """Yield everything of the lubrication program of a pump."""
    for point in grease_points(here.pump, here.given):
        yield _cup(here, point) if point.kind == "grease cup" else _grease(here, point)
    for bath in oil_points(here.pump, here.given):
        if bath.change_running or bath.change_calendar:
            yield _oil_change(here, bath)
        yield _sample(here, bath)
    for place in OILED:
        yield from _growing(here, place)


def _grease(here: AtPump, point: GreasePoint) -> DueItem:
    last = here.care.last(GREASED, point.place)
    longest = here.setting("grease_longest")
    running = point.interval.value if point.interval else None
    when = again(here, last, running=running, calendar=longest)
    due_at = when.due_at if running is not None else None
    strokes = f", {point.strokes} strokes" if point.strokes else ""
    amount = f": {show(point.mass.value, 'gram')}{strokes}" if point.mass else ""
    return item(
        here,
        kind="grease",
        title=f"Grease the {PLACES[point.place]}{amount}",
        sentence=when.words,
        state=here.state(due_at),
        due_at=due_at,
        place=point.place,
        deed=GREASED,
        procedure="grease",
        amount=point.mass.value if point.mass else None,
        unit="gram",
        strokes=point.strokes,
        caution=_GREASE_CARE,
        source=_sources(("amount", point.mass), ("interval", point.interval)),
        beside=_beside(point),
        remarks=point.remarks,
    )


def _sources(*rows: tuple[str, Amount | None]) -> str:
    return "; ".join(f"{name}: {amount.source}" for name, amount in rows if amount)


def _beside(point: GreasePoint) -> str:
    parts = []
    if point.mass and point.mass.beside is not None:
        words = show(point.mass.beside, "gram")
        parts.append(f"the formula gives {words} ({point.mass.beside_source})")
    if point.interval and point.interval.beside is not None:
        words = show(point.interval.beside, "h")
        parts.append(f"the formula gives {words} of running ({point.interval.beside_source})")
    return "; ".join(parts)


def _cup(here: AtPump, point: GreasePoint) -> DueItem:
    last = here.care.last(CUP_TURNED, point.place)
    every = here.given.round_every
    turns = point.turns
    words = f"{turns.value:g} of a turn" if turns else "the set turns"
    ago = here.at - last.at if last else None
    state: State = "due"
    if here.care.clock.running is False or (ago is not None and ago < _DUE_ROUND * every):
        state = "later"
    elif ago is not None and ago > _LATE_ROUND * every:
        state = "overdue"
    since = f"Last {here.day(last.at)} ({last.told})." if last else "Never recorded."
    beside = ""
    if turns and turns.beside is not None:
        beside = f"the formula gives {turns.beside:.2g} turns ({turns.beside_source})"
    return item(
        here,
        kind="grease cup",
        title=f"Turn the grease cup, {PLACES[point.place]}: {words} at each round",
        sentence=since + ("" if here.care.clock.running is not False else " The pump stands."),
        state=state,
        due_at=moment(last.at + every) if last else None,
        place=point.place,
        deed=CUP_TURNED,
        procedure="grease-cup",
        amount=turns.value if turns else None,
        unit="1",
        caution=_CUP_CARE,
        source=turns.source if turns else "",
        beside=beside,
        remarks=point.remarks,
    )


def _oil_change(here: AtPump, bath: OilPoint) -> DueItem:
    last = here.care.last(OIL_CHANGED, bath.where)
    running = bath.change_running.value if bath.change_running else None
    calendar = bath.change_calendar.value if bath.change_calendar else None
    when = again(here, last, running=running, calendar=calendar)
    product = f" ({bath.product})" if bath.product else ""
    return item(
        here,
        kind="oil change",
        title=f"Change the oil, {PLACES[bath.where]}{product}",
        sentence=when.words,
        state=here.state(when.due_at),
        due_at=when.due_at,
        place=bath.where,
        deed=OIL_CHANGED,
        procedure="oil-change" if bath.kind in BATHS else "",
        unit="L",
        caution=_OIL_CARE,
        source=_sources(("running", bath.change_running), ("calendar", bath.change_calendar)),
    )


def _sample(here: AtPump, bath: OilPoint) -> DueItem:
    taken = here.care.last(OIL_SAMPLED, bath.where)
    fresh = here.care.last(OIL_CHANGED, bath.where)
    known = [deed for deed in (taken, fresh) if deed is not None]
    last = max(known, key=lambda deed: deed.at) if known else None
    running = bath.sample_running.value if bath.sample_running else None
    calendar = bath.sample.value if bath.sample else None
    when = again(here, last, running=running, calendar=calendar)
    return item(
        here,
        kind="oil sample",
        title=f"Take an oil sample, {PLACES[bath.where]}",
        sentence=when.words,
        state=here.state(when.due_at),
        due_at=when.due_at,
        place=bath.where,
        deed=OIL_SAMPLED,
        procedure="oil-sample",
        caution=_SAMPLE_CARE,
        source=_sources(("running", bath.sample_running), ("calendar", bath.sample)),
    )


def _growing(here: AtPump, place: str) -> Iterator[DueItem]:
    """Yield oil that is used faster than usual: refilling is not enough, its reason is due."""
    use = use_of(here.desk, here.care, place, here.now)
    if not use.growing:
        return
    last = here.care.last(TOPPED_UP, place)
    yield item(
        here,
        kind="oil use",
        title=f"Find where the oil goes, {PLACES[place]} ({oiled_by(here.pump, place)})",
        sentence=use.sentence,
        state="due",
        due_at=moment(last.at) + timedelta(hours=8) if last else None,
        place=place,
        procedure="oil-top-up",
        caution="Topping up hides a leak, water, a broken cooler tube. Oil burns on hot parts.",
        source=here.given.settings["oil_growth"].source,
    )
