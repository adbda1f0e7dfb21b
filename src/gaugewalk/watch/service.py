"""The one thing that the doors hold: every use case of the watch as a method.

It decides nothing itself. Each method reads what was typed, signs it, and hands it to the use case
that the module of that name holds.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any
from uuid import UUID

from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ledger import Ledger
from gaugewalk.journal.store import Journal
from gaugewalk.judge.forecast import Forecast
from gaugewalk.judge.severity import Severity
from gaugewalk.plant.pump import Plant
from gaugewalk.watch import (
    carried,
    correct,
    follow_up,
    handover,
    handover_text,
    imports,
    pump_page,
    read_twice,
    record,
    round_plan,
    rounds,
    take,
    taught,
    this_watch,
    trouble,
)
from gaugewalk.watch.board import Board, board_key
from gaugewalk.watch.boards import Boards
from gaugewalk.watch.case import case_of, diagnosis_of
from gaugewalk.watch.changes import change_key
from gaugewalk.watch.checks import checks_at
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.papers import Papers
from gaugewalk.watch.procedure import Procedures
from gaugewalk.watch.procedure_file import load_procedures
from gaugewalk.watch.program import Program
from gaugewalk.watch.rebuild import projector
from gaugewalk.watch.stamp import stamp
from gaugewalk.watch.views import (
    ExtraCheck,
    FollowUp,
    Imported,
    Observed,
    PumpView,
    RoundDue,
    RoundView,
    Taken,
    TroubleLine,
    TroubleView,
    WatchView,
)

if TYPE_CHECKING:
    from gaugewalk.diagnose.diagnosis import Diagnosis
    from gaugewalk.diagnose.knowledge import Knowledge


@dataclass(frozen=True, kw_only=True)
class Watch:
    """A plant, its journal and what is known of causes; safe to use from many threads.

    `who` signs, `seen_at` is when it was seen (else now), `now` is the time at the door, and `id`
    the record's id where it was made; the same id with the same content is stored once.
    """

    plant: Plant
    journal: Journal
    knowledge: Knowledge
    procedures: Procedures = field(default_factory=load_procedures)
    _desks: list[tuple[int, Desk]] = field(
        default_factory=list, init=False, repr=False, compare=False
    )
    _boards: Boards = field(default_factory=Boards, init=False, repr=False, compare=False)

    @property
    def desk(self) -> Desk:
        """What the use cases work on, with the limits that are in force now.

        Another program may have changed a limit, so the journal is asked each time; the desk stays
        the same as long as nothing changed.
        """
        with self.journal.reading() as ledger:
            newest = ledger.newest_of_kind("limit")
            if not self._desks or self._desks[-1][0] != newest:
                self._desks[:] = [(newest, self._new_desk(ledger))]
        return self._desks[-1][1]

    def _new_desk(self, ledger: Ledger) -> Desk:
        prefix = change_key("")
        rows = ledger.load_states(prefix)
        return Desk(
            plant=self.plant,
            journal=self.journal,
            knowledge=self.knowledge,
            procedures=self.procedures,
            changes={key.removeprefix(prefix): row for key, row in rows.items()},
            boards=self._boards,
        )

    @property
    def program(self) -> Program:
        """Care, check-lists and limits."""
        return Program(desk=self.desk)

    @property
    def papers(self) -> Papers:
        """Handover, work requests, the quality of rounds."""
        return Papers(desk=self.desk)

    # ------------------------------------------------------------------ taking

    def take_reading(
        self,
        tag: str,
        point: str,
        text: str,
        *,
        who: str,
        now: datetime,
        seen_at: datetime | None = None,
        id: UUID | None = None,
        unit: str | None = None,
        round_id: str | None = None,
        with_checks: bool = True,
    ) -> Taken:
        """Read, judge and store one reading; say what to check where it is not normal.

        Who asks for the checks by itself afterwards need not wait for them: `with_checks`.
        """
        desk = self.desk
        quantity = take.read_text(desk, tag, point, text, unit)
        by = stamp(who, now=now, seen_at=seen_at, id=id)
        judged = take.take_reading(desk, tag, point, quantity, by, round_id=round_id)
        return self._taken(judged, now, with_checks=with_checks)

    def correct(
        self,
        entry_id: UUID,
        text: str,
        *,
        who: str,
        now: datetime,
        seen_at: datetime | None = None,
        why: str = "",
        id: UUID | None = None,
        with_checks: bool = True,
    ) -> Taken:
        """Put another value in the place of a reading; both stay. `seen_at`: when corrected."""
        by = stamp(who, now=now, seen_at=seen_at, id=id)
        judged = correct.correct(self.desk, entry_id, text, by, why=why)
        return self._taken(judged, now, with_checks=with_checks)

    def withdraw(
        self, entry_id: UUID, *, why: str, who: str, now: datetime, id: UUID | None = None
    ) -> Entry:
        """Take a reading back; it stays reachable."""
        return correct.withdraw(self.desk, entry_id, stamp(who, now=now, id=id), why=why)

    def observe(
        self,
        tag: str,
        finding: str,
        present: bool | None,
        *,
        who: str,
        now: datetime,
        seen_at: datetime | None = None,
        id: UUID | None = None,
        note: str = "",
        with_checks: bool = True,
    ) -> Observed:
        """Store that a finding is there, is not there, or could not be looked at (none)."""
        by = stamp(who, now=now, seen_at=seen_at, id=id)
        entry, trouble_id = record.observe(self.desk, tag, finding, present, by, note=note)
        checks = self.checks(tag, now) if with_checks else ()
        return Observed(entry=entry, trouble_id=trouble_id, extra_checks=checks)

    def skip(
        self,
        tag: str,
        point: str,
        reason: str,
        *,
        who: str,
        now: datetime,
        seen_at: datetime | None = None,
        id: UUID | None = None,
        round_id: str | None = None,
    ) -> Entry:
        """Store that a point was not taken, and why."""
        by = stamp(who, now=now, seen_at=seen_at, id=id)
        return record.skip(self.desk, tag, point, reason, by, round_id=round_id)

    def note(
        self,
        tag: str | None,
        text: str,
        *,
        who: str,
        now: datetime,
        seen_at: datetime | None = None,
        id: UUID | None = None,
        standing: bool = False,
        ends: UUID | None = None,
        photo: str = "",
    ) -> Entry:
        """Store a note; a standing one is told at every handover until another ends it."""
        by = stamp(who, now=now, seen_at=seen_at, id=id)
        return record.note(self.desk, tag, text, by, standing=standing, ends=ends, photo=photo)

    def event(
        self,
        tag: str,
        what: str,
        *,
        who: str,
        now: datetime,
        seen_at: datetime | None = None,
        id: UUID | None = None,
    ) -> Entry:
        """Store that a pump was `started`, `stopped` or `overhauled`."""
        return record.event(self.desk, tag, what, stamp(who, now=now, seen_at=seen_at, id=id))

    def import_csv(
        self,
        path: Path,
        *,
        who: str,
        now: datetime,
        tell: Callable[[float], None] = lambda share: None,
    ) -> Imported:
        """Store the readings of a CSV file; the same file twice changes nothing."""
        return imports.import_csv(self.desk, path, who, now, tell=tell)

    # ------------------------------------------------------------------ troubles

    def open_trouble(
        self, tag: str, sentence: str, severity: Severity, *, who: str, now: datetime
    ) -> str:
        """Open a trouble by hand, or add to the open one; return its id."""
        return trouble.open_trouble(self.desk, tag, sentence, severity, stamp(who, now=now))

    def act(
        self,
        tag: str,
        trouble_id: str | None,
        do: str,
        *,
        who: str,
        now: datetime,
        seen_at: datetime | None = None,
        id: UUID | None = None,
        kind: str = "",
        trial: str = "",
        result: str = "",
        ends: UUID | None = None,
    ) -> Entry:
        """Store that something was done; a follow-up comes with it where the knowledge has one."""
        by = stamp(who, now=now, seen_at=seen_at, id=id)
        return trouble.act(
            self.desk, tag, trouble_id, do, by, kind=kind, trial=trial, result=result, ends=ends
        )

    def close_trouble(
        self,
        trouble_id: str,
        *,
        cause: str,
        cure: str,
        proof: UUID,
        who: str,
        now: datetime,
        id: UUID | None = None,
    ) -> Entry:
        """Close a trouble with its cause, its cure, and a reading that is normal again."""
        by = stamp(who, now=now, id=id)
        return trouble.close_trouble(
            self.desk, trouble_id, cause=cause, cure=cure, proof=proof, by=by
        )

    def name_cause(
        self, trouble_id: str, cause: str, *, who: str, now: datetime, id: UUID | None = None
    ) -> Entry:
        """Put another cause in the place of the one a trouble was closed with."""
        return taught.name_cause(self.desk, trouble_id, cause, stamp(who, now=now, id=id))

    def trouble(self, trouble_id: str, now: datetime) -> TroubleView:
        """Return a trouble, open or closed."""
        return trouble.trouble_view(self.desk, trouble_id, now)

    def troubles(self, now: datetime) -> tuple[TroubleLine, ...]:
        """Return the open troubles by urgency, then in walking order."""
        return self.this_watch(now).troubles

    def diagnose_pump(self, tag: str, now: datetime) -> Diagnosis:
        """Return what the knowledge says of a pump's readings and observations."""
        pump = self.desk.pump(tag)
        with self.journal.reading() as ledger:
            board = Board.from_json(ledger.load_state(board_key(tag)))
            opened = board.trouble.opened_at if board.trouble else None
            since = datetime.fromisoformat(opened) if opened else None
            case = case_of(self.desk, ledger, pump, now, since=since)
        return diagnosis_of(self.desk, case)

    def checks(self, tag: str, now: datetime) -> tuple[ExtraCheck, ...]:
        """Return the checks worth making at a pump; none where all is normal."""
        desk = self.desk
        pump = desk.pump(tag)
        with self.journal.reading() as ledger:
            board = Board.from_json(ledger.load_state(board_key(tag)))
            return checks_at(desk, ledger, pump, board, now)

    # ------------------------------------------------------------------ follow-ups

    def follow_ups(self, now: datetime) -> tuple[FollowUp, ...]:
        """Return every follow-up that waits, the one due first at the top."""
        return self.this_watch(now).follow_ups

    def add_follow_up(
        self,
        tag: str,
        what: str,
        due_at: datetime,
        *,
        who: str,
        now: datetime,
        seen_at: datetime | None = None,
        point: str | None = None,
        id: UUID | None = None,
    ) -> Entry:
        """Ask to look at something again by a time."""
        by = stamp(who, now=now, seen_at=seen_at, id=id)
        return follow_up.add_follow_up(self.desk, tag, what, due_at, by, point=point)

    def answer_follow_up(
        self,
        follow_up_id: str,
        result: str,
        *,
        who: str,
        now: datetime,
        seen_at: datetime | None = None,
        id: UUID | None = None,
    ) -> Entry:
        """Answer a follow-up with what was found."""
        by = stamp(who, now=now, seen_at=seen_at, id=id)
        return follow_up.answer_follow_up(self.desk, follow_up_id, result, by)

    # ------------------------------------------------------------------ rounds

    def rounds_due(self, now: datetime) -> tuple[RoundDue, ...]:
        """Return every round of the plan, the one due first at the top."""
        return round_plan.rounds_due(self.desk, now)

    def start_round(
        self,
        name: str,
        *,
        who: str,
        now: datetime,
        seen_at: datetime | None = None,
        id: UUID | None = None,
        at: str | None = None,
    ) -> RoundView:
        """Begin a round of the plan, or go on with it; return it as `round_view` does.

        `seen_at` is when it was begun, where it was walked on paper before.
        """
        by = stamp(who, now=now, seen_at=seen_at, id=id)
        round_id = rounds.start_round(self.desk, name, by)
        return self.round_view(round_id, now, at=at)

    def round_view(self, round_id: str, now: datetime, *, at: str | None = None) -> RoundView:
        """Return a round with its pumps in walking order, and the checks worth making `at` one."""
        return rounds.round_view(self.desk, round_id, now, at=at)

    def finish_round(
        self,
        round_id: str,
        *,
        who: str,
        now: datetime,
        seen_at: datetime | None = None,
        reason: str = "",
        id: UUID | None = None,
    ) -> Entry:
        """Finish a round; points left open need a reason."""
        by = stamp(who, now=now, seen_at=seen_at, id=id)
        return rounds.finish_round(self.desk, round_id, by, reason=reason)

    # ------------------------------------------------------------------ looking

    def this_watch(self, now: datetime) -> WatchView:
        """Return what needs a hand now, what comes due, what changed."""
        return this_watch.this_watch(self.desk, now)

    def severities(self) -> dict[str, Severity]:
        """Return the most urgent word about each pump, in walking order."""
        desk = self.desk
        with self.journal.reading() as ledger:
            boards = desk.boards.at(ledger, desk.pumps)
        return {tag: board.severity for tag, board in boards.items()}

    def pump_page(self, tag: str, now: datetime) -> PumpView:
        """Return everything that a pump's page shows."""
        return pump_page.pump_page(self.desk, tag, now)

    def ahead(self, tag: str, now: datetime) -> tuple[Forecast, ...]:
        """Return the points of a pump that will reach a limit, the soonest first."""
        return pump_page.ahead_of(self.desk, tag, now)

    def carried(self, tag: str) -> dict[str, Any]:
        """Return what travels with a pump's page, so that a phone judges alike."""
        return carried.carried(self.desk, tag)

    def read_twice(self, round_id: str, tag: str) -> Mapping[str, tuple[Entry, ...]]:
        """Return the points of a pump that were read more than once in a round."""
        return read_twice.read_twice(self.desk, round_id, tag)

    def handover_text(self, now: datetime) -> str:
        """Return what the next watch must know, as plain text."""
        return handover_text.handover_text(handover.handover_of(self.desk, now))

    def rebuild(self, *, tell: Callable[[float], None] = lambda share: None) -> int:
        """Make all that the screens show anew from the journal; return how many projections."""
        made = self.journal.rebuild(projector(self.desk, tell=tell))
        self._desks.clear()
        self._boards.forget()
        return made

    def _taken(self, judged: take.Judged, now: datetime, *, with_checks: bool) -> Taken:
        asked = with_checks and judged.verdict.severity is not Severity.NORMAL
        return Taken(
            entry=judged.entry,
            verdict=judged.verdict,
            trouble_id=judged.trouble_id,
            extra_checks=self.checks(str(judged.entry.tag), now) if asked else (),
        )
