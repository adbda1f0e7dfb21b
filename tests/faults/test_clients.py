"""Clients that break off, dawdle, send too much or send rubbish: others never notice."""

import socket
import time
from contextlib import ExitStack

import pytest

from gaugewalk.web.body import LARGEST_BODY

from .conftest import Two
from .serving import Serving, as_request, packet

SLOW = 40  # clients at once that never come to an end
HEAD = b"POST /api/v1/records HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\n"


def quick_answer(server: Serving) -> float:
    """Seconds until a plain question is answered."""
    start = time.perf_counter()
    with server.client() as client:
        assert client.get("/api/v1/clock").status_code == 200
    return time.perf_counter() - start


def said(connection: socket.socket) -> bytes:
    """Everything that comes until the other side closes."""
    parts = b""
    while part := connection.recv(65536):
        parts += part
    return parts


def test_a_half_sent_request_leaves_nothing(two: Two) -> None:
    before = two.ids()
    whole = as_request({"records": [packet(2000 + n) for n in range(5)]})
    body_at = whole.index(b"\r\n\r\n") + 4
    for end in (5, body_at - 2, body_at, body_at + 1, len(whole) // 2, len(whole) - 1):
        with two.server.connect() as connection:
            connection.sendall(whole[:end])
    quick_answer(two.server)
    assert two.ids() == before


def test_a_request_cut_before_its_answer_is_stored_once_when_sent_again(two: Two) -> None:
    sent = [packet(2100 + n) for n in range(5)]
    for _ in range(3):
        with two.server.connect() as connection:  # gone before the answer comes
            connection.sendall(as_request({"records": sent}))
    assert two.app.post("/api/v1/records", json={"records": sent}).status_code == 200
    quick_answer(two.server)
    stored = two.ids()
    assert [stored.count(p["id"]) for p in sent] == [1] * 5


def test_slow_clients_do_not_keep_the_others_waiting(two: Two) -> None:
    alone = min(quick_answer(two.server) for _ in range(3))
    whole = as_request({"records": [packet(2200)]})
    with ExitStack() as stack:
        for n in range(SLOW):
            connection = stack.enter_context(two.server.connect())
            connection.sendall(whole[: 10 + n * (len(whole) - 20) // SLOW])
        assert min(quick_answer(two.server) for _ in range(3)) < alone + 0.5


def test_a_slow_request_is_taken_when_it_comes_to_its_end(two: Two) -> None:
    late = packet(2201)
    whole = as_request({"records": [late]})
    with two.server.connect() as connection:
        for start in range(0, len(whole), 40):
            connection.sendall(whole[start : start + 40])
            time.sleep(0.01)
        assert b'"taken":{' in said(connection)
    assert two.ids().count(late["id"]) == 1


def test_too_much_in_pieces_is_refused(two: Two) -> None:
    before = two.ids()
    piece = b" " * 60_000
    with two.server.connect() as connection:
        connection.sendall(HEAD + b"Transfer-Encoding: chunked\r\nConnection: close\r\n\r\n")
        try:
            for _ in range(LARGEST_BODY // len(piece) + 2):
                connection.sendall(f"{len(piece):x}\r\n".encode() + piece + b"\r\n")
            connection.sendall(b"0\r\n\r\n")
            answer = said(connection)
        except (BrokenPipeError, ConnectionResetError):
            pytest.fail("it was cut off without a word")
    assert answer.startswith(b"HTTP/1.1 413")
    assert b"Too much at once" in answer
    assert two.ids() == before


def test_too_much_by_its_own_word_is_refused_before_it_is_sent(two: Two) -> None:
    length = f"Content-Length: {LARGEST_BODY + 1}\r\nConnection: close\r\n\r\n"
    with two.server.connect() as connection:
        connection.sendall(HEAD + length.encode())
        assert connection.recv(65536).startswith(b"HTTP/1.1 413")


@pytest.mark.parametrize(
    "rubbish",
    [
        b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03",  # a browser that expects https
        b"GET / HTTP/9.9\r\n\r\n",
        b"\x00" * 100,
        b"GET /static/../app.py HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n",
        b"GET /static/%2e%2e%2f%2e%2e%2f%2e%2e%2fetc/passwd HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n",
        b"GET /" + b"a" * 200_000 + b" HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n",
        HEAD + b"Content-Length: -5\r\n\r\n{}",
        HEAD + b"Content-Length: \xb2\r\n\r\n{}",
        HEAD + b"Content-Length: 3\r\nContent-Length: 30\r\n\r\n{}",
        HEAD + b"Content-Length: 2\r\nTransfer-Encoding: chunked\r\n\r\n{}",
        b"GET / HTTP/1.1\r\n" + b"X: " + b"y" * 100_000 + b"\r\n\r\n",
    ],
)
def test_rubbish_is_refused_and_the_server_lives(two: Two, rubbish: bytes) -> None:
    with two.server.connect() as connection:
        connection.settimeout(2)
        try:
            connection.sendall(rubbish)
            answer = connection.recv(65536)
        except (TimeoutError, ConnectionResetError, BrokenPipeError):
            answer = b""
        assert b" 200 " not in answer.partition(b"\r\n")[0]
        assert b" 500 " not in answer.partition(b"\r\n")[0]
    assert quick_answer(two.server) < 5


DEEP = {
    "arrays": b"[" * 100_000,
    "objects": b'{"a":' * 100_000,
    "records": b'{"records":[' + b"[" * 100_000 + b"]" * 100_000 + b"]}",
    "value": b'{"records":[{"id":' + b"[" * 100_000 + b"]" * 100_000 + b"}]}",
    "number": b'{"records":[{"kind":"reading","id":' + b"9" * 500_000 + b"}]}",
    "infinity": b'{"records":[{"kind":"clock","ahead":1e999}]}',
    "nul": b'{"records":[{"kind":"note","tag":"C1A","text":"a\\u0000b"}]}',
    "half a pair": b'{"records":[{"kind":"note","tag":"C1A","text":"\\ud83d"}]}',
    "not utf-8": b'{"records":[{"kind":"note","tag":"C1A","text":"\xff\xfe"}]}',
    "nothing": b"",
    "nan": b"NaN",
}


@pytest.mark.parametrize("body", DEEP.values(), ids=DEEP)
def test_a_senseless_body_is_no_fault_of_ours(two: Two, body: bytes) -> None:
    with two.server.client() as client:
        for path in ("/api/v1/records", "/api/v1/readings", "/api/v1/readings/batch"):
            answer = client.post(path, content=body, headers={"content-type": "application/json"})
            assert answer.status_code < 500, answer.text
            assert "error" in answer.text
