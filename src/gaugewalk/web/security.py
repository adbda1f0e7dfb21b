"""What guards the door: security headers, and no requests from other pages or under other names.

A page of another site open in the same browser could try to post here, with the session that the
browser holds. Such requests carry another origin and are refused; where people sign in, so is one
that tells no origin at all, unless it brings a token, which a foreign page has not. Every name but
the loopback ones and those that were given is refused too, which stops a foreign name that was made
to point at this computer.
"""

import json
import re
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from gaugewalk.web.body import LARGEST_BODY, Bounded, largest_for
from gaugewalk.web.entrance import Entrance

OWN_NAMES = frozenset({"127.0.0.1", "localhost", "[::1]", "testserver"})
SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})
VERSIONED = re.compile(r"/static/[0-9a-f]{12}/")  # what stands there never changes
PASSED_ON = ("forwarded", "x-forwarded-for", "x-forwarded-host", "x-real-ip")  # by a proxy
HTTPS_ONLY = "max-age=31536000"

HEADERS = {
    "Content-Security-Policy": (
        "default-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; "
        "object-src 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "geolocation=(), microphone=(), payment=()",
}


class Guard:
    """Plain ASGI middleware: refuses foreign requests, adds the headers to every answer."""

    def __init__(self, app: ASGIApp, entrance: Entrance) -> None:
        self.app = app
        self.entrance = entrance

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                _add_headers(message, str(scope["path"]))
                if self.entrance.secure:
                    MutableHeaders(scope=message)["Strict-Transport-Security"] = HTTPS_ONLY
            await send(message)

        largest = largest_for(str(scope["path"]))
        headers = Headers(scope=scope)
        refusal = refused(str(scope["method"]), headers, self.entrance, largest=largest)
        if refusal:
            await _refuse(send_guarded, *refusal)
        else:
            await self.app(scope, Bounded(receive, largest=largest), send_guarded)


def refused(
    method: str,
    headers: Headers,
    entrance: Entrance | None = None,
    *,
    largest: int = LARGEST_BODY,
) -> tuple[int, str, str] | None:
    """Return status, error and what to do for a request that is not ours; none for our own.

    Examples
    --------
    >>> refused("GET", Headers({"host": "127.0.0.1:8765"})) is None
    True
    >>> refused("POST", Headers({"host": "127.0.0.1:8765", "origin": "http://evil.example"}))[0]
    403
    """
    entrance = entrance or Entrance()
    host = headers.get("host", "")
    if _name(host) not in OWN_NAMES | entrance.names:
        return 421, f"This is not {host[:60]!r}.", "Open it by the address it was served under."
    if entrance.people is None and any(name in headers for name in PASSED_ON):
        return (
            403,
            "This came from another computer, and nobody signs in here.",
            "Add accounts first: gaugewalk people add NAME --role ROLE.",
        )
    if method in SAFE_METHODS:
        return None
    if _foreign(headers, host, signs_in=entrance.people is not None):
        return 403, "Another site tried to write here.", "Enter it on Gaugewalk's own page."
    length = headers.get("content-length", "0")
    if not length.isdecimal() or int(length) > largest:
        return 413, "Too much at once.", "Send fewer readings at a time."
    return None


def _foreign(headers: Headers, host: str, *, signs_in: bool) -> bool:
    """Whether a page that is not ours sends this; where people sign in, ours must be proven.

    Every browser of the last years tells the origin of what it posts; a program brings a token,
    which no foreign page can add.
    """
    origin, site = headers.get("origin"), headers.get("sec-fetch-site")
    if origin is not None and urlsplit(origin).netloc != host:
        return True
    if site in ("cross-site", "same-site"):
        return True
    proven = origin is not None or site == "same-origin"
    return signs_in and not proven and "authorization" not in headers


def _name(host: str) -> str:
    name, _, port = host.rpartition(":")
    return name.lower() if name and port.isdigit() else host.lower()


def _add_headers(message: Message, path: str) -> None:
    headers = MutableHeaders(scope=message)
    for name, value in HEADERS.items():
        headers[name] = value
    if VERSIONED.match(path):
        headers["Cache-Control"] = "public, max-age=31536000, immutable"
    elif not path.startswith("/static/"):
        headers["Cache-Control"] = "no-store"


async def _refuse(send: Send, status: int, error: str, do: str) -> None:
    body = json.dumps({"error": error, "given": "", "expected": "", "do": do}).encode()
    start = [(b"content-type", b"application/json"), (b"content-length", str(len(body)).encode())]
    await send({"type": "http.response.start", "status": status, "headers": start})
    await send({"type": "http.response.body", "body": body})
