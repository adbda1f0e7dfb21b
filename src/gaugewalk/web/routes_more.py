"""The book of causes, who is on watch, the light, about."""

from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, Response

from gaugewalk import __version__
from gaugewalk.web.door import back_to, door_of, encoded, page, person_of
from gaugewalk.web.frame import LOOK_COOKIE, LOOKS, NAME_COOKIE, NAME_LENGTH
from gaugewalk.web.pages_more import (
    CAUTIONS,
    WORDS,
    AboutPage,
    MorePage,
    cause_page,
    causes_page,
)

router = APIRouter(include_in_schema=False)
A_YEAR = 365 * 86400


@router.get("/causes", response_class=HTMLResponse)
def causes(request: Request) -> HTMLResponse:
    """Every cause in the book."""
    door = door_of(request)
    framed = door.frame(request, "The book of causes", place="/more")
    return page(request, "causes.html", framed, causes_page(framed, door.watch.knowledge))


@router.get("/causes/{cause_id}", response_class=HTMLResponse)
def cause(request: Request, cause_id: str) -> HTMLResponse:
    """One cause with what it shows and what is done about it."""
    door = door_of(request)
    knowledge = door.watch.knowledge
    known = knowledge.cause(cause_id)
    framed = door.frame(request, known.title, under=known.group, place="/more")
    return page(request, "cause.html", framed, cause_page(framed, known, knowledge))


@router.get("/more", response_class=HTMLResponse)
def more(request: Request) -> HTMLResponse:
    """Who is on watch, and the way to the rest."""
    framed = door_of(request).frame(request, "More", place="/more")
    return page(request, "more.html", framed, MorePage(frame=framed, name=person_of(request).name))


@router.post("/more/name")
def set_name(name: Annotated[str, Form(max_length=NAME_LENGTH)] = "") -> Response:
    """Write down under this name from now on."""
    clean = " ".join("".join(c for c in name if c.isprintable()).split())
    answer = back_to("/more#name")
    _keep(answer, NAME_COOKIE, encoded(clean))
    return answer


@router.post("/more/look")
def set_look(
    look: Annotated[str, Form(max_length=10)] = "", back: Annotated[str, Form()] = "/"
) -> Response:
    """Choose the light of the page."""
    answer = back_to(back)
    _keep(answer, LOOK_COOKIE, look if look in {value for value, _ in LOOKS} else "")
    return answer


@router.get("/about", response_class=HTMLResponse)
def about(request: Request) -> HTMLResponse:
    """What it is for, and the cautions."""
    framed = door_of(request).frame(request, "About", place="/more")
    built = AboutPage(frame=framed, cautions=CAUTIONS, words=WORDS, version=__version__)
    return page(request, "about.html", framed, built)


def _keep(answer: Response, name: str, value: str) -> None:
    answer.set_cookie(name, value, max_age=A_YEAR, httponly=True, samesite="strict")
