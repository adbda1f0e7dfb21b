"""Is a journal's file as long as it says? SQLite fills a cut page with zeros without a word."""

import time
from pathlib import Path

from gaugewalk.errors import StorageError

_HEAD = 100  # bytes of the file's head
_LOOKS = 3
_MAGIC = b"SQLite format 3\x00"


def refuse_cut(file: Path) -> None:
    """Raise where the end of a file was cut off.

    A file beside which a `-wal` lies may be shorter than it says, as after a sudden death: what
    is missing is in the `-wal`.

    References
    ----------
    .. [1] SQLite Database File Format, 1.3: page size at offset 16, size in pages at offset 28,
       change counter at offset 24, the counter for which the size holds at offset 92.
       https://sqlite.org/fileformat2.html

    Raises
    ------
    StorageError
        The end is missing.
    """
    for _ in range(_LOOKS):
        missing = _missing(file)
        if missing is None:
            return
        time.sleep(0.05)  # another program may be at work on it just now
    raise StorageError(f"{missing} Keep it aside and put the last backup in its place.")


def _missing(file: Path) -> str | None:
    """Say what is missing of a file, or nothing; one that cannot be read is left to SQLite."""
    wal = Path(f"{file}-wal")
    try:
        size = file.stat().st_size
        said = _said_size(file)
        held, whole = _in_wal(wal) if wal.is_file() else (set(), 0)
    except OSError:
        return None
    if size == 0 and held:  # SQLite would throw the -wal away
        return f"{file.name} is empty and the -wal beside it is not."
    if said is None:
        return None
    page, pages = said
    last = max(whole or pages, -(-size // page))
    if held.issuperset(range(size // page + 1, last + 1)):
        return None
    return f"The end of the journal's file is missing: it has {size} bytes of {last * page}."


def _said_size(file: Path) -> tuple[int, int] | None:
    """Return page size and pages by the file's head; none where it does not say."""
    with file.open("rb") as opened:
        head = opened.read(_HEAD)
    if len(head) < _HEAD or not head.startswith(_MAGIC):
        return None
    page = int.from_bytes(head[16:18], "big")
    page = 65536 if page == 1 else page
    holds = head[24:28] == head[92:96]
    return (page, int.from_bytes(head[28:32], "big") if holds else 0) if page else None


def _in_wal(wal: Path) -> tuple[set[int], int]:
    """Return the pages that a `-wal` holds, and the pages of the whole after its last commit.

    References
    ----------
    .. [1] SQLite WAL-mode File Format, 4: a head of 32 bytes with the page size at offset 8 and two
       salts at 16, then frames of 24 bytes and a page: the page's number at offset 0, after a
       commit the size in pages at 4, and the same salts at 8. https://sqlite.org/walformat.html
    """
    held: set[int] = set()
    whole = 0
    with wal.open("rb") as opened:
        head = opened.read(32)
        step = int.from_bytes(head[8:12], "big")
        while len(frame := opened.read(24)) == 24 and frame[8:16] == head[16:24]:
            held.add(int.from_bytes(frame[:4], "big"))
            whole = int.from_bytes(frame[4:8], "big") or whole
            opened.seek(step, 1)
    return held, whole
