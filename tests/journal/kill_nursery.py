"""Raise children that write to a journal until they are killed; run by `killing`.

The journal is imported once, here; each line on standard input forks one more child, so that many
of them start in a moment. Lines out: `child PID`, then one id for each acknowledged
record, then `dead` when all that the child said has been passed on.
"""

import os
import sys
from datetime import UTC, datetime

from gaugewalk.journal.store import Journal

from .journal_entries import reading


def say(text: str) -> None:
    os.write(1, f"{text}\n".encode())  # no buffer: what was said is said


def write_until_killed(journal: Journal) -> None:
    """Append one batch after another; ids are told only after `append` has returned."""
    count = 0
    while True:
        count += 1
        write(journal, count)


def write(journal: Journal, count: int) -> None:
    batch = [reading(count + n / 10, value=count) for n in range(1 + count % 3)]
    journal.append(batch, recorded_at=datetime.now(UTC), states={"last": {"n": count}})
    say("\n".join(str(entry.id) for entry in batch))


def main(place: str) -> None:
    journal = Journal.open(place)
    write(journal, 1)  # its statements are ready then, and each child writes at once
    for _ in sys.stdin:
        journal.close()  # a child opens connections of its own
        child = os.fork()
        if child == 0:
            write_until_killed(journal)
        say(f"child {child}")
        os.waitpid(child, 0)
        say("dead")


if __name__ == "__main__":
    main(sys.argv[1])
