"""Copy a journal's file while others write to it, and put a copy back; each verified first.

What is put back goes into the open file page by page under SQLite's own lock, so that a program
that is running sees the old journal or the new one, never half of each.
"""

import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from gaugewalk.errors import ArgumentError, NotFoundError, StorageError
from gaugewalk.journal.dialect import BUSY_SECONDS, DRIVER_ERRORS
from gaugewalk.journal.failing import storage_error
from gaugewalk.journal.store import Journal
from gaugewalk.journal.tail import Tail
from gaugewalk.journal.verify import Verification

Tell = Callable[[float], None]
_SLEEP = 0.1  # between two tries at a busy file, [s]
_NAMED = 5  # faults that are listed
_BESIDE = ("-wal", "-shm", "-tail")  # files that belong to a journal's file


@dataclass(frozen=True, slots=True, kw_only=True)
class Restored:
    """What a restore did: how much there is now, and where the journal before was kept."""

    count: int
    head: str
    aside: Path | None


def back_up(
    journal: Journal, target: Path, *, replace: bool = False, tell: Tell = lambda share: None
) -> Verification:
    """Copy an open journal to a file, verify the copy, and only then give it its name.

    Parameters
    ----------
    journal : Journal
        In SQLite; others may go on writing to it.
    target : Path
    replace : bool
        Whether a file that is there may be replaced.
    tell : callable
        Told now and then which share of the verifying is done, 0 to 1.

    Raises
    ------
    ArgumentError
        The file is there already, or the journal is in PostgreSQL.
    StorageError
        The journal could not be copied, or the copy is not whole.
    """
    if target.exists() and not replace:
        raise ArgumentError(
            f"{str(target)!r} is there already; nothing was written. Use --replace."
        )
    part = target.with_name(f"{target.name}.part")
    try:
        journal.backup(part)
        found = _verified(part, "The copy", tell)
        part.replace(target)
    except OSError as problem:
        if isinstance(problem, StorageError):
            raise
        raise storage_error("be copied", problem) from problem
    finally:
        _remove(part)
    return found


def restore(
    source: Path,
    target: Path,
    *,
    aside: Path,
    replace: bool = False,
    tell: Tell = lambda share: None,
) -> Restored:
    """Put a backup in the place of a journal, also while others have it open.

    Parameters
    ----------
    source : Path
        The backup; it is not changed.
    target : Path
        The journal's file. One that is there is first copied to `aside`.
    aside : Path
    replace : bool
        Whether a journal that is there may be replaced.
    tell : callable
        Told now and then which share of the verifying is done, 0 to 1.

    Raises
    ------
    NotFoundError
        There is no backup.
    ArgumentError
        There is a journal already, or the backup is that journal.
    StorageError
        The backup is not whole or no journal; nothing was changed.
    """
    if not source.is_file():
        raise NotFoundError(f"There is no backup {str(source)!r}.")
    if target.exists() and source.resolve() == target.resolve():
        raise ArgumentError(f"{str(source)!r} is the journal itself; name a backup of it.")
    if target.exists() and not replace:
        raise ArgumentError(
            f"{str(target)!r} is there already; nothing was changed. With --replace the backup "
            "takes its place, and what is there now is kept beside it."
        )
    part = target.with_name(f"{target.name}.restoring")
    try:
        shutil.copyfile(source, part)
        _take_along_wal(source, part)
        found = _verified(part, "The backup", tell)
        kept = _put(part, target, aside)
    except DRIVER_ERRORS as problem:
        raise storage_error("be restored", problem) from problem
    except OSError as problem:
        if isinstance(problem, StorageError):
            raise
        raise storage_error("be restored", problem) from problem
    finally:
        _remove(part)
    Tail.of(str(target)).write(found.count, found.head)
    return Restored(count=found.count, head=found.head, aside=kept)


def _put(part: Path, target: Path, aside: Path) -> Path | None:
    """Give the verified copy its place; return where what was there is kept."""
    if not target.exists():
        _remove(target)  # what a journal that is gone left beside it
        part.replace(target)
        return None
    try:
        with closing(_open(target)) as there:
            with closing(sqlite3.connect(aside)) as kept:
                _copy(there, kept)
            with closing(_open(part)) as new:
                _copy(new, there)
    except sqlite3.DatabaseError as damage:
        if isinstance(damage, sqlite3.OperationalError):  # in use, full, not allowed
            raise
        _move(target, aside)  # damaged: as a file it can still be kept
        part.replace(target)
    return aside


def _move(file: Path, aside: Path) -> None:
    for end in ("", *_BESIDE):
        if Path(f"{file}{end}").is_file():
            Path(f"{file}{end}").replace(f"{aside}{end}")


def _open(file: Path) -> sqlite3.Connection:
    return sqlite3.connect(file, timeout=0.0)  # `_copy` does the waiting


def _copy(source: sqlite3.Connection, target: sqlite3.Connection) -> None:
    """Copy all pages in one step; Python alone would wait for a busy file for ever."""
    tries = 0

    def count(status: int, _remaining: int, _total: int) -> None:
        nonlocal tries
        tries += status in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)
        if tries * _SLEEP > BUSY_SECONDS:
            raise sqlite3.OperationalError("database is locked")

    source.backup(target, progress=count, sleep=_SLEEP)


def _take_along_wal(source: Path, part: Path) -> None:
    """A journal copied by hand may have its last entries in a file beside it."""
    wal = Path(f"{source}-wal")
    if wal.is_file():
        shutil.copyfile(wal, f"{part}-wal")


def _verified(file: Path, what: str, tell: Tell) -> Verification:
    if not Journal.exists(file):
        raise StorageError(f"{what} is no journal: it holds no entries. Nothing was changed.")
    journal = Journal.open(file)
    try:
        found = journal.verify(tell=tell)
    finally:
        journal.close()
    if not found.ok:
        named = "; ".join(found.faults[:_NAMED])
        raise StorageError(f"{what} is not whole: {named}. Nothing was changed.")
    tell(1.0)
    return found


def _remove(file: Path) -> None:
    for end in ("", *_BESIDE):
        Path(f"{file}{end}").unlink(missing_ok=True)
