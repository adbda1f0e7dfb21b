"""Accept a lasting change as a pump's normal from now on: who, when, why."""

from dataclasses import replace

from gaugewalk.errors import ArgumentError
from gaugewalk.journal.entry import Entry
from gaugewalk.judge.expect import accept, expected_band
from gaugewalk.plant.points import point_kind
from gaugewalk.watch.desk import Desk, worded
from gaugewalk.watch.remembered import ACCEPTED
from gaugewalk.watch.sitting import sitting
from gaugewalk.watch.stamp import Stamp, sent_before


def accept_normal(desk: Desk, tag: str, point: str, by: Stamp, *, why: str) -> Entry:
    """Store that what a point shows since it changed is this pump's normal from now on.

    A new impeller, another duty, a gauge put elsewhere: the change is real, lasts, and somebody who
    may says so. The own normal is learned anew from the readings since the change. Limits stay: one
    that is passed now must be changed for itself. An open trouble is closed by whoever closes it.

    Parameters
    ----------
    desk, tag, point
        Which point of which pump.
    by : Stamp
        Who and when.
    why : str
        The reason; it stands in the journal.

    Raises
    ------
    ArgumentError
        There is no reason, nothing is off, the gauge does not move, or too few readings show it.
    NotFoundError
        There is no such pump or point.
    """
    pump, kind = desk.pump(tag), point_kind(point)
    body = {"event": ACCEPTED, "why": worded("why", why, longest=300)}
    with sitting(desk, by.now) as work:
        known = sent_before(work.ledger, by.entry("event", body, tag=tag, point=kind.id))
        if known is not None:
            return known
        before = work.remembered(tag, kind.id)
        try:
            state = accept(before.state, pump, kind.id, barometric=desk.barometric)
        except ArgumentError as error:
            raise ArgumentError(f"{kind.label} of {tag}: {error}") from error
        band = expected_band(pump, kind.id, state, {}, barometric=desk.barometric)
        normal = f": {band.sentence}" if band else ""
        text = f"New normal of {kind.label.lower()} accepted{normal}. {body['why']}"
        entry = work.add(by.entry("event", {**body, "text": text}, tag=tag, point=kind.id))
        work.remember(tag, kind.id, replace(before, state=state))
        return entry
