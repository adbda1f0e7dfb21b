"""What a phone sends, taken apart and put together wrongly: each record is answered by itself."""

from typing import Any
from uuid import UUID

import pytest
from fastapi import FastAPI
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from starlette.testclient import TestClient

from gaugewalk.watch.service import Watch
from gaugewalk.web.api_records import KINDS
from gaugewalk.web.door import Door
from tests.web.conftest import app, seeded, watch  # noqa: F401  # its fixtures
from tests.web.seeded import NOW

from .openapi_walk import real_names

EXAMPLES = 60
TIMES = ("2025-11-20T09:00:00Z", "9999-12-31T23:59:59Z", "0001-01-01T00:00:00+14:00", "1e9")
ODD = ("", "\0", "\ud83d", "🔧", "x" * 90, "NaN", "-0", "1e400", "../../etc/passwd", "{{ 7 }}")
SORTS: dict[str, st.SearchStrategy[Any]] = {
    "present": st.none() | st.booleans(),
    "ahead": st.floats(-1e5, 1e5),
    "note": st.text(max_size=9),
    "result": st.text(min_size=1, max_size=9),
}
JUNK: st.SearchStrategy[Any] = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8)
    | st.sampled_from(ODD),
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(st.text(max_size=3), inner),
    max_leaves=4,
)  # fmt: skip


def records(real: dict[str, tuple[str, ...]]) -> st.SearchStrategy[dict[str, Any]]:
    """Records of every kind in which one field or another is not what it should be."""
    good = {**real, "seen_at": TIMES, "who": ("R. Vale",), "do": ("Greased.",), "reason": ("dark",)}

    def field(name: str) -> st.SearchStrategy[Any]:
        proper = st.sampled_from(good[name]) if name in good else SORTS.get(name, st.uuids())
        return st.one_of(*[proper.map(plain)] * 12, JUNK)

    def of_kind(kind: str) -> st.SearchStrategy[dict[str, Any]]:
        fields = KINDS[kind][0].model_fields
        needed = {name: field(name) for name, info in fields.items() if info.is_required()}
        others = {name: field(name) for name in fields if name not in needed}
        return st.fixed_dictionaries({"kind": st.just(kind), **needed}, optional=others)

    whole = st.sampled_from(sorted(KINDS)).flatmap(of_kind)
    stray = st.fixed_dictionaries({"kind": JUNK}, optional={"stray": JUNK})
    return st.one_of(*[whole] * 9, stray)


def plain(value: object) -> object:
    """Write an id as it is sent."""
    return str(value) if isinstance(value, UUID) else value


@pytest.mark.usefixtures("seeded")
def test_no_record_is_a_fault_of_ours_or_keeps_the_others_waiting(
    app: FastAPI,  # noqa: F811
    watch: Watch,  # noqa: F811
) -> None:
    app.state.door = Door(watch=watch, clock=lambda: NOW)
    client = TestClient(app, raise_server_exceptions=False)
    kinds: set[str] = set()

    @settings(max_examples=EXAMPLES, suppress_health_check=list(HealthCheck))
    @given(st.lists(records(real_names(app)), min_size=1, max_size=6))
    def send(sent: list[dict[str, Any]]) -> None:
        try:
            answer = client.post("/api/v1/records", json={"records": sent})
        except ValueError:  # what cannot be written as JSON cannot be sent
            return
        assert answer.status_code in (200, 400, 422), (sent, answer.text)
        if answer.status_code == 200:
            results = answer.json()["results"]
            assert len(results) == len(sent)
            assert [r for r in results if r["again"]] == []
            kinds.update(r["taken"].get("kind", "reading") for r in results if r["taken"])

    send()
    assert {"reading", "event", "action"} <= kinds  # some of each went in
    assert watch.journal.verify().ok
