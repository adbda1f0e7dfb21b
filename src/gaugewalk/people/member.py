"""Who stands at the door, and what is kept of each person and each machine."""

import unicodedata
from dataclasses import dataclass
from datetime import datetime

from gaugewalk.errors import ArgumentError
from gaugewalk.people.rights import RIGHTS, Right, Role

LONGEST_NAME = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """Somebody who was recognized: the name that goes into the journal, and the role."""

    name: str
    role: Role
    machine: bool = False

    def may(self, right: Right) -> bool:
        """Whether the role has that right."""
        return right in RIGHTS[self.role]


@dataclass(frozen=True, slots=True, kw_only=True)
class Account:
    """A person who may sign in."""

    name: str
    role: Role
    closed: bool
    has_password: bool
    openid: str | None
    made_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Token:
    """A machine that may call the interface for programs; its key is known to it alone."""

    name: str
    role: Role
    made_at: datetime
    ends_at: datetime
    ended: bool


def checked_name(text: str) -> str:
    """Return a name as it shall stand in the journal.

    Raises
    ------
    ArgumentError
        It is empty, too long, or holds what cannot be printed.

    Examples
    --------
    >>> checked_name("  R.  Vale ")
    'R. Vale'
    """
    name = " ".join(unicodedata.normalize("NFC", text).split())
    if not name or len(name) > LONGEST_NAME or not name.isprintable():
        raise ArgumentError(
            f"name = {text[:40]!r}; expected 1 to {LONGEST_NAME} characters that can be printed."
        )
    return name


def folded(name: str) -> str:
    """Return the form in which two spellings of one name are the same.

    Examples
    --------
    >>> folded("R. VALE") == folded("r.  vale")
    True
    """
    return unicodedata.normalize("NFKC", " ".join(name.split())).casefold()
