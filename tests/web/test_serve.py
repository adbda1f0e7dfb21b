"""`serve` refuses what it must, in words."""

import socket

import pytest

from gaugewalk.cli.reach import Reach, refuse_without_accounts
from gaugewalk.cli.serve import refuse_port_in_use
from gaugewalk.errors import ArgumentError


@pytest.mark.parametrize("host", ["0.0.0.0", "192.168.1.4", "::", "example.org", ""])
def test_without_accounts_only_loopback(host: str) -> None:
    with pytest.raises(ArgumentError, match="nobody has an account"):
        refuse_without_accounts(host, Reach())


def test_a_terminator_on_this_computer_lets_others_in_too() -> None:
    with pytest.raises(ArgumentError, match=r"pumps.example .*nobody has an account"):
        refuse_without_accounts("127.0.0.1", Reach(addresses=("https://pumps.example",)))


@pytest.mark.parametrize("host", ["127.0.0.1", "127.0.0.2", "::1", "localhost"])
def test_loopback_is_fine(host: str) -> None:
    refuse_without_accounts(host, Reach())


def test_a_port_in_use_names_a_free_one() -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(ArgumentError, match=rf"port {port} .* in use.*--port \d+"):
            refuse_port_in_use("127.0.0.1", port)
    refuse_port_in_use("127.0.0.1", port)
