"""A record that was acknowledged outlives the sudden death of the program that stored it."""

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path
from uuid import UUID

from gaugewalk.journal.store import Journal

KILLS = 200
TESTS = Path(__file__).parents[1]


def raise_and_kill(nursery: subprocess.Popen[str], patience: float) -> list[UUID]:
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


def test_no_acknowledged_record_is_lost_in_200_kills(tmp_path: Path) -> None:
    path = tmp_path / "watch.db"
    Journal.open(path).close()
    chance = random.Random(20251103)
    command = [sys.executable, "-m", "journal.kill_nursery", str(path)]
    told: list[UUID] = []
    pipe = subprocess.PIPE
    with subprocess.Popen(
        command, cwd=TESTS, stdin=pipe, stdout=pipe, text=True, bufsize=1
    ) as nursery:
        for _ in range(KILLS):
            told += raise_and_kill(nursery, chance.uniform(0, 0.03))
        assert nursery.stdin is not None
        nursery.stdin.close()
    journal = Journal.open(path)
    stored = {entry.id for entry in journal.entries()}
    found = journal.verify()
    journal.close()
    assert len(told) > 2 * KILLS  # each child did write
    assert [i for i in told if i not in stored] == []
    assert found.faults == ()
