"""A body is bounded in size and in time, piece by piece."""

import asyncio
from collections.abc import Iterator

import pytest
from starlette.exceptions import HTTPException
from starlette.types import Message

from gaugewalk.web.body import Bounded


def piece(size: int, *, more: bool) -> Message:
    return {"type": "http.request", "body": b"x" * size, "more_body": more}


def received(pieces: Iterator[Message], *, pause: float = 0, **bounds: float) -> list[int]:
    """The sizes of all pieces that came through."""

    async def receive() -> Message:
        await asyncio.sleep(pause)
        return next(pieces)

    async def all_of_it() -> list[int]:
        bounded = Bounded(receive, **bounds)  # type: ignore[arg-type]
        return [len((await bounded()).get("body", b"")) for _ in range(3)]

    return asyncio.run(all_of_it())


def test_what_is_within_bounds_comes_through() -> None:
    gone: Message = {"type": "http.disconnect"}
    pieces = iter([piece(6, more=True), piece(4, more=False), gone])
    assert received(pieces, largest=10) == [6, 4, 0]


def test_one_byte_too_many_is_refused() -> None:
    with pytest.raises(HTTPException) as caught:
        received(iter([piece(6, more=True), piece(5, more=False)]), largest=10)
    assert caught.value.status_code == 413


def test_what_does_not_come_to_its_end_is_given_up() -> None:
    with pytest.raises(HTTPException) as caught:
        received(iter([piece(1, more=True)] * 3), pause=0.02, longest=0.03)
    assert caught.value.status_code == 408


def test_waiting_for_the_other_side_to_go_is_not_bounded() -> None:
    pieces = iter([piece(1, more=False), {"type": "http.disconnect"}, {"type": "http.disconnect"}])
    assert received(pieces, pause=0.02, longest=0.03) == [1, 0, 0]
