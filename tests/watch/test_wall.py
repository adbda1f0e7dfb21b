"""Both hours of the autumn change, and the one that spring leaves out."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from gaugewalk.errors import ArgumentError
from gaugewalk.watch.wall import clock, exact, read_time

# In 2025 the clocks of Paris went back on 26 October at 03:00 summer time, and forward on 30 March
# at 02:00 (IANA time zone database).
PARIS = ZoneInfo("Europe/Paris")
BACK = datetime(2025, 10, 26, 1, 0, tzinfo=UTC)  # the moment at which 03:00 became 02:00


def test_every_minute_of_the_autumn_night_is_written_once() -> None:
    night = [BACK + timedelta(minutes=n) for n in range(-180, 180)]
    assert len({clock(at, PARIS) for at in night}) == len(night)
    assert [read_time(exact(at, PARIS), PARIS) for at in night] == night


def test_a_time_that_comes_twice_is_asked_for() -> None:
    with pytest.raises(ArgumentError, match=r"02:30:00\+02:00 or 2025-10-26T02:30:00\+01:00"):
        read_time("2025-10-26 02:30", PARIS)
    assert read_time("2025-10-26T02:30+02:00", PARIS) == BACK - timedelta(minutes=30)
    assert read_time("2025-10-26T02:30+01:00", PARIS) == BACK + timedelta(minutes=30)


def test_a_time_that_never_was_is_refused() -> None:
    with pytest.raises(ArgumentError, match="never was"):
        read_time("2025-03-30 02:30", PARIS)
    assert read_time("2025-03-30 03:00", PARIS) == datetime(2025, 3, 30, 1, tzinfo=UTC)


def test_a_zone_without_letters_is_named_by_its_distance() -> None:
    # Lord Howe Island goes back half an hour, from +11 to +10:30 (IANA time zone database).
    howe = ZoneInfo("Australia/Lord_Howe")
    first = datetime(2025, 4, 5, 14, 45, tzinfo=UTC)
    half = timedelta(minutes=30)
    assert [clock(at, howe) for at in (first, first + half)] == ["01:45 UTC+11", "01:45 UTC+1030"]


@pytest.mark.parametrize("text", ["at dawn", "", "2025-13-01 06:00", "25:00"])
def test_what_is_no_time_says_what_to_write(text: str) -> None:
    with pytest.raises(ArgumentError, match="2025-11-03 06:40"):
        read_time(text, PARIS)
