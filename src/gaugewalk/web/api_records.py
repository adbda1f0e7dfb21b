"""Records of every kind in the order in which a phone made them, while it had no network.

One request carries many; each is taken or refused by itself, so that one bad record never keeps
the others waiting. The same record twice is one record, by its id.
"""

import logging
from collections.abc import Callable, Mapping
from dataclasses import asdict
from datetime import timedelta
from functools import partial
from typing import Annotated, Any

from fastapi import APIRouter, Request
from pydantic import BaseModel, Field, ValidationError

from gaugewalk.errors import ArgumentError, GaugewalkError, StorageError
from gaugewalk.web import api
from gaugewalk.web import api_models as models
from gaugewalk.web.door import door_of
from gaugewalk.web.problems import of_validation, problem_of
from gaugewalk.web.shown import span_of

log = logging.getLogger(__name__)

MOST_AT_ONCE = 200
router = APIRouter(prefix="/api/v1", responses=api.ANSWERS, tags=["v1"])
Taker = Callable[[Request, Any], models.TakenOut | models.KeptOut]


class RecordsIn(BaseModel):
    """What waited on a phone, oldest first."""

    records: Annotated[list[dict[str, Any]], Field(min_length=1, max_length=MOST_AT_ONCE)] = Field(
        description="Each with its `id`, its `kind` (reading, correction, skip, observation, note, "
        "action, event, recheck, follow_up, finish, clock) and what the address of that kind takes."
    )


class RecordOut(BaseModel):
    """What became of one record: taken, or refused for good, or to be sent again later."""

    id: str
    taken: models.TakenOut | models.KeptOut | None = None
    problem: models.ProblemOut | None = None
    again: bool = Field(default=False, description="Nothing is wrong with it; send it again.")


class RecordsOut(BaseModel):
    """One answer for each record, in order, and the time here."""

    now: str
    results: list[RecordOut]


class ClockOut(BaseModel):
    """The time here."""

    now: str


@router.get("/clock")
def clock(request: Request) -> ClockOut:
    """The time here, for a phone to compare its own with."""
    return ClockOut(now=door_of(request).now().isoformat())


@router.post("/records")
def take_records(request: Request, sent: RecordsIn) -> RecordsOut:
    """Take records of any kind in order; a refused one does not stop those after it."""
    results: list[RecordOut] = []
    for record in sent.records:
        stopped = bool(results) and results[-1].again
        results.append(_again(record) if stopped else _record(request, record))
    return RecordsOut(now=door_of(request).now().isoformat(), results=results)


def _record(request: Request, record: Mapping[str, Any]) -> RecordOut:
    fields = dict(record)
    kind = str(fields.pop("kind", ""))[:40]
    id = str(fields.get("id", ""))[:40]
    try:
        model, taker = _kind(kind)
        return RecordOut(id=id, taken=taker(request, model.model_validate(fields)))
    except StorageError as error:
        log.warning("record %s is to be sent again: %s", id, error)
        return _again(record)
    except GaugewalkError as error:
        problem = models.ProblemOut(**asdict(problem_of(error)))
        return RecordOut(id=id, problem=problem)
    except ValidationError as error:
        problem = models.ProblemOut(**asdict(of_validation(error.errors())))
        return RecordOut(id=id, problem=problem)


def _again(record: Mapping[str, Any]) -> RecordOut:
    return RecordOut(id=str(record.get("id", ""))[:40], again=True)


def _kind(kind: str) -> tuple[type[BaseModel], Taker]:
    known = KINDS.get(kind)
    if known is None:
        raise ArgumentError(f"kind = {kind!r}; expected one of {', '.join(KINDS)}.")
    return known


# ------------------------------------------------------------------ kinds that only phones send


@router.post("/events")
def event(request: Request, told: models.EventIn) -> models.KeptOut:
    """Write down that a pump was started, stopped or overhauled."""
    door = door_of(request)
    entry = door.watch.event(told.tag, told.event, **api.told(request, door, told))
    return api.kept(entry)


@router.post("/follow-ups")
def recheck(request: Request, asked: models.RecheckIn) -> models.KeptOut:
    """Ask to look at something again, so long after it was asked."""
    door = door_of(request)
    by = api.told(request, door, asked)
    due = by["seen_at"] + timedelta(seconds=asked.in_seconds)
    return api.kept(door.watch.add_follow_up(asked.tag, asked.what, due, **by))


@router.post("/follow-ups/answers")
def follow_up(request: Request, answer: models.FollowUpAnswerIn) -> models.KeptOut:
    """Say what was found when something was looked at again."""
    door = door_of(request)
    by = api.told(request, door, answer)
    return api.kept(door.watch.answer_follow_up(str(answer.follow_up), answer.result, **by))


@router.post("/rounds/finish")
def finish(request: Request, end: models.FinishIn) -> models.KeptOut:
    """Finish a round; points left open need a reason."""
    door = door_of(request)
    by = api.told(request, door, end)
    return api.kept(door.watch.finish_round(str(end.round), reason=end.reason, **by))


def _clock(request: Request, wrong: models.ClockIn) -> models.KeptOut:
    """Note that a phone's clock was wrong and that the times it sent were put right by it."""
    door = door_of(request)
    by = api.told(request, door, wrong)
    way = "ahead of" if wrong.ahead > 0 else "behind"
    text = (
        f"The clock of {by['who']}'s phone was {span_of(abs(wrong.ahead))} {way} the clock here; "
        "the times of what it sent were put right by that."
    )
    return api.kept(door.watch.note(None, text, **by))


KINDS: Mapping[str, tuple[type[BaseModel], Taker]] = {
    # The page asks for what to check by itself, once its record is safe.
    "reading": (models.ReadingIn, partial(api.take_reading, checks=False)),
    "correction": (models.CorrectionIn, partial(api.correct, checks=False)),
    "skip": (models.SkipIn, api.skip),
    "observation": (models.ObservationIn, api.observe),
    "note": (models.NoteIn, api.note),
    "action": (models.ActionIn, api.act),
    "event": (models.EventIn, event),
    "recheck": (models.RecheckIn, recheck),
    "follow_up": (models.FollowUpAnswerIn, follow_up),
    "finish": (models.FinishIn, finish),
    "clock": (models.ClockIn, _clock),
}
