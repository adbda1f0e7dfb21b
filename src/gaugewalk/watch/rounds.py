"""Walk a round: begin it, see what is taken, finish it with nothing left unanswered."""

from datetime import datetime

from gaugewalk.errors import ArgumentError
from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ledger import Ledger
from gaugewalk.plant.pump import Pump
from gaugewalk.watch.board import Board, board_key
from gaugewalk.watch.checks import checks_at
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.lookup import first_entry
from gaugewalk.watch.point_views import Span, ordered, plain_view, point_views
from gaugewalk.watch.round_plan import (
    plan_key,
    plan_named,
    pumps_of,
    walked_after,
    walked_of,
)
from gaugewalk.watch.sitting import Sitting, sitting
from gaugewalk.watch.stamp import Stamp, sent_before
from gaugewalk.watch.views import RoundStop, RoundView


def start_round(desk: Desk, name: str, by: Stamp) -> str:
    """Begin a round of the plan, or go on with it where it is being walked; return its id."""
    plan = plan_named(desk, name)
    tags = [pump.tag for pump in pumps_of(desk, plan)]
    if not tags:
        raise ArgumentError(f"The round {name!r} has no pumps: see its tags and areas.")
    with sitting(desk, by.now) as work:
        walked = walked_of(work.ledger, name)
        if walked.open_id and walked.begun_at:
            begun = datetime.fromisoformat(walked.begun_at)
            if (by.now - begun).total_seconds() < plan.every:
                return walked.open_id
        body = {"round": str(by.id), "step": "begun", "name": name, "tags": tags}
        _step(work, by.entry("round", body))
        return str(by.id)


def finish_round(desk: Desk, round_id: str, by: Stamp, *, reason: str = "") -> Entry:
    """Finish a round. Points neither taken nor skipped need a reason, which is stored for each.

    Raises
    ------
    ArgumentError
        Points are open and no reason is given.
    """
    view = round_view(desk, round_id, by.now, at="")
    missing = [
        (stop.pump.tag, point.point)
        for stop in view.stops
        for point in stop.points
        if not (point.taken or point.skipped)
    ]
    if missing and not reason.strip():
        where = ", ".join(f"{tag} {point}" for tag, point in missing[:4])
        raise ArgumentError(
            f"{len(missing)} points are neither taken nor skipped ({where}"
            f"{', …' if len(missing) > 4 else ''}). Take them, or say why they were not taken."
        )
    with sitting(desk, by.now) as work:
        draft = by.entry("round", {"round": round_id, "step": "finished", "name": view.name})
        known = sent_before(work.ledger, draft)
        if known is not None:
            return known
        for tag, point in missing:
            body = {"reason": reason.strip(), "round": round_id}
            work.add(by.another().entry("skipped", body, tag=tag, point=point))
        return _step(work, draft)


def _step(work: Sitting, entry: Entry) -> Entry:
    name = str(entry.body["name"])
    walked = walked_after(walked_of(work.ledger, name), entry)
    work.keep(plan_key(name), walked.to_json())
    return work.add(entry)


def round_view(desk: Desk, round_id: str, now: datetime, *, at: str | None = None) -> RoundView:
    """Return a round with its pumps in walking order and what is taken at each.

    Parameters
    ----------
    desk, round_id, now
        Which round, as it stands when.
    at : str, optional
        The pump at which the person stands: there the checks worth making are worked out, and of
        the other pumps is told only what is taken. None: everything of every pump but the checks.

    Raises
    ------
    NotFoundError
        There is no such round.
    """
    with desk.journal.reading() as ledger:
        begun = first_entry(ledger, round_id, "round", "begun", "round")
        finished = _finished(ledger, begun)
        span = Span(since=begun.seen_at, until=finished)
        pumps = [desk.pumps[tag] for tag in begun.body["tags"] if tag in desk.pumps]
        if at is None:
            stops = tuple(_stop(desk, ledger, p, now, span, here=False) for p in pumps)
        else:
            boards = desk.boards.at(ledger, [p.tag for p in pumps])
            stops = tuple(
                _stop(desk, ledger, p, now, span, here=True)
                if p.tag == at
                else _passed(p, boards[p.tag], span)
                for p in pumps
            )
    return RoundView(
        id=round_id,
        name=str(begun.body["name"]),
        who=begun.who,
        started_at=begun.seen_at,
        stops=stops,
        finished_at=finished,
    )


def _finished(ledger: Ledger, begun: Entry) -> datetime | None:
    later = ledger.history(None, since=begun.seen_at, kinds=["round"])
    ends = (e for e in later if e.body["step"] == "finished")
    return next((e.seen_at for e in ends if e.body["round"] == begun.body["round"]), None)


def _stop(
    desk: Desk, ledger: Ledger, pump: Pump, now: datetime, span: Span, *, here: bool
) -> RoundStop:
    board = Board.from_json(ledger.load_state(board_key(pump.tag)))
    return RoundStop(
        pump=pump,
        severity=board.severity,
        points=point_views(desk, ledger, pump, now, span=span),
        extra_checks=checks_at(desk, ledger, pump, board, now) if here else (),
        trouble_id=board.trouble.id if board.trouble else None,
    )


def _passed(pump: Pump, board: Board, span: Span) -> RoundStop:
    """Return a pump at which nobody stands: what its board tells of the round."""
    names = ordered(pump, board.last)
    return RoundStop(
        pump=pump,
        severity=board.severity,
        points=tuple(plain_view(pump, name, board, span) for name in names),
        trouble_id=board.trouble.id if board.trouble else None,
    )
