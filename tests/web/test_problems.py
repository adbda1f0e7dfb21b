"""A fault of ours is told without its insides, on a page and as JSON."""

import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient

from gaugewalk.watch.service import Watch


@pytest.fixture
def broken(
    app: FastAPI, client: TestClient, watch: Watch, monkeypatch: pytest.MonkeyPatch
) -> TestClient:
    def fail(*_: object) -> None:
        raise RuntimeError("the secret inside")

    monkeypatch.setattr(Watch, "severities", fail)
    return TestClient(app, raise_server_exceptions=False)


@pytest.mark.parametrize("address", ["/pumps", "/api/v1/pumps"])
def test_our_own_fault(broken: TestClient, address: str, caplog: pytest.LogCaptureFixture) -> None:
    answer = broken.get(address)
    assert answer.status_code == 500
    assert "itself has failed" in answer.text
    assert "secret" not in answer.text
    assert "the secret inside" in caplog.text
    assert answer.headers["x-frame-options"] == "DENY"
