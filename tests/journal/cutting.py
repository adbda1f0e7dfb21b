"""Cut a journal's file off inside its last page, and see what is said of it."""

import shutil
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from gaugewalk.errors import StorageError
from gaugewalk.journal.store import Journal

from .journal_entries import put, reading

PAGE = 4096
FRAME = 24 + PAGE  # a page in the -wal file, with its head
ROWS = 12


@dataclass(frozen=True, kw_only=True)
class Cut:
    """What became of the journal when so many bytes of a file were cut off."""

    length: int
    refused: str | None  # what was said when it could not be opened
    lost: str | None  # what was said of its missing end
    entries: int
    whole: bool  # its hash chain


def journal_files(folder: Path) -> Path:
    """Make a journal as a program that was killed leaves it: with its -wal; return its file."""
    live, left = folder / "live", folder / "left"
    live.mkdir()
    journal = Journal.open(live / "watch.db")
    for n in range(ROWS):
        put(journal, reading(n))
    shutil.copytree(live, left)
    journal.close()
    return left / "watch.db"


def closed_file(folder: Path) -> Path:
    """Make a journal as a program leaves it that has ended well; return its file."""
    folder.mkdir()
    journal = Journal.open(folder / "watch.db")
    for n in range(ROWS):
        put(journal, reading(n))
    journal.close()
    return folder / "watch.db"


def cut(file: Path, suffix: str, lengths: Iterable[int]) -> Iterator[Cut]:
    """Cut so many bytes off the journal's file, or off the one with `suffix`, and open it."""
    names = [p for p in (file, *(Path(f"{file}{s}") for s in ("-wal", "-tail"))) if p.exists()]
    kept = {path: path.read_bytes() for path in names}
    victim = Path(f"{file}{suffix}")
    for length in lengths:
        Path(f"{file}-shm").unlink(missing_ok=True)
        for path, content in kept.items():
            path.write_bytes(content)
        victim.write_bytes(kept[victim][: len(kept[victim]) - length])
        yield _opened(file, length)


def _opened(file: Path, length: int) -> Cut:
    try:
        journal = Journal.open(file)
    except StorageError as error:
        return Cut(length=length, refused=str(error), lost=None, entries=0, whole=False)
    try:
        found = journal.verify()
        return Cut(
            length=length, refused=None, lost=journal.lost, entries=found.count, whole=found.ok
        )
    except StorageError as error:
        return Cut(length=length, refused=str(error), lost=journal.lost, entries=0, whole=False)
    finally:
        journal.close()
