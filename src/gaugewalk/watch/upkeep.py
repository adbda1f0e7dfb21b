"""Record what was done to keep a pump well, mind what may harm it, and ask what must come back."""

from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from gaugewalk.errors import ArgumentError, ConflictError
from gaugewalk.journal.entry import Entry
from gaugewalk.judge.severity import Severity
from gaugewalk.judge.state import forget
from gaugewalk.plant.pump import Pump
from gaugewalk.units import Quantity, parse, show
from gaugewalk.watch.care import Care
from gaugewalk.watch.care_views import Kept
from gaugewalk.watch.clock import shift_end
from gaugewalk.watch.deed_places import places_at
from gaugewalk.watch.deed_warnings import warnings_of
from gaugewalk.watch.deeds import (
    DEEDS,
    FILTER_CHANGED,
    GREASED,
    OIL_CHANGED,
    PLACES,
    STRAINER_CLEANED,
    TOPPED_UP,
    checked_place,
    deed_kind,
    told,
)
from gaugewalk.watch.desk import Desk, worded
from gaugewalk.watch.follow_up import ask_again
from gaugewalk.watch.lubrication import point_of
from gaugewalk.watch.oil_use import OilUse, oil_use
from gaugewalk.watch.remembered import Remembered, refold
from gaugewalk.watch.sitting import Sitting, sitting
from gaugewalk.watch.stamp import Stamp, sent_before
from gaugewalk.watch.steps import raise_trouble


def did(
    desk: Desk,
    tag: str,
    what: str,
    by: Stamp,
    *,
    place: str = "",
    amount: str = "",
    found: str = "",
) -> Kept:
    """Store that something was done to a pump.

    Parameters
    ----------
    desk, tag
        At which pump.
    what : str
        One of `deeds.DEEDS`, as in "greased".
    by : Stamp
        Who and when.
    place : str, optional
        Where on the pump, where the deed has several places.
    amount : str, optional
        How much, as typed: "12 g", "0.5 L". None where nobody measured.
    found : str, optional
        Reason found, or what was seen: of an oil level that fell, where the oil went.

    Raises
    ------
    NotFoundError
        There is no such pump or deed.
    ArgumentError
        The place is none of the deed's, or the amount is not above zero.
    UnitError
        The amount cannot be read.
    """
    pump = desk.pump(tag)
    at = checked_place(what, place or _only_place(pump, what))
    quantity = amount_of(what, amount)
    with sitting(desk, by.now) as work:
        draft = by.entry("event", {"event": what, "place": at}, tag=tag, **_measured(quantity))
        known = sent_before(work.ledger, draft)
        if known is not None:
            return Kept(entry=known, warnings=tuple(known.body.get("warnings", ())))
        return keep(work, pump, what, by, place=at, quantity=quantity, found=found)


def _only_place(pump: Pump, what: str) -> str:
    """Return the place of a deed where this pump has one only."""
    places = places_at(pump, what)
    return places[0] if len(places) == 1 else ""


def amount_of(what: str, amount: str) -> Quantity | None:
    """Read how much; none where nothing was typed."""
    kind, text = deed_kind(what), amount.strip()
    if not text:
        return None
    if not kind.quantity:
        raise ArgumentError(f"amount = {text[:30]!r}; of {what!r} no amount is counted.")
    quantity = parse(text, kind.quantity, default_unit=kind.unit)
    if quantity.value <= 0.0 or quantity.low is not None:
        raise ArgumentError(f"amount = {text[:30]!r}; expected one amount above zero.")
    return quantity


def keep(
    work: Sitting,
    pump: Pump,
    what: str,
    by: Stamp,
    *,
    place: str,
    quantity: Quantity | None,
    found: str = "",
    ask: bool = True,
) -> Kept:
    """Take a deed, with what follows from it, into the work in hand.

    With `ask` false no follow-up comes with it: the list that is being walked has its own.
    """
    warnings = tuple(warnings_of(work, pump, what, place, quantity, by.seen_at))
    amount = show(quantity.value, quantity.unit) if quantity else ""
    body: dict[str, Any] = {
        "event": what,
        "place": place,
        "text": told(what, place, amount),
        "found": found.strip(),
        "warnings": list(warnings),
    }
    renewed = renews(pump, what, place)
    body |= {"renews": renewed} if renewed else {}
    entry = work.add(by.entry("event", body, tag=pump.tag, **_measured(quantity)))
    for point in renewed:
        old = work.remembered(pump.tag, point)
        work.remember(pump.tag, point, Remembered(state=forget(old.state), newest=old.newest))
    asked, trouble_id = _follow(work, pump, entry, by, ask)
    return Kept(entry=entry, warnings=warnings, follow_ups=tuple(asked), trouble_id=trouble_id)


