"""Kill programs while they write to a journal, and count what became of what they were told."""

import os
import random
import signal
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from uuid import UUID

from gaugewalk.journal.store import Journal

ROOT = Path(__file__).parents[2]
LONGEST = 0.012  # seconds of writing before the kill


@dataclass(frozen=True, kw_only=True)
class Aftermath:
    """What was acknowledged to the killed programs, and what the journal holds of it."""

    acknowledged: int
    stored: int
    lost: tuple[UUID, ...]
    doubled: tuple[UUID, ...]
    faults: tuple[str, ...]  # in the hash chain


def kill_writers(place: str, kills: int) -> Aftermath:
    """Let one program after another write to the journal at `place` and kill it while it does."""
    Journal.open(place).close()
    chance = random.Random(20251103)
    command = [sys.executable, "-m", "tests.journal.kill_nursery", place]
    told: list[UUID] = []
    pipe = subprocess.PIPE
    with subprocess.Popen(
        command, cwd=ROOT, stdin=pipe, stdout=pipe, text=True, bufsize=1
    ) as nursery:
        for _ in range(kills):
            told += _raise_and_kill(nursery, chance.uniform(0, LONGEST))
        assert nursery.stdin is not None
        nursery.stdin.close()
    return aftermath(place, told)


def aftermath(place: str, told: list[UUID]) -> Aftermath:
    """Compare what was acknowledged with what the journal holds."""
    journal = Journal.open(place)
    stored = [entry.id for entry in journal.entries()]
    found = journal.verify()
    journal.close()
    once = set(stored)
    return Aftermath(
        acknowledged=len(told),
        stored=len(stored),
        lost=tuple(i for i in told if i not in once),
        doubled=tuple(i for i in once if stored.count(i) > 1) if len(once) < len(stored) else (),
        faults=found.faults,
    )


def _raise_and_kill(nursery: "subprocess.Popen[str]", patience: float) -> list[UUID]:
    """Let one child write, kill it `patience` seconds after its first word, return all it said."""
    assert nursery.stdin is not None
    assert nursery.stdout is not None
    nursery.stdin.write("one more\n")
    nursery.stdin.flush()
    child = None
    told: list[UUID] = []
    for line in nursery.stdout:
        word = line.strip()
        if word == "dead":
            break
        if word.startswith("child "):
            child = int(word.removeprefix("child "))
        else:
            told.append(UUID(word))
        if child and told and patience >= 0:  # it is at work, so the kill meets it writing
            time.sleep(patience)
            os.kill(child, signal.SIGKILL)
            patience = -1
    return told
