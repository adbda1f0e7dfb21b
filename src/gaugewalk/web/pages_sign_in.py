"""The page where people sign in."""

from dataclasses import dataclass

from gaugewalk.web.frame import Frame


@dataclass(frozen=True, slots=True, kw_only=True)
class SignInPage:
    """Name and password, or the way to the provider."""

    frame: Frame
    to: str  # where to go on afterwards
    name: str
    error: str
    elsewhere: str
