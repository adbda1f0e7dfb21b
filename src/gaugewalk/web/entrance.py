"""How people come to this app: under which names, by which way they sign in, or without."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from gaugewalk.people.store import Store

if TYPE_CHECKING:
    from gaugewalk.web.openid import Provider


@dataclass(frozen=True, slots=True, kw_only=True)
class Entrance:
    """The way in. As it stands: one person at this computer, who needs no sign-in.

    Parameters
    ----------
    people : Store, optional
        Who may sign in; with it nobody sees anything without having signed in.
    names : frozenset of str
        Host names under which this app answers, besides the loopback ones.
    secure : bool
        Whether people come by https, here or at a terminator before us; cookies then go no other
        way.
    openid : Provider, optional
        Where people may sign in instead of here.
    """

    people: Store | None = None
    names: frozenset[str] = frozenset()
    secure: bool = False
    openid: "Provider | None" = None

    @property
    def cookie(self) -> str:
        """Name of the session's cookie; the prefix keeps neighbors from planting one."""
        return "__Host-gaugewalk_session" if self.secure else "gaugewalk_session"
