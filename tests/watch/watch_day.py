"""A watch with a clock of the test's own, for the tests of the watch."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from gaugewalk.watch.service import Watch
from gaugewalk.watch.views import Taken

MORNING = datetime(2025, 11, 3, 6, 0, tzinfo=UTC)  # in winter the wall clock in London shows UTC


@dataclass(frozen=True)
class Day:
    """A watch and a clock of the test's own."""

    watch: Watch

    def at(self, hours: float) -> datetime:
        return MORNING + timedelta(hours=hours)

    def read(
        self, hours: float, text: str, point: str = "discharge_pressure", **other: object
    ) -> Taken:
        at = self.at(hours)
        given: dict[str, object] = {"tag": "C1A", "who": "r. vale", "now": at, "seen_at": at}
        return self.watch.take_reading(point=point, text=text, **(given | other))  # type: ignore[arg-type]


def settle(day: Day, days: int = 8) -> None:
    """Four readings a day of a healthy pump, the needle within a few hundredths of a bar."""
    for n in range(days * 4):
        day.read(-24 * days + 6 * n, f"{3.10 + 0.02 * (n % 4):.2f}")


def run_from(day: Day, hours: float, tag: str = "W1A") -> None:
    """Record that a pump was started."""
    day.watch.event(tag, "started", who="r. vale", now=day.at(hours))
