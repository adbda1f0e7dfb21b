"""`serve` refuses what it must, in words."""

import socket

import pytest

from gaugewalk.cli.serve import refuse_other_computers, refuse_port_in_use
from gaugewalk.errors import ArgumentError


@pytest.mark.parametrize("host", ["0.0.0.0", "192.168.1.4", "::", "example.org", ""])
def test_only_loopback(host: str) -> None:
    with pytest.raises(ArgumentError, match="no login"):
        refuse_other_computers(host)


@pytest.mark.parametrize("host", ["127.0.0.1", "127.0.0.2", "::1", "localhost"])
def test_loopback_is_fine(host: str) -> None:
    refuse_other_computers(host)


def test_a_port_in_use_names_a_free_one() -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(ArgumentError, match=rf"port {port} .* in use.*--port \d+"):
            refuse_port_in_use("127.0.0.1", port)
    refuse_port_in_use("127.0.0.1", port)
