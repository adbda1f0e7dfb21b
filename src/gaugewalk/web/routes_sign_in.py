"""Signing in and out."""

from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Form, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from gaugewalk.errors import GaugewalkError, NotFoundError, SignInError
from gaugewalk.people.sessions import (
    LASTS,
    Caller,
    sign_in,
    sign_in_by_openid,
    sign_out,
    sign_out_everywhere,
)
from gaugewalk.people.store import Store
from gaugewalk.people.under_way import STATE_LASTS, keep_under_way, take_under_way
from gaugewalk.web.door import back_to, door_of, member_of, page
from gaugewalk.web.entrance import Entrance
from gaugewalk.web.openid import Answer, Provider, begin, finish
from gaugewalk.web.pages_sign_in import SignInPage

router = APIRouter(include_in_schema=False)
STATE_COOKIE = "gaugewalk_state"
Going = Annotated[str, Query(max_length=300)]


def entrance_of(request: Request) -> Entrance:
    """Return the way in that the app was made with."""
    entrance: Entrance = request.app.state.entrance
    return entrance


def _people(request: Request) -> Store:
    people = entrance_of(request).people
    if people is None:
        raise NotFoundError("Nobody has to sign in here: there are no accounts.")
    return people


def _provider(request: Request) -> Provider:
    provider = entrance_of(request).openid
    if provider is None:
        raise NotFoundError("No provider is named here; sign in with a password.")
    return provider


def _caller(request: Request) -> Caller:
    address = request.client.host if request.client else ""
    return Caller(address=address, now=door_of(request).now())


@router.get("/sign-in", response_class=HTMLResponse)
def ask(request: Request, to: Going = "/") -> Response:
    """Ask for name and password."""
    _people(request)
    return _asking(request, to, "", None)


def _asking(request: Request, to: str, name: str, error: SignInError | None) -> HTMLResponse:
    framed = door_of(request).frame(request, "Sign in")
    built = SignInPage(
        frame=framed,
        to=to,
        name=name,
        error=str(error) if error else "",
        elsewhere=f"/sign-in/elsewhere?to={quote(to)}" if entrance_of(request).openid else "",
    )
    status = 200 if error is None else 429 if error.wait else 401
    made = page(request, "sign_in.html", framed, built, status=status)
    if error and error.wait:
        made.headers["Retry-After"] = str(error.wait)
    return made


@router.post("/sign-in")
def take(
    request: Request,
    name: Annotated[str, Form(max_length=200)] = "",
    password: Annotated[str, Form(max_length=1000)] = "",
    to: Annotated[str, Form(max_length=300)] = "/",
) -> Response:
    """Take name and password; go on to where the person wanted to go."""
    people = _people(request)
    try:
        key = sign_in(people, name, password, _caller(request))
    except SignInError as error:
        return _asking(request, to, name, error)
    return _signed_in(request, key, to)


def _signed_in(request: Request, key: str, to: str) -> Response:
    entrance = entrance_of(request)
    answer = back_to(to)
    answer.set_cookie(
        entrance.cookie,
        key,
        max_age=int(LASTS.total_seconds()),
        httponly=True,
        secure=entrance.secure,
        # Lax, so that a link in a message opens; what is written is held to its origin besides.
        samesite="lax",
    )
    return answer


@router.post("/sign-out")
def leave(request: Request, everywhere: Annotated[str, Form(max_length=3)] = "") -> Response:
    """End this session, or every session of this person."""
    people, entrance = _people(request), entrance_of(request)
    member = member_of(request)
    sign_out(people, request.cookies.get(entrance.cookie, ""))
    if everywhere and member is not None and not member.machine:
        sign_out_everywhere(people, member.name)
    request.app.state.recognizer.forget()
    answer = back_to("/sign-in")
    answer.delete_cookie(entrance.cookie, httponly=True, secure=entrance.secure, samesite="lax")
    return answer


@router.get("/sign-in/elsewhere")
def elsewhere(request: Request, to: Going = "/") -> Response:
    """Send the person to the provider."""
    people, provider = _people(request), _provider(request)
    try:
        begun = begin(provider, _back_address(request))
        now = door_of(request).now()
        keep_under_way(people, begun.state, begun.nonce, begun.verifier, to, now)
    except GaugewalkError as error:
        return _asking(request, to, "", SignInError(str(error)))
    answer = RedirectResponse(begun.address, status_code=303)
    answer.set_cookie(
        STATE_COOKIE,
        begun.state,
        max_age=int(STATE_LASTS.total_seconds()),
        path="/sign-in",
        httponly=True,
        secure=entrance_of(request).secure,
        samesite="lax",
    )
    return answer


@router.get("/sign-in/back")
def back(
    request: Request,
    state: Annotated[str, Query(max_length=200)] = "",
    code: Annotated[str, Query(max_length=4000)] = "",
) -> Response:
    """Take the person back from the provider."""
    people, provider = _people(request), _provider(request)
    caller = _caller(request)
    going = "/"
    try:
        if not state or request.cookies.get(STATE_COOKIE) != state:
            raise SignInError("This sign-in was not begun here. Begin it anew.")
        kept = take_under_way(people, state, caller.now)
        going = kept.going_to
        answer = Answer(
            code=code, nonce=kept.nonce, verifier=kept.verifier, redirect=_back_address(request)
        )
        key = sign_in_by_openid(people, finish(provider, answer, caller.now), caller)
    except GaugewalkError as error:
        return _asking(request, going, "", SignInError(str(error)))
    done = _signed_in(request, key, going)
    done.delete_cookie(STATE_COOKIE, path="/sign-in")
    return done


def _back_address(request: Request) -> str:
    """Where the provider sends people back to; the host was checked by the guard."""
    scheme = "https" if entrance_of(request).secure else request.url.scheme
    return f"{scheme}://{request.headers['host']}/sign-in/back"
