"""The servers that are measured, each in a process of its own, and who may sign in there."""

import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from urllib.error import HTTPError
from urllib.request import urlopen

from gaugewalk.people import accounts
from gaugewalk.people.rights import Role
from gaugewalk.people.sessions import Caller, sign_in_by_openid
from gaugewalk.people.store import FILE_NAME, Store


@dataclass(frozen=True, slots=True, kw_only=True)
class Server:
    """A server that answers, and how long it took until it did."""

    port: int
    pid: int
    started_s: float


@contextmanager
def gaugewalk(plant: Path) -> Iterator[Server]:
    """Serve a plant as `gaugewalk serve` does."""
    command = ["-m", "gaugewalk", "serve", "--plant", str(plant), "--port"]
    with _running(command, "/healthz") as server:
        yield server


@contextmanager
def bare(journal: Path) -> Iterator[Server]:
    """Serve the bare page."""
    with _running(["-m", "bench.bare", str(journal)], "/nothing") as server:
        yield server


@contextmanager
def _running(command: list[str], path: str) -> Iterator[Server]:
    port = _free_port()
    start = time.perf_counter()
    process = subprocess.Popen([sys.executable, *command, str(port)], stdout=subprocess.DEVNULL)
    try:
        _wait_for(process, f"http://127.0.0.1:{port}{path}")
        yield Server(port=port, pid=process.pid, started_s=time.perf_counter() - start)
    finally:
        process.send_signal(signal.SIGTERM)
        process.wait(20)


def _wait_for(process: subprocess.Popen[bytes], address: str) -> None:
    for _ in range(600):
        if process.poll() is not None:
            raise RuntimeError(f"{process.args!r} ended with {process.returncode}")
        try:
            urlopen(address, timeout=1).close()
            return
        except HTTPError:
            return  # it answers
        except OSError:
            time.sleep(0.2)
    raise RuntimeError(f"{process.args!r} does not answer")


def _free_port() -> int:
    with closing(socket.socket()) as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def sessions(folder: Path, people: int) -> list[str]:
    """Give each person an account and a session; return the cookies."""
    cookies = []
    with closing(Store.open(folder / FILE_NAME)) as store:
        now = datetime.now(UTC)
        known = {one.name for one in accounts.every_account(store)}
        for number in range(people):
            name = f"walker {number:03d}"
            if name not in known:
                accounts.add_account(store, name, Role.OPERATOR, now=now, openid=name)
            key = sign_in_by_openid(store, name, Caller(address="", now=now))
            cookies.append(f"gaugewalk_session={key}")
    return cookies
