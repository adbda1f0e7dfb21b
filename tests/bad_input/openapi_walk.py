"""Send to every address of the OpenAPI what its schema allows, and what it does not."""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import schemathesis
from fastapi import FastAPI
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.errors import Unsatisfiable
from schemathesis.generation.modes import GenerationMode

from tests.web.seeded import TAGS, TROUBLED

# A made-up tag or id goes no further than "not found"; most of them are therefore real ones.
REAL: Mapping[str, tuple[str, ...]] = {
    "tag": TAGS,
    "point": ("discharge_pressure", "motor_current", "leak_off", "source_level", "vibration_de"),
    "finding": ("gland-smoke", "noise-rattle-intermittent"),
    "kind": ("reading", "correction", "skip", "observation", "note", "action", "event", "finish"),
    "text": ("3.1 barg", "2.8 to 4.1", "-0,3 bar(g)", "9" * 80, "1e400 barg", "NaN", "0 K", "∞ A"),
    "unit": ("barg", "degF", "gpm (US)", ""),
    "event": ("started", "stopped", "overhauled"),
}


@dataclass(frozen=True, kw_only=True)
class Sent:
    """One request and the status that came back."""

    request: str
    status: int
    answer: str


def walk(app: FastAPI, real: Mapping[str, tuple[str, ...]], examples: int) -> Iterator[Sent]:
    """Send `examples` requests of each sort to each address and yield what came back."""
    schema = schemathesis.openapi.from_asgi("/openapi.json", app)
    for result in schema.get_all_operations():
        for mode in GenerationMode:
            cases = result.ok().as_strategy(generation_mode=mode)
            yield from send_some(cases, real, examples)


def send_some(
    cases: st.SearchStrategy[schemathesis.Case], real: Mapping[str, tuple[str, ...]], examples: int
) -> list[Sent]:
    """Send some requests to one address."""
    sent: list[Sent] = []

    @settings(
        max_examples=examples,
        deadline=None,
        database=None,
        derandomize=True,
        suppress_health_check=list(HealthCheck),
    )
    @given(case=cases, data=st.data())
    def send(case: schemathesis.Case, data: st.DataObject) -> None:
        case.path_parameters = with_real(case.path_parameters, data, real)
        case.body = with_real(case.body, data, real)
        response = case.call()
        asked = f"{case.method} {case.path} {case.path_parameters} {case.query} {case.body!r}"
        sent.append(Sent(request=asked, status=response.status_code, answer=response.text[:300]))

    try:
        send()
    except Unsatisfiable:  # where nothing can be sent that does not fit
        pass
    return sent


def with_real(value: Any, data: st.DataObject, real: Mapping[str, tuple[str, ...]]) -> Any:
    """Put real names in the place of some made-up ones."""
    if isinstance(value, list):
        return [with_real(item, data, real) for item in value]
    if not isinstance(value, dict):
        return value
    return {
        key: data.draw(st.sampled_from(real[key]))
        if key in real and data.draw(st.integers(0, 3))
        else with_real(item, data, real)
        for key, item in value.items()
    }


def real_names(app: FastAPI) -> dict[str, tuple[str, ...]]:
    """The names that the app knows, with ids of records that are there."""
    watch = app.state.door.watch
    readings = [str(e.id) for e in watch.journal.entries(kinds=["reading"])][:3]
    trouble = watch.journal.load_state(f"pump/{TROUBLED}")["trouble"]["id"]
    ids = {"corrects": tuple(readings), "trouble": (trouble,), "trouble_id": (trouble,)}
    return {**REAL, **ids}


def told(sent: Sent) -> str:
    return json.dumps({"request": sent.request[:500], "answer": sent.answer}, ensure_ascii=False)
