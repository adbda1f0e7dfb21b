"""What leaves the watch on paper: what the doors call for handover, work request and rounds.

As `service.Watch` does, each method signs and hands over; it decides nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from gaugewalk.journal.entry import Entry
from gaugewalk.watch import (
    handover,
    handover_pdf,
    handover_sign,
    trouble,
    work_request,
    work_request_pdf,
)
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.handover_view import Handover
from gaugewalk.watch.quality import RoundQuality, round_qualities
from gaugewalk.watch.stamp import stamp
from gaugewalk.watch.work_request import WorkRequest


@dataclass(frozen=True, slots=True, kw_only=True)
class Papers:
    """The use cases of paper over one desk; `who`, `now` and `id` as in `Watch`.

    `shift` is a moment in the shift that is meant; none: the one to be handed over now.
    """

    desk: Desk

    # ------------------------------------------------------------------ handover

    def handover(self, now: datetime, *, shift: datetime | None = None) -> Handover:
        """Return the handover of a shift: as it was signed, else as the journal has it now."""
        return handover.handover_of(self.desk, now, shift=shift)

    def shift_to_hand_over(self, now: datetime) -> datetime:
        """Return when the shift began that is to be handed over now."""
        with self.desk.journal.reading() as ledger:
            return handover.shift_to_hand_over(self.desk, ledger, now)

    def write_remark(
        self,
        section: str,
        text: str,
        *,
        who: str,
        now: datetime,
        shift: datetime | None = None,
        id: UUID | None = None,
    ) -> Entry:
        """Put a remark of the outgoing into a section; an empty one wipes it."""
        by = stamp(who, now=now, id=id)
        return handover_sign.write_remark(self.desk, section, text, by, shift=shift)

    def sign(
        self, *, who: str, now: datetime, shift: datetime | None = None, id: UUID | None = None
    ) -> Entry:
        """Sign as the outgoing; what stands now is kept word for word."""
        return handover_sign.sign(self.desk, stamp(who, now=now, id=id), shift=shift)

    def take_over(
        self,
        read: Iterable[str],
        *,
        who: str,
        now: datetime,
        text: str = "",
        shift: datetime | None = None,
        id: UUID | None = None,
    ) -> Entry:
        """Sign as the incoming, having read about each trouble named in `read`."""
        by = stamp(who, now=now, id=id)
        return handover_sign.take_over(self.desk, read, by, text=text, shift=shift)

    def handover_pdf(
        self, now: datetime, *, shift: datetime | None = None, paper: str = "a4"
    ) -> bytes:
        """Return the handover of a shift as PDF; needs the extra `pdf`."""
        told = self.handover(now, shift=shift)
        return handover_pdf.handover_pdf(self.desk, told, now=now, paper=paper)

    # ------------------------------------------------------------------ work request

    def work_request(self, trouble_id: str, now: datetime) -> WorkRequest:
        """Return the work request of a trouble as it stands."""
        return work_request.work_request(self.desk, trouble_id, now)

    def work_request_json(self, trouble_id: str, now: datetime) -> dict[str, Any]:
        """Return the work request as plain values, with its courses as numbers."""
        return work_request.to_json(self.work_request(trouble_id, now), self.desk)

    def work_request_pdf(self, trouble_id: str, now: datetime, *, paper: str = "a4") -> bytes:
        """Return the work request as one page of PDF; needs the extra `pdf`."""
        made = self.work_request(trouble_id, now)
        return work_request_pdf.work_request_pdf(self.desk, made, now=now, paper=paper)

    def hand_in(self, trouble_id: str, *, who: str, now: datetime, id: UUID | None = None) -> Entry:
        """Write down that the work request went to maintenance."""
        tag = trouble.trouble_view(self.desk, trouble_id, now).pump.tag
        by = stamp(who, now=now, id=id)
        return trouble.act(self.desk, tag, trouble_id, work_request.HANDED_IN, by, kind="report")

    # ------------------------------------------------------------------ rounds

    def round_qualities(self, since: datetime, now: datetime) -> tuple[RoundQuality, ...]:
        """Return the rounds under way from `since` to `now` with their quality, oldest first."""
        with self.desk.journal.reading() as ledger:
            return round_qualities(self.desk, ledger, since, now)
