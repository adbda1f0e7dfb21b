"""The real server in a process of its own, on a plant and a journal."""

import json
import os
import signal
import socket
import subprocess
import sys
import time
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import httpx

from gaugewalk.journal.ids import new_id

ROOT = Path(__file__).parents[2]
PLANT = ROOT / "tests" / "watch" / "pair.toml"
PATIENCE = 60.0  # seconds until a server that does not start is given up


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@dataclass(kw_only=True)
class Serving:
    """One running `gaugewalk serve`."""

    journal: str
    plant: Path = PLANT
    port: int = field(default_factory=free_port)
    process: subprocess.Popen[bytes] = field(init=False)
    log: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        place = ["--plant", str(self.plant), "--journal", self.journal]
        self.process = subprocess.Popen(
            [sys.executable, "-m", "gaugewalk", "serve", *place, "--port", str(self.port)],
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            cwd=ROOT,
        )

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def wait(self) -> "Serving":
        """Wait until it answers."""
        until = time.monotonic() + PATIENCE
        while time.monotonic() < until and self.process.poll() is None:
            with suppress(httpx.TransportError):
                if httpx.get(f"{self.url}/healthz").status_code == 200:
                    return self
            time.sleep(0.05)
        raise RuntimeError(f"the server did not start: {self.stop()}")

    def connect(self) -> socket.socket:
        """Open a bare connection."""
        return socket.create_connection(("127.0.0.1", self.port), timeout=10)

    def client(self) -> httpx.Client:
        return httpx.Client(base_url=self.url, timeout=30)

    def stop(self, sign: signal.Signals = signal.SIGTERM) -> str:
        """End it and return all it has said."""
        with suppress(ProcessLookupError):
            self.process.send_signal(sign)
        said, _ = self.process.communicate(timeout=PATIENCE)
        return said.decode()


def packet(minutes: float, **other: Any) -> dict[str, Any]:
    """A reading as a phone keeps it while it has no network."""
    from tests.watch.watch_day import MORNING, timedelta

    seen = MORNING + timedelta(minutes=minutes)
    made: dict[str, Any] = {
        "id": str(new_id(seen)),
        "kind": "reading",
        "tag": "C1A",
        "point": "discharge_pressure",
        "text": f"{3 + (minutes % 9) / 50:.2f} barg",
        "who": "R. Vale",
        "seen_at": seen.isoformat(),
    }
    return made | other


def as_request(body: object, *, path: str = "/api/v1/records", length: int | None = None) -> bytes:
    """Write a request as it goes over the wire."""
    content = json.dumps(body).encode()
    size = len(content) if length is None else length
    head = (
        f"POST {path} HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\n"
        f"Content-Length: {size}\r\nConnection: close\r\n\r\n"
    )
    return head.encode() + content


def kill(serving: Serving) -> None:
    """End a server as the loss of power would end it."""
    os.kill(serving.process.pid, signal.SIGKILL)
    serving.process.communicate()
