"""What is due, by walking order, and the care of one pump on one page.

Everything here follows from the plant file and the journal. What was never recorded is counted from
the first entry about the pump, and that is said.
"""

from collections.abc import Iterator
from datetime import datetime

from gaugewalk.journal.ledger import Ledger
from gaugewalk.plant.pump import Pump
from gaugewalk.watch.board import Board, board_key
from gaugewalk.watch.care import Care, care_key
from gaugewalk.watch.care_views import (
    STATES,
    CareView,
    DeedView,
    DueItem,
    DueView,
    OilView,
)
from gaugewalk.watch.deed_warnings import conditions
from gaugewalk.watch.deeds import OILED
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.due_basis import AtPump, moment
from gaugewalk.watch.due_lubrication import lubrication_items
from gaugewalk.watch.due_standby import changeover_item, proposal_of, standby_items
from gaugewalk.watch.due_strainers import strainer_items
from gaugewalk.watch.pair_hours import hours_of
from gaugewalk.watch.strainer_care import clean_view, dirt_of, readings_of
from gaugewalk.watch.upkeep import use_of

_MOST_DEEDS = 30  # newest ones shown


def due_view(desk: Desk, now: datetime) -> DueView:
    """Return everything that is due or will be, by walking order and then by urgency."""
    with desk.journal.reading() as ledger:
        places = {tag: at_pump(desk, ledger, pump, now) for tag, pump in desk.pumps.items()}
        items = [one for here in places.values() for one in _items(here, places)]
    return DueView(
        plant=desk.plant.name, now=now, items=tuple(items), remarks=tuple(_remarks(desk))
    )


def care_view(desk: Desk, tag: str, now: datetime) -> CareView:
    """Return the care of one pump: what is due, what was done, its run hours."""
    pump = desk.pump(tag)
    with desk.journal.reading() as ledger:
        tags = [t for t in (tag, pump.partner) if t in desk.pumps]
        places = {t: at_pump(desk, ledger, desk.pumps[t], now) for t in tags if t is not None}
        here = places[tag]
        items = tuple(_items(here, places))
        clean = tuple(
            clean_view(pump, dirt, readings_of(ledger, pump, dirt, here.care, now), here.care)
            for dirt in dirt_of(pump)
        )
    other = places.get(pump.partner or "")
    proposal = proposal_of(here, other) if other else None
    uses = {place: use_of(desk, here.care, place, now) for place in OILED}
    return CareView(
        pump=pump,
        hours=hours_of(tag, here.care, here.at),
        partner=hours_of(other.pump.tag, other.care, other.at) if other else None,
        proposal=proposal.sentence if proposal else "",
        items=items,
        oil=tuple(OilView(place=place, use=use) for place, use in uses.items() if use.count),
        clean=clean,
        done=_done(here.care),
    )


def at_pump(desk: Desk, ledger: Ledger, pump: Pump, now: datetime) -> AtPump:
    """Return everything that the program of a pump rests on."""
    board = Board.from_json(ledger.load_state(board_key(pump.tag)))
    return AtPump(
        desk=desk,
        ledger=ledger,
        pump=pump,
        care=Care.from_json(ledger.load_state(care_key(pump.tag))),
        board=board,
        given=conditions(desk, pump, board, now),
        now=now,
    )


def _items(here: AtPump, places: dict[str, AtPump]) -> list[DueItem]:
    """Return what one pump asks for, the most urgent first."""
    found = [*lubrication_items(here), *strainer_items(here), *standby_items(here)]
    other = places.get(here.pump.partner or "")
    proposal = proposal_of(here, other) if other else None
    if proposal is not None and proposal.stop == here.pump.tag:
        found.append(changeover_item(here, proposal))
    far = moment(here.at * 2)
    return sorted(found, key=lambda one: (STATES.index(one.state), one.due_at or far))


def _done(care: Care) -> tuple[DeedView, ...]:
    deeds = [deed for rows in care.deeds.values() for deed in rows]
    newest = sorted(deeds, key=lambda deed: deed.at, reverse=True)[:_MOST_DEEDS]
    return tuple(
        DeedView(id=deed.id, at=moment(deed.at), who=deed.who, told=deed.told) for deed in newest
    )


def _remarks(desk: Desk) -> Iterator[str]:
    """Say what the plant file lacks for the program."""
    silent = [
        tag
        for tag, pump in desk.pumps.items()
        if pump.driver_lubrication is None
        and any(b.place.startswith("driver") for b in pump.bearings)
    ]
    if silent:
        yield (
            "Driver bearings without a program: the plant file has no [pump.driver_lubrication] "
            f"for {', '.join(silent)}."
        )
