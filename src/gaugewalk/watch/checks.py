"""The checks worth making at a pump whose readings are not normal."""

from datetime import datetime, timedelta

from gaugewalk.diagnose.trade import Finding
from gaugewalk.journal.ledger import Ledger
from gaugewalk.judge.severity import Severity
from gaugewalk.plant.pump import Pump
from gaugewalk.watch.board import Board
from gaugewalk.watch.case import case_of, diagnosis_of
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.views import ExtraCheck

_SHOWN = 4
_BEFORE = timedelta(minutes=30)


def checks_at(
    desk: Desk, ledger: Ledger, pump: Pump, board: Board, now: datetime
) -> tuple[ExtraCheck, ...]:
    """Return the checks that tell the leading causes apart best; none where all is normal."""
    if board.severity is Severity.NORMAL:
        return ()
    opened = board.trouble.opened_at if board.trouble else None
    since = datetime.fromisoformat(opened) - _BEFORE if opened else None
    case = case_of(desk, ledger, pump, now, since=since)
    checks = diagnosis_of(desk, case).next_checks[:_SHOWN]
    return tuple(_check(desk.knowledge.finding(check.finding)) for check in checks)


def _check(finding: Finding) -> ExtraCheck:
    return ExtraCheck(
        finding=finding.id,
        title=finding.ask or finding.title,
        how=finding.how,
        minutes=finding.minutes,
        caution=finding.caution,
    )
