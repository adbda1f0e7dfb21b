"""How a figure is taken: ours and a named peer in the same run, the ratio printed."""

import time
from collections.abc import Callable
from dataclasses import dataclass
from statistics import median


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One line of the table: what was done, ours, the peer, and how many times the peer's time."""

    what: str
    ours_s: float
    peer: str
    peer_s: float
    note: str = ""

    @property
    def ratio(self) -> float:
        """Our time as a multiple of the peer's."""
        return self.ours_s / self.peer_s


def seconds(work: Callable[[], object], *, repeat: int = 5) -> float:
    """Median time of one call, after one call to warm up."""
    work()
    times = []
    for _ in range(repeat):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return median(times)


def measure(
    what: str,
    ours: Callable[[], object],
    peer: str,
    peer_work: Callable[[], object],
    *,
    repeat: int = 5,
    note: str = "",
) -> Row:
    """Time ours and the peer's work one after the other."""
    return Row(
        what=what,
        ours_s=seconds(ours, repeat=repeat),
        peer=peer,
        peer_s=seconds(peer_work, repeat=repeat),
        note=note,
    )


def show(rows: list[Row]) -> None:
    """Print rows as an aligned table."""
    for row in rows:
        print(
            f"{row.what:<52} {row.ours_s * 1e3:>10.2f} ms  {row.ratio:>8.2f} x  {row.peer}"
            f" ({row.peer_s * 1e3:.2f} ms){'  ' + row.note if row.note else ''}"
        )
