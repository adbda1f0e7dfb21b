"""Keys that nobody can guess: made here, told once, kept only as a digest."""

import hashlib
import secrets

_BYTES = 32  # 256 random bits
TOKEN_MARK = "gaugewalk_"  # noqa: S105  # how a token begins, so that one lost is recognized


def new_key(mark: str = "") -> str:
    """Make a key of 256 random bits, fit for a cookie and a header."""
    return mark + secrets.token_urlsafe(_BYTES)


def digest_of(key: str) -> str:
    """Return what is kept of a key. A key this long needs no slow hash.

    Examples
    --------
    >>> digest_of("a")[:8]
    'ca978112'
    """
    return hashlib.sha256(key.encode("utf-8", "replace")).hexdigest()
