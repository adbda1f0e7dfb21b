"""From the options of `serve` to the way in: who may come, under which names, how safely."""

import ipaddress
import os
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from gaugewalk.errors import ArgumentError

if TYPE_CHECKING:
    from gaugewalk.people.store import Store
    from gaugewalk.web.entrance import Entrance
    from gaugewalk.web.openid import Provider

SECRET = "GAUGEWALK_OPENID_SECRET"  # noqa: S105  # the variable's name, not the secret


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """How people reach the server beyond its host and port.

    Parameters
    ----------
    addresses : tuple of str
        What people type, as in https://pumps.larkmoor.example; none: the host and port as they are.
    certificate, key : Path, optional
        Of this server itself; without them https is made by a terminator before it.
    proxy : str
        From where a terminator's word about the caller is believed.
    openid, client, claim
        The provider's address, what it knows this server by, and which of its names counts.
    """

    addresses: tuple[str, ...] = ()
    certificate: Path | None = None
    key: Path | None = None
    proxy: str = "127.0.0.1"
    openid: str | None = None
    client: str = ""
    claim: str = "sub"

    @property
    def secure(self) -> bool:
        """Whether people come by https."""
        return self.certificate is not None or any(
            urlsplit(address).scheme == "https" for address in self.addresses
        )

    @property
    def terminated(self) -> bool:
        """Whether a terminator before this server makes the https."""
        return self.secure and self.certificate is None


def entrance_for(host: str, reach: Reach, people: "Store | None") -> "Entrance":
    """Return the way in.

    Raises
    ------
    ArgumentError
        Others could come in and nobody has an account, or nobody could name the server.
    """
    from gaugewalk.web.entrance import Entrance

    _checked(reach)
    if people is None:
        refuse_without_accounts(host, reach)
        return Entrance()
    names = {_name(address) for address in reach.addresses}
    if not is_loopback(host):
        if _is_any(host) and not names:
            raise ArgumentError(
                f"host {host} is every address of this computer. Say what people type to come here,"
                " as in --address https://pumps.example.org."
            )
        names |= set() if _is_any(host) else {_shown(host)}
    return Entrance(
        people=people, names=frozenset(names), secure=reach.secure, openid=_provider(reach)
    )


def refuse_without_accounts(host: str, reach: Reach) -> None:
    """Raise where others could come in and nobody has an account.

    Examples
    --------
    >>> refuse_without_accounts("127.0.0.1", Reach())
    >>> refuse_without_accounts("0.0.0.0", Reach())
    Traceback (most recent call last):
    gaugewalk.errors.ArgumentError: host 0.0.0.0 can be reached from other computers, and nobody
    has an account. Add one first: gaugewalk people add NAME --role ROLE. Or use 127.0.0.1.
    """
    if is_loopback(host) and not reach.addresses:
        return
    where = f"host {host}" if not is_loopback(host) else reach.addresses[0]
    raise ArgumentError(
        f"{where} can be reached from other computers, and nobody has an account. Add one first: "
        "gaugewalk people add NAME --role ROLE. Or use 127.0.0.1."
    )


def is_loopback(host: str) -> bool:
    """Whether only this computer can reach that address.

    Examples
    --------
    >>> [is_loopback(host) for host in ("localhost", "127.0.0.2", "::1", "0.0.0.0", "example.org")]
    [True, True, True, False, False]
    """
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def warning(host: str, reach: Reach) -> str:
    """Return what must be said of this way in; empty where nothing must."""
    if is_loopback(host) or reach.secure:
        return ""
    return (
        "Without https, passwords and readings can be read and changed on the network between. "
        "See docs/running.md for a certificate or a terminator."
    )


def _checked(reach: Reach) -> None:
    if (reach.certificate is None) != (reach.key is None):
        raise ArgumentError("Give --certificate and --key together.")
    for file in (reach.certificate, reach.key):
        if file is not None and not file.is_file():
            raise ArgumentError(f"There is no file {str(file)!r}.")
    schemes = {urlsplit(address).scheme for address in reach.addresses}
    if len(schemes) > 1:
        raise ArgumentError("The addresses are partly https and partly not. Give one kind.")


def _name(address: str) -> str:
    """Return the host name of an address that people type."""
    parts = urlsplit(address)
    if parts.scheme not in ("http", "https") or not parts.hostname or parts.path not in ("", "/"):
        raise ArgumentError(
            f"address = {address[:80]!r}; expected one as in https://pumps.example.org."
        )
    return _shown(parts.hostname)


def _shown(host: str) -> str:
    return f"[{host}]" if ":" in host else host.lower()


def _is_any(host: str) -> bool:
    return host in ("0.0.0.0", "::", "")  # noqa: S104  # compared, not bound


def _provider(reach: Reach) -> "Provider | None":
    if not reach.openid:
        return None
    from gaugewalk.web.openid import Provider

    secret = os.environ.get(SECRET, "")
    if not reach.client or not secret:
        raise ArgumentError(
            f"Signing in at {reach.openid[:80]} needs --openid-client and the secret in the "
            f"environment variable {SECRET}."
        )
    return Provider(
        issuer=reach.openid, client_id=reach.client, client_secret=secret, claim=reach.claim
    )
