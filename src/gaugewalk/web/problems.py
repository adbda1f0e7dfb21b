"""Errors as answers: JSON for programs, a page for people, always with what to do."""

import logging
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any
from urllib.parse import quote

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, RedirectResponse, Response
from starlette.exceptions import HTTPException

from gaugewalk.errors import (
    ConflictError,
    FileError,
    GaugewalkError,
    NotAllowedError,
    NotFoundError,
    SignInError,
    StorageError,
    UnitError,
)
from gaugewalk.journal.failing import UnsureError
from gaugewalk.web.door import door_of, page
from gaugewalk.web.security import HEADERS

log = logging.getLogger(__name__)

API = "/api/"
_STATUS: tuple[tuple[type[GaugewalkError], int, str], ...] = (
    (NotFoundError, 404, "Check the name, or see the list at /api/v1/pumps."),
    (ConflictError, 409, "Send it as a correction, or under a new id."),
    (SignInError, 401, "Sign in, then send it again; what you typed is still there."),
    (NotAllowedError, 403, "Nothing was written."),
    (UnsureError, 503, "Look whether it is there; with the same id it may be sent again."),
    (StorageError, 503, "Nothing was written. Keep what you have and try again."),
    (UnitError, 422, "Write the number with its unit, as in 3.1 barg."),
    (FileError, 422, "Put right what is listed and send it again."),
    (GaugewalkError, 422, "Put it right and send it again."),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """An error as every door of ours tells it."""

    error: str
    given: str = ""
    expected: str = ""
    do: str = ""


def status_of(error: GaugewalkError) -> int:
    """Return the HTTP status for one of our errors."""
    return next(status for kind, status, _ in _STATUS if isinstance(error, kind))


def problem_of(error: GaugewalkError, *, given: str = "") -> Problem:
    """Return one of our errors as it is told."""
    do = next(hint for kind, _, hint in _STATUS if isinstance(error, kind))
    return Problem(error=str(error), given=given, do=do)


def add_handlers(app: FastAPI) -> None:
    """Make the app answer every error in our form."""
    app.add_exception_handler(GaugewalkError, _ours)
    app.add_exception_handler(RequestValidationError, _not_valid)
    app.add_exception_handler(HTTPException, _http)
    app.add_exception_handler(Exception, _unforeseen)


async def _ours(request: Request, error: Exception) -> Response:
    if not isinstance(error, GaugewalkError):
        raise error
    if isinstance(error, SignInError):
        return _sign_in_first(request, error)
    return answer(request, status_of(error), problem_of(error))


def _sign_in_first(request: Request, error: SignInError) -> Response:
    """Send one who only looks to where people sign in, and on from there."""
    looks = request.method == "GET" and not request.url.path.startswith(API)
    if looks and "text/html" in request.headers.get("accept", ""):
        to = request.url.path + (f"?{request.url.query}" if request.url.query else "")
        return RedirectResponse(f"/sign-in?to={quote(to[:300])}", status_code=303)
    made = answer(request, 401, problem_of(error))
    made.headers["WWW-Authenticate"] = "Bearer"
    return made


async def _not_valid(request: Request, error: Exception) -> Response:
    if not isinstance(error, RequestValidationError):
        raise error
    return answer(request, 422, of_validation(error.errors()))


def of_validation(errors: Sequence[Any]) -> Problem:
    """Return what was wrong with a request's fields."""
    first = errors[0]
    where = ".".join(str(part) for part in first["loc"][1:]) or "the request"
    given = first.get("input")
    return Problem(
        error="; ".join(
            f"{'.'.join(str(part) for part in one['loc'][1:]) or 'the request'}: {one['msg']}"
            for one in errors[:5]
        ),
        given="" if given is None or isinstance(given, dict | list) else repr(given)[:200],
        expected=f"{where}: {first['msg']}",
        do="See /openapi.json for every field and its bounds.",
    )


async def _http(request: Request, error: Exception) -> Response:
    if not isinstance(error, HTTPException):
        raise error
    said = {
        404: ("There is nothing at this address.", "Start from this watch, or see /openapi.json."),
        405: ("This address does not take that method.", "See /openapi.json."),
        408: (str(error.detail), "Send it again; with the same id it is never taken twice."),
        413: (str(error.detail), "Send fewer readings at a time."),
    }.get(error.status_code, (str(error.detail), "See /openapi.json."))
    problem = Problem(error=said[0], given=request.url.path[:200], do=said[1])
    made = answer(request, error.status_code, problem)
    made.headers.update(error.headers or {})
    return made


async def _unforeseen(request: Request, error: Exception) -> Response:
    """A fault of ours: logged whole, told without its insides."""
    log.error("%s %s", request.method, request.url.path, exc_info=error)
    problem = Problem(
        error="Gaugewalk itself has failed here; what was being sent may not be written down.",
        do="Look whether it is there before you send it again, and report what you did.",
    )
    made = answer(request, 500, problem)
    made.headers.update(HEADERS)  # this answer goes out past the guard
    return made


def answer(request: Request, status: int, problem: Problem) -> Response:
    """Answer an error: JSON under /api/, a page elsewhere."""
    if request.url.path.startswith(API):
        return JSONResponse(asdict(problem), status_code=status)
    door = door_of(request)
    framed = door.frame(request, "That did not work")
    return page(request, "problem.html", framed, problem, status=status)
