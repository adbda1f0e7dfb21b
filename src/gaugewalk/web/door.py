"""What every route has at hand: the watch, the time, the person, the templates."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from fastapi import Request
from fastapi.responses import HTMLResponse, RedirectResponse
from markupsafe import Markup
from starlette.templating import Jinja2Templates

from gaugewalk.errors import NotAllowedError
from gaugewalk.people.member import Member, folded
from gaugewalk.people.rights import Right
from gaugewalk.watch.photos import Photos
from gaugewalk.watch.service import Watch
from gaugewalk.web.frame import LOOK_COOKIE, LOOKS, NAME_COOKIE, NAME_LENGTH, Frame, Person, frame
from gaugewalk.web.shown import Shown, shown_for
from gaugewalk.web.svg import figure, severity_shape

HERE = Path(__file__).parent
TEMPLATES = Jinja2Templates(directory=HERE / "templates")
TEMPLATES.env.trim_blocks = True
TEMPLATES.env.lstrip_blocks = True


def severity_mark(word: str) -> Markup:
    """Draw the shape of a severity by itself; the word stands beside it."""
    content = severity_shape(word, 14, 14, 24)
    return figure(content, 28, 28, "", "mark", aria_hidden="true")


TEMPLATES.env.globals["severity_mark"] = severity_mark


@dataclass(frozen=True, slots=True, kw_only=True)
class Door:
    """The watch and the clock of one app."""

    watch: Watch
    clock: Callable[[], datetime]
    photos: Photos | None = None  # where photos are kept; none: none are taken

    def now(self) -> datetime:
        """The present moment, read once a request."""
        return self.clock()

    def shown(self, now: datetime) -> Shown:
        """The writer for this plant at a moment."""
        return shown_for(self.watch.plant, now)

    def frame(self, request: Request, title: str, *, under: str = "", place: str = "") -> Frame:
        """The frame of a page of this plant."""
        return frame(
            person_of(request),
            request.url.path,
            title,
            over=self.watch.plant.name,
            under=under,
            place=place,
            now=self.now().isoformat(),
            zone=self.watch.plant.time_zone,
        )


def door_of(request: Request) -> Door:
    """Return the door that the app was made with."""
    door: Door = request.app.state.door
    return door


def member_of(request: Request) -> Member | None:
    """Return who has signed in; none where nobody has, or nobody has to."""
    member: Member | None = getattr(request.state, "member", None)
    return member


def person_of(request: Request) -> Person:
    """Return who is reading: who signed in, else by the cookie; anything odd in it is ignored."""
    look = request.cookies.get(LOOK_COOKIE, "")
    look = look if look in {value for value, _ in LOOKS} else ""
    member = member_of(request)
    if member is None:
        signs_in = request.app.state.entrance.people is not None
        name = "" if signs_in else _decoded(request.cookies.get(NAME_COOKIE, ""))
        return Person(name=name, look=look, writes=not signs_in, signs_in=signs_in)
    role = member.role.value.replace("-", " ")
    writes = member.may(Right.RECORD)
    return Person(name=member.name, look=look, role=role, writes=writes, signs_in=True)


def who_of(request: Request, said: str | None = None) -> str:
    """Return the name under which something is written down.

    Where people sign in it is theirs, whatever a form or a record says.

    Raises
    ------
    NotAllowedError
        A record names somebody else than who sends it, as from a phone that changed hands.
    """
    member = member_of(request)
    if member is None:
        return said or person_of(request).who
    if said and folded(said) != folded(member.name):
        raise NotAllowedError(
            f"This was written down by {said[:60]}, but {member.name} has signed in. "
            f"It can be sent once {said[:60]} signs in here."
        )
    return member.name


def _decoded(text: str) -> str:
    """A cookie holds ASCII only, so that a name is kept in hexadecimal."""
    try:
        name = bytes.fromhex(text).decode("utf-8")
    except ValueError:
        return ""
    return name if name.isprintable() and len(name) <= NAME_LENGTH else ""


def encoded(name: str) -> str:
    """Write a name as a cookie can hold it."""
    return name.encode("utf-8").hex()


def page(
    request: Request, template: str, framed: Frame, built: Any, *, status: int = 200
) -> HTMLResponse:
    """Render a page object."""
    context = {"page": built, "frame": framed}
    return TEMPLATES.TemplateResponse(request, template, context, status_code=status)


def back_to(path: str, fallback: str = "/") -> RedirectResponse:
    """Send the reader on to a page of ours after a form was taken."""
    own = path.startswith("/") and not path.startswith("//") and "\\" not in path
    target = path if own and path.isprintable() else fallback
    return RedirectResponse(target, status_code=303)
