"""Run a check-list: begin, tick, skip with a reason, pass a hold by name, finish or break off."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any

from gaugewalk.errors import ArgumentError, ConflictError
from gaugewalk.journal.entry import Entry
from gaugewalk.units import Quantity
from gaugewalk.watch.board import iso
from gaugewalk.watch.clock import shift_end
from gaugewalk.watch.deed_places import places_at
from gaugewalk.watch.deeds import DEEDS
from gaugewalk.watch.desk import Desk, worded
from gaugewalk.watch.follow_up import ask_again
from gaugewalk.watch.procedure_fit import FittedStep, fitted, must_fit
from gaugewalk.watch.procedure_run import (
    DONE,
    REOPENED,
    SKIPPED,
    Run,
    UnderWay,
    run_of,
    step_json,
    under_way_after,
    under_way_key,
)
from gaugewalk.watch.record import event as record_event
from gaugewalk.watch.record import skip as skip_point
from gaugewalk.watch.sitting import Sitting, sitting, together
from gaugewalk.watch.stamp import Stamp, sent_before
from gaugewalk.watch.take import read_text, take_into
from gaugewalk.watch.trouble import act
from gaugewalk.watch.upkeep import amount_of, keep

_NOTHING: Mapping[str, str] = {}


@dataclass(frozen=True, slots=True, kw_only=True)
class Ticked:
    """What comes with a step that is done, as typed.

    `readings` by point; `not_taken` the reasons by point; `amounts` by place, empty where nobody
    measured; `result` one of the step's; `reason` why it is done before its waiting time is over.
    """

    readings: Mapping[str, str] = field(default_factory=dict)
    not_taken: Mapping[str, str] = field(default_factory=dict)
    amounts: Mapping[str, str] = field(default_factory=dict)
    result: str = ""
    reason: str = ""
    found: str = ""


def begin(desk: Desk, id: str, tag: str, by: Stamp) -> str:
    """Begin a list at a pump, or go on with it where it is under way; return the run's id.

    Raises
    ------
    NotFoundError
        There is no such list or pump.
    ArgumentError
        The list does not fit the pump.
    """
    pump, procedure = desk.pump(tag), desk.procedures.named(id)
    must_fit(procedure, pump)
    made = fitted(desk.procedures, procedure, pump, desk.pumps.get(pump.partner or ""))
    with sitting(desk, by.now) as work:
        for run_id in _under_way(work, tag).open:
            if run_of(work.ledger, run_id).procedure == id:
                return run_id
        body: dict[str, Any] = {
            "run": str(by.id),
            "step": "begun",
            "procedure": id,
            "title": procedure.title,
            "caution": procedure.caution,
            "sources": [desk.procedures.sources[key] for key in procedure.sources],
            "text": f"{procedure.title}: begun",
            "steps": [step_json(step) for step in made.steps],
        }
        _add(work, by.entry("procedure", body, tag=tag))
    return str(by.id)


def done(desk: Desk, run_id: str, key: str, by: Stamp, ticked: Ticked) -> Run:
    """Tick a step as done, with what was read, given and found.

    A step that was ticked before stays as it is: two persons may tick the same.

    Raises
    ------
    ConflictError
        The list is over, or a hold before this step has no answer.
    ArgumentError
        Too early without a reason; a reading is missing without one; a result or amount that the
        step does not know.
    """
    with together(desk, by.now) as work:
        work.flush()
        run = run_of(work.ledger, run_id)
        if _answered(work, run, key, by):
            return run
        step = _open_step(run, key)
        _check_time(run, step, by, ticked)
        result = _result(step, ticked)
        quantities = _amounts(desk, step, ticked)
        _take_readings(work, run, step, by, ticked)
        warnings = _follow(work, step, by, ticked, quantities)
        body = {"reason": ticked.reason.strip(), "result": result, "warnings": warnings}
        _add(work, _entry(run, step, by, DONE, body))
        work.flush()
        return run_of(work.ledger, run_id)


def skip(desk: Desk, run_id: str, key: str, by: Stamp, *, reason: str, allowed_by: str = "") -> Run:
    """Skip a step with a reason; a hold is passed only with the name of the one who allows it."""
    with sitting(desk, by.now) as work:
        run = run_of(work.ledger, run_id)
        if _answered(work, run, key, by):
            return run
        step = _open_step(run, key)
        body = {"reason": worded("reason", reason, longest=300)}
        if step.hold:
            if not allowed_by.strip():
                raise ArgumentError(
                    f"This step is a hold: {step.hold}. To pass it, name who allows it. The site's "
                    "procedure decides whether anyone may."
                )
            body["allowed_by"] = worded("allowed_by", allowed_by, longest=80)
        _add(work, _entry(run, step, by, SKIPPED, body))
        work.flush()
        return run_of(work.ledger, run_id)


def reopen(desk: Desk, run_id: str, key: str, by: Stamp, *, reason: str) -> Run:
    """Open a step again that was ticked or skipped by mistake; both stay in the journal."""
    with sitting(desk, by.now) as work:
        run = _running(run_of(work.ledger, run_id))
        step = run.step(key)
        if key not in run.answers:
            return run
        body = {"reason": worded("reason", reason, longest=300)}
        _add(work, _entry(run, step, by, REOPENED, body))
        work.flush()
        return run_of(work.ledger, run_id)


def finish(desk: Desk, run_id: str, by: Stamp, *, reason: str = "") -> Run:
    """Finish a list. Steps without an answer need a reason; a hold among them must be answered.

    Raises
    ------
    ArgumentError
        Steps are open and no reason is given.
    ConflictError
        A hold is open, or the list is over.
    """
    with sitting(desk, by.now) as work:
        run = run_of(work.ledger, run_id)
        if run.ended == "finished":
            return run
        _running(run)
        left = [step for step in run.steps if step.id not in run.answers]
        hold = next((step for step in left if step.hold), None)
        if hold is not None:
            raise ConflictError(_hold_words(hold))
        if left and not reason.strip():
            names = "; ".join(f"{step.id}" for step in left[:4])
            raise ArgumentError(
                f"{len(left)} steps have no answer ({names}{', …' if len(left) > 4 else ''}). "
                "Answer them, or say why they were left out."
            )
        for step in left:
            _add(work, _entry(run, step, by.another(), SKIPPED, {"reason": reason.strip()}))
        _add(work, _end(run, by, "finished", {}))
        work.flush()
        return run_of(work.ledger, run_id)


def break_off(desk: Desk, run_id: str, by: Stamp, *, reason: str, left_as: str) -> Run:
    """Break a list off half-way: why, and how the pump was left; somebody must take it up again."""
    body = {
        "reason": worded("reason", reason, longest=300),
        "left_as": worded("left_as", left_as, longest=500),
    }
    with sitting(desk, by.now) as work:
        run = run_of(work.ledger, run_id)
        if run.ended == "broken off":
            return run
        _running(run)
        _add(work, _end(run, by, "broken off", body))
        words = f"{run.title} was broken off ({body['reason']}). Left as: {body['left_as']}"
        ask_again(work, by, run.tag, words, shift_end(desk.plant, by.seen_at))
        work.flush()
        return run_of(work.ledger, run_id)


# ------------------------------------------------------------------ one step


def _answered(work: Sitting, run: Run, key: str, by: Stamp) -> bool:
    """Whether a step needs no answer more: this one was sent before, or another came first."""
    if work.ledger.find([by.id]):
        return True
    return _running(run).step(key).id in run.answers


def _running(run: Run) -> Run:
    if run.ended:
        raise ConflictError(f"{run.title} at {run.tag} is {run.ended}; begin it anew.")
    return run


def _open_step(run: Run, key: str) -> FittedStep:
    step = _running(run).step(key)
    hold = run.hold_before(key)
    if hold is not None:
        raise ConflictError(_hold_words(hold))
    return step


def _hold_words(hold: FittedStep) -> str:
    return (
        f"First the hold {hold.id!r}: {hold.hold}. Tick it, or pass it with a reason and the name "
        "of the one who allows it."
    )


def _check_time(run: Run, step: FittedStep, by: Stamp, ticked: Ticked) -> None:
    ready = run.ready_at(step.id)
    if ready is None or by.seen_at >= ready or ticked.reason.strip():
        return
    left = (ready - by.seen_at) / timedelta(minutes=1)
    raise ArgumentError(
        f"{step.wait_words} after the step before; {left:.0f} min are left. Wait, or give the "
        "reason for being early."
    )


def _result(step: FittedStep, ticked: Ticked) -> str:
    result = ticked.result.strip()
    if result and result not in step.results:
        known = ", ".join(step.results) or "none: this step asks for no result"
        raise ArgumentError(f"result = {result[:40]!r}; expected one of {known}.")
    if step.results and not result:
        raise ArgumentError(f"What came of it? One of {', '.join(step.results)}.")
    return result


def _amounts(desk: Desk, step: FittedStep, ticked: Ticked) -> dict[str, Quantity | None]:
    """Return the amount at each place where the step's deed was done."""
    if step.event not in DEEDS:
        if ticked.amounts:
            raise ArgumentError("amounts: this step counts none.")
        return {}
    places = places_at(desk.pump(step.tag), step.event)
    unknown = [place for place in ticked.amounts if place not in places]
    if unknown:
        raise ArgumentError(f"place = {unknown[0][:30]!r}; expected {', '.join(places)}.")
    given = dict(ticked.amounts) or ({places[0]: ""} if len(places) == 1 else {})
    if not given:
        raise ArgumentError(f"Where? Name one or more of {', '.join(places)}, with the amounts.")
    return {place: amount_of(step.event, text) for place, text in given.items()}


