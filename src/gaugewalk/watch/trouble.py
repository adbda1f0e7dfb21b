"""The life of a trouble: opened, acted on, closed with its cause, its cure and a proof."""

from collections.abc import Iterable
from datetime import datetime, timedelta
from uuid import UUID

from gaugewalk.diagnose.trade import Action
from gaugewalk.errors import ArgumentError, ConflictError, NotFoundError
from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ledger import Ledger
from gaugewalk.judge.severity import Severity
from gaugewalk.watch.board import Board, OpenTrouble, board_key
from gaugewalk.watch.case import case_of, diagnosis_of
from gaugewalk.watch.desk import Desk, worded
from gaugewalk.watch.follow_up import ask_again, due_in, due_of
from gaugewalk.watch.lookup import first_entry
from gaugewalk.watch.sitting import Sitting, sitting
from gaugewalk.watch.stamp import Stamp, sent_before
from gaugewalk.watch.steps import must_be_open, raise_trouble
from gaugewalk.watch.trouble_past import alike, earlier_of, line_of, lives_of, recurrence
from gaugewalk.watch.views import Answered, TroubleLine, TroubleView

_BEFORE = timedelta(minutes=30)  # of the opening: what was seen then belongs to the trouble


def open_trouble(desk: Desk, tag: str, sentence: str, severity: Severity, by: Stamp) -> str:
    """Open a trouble by hand, or add to the one that is open; return its id."""
    desk.pump(tag)
    if severity is Severity.NORMAL:
        raise ArgumentError("severity = normal; a trouble is at least one to watch.")
    text = worded("sentence", sentence, longest=300)
    with sitting(desk, by.now) as work:
        return raise_trouble(work, by, tag, severity, text, by=None).id


def act(
    desk: Desk,
    tag: str,
    trouble_id: str | None,
    do: str,
    by: Stamp,
    *,
    kind: str = "",
    trial: str = "",
    result: str = "",
    ends: UUID | None = None,
) -> Entry:
    """Store that something was done; what shows whether it worked is asked for in time.

    Parameters
    ----------
    desk, tag, trouble_id
        At which pump, in which trouble.
    do : str
        What was done. An action of the knowledge brings its kind, how to verify it and by when.
    by : Stamp
        Who and when.
    kind : str, optional
        `now`, `temporary`, `cure`, `report` or `stop`; a temporary remedy stays in force, and its
        trouble open, until another action names it in `ends`.
    trial : str, optional
        The trial that it was, as in "vent"; with its result it is evidence.
    result : str, optional
        What came of it.
    ends : UUID, optional
        The temporary remedy that this ends.

    Raises
    ------
    NotFoundError
        There is no such pump, the trouble is not open, or the remedy is not in force.
    """
    desk.pump(tag)
    known_action = action_named(desk, do)
    body = {"trouble": trouble_id, "do": worded("do", do, longest=500), "result": result}
    body |= {"trial": trial, "ends": str(ends) if ends else None}
    draft = by.entry("action", body, tag=tag)
    with sitting(desk, by.now) as work:
        known = sent_before(work.ledger, draft)
        if known is not None:
            return known
        if trouble_id is not None:
            must_be_open(work, tag, trouble_id)
        if ends is not None and str(ends) not in work.board(tag).in_force:
            raise NotFoundError(f"Pump {tag} has no temporary remedy {ends} in force.")
        verify = known_action.verify if known_action else ""
        more = {"action": kind or (known_action.kind if known_action else "now"), "verify": verify}
        entry = work.add(by.entry("action", {**body, **more}, tag=tag))
        if known_action and verify:
            due_at = due_in(desk, known_action.within or verify, by.seen_at)
            ask_again(work, by, tag, verify, due_at, trouble=trouble_id)
        return entry


def action_named(desk: Desk, do: str) -> Action | None:
    """Return the action of the knowledge with these words, or none."""
    actions = (action for cause in desk.knowledge.causes.values() for action in cause.actions)
    return next((action for action in actions if action.do == do), None)


