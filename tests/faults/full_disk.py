"""A disk that is full: a small one of our own, or a bound on how long files may become."""

import os
import resource
import secrets
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from gaugewalk.errors import StorageError
from gaugewalk.journal.store import Journal
from tests.journal.journal_entries import put, reading

STEP = 4000  # bytes in each record, so that the end comes soon


@contextmanager
def small_disk(folder: Path, size: str) -> Iterator[Path]:
    """A disk of that size; only root may make one, so that others are told why it is skipped."""
    folder.mkdir()
    made = os.geteuid() == 0 and not subprocess.call(
        ["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(folder)],
        stderr=subprocess.DEVNULL,
    )
    if not made:
        pytest.skip("a small disk cannot be made here; it takes root and the right to mount")
    try:
        yield folder
    finally:
        subprocess.check_call(["umount", "--lazy", str(folder)])
        folder.rmdir()


@contextmanager
def longest_file(size: int) -> Iterator[None]:
    """Let no file of this process become longer, as where a quota is used up."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)


def ballast(folder: Path, leave: int) -> Path:
    """Fill a disk but for some bytes."""
    stat = os.statvfs(folder)
    path = folder / "ballast"
    path.write_bytes(b"x" * (stat.f_bavail * stat.f_frsize - leave))
    return path


def fill(journal: Journal, most: int = 5000) -> tuple[list[str], StorageError]:
    """Add records until one is refused; return the ids that were acknowledged and what was said."""
    acknowledged = []
    for n in range(most):
        entry = reading(n, body={"long": secrets.token_hex(STEP // 2)})  # none can be packed
        try:
            put(journal, entry)
        except StorageError as error:
            return acknowledged, error
        acknowledged.append(str(entry.id))
    raise AssertionError(f"{most} records went onto a disk that was to be full")
