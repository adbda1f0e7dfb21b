"""Is it alive, and what does it do: for whoever runs it, not for the watch."""

from collections import Counter

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse, PlainTextResponse, Response
from starlette.concurrency import run_in_threadpool

from gaugewalk.errors import StorageError
from gaugewalk.judge.severity import Severity
from gaugewalk.web.door import Door, door_of
from gaugewalk.web.meter import Counts
from gaugewalk.web.metrics import CONTENT_TYPE, metrics_text

router = APIRouter(include_in_schema=False)


@router.get("/healthz")
def healthy(request: Request) -> Response:
    """Whether a reading could be taken now: the app answers and the journal can be read."""
    try:
        door_of(request).watch.journal.last_seq()
    except StorageError:
        return JSONResponse({"status": "the journal does not answer"}, status_code=503)
    return JSONResponse({"status": "ok"})


@router.get("/metrics")
async def metrics(request: Request) -> Response:
    """What was counted since the start, as Prometheus reads it."""
    counts: Counts = request.app.state.counts
    entries, pumps = await run_in_threadpool(_state, door_of(request))
    text = metrics_text(counts, entries, pumps)
    return PlainTextResponse(text, headers={"content-type": CONTENT_TYPE})


def _state(door: Door) -> tuple[int, dict[str, int]]:
    found = Counter(severity.value for severity in door.watch.severities().values())
    pumps = {severity.value: found[severity.value] for severity in Severity}
    return door.watch.journal.last_seq(), pumps
