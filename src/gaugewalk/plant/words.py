"""Words of a plant file that must be known: observation points, time zones, clock times."""

import re
from collections.abc import Callable, Iterable, Mapping
from functools import cache
from zoneinfo import ZoneInfo, available_timezones

from gaugewalk.plant.points import all_points

Known = Callable[[], Iterable[str]]
"""Every known word, made only when the nearest one is looked for."""

_CLOCK = re.compile(r"([01][0-9]|2[0-3]):[0-5][0-9]")


@cache
def is_time_zone(name: str) -> bool:
    """Tell whether a name is a time zone of the IANA database.

    Examples
    --------
    >>> is_time_zone("America/Chicago"), is_time_zone("Chicago"), is_time_zone("../etc")
    (True, False, False)
    """
    try:
        return bool(name) and bool(ZoneInfo(name).key)
    except (KeyError, ValueError, OSError):
        return False


def is_clock_time(text: str) -> bool:
    """Tell whether a text is a time of day as 06:00.

    Examples
    --------
    >>> is_clock_time("06:00"), is_clock_time("6:00"), is_clock_time("24:00")
    (True, False, False)
    """
    return _CLOCK.fullmatch(text) is not None


CHECKED: Mapping[str, tuple[Callable[[str], bool], str, Known]] = {
    "point": (lambda name: name in all_points(), "an observation point", all_points),
    "time zone": (is_time_zone, "a time zone as 'America/Chicago' or 'UTC'", available_timezones),
    "clock time": (is_clock_time, "a time of day as '06:00'", tuple),
}
"""By the word in the annotation: the check, what is expected, the known words."""
