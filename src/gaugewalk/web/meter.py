"""What the app does, counted: for /metrics and, where wanted, one line of the log per request.

Counted is by the address's pattern, never by what stands in it, and nobody is named: neither who
asked nor from where.
"""

import logging
import time
from collections import Counter
from dataclasses import dataclass, field

from starlette.types import ASGIApp, Message, Receive, Scope, Send

log = logging.getLogger("gaugewalk.requests")

EDGES = (0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5)  # s
_ELSEWHERE = "elsewhere"  # an address that is none of ours: whatever is asked is one line


@dataclass(slots=True, kw_only=True)
class Durations:
    """How long the answers of one address took: in how many up to each edge, and in sum."""

    buckets: list[int] = field(default_factory=lambda: [0] * len(EDGES))
    count: int = 0
    total: float = 0.0  # s

    def add(self, seconds: float) -> None:
        """Count one more answer."""
        self.count += 1
        self.total += seconds
        for at, edge in enumerate(EDGES):
            if seconds <= edge:
                self.buckets[at] += 1


@dataclass(slots=True, kw_only=True)
class Counts:
    """Everything counted since the app was started; only touched from the event loop."""

    started: float = field(default_factory=time.time)
    in_hand: int = 0
    answers: Counter[tuple[str, str, int]] = field(default_factory=Counter)
    durations: dict[str, Durations] = field(default_factory=dict)

    def add(self, method: str, route: str, status: int, seconds: float) -> None:
        """Count one more answer."""
        self.answers[method, route, status] += 1
        self.durations.setdefault(route, Durations()).add(seconds)


class Meter:
    """Plain ASGI middleware: measures each request from its head to the end of its answer."""

    def __init__(self, app: ASGIApp, counts: Counts) -> None:
        self.app = app
        self.counts = counts

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        status = 500

        async def send_seen(message: Message) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = int(message["status"])
            await send(message)

        start = time.perf_counter()
        self.counts.in_hand += 1
        try:
            await self.app(scope, receive, send_seen)
        finally:
            self.counts.in_hand -= 1
            seconds = time.perf_counter() - start
            method = _method(scope)
            self.counts.add(method, route_of(scope), status, seconds)
            _tell(method, route_of(scope), status, seconds)


def route_of(scope: Scope) -> str:
    """Return the pattern of the address that answered, as in /pump/{tag}."""
    if "route" in scope:
        return str(getattr(scope["route"], "path", _ELSEWHERE))
    return "/static" if str(scope["path"]).startswith("/static/") else _ELSEWHERE


def _method(scope: Scope) -> str:
    known = ("GET", "POST", "HEAD", "OPTIONS", "PUT", "DELETE", "PATCH")
    return str(scope["method"]) if scope["method"] in known else "OTHER"


def _tell(method: str, route: str, status: int, seconds: float) -> None:
    if log.isEnabledFor(logging.INFO):
        said = {"method": method, "route": route, "status": status}
        said["ms"] = round(seconds * 1000.0, 1)
        log.info("%s %s %s %s ms", method, route, status, said["ms"], extra={"fields": said})
