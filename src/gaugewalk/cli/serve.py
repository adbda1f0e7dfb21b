"""`gaugewalk serve`: the screens of one plant on this computer."""

import ipaddress
import socket
from pathlib import Path

import typer

from gaugewalk.errors import ArgumentError

CLOSE_WITHIN = 3  # seconds an open connection may hold up Ctrl-C


def serve(plant: Path, journal: str | None, *, host: str, port: int) -> None:
    """Serve the plant's screens until Ctrl-C.

    Raises
    ------
    ArgumentError
        The address is not a loopback address, or the port is in use.
    """
    refuse_other_computers(host)
    refuse_port_in_use(host, port)
    import uvicorn

    from gaugewalk.cli.opening import open_watch
    from gaugewalk.web.app import create_app

    watch = open_watch(plant, journal)
    shown = f"[{host}]" if ":" in host else host
    typer.echo(f"Gaugewalk is at http://{shown}:{port}/   (Ctrl-C stops it)")
    try:
        uvicorn.run(
            create_app(watch),
            host=host,
            port=port,
            log_level="warning",
            server_header=False,
            timeout_graceful_shutdown=CLOSE_WITHIN,
        )
    finally:
        watch.journal.close()
    typer.echo("Stopped; everything acknowledged is in the journal.")


def refuse_other_computers(host: str) -> None:
    """Raise where `host` could be reached from another computer: there is no login yet.

    Examples
    --------
    >>> refuse_other_computers("127.0.0.1")
    >>> refuse_other_computers("0.0.0.0")
    Traceback (most recent call last):
    gaugewalk.errors.ArgumentError: host 0.0.0.0 can be reached from other computers, and this
    version has no login. Use 127.0.0.1, ::1 or localhost.
    """
    if host == "localhost":
        return
    try:
        loopback = ipaddress.ip_address(host).is_loopback
    except ValueError:
        loopback = False
    if not loopback:
        raise ArgumentError(
            f"host {host} can be reached from other computers, and this version has no login. "
            "Use 127.0.0.1, ::1 or localhost."
        )


def refuse_port_in_use(host: str, port: int) -> None:
    """Raise where something already listens on that port, naming a free one to use instead."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    try:
        with socket.socket(family, socket.SOCK_STREAM) as probe:
            # As the server does: a port left a moment ago by a stopped server is free.
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            probe.bind((host, port))
    except PermissionError as error:
        raise ArgumentError(
            f"port {port} may not be opened by this user. Use a port above 1023, as in --port 8765."
        ) from error
    except OSError as error:
        raise ArgumentError(
            f"port {port} on {host} is in use. Stop what listens there, or use another port, "
            f"as in --port {_free_port(host, family)}."
        ) from error


def _free_port(host: str, family: socket.AddressFamily) -> int:
    with socket.socket(family, socket.SOCK_STREAM) as probe:
        probe.bind((host, 0))
        return int(probe.getsockname()[1])
