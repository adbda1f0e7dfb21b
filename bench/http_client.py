"""A plain HTTP client on a kept-alive connection: light enough to stand for many people at once."""

import asyncio
import gzip
import json
import time
from dataclasses import dataclass, field
from typing import Any


@dataclass(slots=True, kw_only=True)
class Times:
    """How long the answers of one kind took, in seconds."""

    what: str
    seconds: list[float] = field(default_factory=list)
    failed: int = 0

    def quantile(self, share: float) -> float:
        """Return the time within which that share of the answers came."""
        ordered = sorted(self.seconds)
        return ordered[min(int(share * len(ordered)), len(ordered) - 1)] if ordered else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What came back."""

    status: int
    head: dict[str, str]
    raw: bytes

    @property
    def body(self) -> bytes:
        """The body as it was before it was compressed."""
        packed = self.head.get("content-encoding") == "gzip"
        return gzip.decompress(self.raw) if packed else self.raw


class Person:
    """One browser: a connection of its own and a session."""

    def __init__(self, port: int, cookie: str = "") -> None:
        self.port = port
        head = [f"Host: 127.0.0.1:{port}", "Accept-Encoding: gzip", "Accept: text/html"]
        head += [f"Origin: http://127.0.0.1:{port}", f"Cookie: {cookie}"] if cookie else []
        self._head = "\r\n".join(head)
        self._streams: tuple[asyncio.StreamReader, asyncio.StreamWriter] | None = None

    async def get(self, path: str, times: Times) -> Answer:
        """Fetch a page."""
        return await self._ask(f"GET {path} HTTP/1.1\r\n{self._head}\r\n\r\n".encode(), times)

    async def post(self, path: str, body: Any, times: Times) -> Answer:
        """Send JSON."""
        return await self._send(path, "application/json", json.dumps(body).encode(), times)

    async def submit(self, path: str, body: str, times: Times) -> Answer:
        """Send a form."""
        return await self._send(path, "application/x-www-form-urlencoded", body.encode(), times)

    async def _send(self, path: str, kind: str, text: bytes, times: Times) -> Answer:
        head = f"POST {path} HTTP/1.1\r\n{self._head}\r\nContent-Type: {kind}\r\n"
        return await self._ask(f"{head}Content-Length: {len(text)}\r\n\r\n".encode() + text, times)

    async def _ask(self, request: bytes, times: Times) -> Answer:
        start = time.perf_counter()
        try:
            answer = await self._once(request)
        except (
            asyncio.IncompleteReadError,
            ConnectionError,
        ):  # closed meanwhile: as a browser does
            self._streams = None
            answer = await self._once(request)
        times.seconds.append(time.perf_counter() - start)
        times.failed += answer.status >= 400
        return answer

    async def _once(self, request: bytes) -> Answer:
        if self._streams is None:
            self._streams = await asyncio.open_connection("127.0.0.1", self.port, limit=1 << 22)
        reader, writer = self._streams
        writer.write(request)
        first, *lines = (await reader.readuntil(b"\r\n\r\n")).decode("latin-1").split("\r\n")
        pairs = (line.split(": ", 1) for line in lines if line)
        head = {name.lower(): value for name, value in pairs}
        return Answer(status=int(first.split(" ")[1]), head=head, raw=await _body(reader, head))

    async def leave(self) -> None:
        """Close the connection."""
        if self._streams is not None:
            self._streams[1].close()


async def _body(reader: asyncio.StreamReader, head: dict[str, str]) -> bytes:
    if "content-length" in head:
        return await reader.readexactly(int(head["content-length"]))
    parts = []
    while size := int(await reader.readline(), 16):
        parts.append(await reader.readexactly(size))
        await reader.readline()
    await reader.readline()
    return b"".join(parts)
