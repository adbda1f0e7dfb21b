"""Passwords: hashed by argon2id, checked at the same price whether the name is known or not."""

import threading
from functools import cache
from typing import TYPE_CHECKING

from gaugewalk.errors import ArgumentError, extra
from gaugewalk.people.member import folded

if TYPE_CHECKING:
    from argon2 import PasswordHasher

# Length is what counts: no rule asks for signs or digits, and no password grows old by itself.
# NIST SP 800-63B-4 (2025) 3.1.1.2 (from memory, unverified) asks 15 where it is the only factor
# and 8 beside another; 12 is our own middle way for a page inside a plant.
SHORTEST, LONGEST = 12, 200
_AT_ONCE = 2  # each check takes 64 MiB; more would let strangers fill the memory
_checking = threading.BoundedSemaphore(_AT_ONCE)


def checked_password(text: str, name: str) -> str:
    """Return a new password that may be used.

    Raises
    ------
    ArgumentError
        It is too short or too long, one sign repeated, or holds the name.
    """
    if not SHORTEST <= len(text) <= LONGEST:
        raise ArgumentError(
            f"The password has {len(text)} characters; expected {SHORTEST} to {LONGEST}. "
            "A few plain words in a row are easy to keep and hard to guess."
        )
    if len(set(text)) < 5 or folded(name) in folded(text):
        raise ArgumentError(
            "The password is the name, or a few signs repeated. Take a few plain words in a row."
        )
    return text


def hashed(password: str) -> str:
    """Return what is kept of a password."""
    with _checking:
        return _hasher().hash(password)


def fits(kept: str | None, password: str) -> bool:
    """Whether a password is the one kept; as slow where there is none."""
    from argon2.exceptions import InvalidHashError, VerificationError

    with _checking:
        try:
            return _hasher().verify(kept or _stand_in(), password) and kept is not None
        except (VerificationError, InvalidHashError):
            return False


def outdated(kept: str) -> bool:
    """Whether a password was hashed with less effort than is asked for today."""
    return _hasher().check_needs_rehash(kept)


@cache
def _hasher() -> "PasswordHasher":
    with extra("people", "A password"):
        from argon2 import PasswordHasher
    # The defaults are RFC 9106's second recommended choice for argon2id: 64 MiB, 3 passes.
    return PasswordHasher()


@cache
def _stand_in() -> str:
    return _hasher().hash("nobody has this password")