def renews(pump: Pump, what: str, place: str) -> list[str]:
    """Return the points whose normal is learned anew after a deed."""
    if what == STRAINER_CLEANED:
        return [f"{place}_strainer_dp"]
    return ["oil_filter_dp"] if what == FILTER_CHANGED else []


def _measured(quantity: Quantity | None) -> dict[str, Any]:
    if quantity is None:
        return {}
    return {
        "value": quantity.value,
        "quantity": quantity.kind,
        "unit": quantity.unit,
        "entered": quantity.entered,
    }


# ------------------------------------------------------------------ what follows


def _follow(
    work: Sitting, pump: Pump, entry: Entry, by: Stamp, ask: bool
) -> tuple[list[str], str | None]:
    """Ask for what must be looked at again; report oil that is used faster than usual."""
    what, place = str(entry.body["event"]), str(entry.body["place"])
    asked: list[str] = []
    if what == GREASED and ask:
        asked.append(_ask(work, pump, by, "grease_again", f"Bearing temperature, {PLACES[place]}, "
                          "after greasing: back to usual? Give no more grease because it is warm",
                          point_of(place)))  # fmt: skip
    if what != TOPPED_UP:
        return asked, None
    if ask:
        words = f"Oil level unchanged since the top-up, {PLACES[place]}?"
        asked.append(_ask(work, pump, by, "oil_again", words, None))
    use = use_of(work.desk, work.care(pump.tag), place, by.seen_at)
    reservoir = oiled_by(pump, place) == "forced feed"
    if ask and (reservoir or use.growing) and not entry.body["found"]:
        words = "Where did the oil go? Report what is found, and if nothing is found, that"
        ask_again(work, by, pump.tag, words, shift_end(work.desk.plant, by.seen_at))
        asked.append(words)
    if not use.growing:
        return asked, None
    sentence = f"Oil, {PLACES[place]}: {use.sentence[0].lower()}{use.sentence[1:]}"
    return asked, raise_trouble(work, by, pump.tag, Severity.WATCH, sentence, by=entry).id


def _ask(work: Sitting, pump: Pump, by: Stamp, setting: str, words: str, point: str | None) -> str:
    after = work.desk.procedures.setting(setting).low
    shown = point if point and pump.point(point) else None
    ask_again(work, by, pump.tag, words, by.seen_at + timedelta(seconds=after), point=shown)
    return words


def use_of(desk: Desk, care: Care, place: str, now: datetime) -> OilUse:
    """Return what the top-ups of one place of a pump say."""
    growth = desk.procedures.setting("oil_growth").low
    top_ups, changes = care.done(TOPPED_UP, place), care.done(OIL_CHANGED, place)
    return oil_use(top_ups, changes, growth, now=now.timestamp())


def oiled_by(pump: Pump, place: str) -> str:
    """Return how pump or driver is lubricated; empty where the plant file is silent."""
    oiled = pump.driver_lubrication if place == "driver" else pump.lubrication
    return oiled.kind if oiled else ""


# ------------------------------------------------------------------ taking back


def take_back(desk: Desk, entry_id: UUID, by: Stamp, *, why: str) -> Entry:
    """Take back a deed that was recorded by mistake; it stays reachable.

    Raises
    ------
    ConflictError
        The entry is no such deed.
    """
    body: dict[str, Any] = {"withdrawn": True, "why": worded("why", why, longest=200)}
    with sitting(desk, by.now) as work:
        deed = work.ledger.get(entry_id)
        if deed.kind != "event" or deed.body.get("event") not in DEEDS:
            raise ConflictError(
                f"Entry {entry_id} is no deed of care. Readings are corrected or withdrawn; a "
                "start or stop is put right by recording the other."
            )
        draft = by.entry("correction", body, tag=deed.tag, corrects=deed.id)
        known = sent_before(work.ledger, draft)
        if known is not None:
            return known
        work.add(draft)
        work.flush()
        filed = desk.as_filed(str(deed.tag))
        for point in deed.body.get("renews", ()):
            anew = refold(work.ledger, filed, point, desk.barometric)
            work.remember(filed.tag, point, anew)
        return draft
