"""What a handover is written from: the journal at one moment, the boards, the shift."""

from dataclasses import dataclass
from datetime import datetime
from functools import cached_property

from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ledger import Ledger
from gaugewalk.watch.board import Board
from gaugewalk.watch.clock import shift_end
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.wall import clock, stamp_of

_TOLD = ("event", "correction", "limit", "action", "trouble", "skipped", "procedure")


@dataclass(frozen=True, kw_only=True)
class Scene:
    """One shift as it stands at `now`. No slots: what many sections ask for is looked up once."""

    desk: Desk
    ledger: Ledger
    now: datetime
    began: datetime

    @cached_property
    def boards(self) -> dict[str, Board]:
        """The boards of all pumps, those that have left the plant file last."""
        return boards_of(self.desk, self.ledger)

    @property
    def ends(self) -> datetime:
        """When the shift ends."""
        return shift_end(self.desk.plant, self.began)

    @property
    def horizon(self) -> datetime:
        """Until when the next watch is on: what is due by then is theirs."""
        return shift_end(self.desk.plant, self.ends)

    @cached_property
    def recorded(self) -> list[Entry]:
        """What was recorded since the shift began, without plain readings."""
        return self.ledger.since(self.began, _TOLD, now=self.now)

    def name_of(self, tag: str) -> str:
        """Return a pump's name; of one that is gone, that it is."""
        pump = self.desk.pumps.get(tag)
        return pump.name if pump else "(no longer in the plant file)"

    def clock(self, moment: datetime) -> str:
        """Write a time of day, with the date where it is not today."""
        return clock(moment, self.desk.zone, beside=self.now)

    def stamp(self, moment: datetime) -> str:
        """Write day and time."""
        return stamp_of(moment, self.desk.zone)


def boards_of(desk: Desk, ledger: Ledger) -> dict[str, Board]:
    """Return the boards of the plant's pumps in walking order, then those that have left it.

    What stands at a pump that is no longer in the plant file must be told too.
    """
    there = desk.boards.every(ledger)
    own = desk.boards.at(ledger, desk.pumps)
    return own | {tag: board for tag, board in sorted(there.items()) if tag not in own}
