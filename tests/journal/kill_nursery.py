"""Raise children that write to a journal until they are killed; run by `test_kill`.

The journal is imported once, here; each line on standard input forks one more child, so that two
hundred of them start in a moment. Lines out: `child PID`, then one id for each acknowledged
record, then `dead` when all that the child said has been passed on.
"""

import os
import sys
from datetime import UTC, datetime

from gaugewalk.journal.store import Journal

from .journal_entries import reading


def say(text: str) -> None:
    os.write(1, f"{text}\n".encode())  # no buffer: what was said is said


def write_until_killed(path: str) -> None:
    """Append one batch after another; ids are told only after `append` has returned."""
    journal = Journal.open(path)
    count = 0
    while True:
        count += 1
        batch = [reading(count + n / 10, value=count) for n in range(1 + count % 3)]
        journal.append(batch, recorded_at=datetime.now(UTC), states={"last": {"n": count}})
        say("\n".join(str(entry.id) for entry in batch))


def main(path: str) -> None:
    for _ in sys.stdin:
        child = os.fork()
        if child == 0:
            write_until_killed(path)
        say(f"child {child}")
        os.waitpid(child, 0)
        say("dead")


if __name__ == "__main__":
    main(sys.argv[1])
