"""Programs, procedures and limits: what the doors call beside readings and troubles.

As `service.Watch` does, each method signs and hands over; it decides nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from gaugewalk.journal.entry import Entry
from gaugewalk.watch import due, limit_change, new_normal, procedure_show, procedure_steps, upkeep
from gaugewalk.watch.care_views import CareView, DueView, Kept
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.limit_views import LimitsView
from gaugewalk.watch.procedure_for import lists_for_action
from gaugewalk.watch.procedure_steps import Ticked
from gaugewalk.watch.procedure_views import ProcedureLine, ProcedureView, RunLine, RunView
from gaugewalk.watch.stamp import stamp

_NONE: Mapping[str, str] = {}


@dataclass(frozen=True, slots=True, kw_only=True)
class Program:
    """The use cases of care, check-lists and limits, over one desk.

    `who`, `now`, `seen_at` and `id` as in `Watch`.
    """

    desk: Desk

    # ------------------------------------------------------------------ care

    def due(self, now: datetime) -> DueView:
        """Return everything that is due or will be, by walking order."""
        return due.due_view(self.desk, now)

    def care(self, tag: str, now: datetime) -> CareView:
        """Return the care of one pump: due, done, run hours, oil, strainers."""
        return due.care_view(self.desk, tag, now)

    def did(
        self,
        tag: str,
        what: str,
        *,
        who: str,
        now: datetime,
        place: str = "",
        amount: str = "",
        found: str = "",
        seen_at: datetime | None = None,
        id: UUID | None = None,
    ) -> Kept:
        """Store that something was done to a pump, as in `deeds.DEEDS`; with what to mind."""
        by = stamp(who, now=now, seen_at=seen_at, id=id)
        return upkeep.did(self.desk, tag, what, by, place=place, amount=amount, found=found)

    def take_back(
        self, entry_id: UUID, *, why: str, who: str, now: datetime, id: UUID | None = None
    ) -> Entry:
        """Take back a deed recorded by mistake; it stays reachable."""
        return upkeep.take_back(self.desk, entry_id, stamp(who, now=now, id=id), why=why)

    # ------------------------------------------------------------------ check-lists

    def procedures(self, tag: str | None = None) -> tuple[ProcedureLine, ...]:
        """Return the check-lists; those that fit a pump where one is named."""
        pump = self.desk.pump(tag) if tag else None
        return procedure_show.procedure_lines(self.desk.procedures, pump)

    def procedure(self, id: str, tag: str | None = None) -> ProcedureView:
        """Return one check-list as text, fitted to a pump where one is named."""
        return procedure_show.procedure_view(self.desk, id, tag)

    def lists_for(
        self, tag: str, actions: Iterable[tuple[str, str]]
    ) -> Mapping[str, tuple[ProcedureLine, ...]]:
        """Return the check-lists of a pump that help with actions, each given as (do, kind)."""
        lines = {line.id: line for line in self.procedures(tag)}
        return {
            do: tuple(lines[id] for id in lists_for_action(do, kind, lines)) for do, kind in actions
        }

    def under_way(self, tag: str | None = None) -> tuple[RunLine, ...]:
        """Return the lists under way, at one pump or at all in walking order."""
        with self.desk.journal.reading() as ledger:
            return procedure_show.run_lines(self.desk, ledger, tag)

    def run(self, run_id: str, now: datetime) -> RunView:
        """Return a list under way, or over, as it stands."""
        return procedure_show.run_view(self.desk, run_id, now)

    def begin(
        self, procedure: str, tag: str, *, who: str, now: datetime, id: UUID | None = None
    ) -> RunView:
        """Begin a list at a pump, or go on with it where it is under way."""
        run_id = procedure_steps.begin(self.desk, procedure, tag, stamp(who, now=now, id=id))
        return self.run(run_id, now)

    def tick(
        self,
        run_id: str,
        step: str,
        *,
        who: str,
        now: datetime,
        readings: Mapping[str, str] = _NONE,
        not_taken: Mapping[str, str] = _NONE,
        amounts: Mapping[str, str] = _NONE,
        result: str = "",
        reason: str = "",
        found: str = "",
        seen_at: datetime | None = None,
        id: UUID | None = None,
    ) -> RunView:
        """Tick a step as done, with its readings, amounts and result as typed."""
        by = stamp(who, now=now, seen_at=seen_at, id=id)
        ticked = Ticked(
            readings=readings,
            not_taken=not_taken,
            amounts=amounts,
            result=result,
            reason=reason,
            found=found,
        )
        procedure_steps.done(self.desk, run_id, step, by, ticked)
        return self.run(run_id, now)

    def skip_step(
        self,
        run_id: str,
        step: str,
        *,
        reason: str,
        who: str,
        now: datetime,
        allowed_by: str = "",
        id: UUID | None = None,
    ) -> RunView:
        """Skip a step with a reason; a hold also with the name of the one who allows it."""
        by = stamp(who, now=now, id=id)
        procedure_steps.skip(self.desk, run_id, step, by, reason=reason, allowed_by=allowed_by)
        return self.run(run_id, now)

    def reopen_step(
        self, run_id: str, step: str, *, reason: str, who: str, now: datetime
    ) -> RunView:
        """Open a step again that was answered by mistake."""
        procedure_steps.reopen(self.desk, run_id, step, stamp(who, now=now), reason=reason)
        return self.run(run_id, now)

    def finish(
        self, run_id: str, *, who: str, now: datetime, reason: str = "", id: UUID | None = None
    ) -> RunView:
        """Finish a list; steps left open need a reason."""
        procedure_steps.finish(self.desk, run_id, stamp(who, now=now, id=id), reason=reason)
        return self.run(run_id, now)

    def break_off(
        self, run_id: str, *, reason: str, left_as: str, who: str, now: datetime
    ) -> RunView:
        """Break a list off half-way, saying why and how the pump was left."""
        by = stamp(who, now=now)
        procedure_steps.break_off(self.desk, run_id, by, reason=reason, left_as=left_as)
        return self.run(run_id, now)

    # ------------------------------------------------------------------ limits

    def limits(self, tag: str, now: datetime) -> LimitsView:
        """Return the limits of a pump as they stand, and every change of them."""
        return limit_change.limits_view(self.desk, tag, now)

    def accept_normal(
        self,
        tag: str,
        point: str,
        *,
        why: str,
        who: str,
        now: datetime,
        seen_at: datetime | None = None,
        id: UUID | None = None,
    ) -> Entry:
        """Take a lasting change for the point's normal from now on; the reason is stored."""
        by = stamp(who, now=now, seen_at=seen_at, id=id)
        return new_normal.accept_normal(self.desk, tag, point, by, why=why)

    def change_limit(
        self,
        tag: str,
        field: str,
        text: str,
        *,
        why: str,
        who: str,
        now: datetime,
        point: str | None = None,
        id: UUID | None = None,
    ) -> Entry:
        """Put a limit or datum in force; "none" takes a limit away."""
        by = stamp(who, now=now, id=id)
        return limit_change.change_limit(self.desk, tag, field, text, by, why=why, point=point)

    def restore_limit(
        self, tag: str, field: str, *, why: str, who: str, now: datetime, point: str | None = None
    ) -> Entry:
        """Put what the plant file says in force again."""
        by = stamp(who, now=now)
        return limit_change.restore_limit(self.desk, tag, field, by, why=why, point=point)