def close_trouble(
    desk: Desk, trouble_id: str, *, cause: str, cure: str, proof: UUID, by: Stamp
) -> Entry:
    """Close a trouble with its cause, what cured it, and a reading that shows it.

    A cause of the knowledge may be named by its id; it is kept with its title.

    Raises
    ------
    ConflictError
        A temporary remedy is still in force, or the proof shows nothing of the kind.
    NotFoundError
        It is not open.
    """
    known_cause = desk.knowledge.causes.get(cause.strip())
    told = known_cause.title if known_cause else worded("cause", cause)
    body = {"step": "closed", "trouble": trouble_id, "proof": str(proof)}
    body |= {"cause": told, "cure": worded("cure", cure)}
    body |= {"cause_id": known_cause.id} if known_cause else {}
    with sitting(desk, by.now) as work:
        tag = str(opening(work.ledger, trouble_id).tag)
        draft = by.entry("trouble", body, tag=tag)
        known = sent_before(work.ledger, draft)
        if known is not None:
            return known
        trouble = must_be_open(work, tag, trouble_id)
        if trouble.remedies:
            raise ConflictError(
                f"Still in force: {'; '.join(trouble.remedies.values())}. A temporary remedy keeps "
                "the trouble open; say when it was taken back."
            )
        _check_proof(work, tag, trouble, proof)
        return work.add(draft)


def _check_proof(work: Sitting, tag: str, trouble: OpenTrouble, proof: UUID) -> None:
    entry = work.ledger.get(proof)
    severity = entry.body.get("verdict", {}).get("severity")
    if entry.kind not in ("reading", "correction") or entry.tag != tag:
        raise ConflictError(f"The proof must be a reading of {tag}.")
    if entry.seen_at <= datetime.fromisoformat(trouble.opened_at):
        raise ConflictError("The proof must be a reading taken after the trouble was opened.")
    if severity != Severity.NORMAL:
        raise ConflictError(
            f"The proof must be a reading that is normal again; this one is {severity}. "
            "Take one more when the pump has settled."
        )


def opening(ledger: Ledger, trouble_id: str) -> Entry:
    """Return the entry with which a trouble was opened; NotFoundError when there is none."""
    return first_entry(ledger, trouble_id, "trouble", "opened", "trouble")


def trouble_view(desk: Desk, trouble_id: str, now: datetime) -> TroubleView:
    """Return a trouble with its ranking of causes, what was looked at and what was done."""
    with desk.journal.reading() as ledger:
        opened = opening(ledger, trouble_id)
        pump = desk.pump(str(opened.tag))
        board = Board.from_json(ledger.load_state(board_key(pump.tag)))
        lives = lives_of(ledger, pump.tag)
        line = line_of(desk, pump.tag, lives[trouble_id])
        until = line.closed_at or now
        timeline = ledger.history(pump.tag, since=opened.seen_at - _BEFORE, until=until)
        case = case_of(desk, ledger, pump, until, since=opened.seen_at - _BEFORE)
        earlier = earlier_of(desk, pump.tag, lives, trouble_id)
    own = board.trouble if board.trouble and board.trouble.id == trouble_id else None
    diagnosis = diagnosis_of(desk, case)
    return TroubleView(
        id=trouble_id,
        pump=pump,
        severity=line.severity,
        sentence=line.sentence,
        opened_at=opened.seen_at,
        closed_at=line.closed_at,
        diagnosis=diagnosis,
        titles=titles(desk),
        answered=_answered(desk, timeline),
        done=tuple(e for e in timeline if e.kind == "action" and _belongs(e, trouble_id)),
        follow_ups=tuple(f for f in due_of(pump.tag, board) if f.trouble_id == trouble_id),
        timeline=tuple(timeline),
        remedies=dict(own.remedies) if own else {},
        cause=line.cause,
        cure=line.cure,
        earlier=earlier,
        alike=alike(line, earlier),
        recurrence=recurrence(line, earlier, desk.zone),
    )


def titles(desk: Desk) -> dict[str, str]:
    """Return the titles of all findings and causes by their ids."""
    book = desk.knowledge
    return {f.id: f.title for f in book.findings.values()} | {
        c.id: c.title for c in book.causes.values()
    }


def open_line(desk: Desk, tag: str, trouble: OpenTrouble) -> TroubleLine:
    """Return the open trouble of a pump as a line."""
    pump = desk.pump(tag)
    return TroubleLine(
        id=trouble.id,
        tag=tag,
        name=pump.name,
        severity=Severity(trouble.severity),
        sentence=trouble.sentence,
        opened_at=datetime.fromisoformat(trouble.opened_at),
        walk_order=pump.walk_order,
        points=trouble.points,
    )


def _belongs(entry: Entry, trouble_id: str) -> bool:
    return entry.body.get("trouble") == trouble_id


def _answered(desk: Desk, timeline: Iterable[Entry]) -> tuple[Answered, ...]:
    newest = {str(e.point): e for e in timeline if e.kind == "observation"}
    return tuple(
        Answered(
            finding=finding,
            title=str(entry.body.get("title") or desk.knowledge.finding(finding).title),
            present=entry.body["present"],
            who=entry.who,
            seen_at=entry.seen_at,
        )
        for finding, entry in newest.items()
    )
