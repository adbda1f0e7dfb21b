"""`gaugewalk serve`: the screens of one plant, on this computer or for a whole plant."""

import gc
import signal
import socket
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from gaugewalk.cli.reach import Reach, entrance_for, warning
from gaugewalk.errors import ArgumentError

if TYPE_CHECKING:
    from fastapi import FastAPI

KEEP_ALIVE = 30  # seconds that somebody at a pump may think before the next reading
SWITCH = 0.0005  # seconds that a thread works before another has its turn
CLOSE_WITHIN = 3  # seconds an open connection may hold up the end


def serve(
    plant: Path,
    journal: str | None,
    *,
    host: str,
    port: int,
    reach: Reach | None = None,
    json_log: bool = False,
) -> None:
    """Serve the plant's screens until Ctrl-C or SIGTERM.

    Raises
    ------
    ArgumentError
        Others could come in and nobody has an account, or the port is in use.
    """
    from gaugewalk.cli.logs import set_up_logs
    from gaugewalk.cli.opening import open_people_of, open_watch, photos_beside
    from gaugewalk.web.app import create_app

    way = reach or Reach()
    people = open_people_of(plant, journal)
    entrance = entrance_for(host, way, people)
    refuse_port_in_use(host, port)
    watch = open_watch(plant, journal)
    set_up_logs(as_json=json_log)
    typer.echo(f"Gaugewalk is at {_address(host, port, way)}   (Ctrl-C stops it)")
    if said := warning(host, way):
        typer.echo(said, err=True)
    try:
        _run(create_app(watch, entrance=entrance, photos=photos_beside(plant)), host, port, way)
    finally:
        watch.journal.close()
        if people is not None:
            people.close()
    typer.echo("Stopped; everything acknowledged is in the journal.")


def _run(app: "FastAPI", host: str, port: int, reach: Reach) -> None:
    """Serve until told to stop; what is being answered then is answered first."""
    import uvicorn

    # What was made so far stays for good: the collector need not look through it again and again.
    gc.collect()
    gc.freeze()
    # A reading asks the journal a few short questions. After each it would wait for its turn behind
    # whoever works out a long page: for 5 ms each time, were it not for this.
    sys.setswitchinterval(SWITCH)
    # The server hands the signal on once it has ended; as Ctrl-C it ends in our own last words.
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    uvicorn.run(
        app,
        host=host,
        port=port,
        log_config=None,
        access_log=False,
        server_header=False,
        proxy_headers=reach.terminated,
        forwarded_allow_ips=reach.proxy,
        ssl_certfile=reach.certificate,
        ssl_keyfile=reach.key,
        timeout_keep_alive=KEEP_ALIVE,
        timeout_graceful_shutdown=CLOSE_WITHIN,
    )


def _address(host: str, port: int, reach: Reach) -> str:
    if reach.addresses:
        return reach.addresses[0]
    shown = f"[{host}]" if ":" in host else host
    return f"{'https' if reach.secure else 'http'}://{shown}:{port}/"


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