def _take_readings(work: Sitting, run: Run, step: FittedStep, by: Stamp, ticked: Ticked) -> None:
    """Take the step's readings; each is given, or was taken or skipped since the last step."""
    odd = [p for p in (*ticked.readings, *ticked.not_taken) if p not in step.readings]
    if odd:
        wanted = ", ".join(step.readings) or "none"
        raise ArgumentError(f"reading = {odd[0][:40]!r}; this step asks for {wanted}.")
    since = iso(run.since(step.id))
    last = work.board(step.tag).last
    given = {point: text for point, text in ticked.readings.items() if text.strip()}
    reasons = {point: why for point, why in ticked.not_taken.items() if why.strip()}
    skips = work.ledger.history(step.tag, since=run.since(step.id), kinds=["skipped"])
    passed = {*given, *reasons, *(str(entry.point) for entry in skips)}
    missing = [
        point
        for point in step.readings
        if point not in passed and (point not in last or last[point].seen_at < since)
    ]
    if missing:
        raise ArgumentError(
            f"Not read yet: {', '.join(missing)}. Read them, or say why they are not taken."
        )
    read = {p: read_text(work.desk, step.tag, p, text) for p, text in given.items()}
    for point, quantity in read.items():
        take_into(work, step.tag, point, quantity, by.another())
    for point, why in reasons.items():
        skip_point(work.desk, step.tag, point, why, by.another())


