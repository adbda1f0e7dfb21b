"""How times, values and bands are written on a page."""

import math
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from gaugewalk.journal.entry import Entry
from gaugewalk.judge.display import span
from gaugewalk.judge.verdict import Band
from gaugewalk.plant.pump import Plant
from gaugewalk.plant.site import barometric
from gaugewalk.units import show
from gaugewalk.watch.wall import name_of_hour

DAY = 86400.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """Writes for one plant at one moment: its time zone, its air pressure, now."""

    zone: ZoneInfo
    barometric: float
    now: datetime

    def clock(self, moment: datetime) -> str:
        """Write a time as people say it: the hour today, else the day before it."""
        local, today = moment.astimezone(self.zone), self.now.astimezone(self.zone)
        days = (today.date() - local.date()).days
        at = f"{local:%H:%M}{name_of_hour(local)}"
        if days == 0:
            return at
        if days == 1:
            return f"yesterday {at}"
        if days == -1:
            return f"tomorrow {at}"
        return f"{local:%a} {at}" if abs(days) < 6 else f"{local.day} {local:%b} {at}"

    def day(self, moment: datetime) -> str:
        """Write a day; with its year where that is another one."""
        local, today = moment.astimezone(self.zone), self.now.astimezone(self.zone)
        year = f" {local:%Y}" if local.year != today.year else ""
        return f"{local.day} {local:%b}{year}"

    def until(self, due: datetime) -> str:
        """Write the time left, or by how much it is overdue."""
        left = (due - self.now).total_seconds()
        return f"in {span_of(left)}" if left >= 0 else f"{span_of(-left)} overdue"

    def ago(self, moment: datetime) -> str:
        """Write how long ago something was."""
        past = (self.now - moment).total_seconds()
        return "just now" if past < 60 else f"{span_of(past)} ago"

    def value(self, value: float, unit: str, *, digits: int | None = None) -> str:
        """Write an SI value in a unit."""
        return show(value, unit, barometric=self.barometric, digits=digits)

    def entry(self, entry: Entry, unit: str) -> str:
        """Write a reading, or its swing, in a unit."""
        if entry.value is None:
            return "–"
        if entry.low is not None and entry.high is not None:
            return span(entry.low, entry.high, unit, barometric=self.barometric)
        return self.value(entry.value, unit)

    def band(self, band: Band, unit: str) -> str:
        """Write an expected band; one open side says at least or at most."""
        if math.isinf(band.low):
            return "anything" if math.isinf(band.high) else f"at most {self.value(band.high, unit)}"
        if math.isinf(band.high):
            return f"at least {self.value(band.low, unit)}"
        return span(band.low, band.high, unit, barometric=self.barometric)


def shown_for(plant: Plant, now: datetime) -> Shown:
    """Return the writer for a plant at a moment."""
    return Shown(zone=ZoneInfo(plant.time_zone), barometric=barometric(plant), now=now)


def span_of(seconds: float) -> str:
    """Write a length of time in one or two units.

    Examples
    --------
    >>> span_of(20), span_of(25 * 60), span_of(3 * 3600 + 600), span_of(50 * 3600)
    ('1 min', '25 min', '3 h 10 min', '2 d 2 h')
    """
    minutes = max(1, round(seconds / 60))
    if minutes < 60:
        return f"{minutes} min"
    hours, rest = divmod(minutes, 60)
    if hours < 24:
        return f"{hours} h {rest} min" if rest else f"{hours} h"
    days, hours = divmod(hours, 24)
    return f"{days} d {hours} h" if hours and days < 7 else f"{days} d"
