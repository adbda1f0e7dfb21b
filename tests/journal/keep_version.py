"""Write a short morning into a new journal: `python -m tests.journal.keep_version FILE.db.gz`.

Run with the program as it is before its tables change, so that `test_upgrade` can open what that
program wrote.
"""

import gzip
import sys
import tempfile
from datetime import timedelta
from pathlib import Path

from gaugewalk.judge.severity import Severity
from gaugewalk.plant.site import barometric
from gaugewalk.units import from_si
from tests.web.seeded import NOW, open_watch


def walk(file: Path) -> None:
    """Read, correct, observe, skip, note, open a trouble, stop the pump."""
    watch = open_watch(file)
    air = barometric(watch.plant)

    def ago(hours: float) -> dict[str, object]:
        return {"who": "R. Vale", "now": NOW - timedelta(hours=hours)}

    for hours in (8, 4):
        for pump in watch.plant.pumps[:2]:
            for point in [p for p in pump.points[:4] if p.usual is not None]:
                value = from_si(float(point.usual or 0), point.unit, barometric=air)
                watch.take_reading(
                    pump.tag,
                    point.point,
                    f"{value:.4g}",
                    who="Zoë Vale",
                    now=NOW - timedelta(hours=hours),
                    unit=point.unit,
                )
    tag = watch.plant.pumps[0].tag
    taken = watch.take_reading(tag, "discharge_pressure", "31 barg", **ago(3))  # type: ignore[arg-type]
    watch.correct(taken.entry.id, "3.1 barg", why="comma slipped", **ago(2.9))  # type: ignore[arg-type]
    watch.take_reading(tag, "motor_current", "18 to 24 A", **ago(2))  # type: ignore[arg-type]
    watch.observe(tag, "noise-rattle-intermittent", True, note="like gravel 🔧", **ago(2))  # type: ignore[arg-type]
    watch.skip(tag, "suction_pressure", "gauge broken", **ago(2))  # type: ignore[arg-type]
    watch.note(None, "Stairs to the cellar are icy.", standing=True, **ago(2))  # type: ignore[arg-type]
    watch.open_trouble(tag, "It rattles.", Severity.ACT, **ago(2))  # type: ignore[arg-type]
    watch.event(tag, "stopped", **ago(1))  # type: ignore[arg-type]
    watch.journal.close()


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        walk(Path(folder) / "watch.db")
        content = (Path(folder) / "watch.db").read_bytes()
    Path(sys.argv[1]).write_bytes(gzip.compress(content, 9, mtime=0))