def _entry(run: Run, step: FittedStep, by: Stamp, what: str, more: Mapping[str, Any]) -> Entry:
    said = {name: value for name, value in more.items() if value}
    reason = f" ({said['reason']})" if "reason" in said else ""
    result = f": {said['result']}" if "result" in said else ""
    body = {
        "run": run.id,
        "procedure": run.procedure,
        "step": what,
        "key": step.id,
        "hold": step.hold,
        "text": f"{run.title}: {step.id} {what}{result}{reason}",
        **said,
    }
    return by.entry("procedure", body, tag=run.tag)


def _end(run: Run, by: Stamp, how: str, more: Mapping[str, str]) -> Entry:
    left = f". Left as: {more['left_as']}" if "left_as" in more else ""
    body = {
        "run": run.id,
        "procedure": run.procedure,
        "step": how,
        "text": f"{run.title}: {how}{left}",
        **more,
    }
    return by.entry("procedure", body, tag=run.tag)


def _follow(
    work: Sitting,
    step: FittedStep,
    by: Stamp,
    ticked: Ticked,
    quantities: Mapping[str, Quantity | None],
) -> list[str]:
    """Record what a step brings with it: event, deeds, a trial as evidence, a follow-up.

    Returns what to mind about the deeds.
    """
    desk, tag = work.desk, step.tag
    warnings: list[str] = []
    for place, quantity in quantities.items():
        kept = keep(
            work, desk.pump(tag), step.event, by.another(),
            place=place, quantity=quantity, found=ticked.found, ask=False,
        )  # fmt: skip
        warnings += kept.warnings
    if step.event and not quantities:
        record_event(desk, tag, step.event, by.another())
    if step.trial:
        trouble = work.board(tag).trouble
        act(
            desk, tag, trouble.id if trouble else None, step.text, by.another(),
            trial=step.trial, result=ticked.result.strip(),
        )  # fmt: skip
    if step.again:
        due_at = by.seen_at + timedelta(seconds=step.again)
        ask_again(work, by, tag, step.again_what, due_at)
    return warnings


def _add(work: Sitting, entry: Entry) -> Entry:
    """Add an entry of a run, and keep what is under way at the pump."""
    tag = str(entry.tag)
    known = sent_before(work.ledger, entry)
    if known is not None:
        return known
    after = under_way_after(_under_way(work, tag), entry)
    work.keep(under_way_key(tag), after.to_json())
    return work.add(entry)


def _under_way(work: Sitting, tag: str) -> UnderWay:
    return UnderWay.from_json(work.kept(under_way_key(tag)))
