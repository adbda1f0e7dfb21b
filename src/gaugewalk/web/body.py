"""A request's body, bounded in size and in time however it is sent.

The length that a request tells is checked before it is let in; one that tells none, as it is sent
piece by piece, is counted here. One that does not come to its end is given up: what has not come
whole is never taken.
"""

import asyncio
import re

from starlette.exceptions import HTTPException
from starlette.types import Message, Receive

LARGEST_BODY = 1_000_000  # bytes; a phone's whole queue of readings is far smaller
LARGEST_PHOTO = 12_500_000  # bytes; a phone's camera makes 3 to 8 million
PHOTOS = re.compile(r"/api/v1/photos|/pump/[^/]+/photo")
LONGEST = 60.0  # seconds from the first look for the body to its end


def largest_for(path: str) -> int:
    """Return how much may be sent to an address. [bytes]

    Examples
    --------
    >>> largest_for("/api/v1/photos") > largest_for("/api/v1/readings")
    True
    """
    return LARGEST_PHOTO if PHOTOS.fullmatch(path) else LARGEST_BODY


class Bounded:
    """Stands in for `receive` while one request is served."""

    def __init__(
        self, receive: Receive, *, largest: int = LARGEST_BODY, longest: float = LONGEST
    ) -> None:
        self._receive = receive
        self._left = self._largest = largest
        self._longest = longest
        self._until: float | None = None
        self._ended = False

    async def __call__(self) -> Message:
        """Receive the next piece.

        Raises
        ------
        HTTPException
            413 when there is too much, 408 when it takes too long.
        """
        if self._ended:  # what comes now is only that the other side has gone
            return await self._receive()
        if self._until is None:
            self._until = asyncio.get_running_loop().time() + self._longest
        message = await self._piece()
        if self._left < 0:
            # Whoever is still sending when the line is closed never reads why. So it is let out to
            # its end, kept nowhere, and within bounds: as much again.
            while not self._ended and self._left > -self._largest:
                await self._piece()
            raise HTTPException(413, "Too much at once; nothing was written.")
        return message

    async def _piece(self) -> Message:
        try:
            async with asyncio.timeout_at(self._until):
                message = await self._receive()
        except TimeoutError as error:
            raise HTTPException(
                408, "This did not come to its end in time; nothing was written."
            ) from error
        self._left -= len(message.get("body", b""))
        self._ended = not message.get("more_body", False)
        return message
