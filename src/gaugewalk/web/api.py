"""The door for programs: everything under /api/v1/, as JSON."""

from dataclasses import asdict
from typing import Annotated, Any
from uuid import UUID

from fastapi import APIRouter, Body, Path, Query, Request
from fastapi.responses import Response

from gaugewalk import units
from gaugewalk.errors import GaugewalkError
from gaugewalk.journal.entry import Entry
from gaugewalk.watch.views import Taken
from gaugewalk.web import api_models as models
from gaugewalk.web.api_views import pump_json, trouble_json, watch_json
from gaugewalk.web.door import Door, door_of, who_of
from gaugewalk.web.forms import with_unit
from gaugewalk.web.problems import problem_of

ANSWERS: dict[int | str, dict[str, Any]] = {
    400: {"model": models.ProblemOut},
    401: {"model": models.ProblemOut},
    403: {"model": models.ProblemOut},
    404: {"model": models.ProblemOut},
    409: {"model": models.ProblemOut},
    422: {"model": models.ProblemOut},
    503: {"model": models.ProblemOut},
}
MOST_AT_ONCE = 500
Tag = Annotated[str, Path(min_length=1, max_length=80)]
Checks = Annotated[
    bool, Query(description="Whether to wait for what to check where it is not normal.")
]
Batch = Annotated[list[models.ReadingIn], Body(min_length=1, max_length=MOST_AT_ONCE)]

router = APIRouter(prefix="/api/v1", responses=ANSWERS, tags=["v1"])


def told(request: Request, door: Door, record: models.Told) -> dict[str, Any]:
    """Return who, when and id as the watch takes them."""
    now = door.now()
    who = who_of(request, record.who)
    return {"who": who, "seen_at": record.seen_at or now, "now": now, "id": record.id}


@router.post("/readings")
def take_reading(
    request: Request, reading: models.ReadingIn, checks: Checks = True
) -> models.TakenOut:
    """Take one reading and judge it; the same id twice changes nothing."""
    door = door_of(request)
    return _taken(door, _take(request, door, reading, checks))


@router.post("/readings/batch")
def take_readings(request: Request, readings: Batch, checks: Checks = True) -> models.BatchOut:
    """Take many readings in order; a bad one is answered as an error and the others are taken."""
    door = door_of(request)
    results: list[models.TakenOut | models.ProblemOut] = []
    for reading in readings:
        try:
            results.append(_taken(door, _take(request, door, reading, checks)))
        except GaugewalkError as error:
            problem = problem_of(error, given=reading.text)
            results.append(models.ProblemOut(**asdict(problem)))
    refused = sum(isinstance(result, models.ProblemOut) for result in results)
    return models.BatchOut(results=results, refused=refused)


def _take(request: Request, door: Door, reading: models.ReadingIn, checks: bool) -> Taken:
    if reading.unit is not None:
        units.unit_named(reading.unit)  # refused also where the text brings a unit of its own
    return door.watch.take_reading(
        reading.tag,
        reading.point,
        reading.text,
        unit=reading.unit,
        round_id=str(reading.round) if reading.round else None,
        with_checks=checks,
        **told(request, door, reading),
    )


def _taken(door: Door, taken: Taken) -> models.TakenOut:
    entry, verdict = taken.entry, taken.verdict
    shown = door.shown(door.now())
    unit = entry.unit or ""
    return models.TakenOut(
        id=entry.id,
        tag=entry.tag or "",
        point=entry.point or "",
        value=entry.value or 0.0,
        low=entry.low,
        high=entry.high,
        unit=unit,
        shown=shown.entry(entry, unit),
        verdict=dict(verdict.to_json()),
        trouble=taken.trouble_id,
        extra_checks=[asdict(check) for check in taken.extra_checks],
    )


@router.post("/corrections")
def correct(
    request: Request, correction: models.CorrectionIn, checks: Checks = True
) -> models.TakenOut:
    """Correct a reading; both stay in the journal."""
    door = door_of(request)
    text = with_unit(correction.text, correction.unit or "")
    by = told(request, door, correction)
    return _taken(door, door.watch.correct(correction.corrects, text, with_checks=checks, **by))


@router.post("/observations")
def observe(request: Request, observation: models.ObservationIn) -> models.KeptOut:
    """Write down a finding that was seen, was not there, or could not be looked at."""
    door = door_of(request)
    observed = door.watch.observe(
        observation.tag,
        observation.finding,
        observation.present,
        note=observation.note,
        with_checks=False,  # this answer does not tell them
        **told(request, door, observation),
    )
    return kept(observed.entry)


@router.post("/skips")
def skip(request: Request, skipped: models.SkipIn) -> models.KeptOut:
    """Write down that a point was not taken, and why."""
    door = door_of(request)
    entry = door.watch.skip(
        skipped.tag,
        skipped.point,
        skipped.reason,
        round_id=str(skipped.round) if skipped.round else None,
        **told(request, door, skipped),
    )
    return kept(entry)


@router.post("/notes")
def note(request: Request, noted: models.NoteIn) -> models.KeptOut:
    """Write down a note at a pump."""
    door = door_of(request)
    return kept(door.watch.note(noted.tag, noted.text, **told(request, door, noted)))


@router.post("/actions")
def act(request: Request, action: models.ActionIn) -> models.KeptOut:
    """Write down an action of a trouble that was done; its follow-up makes itself."""
    door = door_of(request)
    by = told(request, door, action)
    trouble_id = str(action.trouble)
    tag = door.watch.trouble(trouble_id, door.now()).pump.tag
    return kept(door.watch.act(tag, trouble_id, action.do, **by))


def kept(entry: Entry) -> models.KeptOut:
    """Return that a record was written down."""
    return models.KeptOut(id=entry.id, kind=entry.kind, tag=entry.tag)


@router.get("/pumps")
def pumps(request: Request) -> list[dict[str, Any]]:
    """Every pump in walking order with its severity."""
    watch = door_of(request).watch
    severities = watch.severities()
    ordered = sorted(watch.plant.pumps, key=lambda pump: (pump.walk_order, pump.tag))
    return [
        {"tag": p.tag, "name": p.name, "area": p.area, "severity": severities[p.tag].value}
        for p in ordered
    ]


@router.get("/pumps/{tag}")
def pump(request: Request, tag: Tag) -> dict[str, Any]:
    """One pump: its points with last reading, verdict and expected band."""
    door = door_of(request)
    return pump_json(door.watch.pump_page(tag, door.now()))


@router.get("/pumps/{tag}/why")
def why(request: Request, tag: Tag) -> dict[str, Any]:
    """The diagnosis of a pump from what is known of it now."""
    door = door_of(request)
    return dict(door.watch.diagnose_pump(tag, door.now()).to_json())


@router.get("/watch")
def this_watch(request: Request) -> dict[str, Any]:
    """What needs a hand now, what is to be looked at again, the rounds due."""
    door = door_of(request)
    return watch_json(door.watch.this_watch(door.now()))


@router.get("/troubles/{trouble_id}")
def trouble(request: Request, trouble_id: UUID) -> dict[str, Any]:
    """One trouble with its diagnosis."""
    door = door_of(request)
    return trouble_json(door.watch.trouble(str(trouble_id), door.now()))


@router.get("/units")
def closed_table() -> Response:
    """The closed table of units, as the phone's page reads it."""
    return Response(units.as_json(), media_type="application/json")
