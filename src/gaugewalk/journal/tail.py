"""A note beside the journal's file of the last entry that was acknowledged.

SQLite takes a file that was cut off inside its last record, or one copied without its `-wal`, for
one that simply ends earlier. The hash chain is whole then, and nothing would be said. The note is
written after each commit; where it names an entry that the journal does not hold, that is told.
"""

import os
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

_BINARY = getattr(os, "O_BINARY", 0)  # where line ends would be translated
_WIDTH = 20 + 1 + 64 + 1  # number, blank, hash, end of line: always written over as a whole


@dataclass(frozen=True, slots=True, kw_only=True)
class Tail:
    """The note that belongs to one journal file."""

    path: Path

    @classmethod
    def of(cls, journal: str) -> "Tail":
        """Return the note of a journal's file."""
        return cls(path=Path(f"{journal}-tail"))

    def write(self, seq: int, digest: str) -> None:
        """Note the last entry. It is stored already: what goes wrong here must not deny that."""
        with suppress(OSError):
            note = os.open(self.path, os.O_WRONLY | os.O_CREAT | _BINARY, 0o644)
            try:
                os.write(note, f"{seq:>20} {digest}\n".encode())  # in one piece, over the last one
            finally:
                os.close(note)

    def read(self) -> tuple[int, str] | None:
        """Return number and hash of the last entry noted; none where there is no whole note."""
        try:
            text = self.path.read_text("ascii")
        except (OSError, UnicodeDecodeError):
            return None
        seq, _, digest = text.strip().partition(" ")
        whole = len(text) == _WIDTH and seq.isdecimal()
        return (int(seq), digest) if whole else None


def said_of_loss(seq: int, last: int) -> str:
    """Say that the journal ends before an entry that was acknowledged."""
    what = f"entry {seq}" if last >= seq - 1 else f"entries {last + 1} to {seq}"
    return (
        f"The journal's end is missing: {what} had been acknowledged and cannot be found. Its file "
        "was cut, or an older copy or one without its -wal file was put in its place. Enter again "
        "what is missing, or stop here and put the newest copy back."
    )
