"""A small real plant with a short past: three pumps of the demo plant, a few rounds."""

import shutil
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import cache
from importlib.resources import files
from pathlib import Path

from gaugewalk.diagnose.knowledge import load_knowledge
from gaugewalk.journal.store import Journal
from gaugewalk.plant.plant_file import load_plant
from gaugewalk.plant.pump import Plant, RoundPlan
from gaugewalk.plant.site import barometric
from gaugewalk.units import from_si
from gaugewalk.watch.service import Watch

NOW = datetime(2025, 11, 20, 9, 30, tzinfo=UTC)
TAGS = ("W21A", "W21B", "B11A")
TROUBLED = "W21B"  # its discharge pressure and current fell at the last round
WHO = "R. Vale"
ROUNDS = 3


@cache
def small_plant() -> Plant:
    """Three pumps of the demo plant and one round over them."""
    whole = load_plant(Path(str(files("gaugewalk.drill") / "larkmoor.toml")))
    pumps = tuple(pump for pump in whole.pumps if pump.tag in TAGS)
    return replace(whole, pumps=pumps, rounds=(RoundPlan(name="water side", every=4 * 3600.0),))


def seed(folder: Path) -> Path:
    """Write the past into a journal and return its file."""
    file = folder / "watch.db"
    watch = open_watch(file)
    air = barometric(watch.plant)
    for back in range(ROUNDS, 0, -1):
        at = NOW - timedelta(hours=4 * back - 3)
        for pump in watch.plant.pumps:
            for point in pump.points:
                if point.usual is None or (pump.tag == "B11A" and back > 1):
                    continue
                value = from_si(point.usual, point.unit, barometric=air)
                fallen = pump.tag == TROUBLED and back == 1
                if fallen and point.point in ("discharge_pressure", "motor_current"):
                    value *= 0.6
                watch.take_reading(
                    pump.tag, point.point, f"{value:.4g}", who=WHO, now=at, unit=point.unit
                )
    watch.journal.close()
    return file


def open_watch(file: Path) -> Watch:
    """Open the watch over a journal."""
    return Watch(plant=small_plant(), journal=Journal.open(file), knowledge=load_knowledge())


def copy_of(seeded: Path, folder: Path) -> Watch:
    """Open the watch over a copy of a closed journal."""
    return open_watch(Path(shutil.copy(seeded, folder / "watch.db")))
