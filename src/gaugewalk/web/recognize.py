"""From what a request shows, a session or a token, to who it is of."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta

from fastapi import Request

from gaugewalk.people.keys import digest_of
from gaugewalk.people.member import Member
from gaugewalk.people.sessions import member_of_session
from gaugewalk.people.store import Store
from gaugewalk.people.tokens import member_of_token

_TRUSTED = timedelta(seconds=2)  # until a session that was ended elsewhere is asked for again
_MOST = 2000
_BEARER = "bearer "


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A key, and whether it is a machine's token."""

    key: str
    token: bool

    @property
    def digest(self) -> tuple[bool, str]:
        """What is kept of it in memory."""
        return self.token, digest_of(self.key)


@dataclass(frozen=True, slots=True, kw_only=True)
class Recognizer:
    """Looks keys up; the last answers are trusted for two seconds."""

    people: Store
    cookie: str
    _last: dict[tuple[bool, str], tuple[Member, datetime]] = field(default_factory=dict)

    def shown_by(self, request: Request) -> Shown | None:
        """Return what a request shows; a token goes before a session."""
        said = request.headers.get("authorization", "")
        if said[: len(_BEARER)].lower() == _BEARER:
            return Shown(key=said[len(_BEARER) :].strip(), token=True)
        key = request.cookies.get(self.cookie, "")
        return Shown(key=key, token=False) if key else None

    def remembered(self, shown: Shown, now: datetime) -> Member | None:
        """Return who it was a moment ago, or none."""
        member, until = self._last.get(shown.digest, (None, now))
        return member if now < until else None

    def look_up(self, shown: Shown, now: datetime) -> Member | None:
        """Ask the people who it is."""
        find = member_of_token if shown.token else member_of_session
        member = find(self.people, shown.key, now)
        if len(self._last) >= _MOST:
            self._last.clear()
        if member is None:
            self._last.pop(shown.digest, None)
        else:
            self._last[shown.digest] = (member, now + _TRUSTED)
        return member

    def forget(self) -> None:
        """Trust no answer any longer, as after somebody signed out."""
        self._last.clear()
