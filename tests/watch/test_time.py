"""The clock on the wall: shifts over midnight, the hour that comes twice, a round of two shifts.

In 2025 the clocks of London went back on 26 October at 02:00 summer time (01:00 UTC), and forward
on 30 March at 01:00 (IANA time zone database).
"""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from gaugewalk.watch.handover_text import handover_text
from gaugewalk.watch.quality import coverage
from gaugewalk.watch.service import Watch

from .watch_day import Day

VALE, MARSH = "r. vale", "s. marsh"
BACK = datetime(2025, 10, 26, 1, 0, tzinfo=UTC)  # 02:00 BST became 01:00 GMT
HALF = timedelta(minutes=30)
FIRST, SECOND = BACK - HALF, BACK + HALF  # both show 01:30


def take(watch: Watch, at: datetime, text: str, tag: str = "C1A") -> str | None:
    return watch.take_reading(
        tag, "discharge_pressure", text, who=VALE, now=at, seen_at=at
    ).trouble_id


def twelve(day: Day, first: str) -> Watch:
    watch = day.watch
    plant = replace(watch.plant, shift_hours=12, first_shift=first)
    return Watch(plant=plant, journal=watch.journal, knowledge=watch.knowledge)


def test_the_night_that_is_an_hour_longer_is_one_shift(day: Day) -> None:
    told = day.watch.papers.handover(SECOND)
    assert told.began_at == BACK - timedelta(hours=4)
    assert told.ends_at - told.began_at == timedelta(hours=9)
    head = handover_text(told).splitlines()[1]
    assert head == "Shift Sat 25 Oct 2025 22:00 to Sun 26 Oct 06:00, written Sun 26 Oct 01:30 GMT."


def test_what_happened_in_each_of_the_two_hours_is_told_apart(day: Day) -> None:
    day.watch.event("S3", "stopped", who=VALE, now=FIRST)
    assert take(day.watch, SECOND, "2.0")
    told = day.watch.papers.handover(SECOND + HALF)
    (trouble,) = told.section("troubles").items
    stopped = next(item for item in told.section("changes").items if item.text == "Stopped")
    assert (stopped.mark, trouble.mark) == ("01:30 BST", "since 01:30 GMT")


def test_readings_of_that_night_keep_their_order_and_their_distance(day: Day) -> None:
    minutes = range(0, 120, 20)
    for n, minute in enumerate(minutes):
        take(day.watch, BACK - timedelta(hours=1) + timedelta(minutes=minute), f"3.{n}")
    rows = day.watch.journal.history("C1A", since=BACK - timedelta(hours=2), kinds=["reading"])
    assert [row.entered for row in rows] == [f"3.{n}" for n in range(6)]
    shown = [f"{day.watch.desk.local(row.seen_at):%H:%M}" for row in rows]
    assert shown == ["01:00", "01:20", "01:40", "01:00", "01:20", "01:40"]


def test_half_an_hour_is_half_an_hour_when_the_clocks_go_back(day: Day) -> None:
    action = next(
        a for c in day.watch.knowledge.causes.values() for a in c.actions
        if a.verify and a.within == "30 min"
    )  # fmt: skip
    asked_at = BACK - timedelta(minutes=15)  # 01:45 BST
    day.watch.act("C1A", None, action.do, who=VALE, now=asked_at)
    (due,) = day.watch.follow_ups(asked_at)
    assert due.due_at == BACK + timedelta(minutes=15)
    (item,) = [i for i in day.watch.papers.handover(asked_at).section("due").items if i.tag]
    assert item.mark == "01:15 GMT"


def test_a_round_over_that_hour_takes_as_long_as_it_takes(day: Day) -> None:
    start = BACK - timedelta(minutes=10)
    round_id = day.watch.start_round("outside", who=VALE, now=start).id
    take(day.watch, BACK + timedelta(minutes=5), "1.2", tag="S3")
    day.watch.finish_round(round_id, who=VALE, now=BACK + timedelta(minutes=10))
    (one,) = day.watch.papers.round_qualities(start, BACK + HALF)
    assert one.walk.until - one.walk.begun_at == timedelta(minutes=20)
    assert coverage(one) == "1 of 1 points taken."


def test_a_file_without_distances_is_asked_for_that_hour_only(day: Day, tmp_path: Path) -> None:
    rows = [
        "2025-10-26 00:30", "2025-10-26 01:30", "2025-10-26T01:30+01:00", "2025-10-26T01:30+00:00",
        "2025-10-26 02:30", "2025-03-30 01:30",
    ]  # fmt: skip
    lines = [f"{time},C1A,discharge_pressure,3.{n},barg" for n, time in enumerate(rows)]
    file = tmp_path / "night.csv"
    file.write_text("\n".join(["time,tag,point,value,unit", *lines]))
    done = day.watch.import_csv(file, who=VALE, now=BACK + timedelta(days=1))
    assert done.stored == 4
    assert [problem.line for problem in done.problems] == [3, 7]
    assert "comes twice" in str(done.problems[0])
    assert "never was" in str(done.problems[1])
    seen = day.watch.journal.history("C1A", since=BACK - timedelta(days=1))
    assert [row.seen_at for row in seen][1:3] == [FIRST, SECOND]


@pytest.mark.parametrize(
    ("first", "began", "ends"),
    [
        ("06:00", "2025-11-03T18:00", "2025-11-04T06:00"),
        ("18:30", "2025-11-03T18:30", "2025-11-04T06:30"),
        ("07:15", "2025-11-03T19:15", "2025-11-04T07:15"),
    ],
)
def test_a_shift_of_twelve_hours_goes_over_midnight(
    day: Day, first: str, began: str, ends: str
) -> None:
    watch = twelve(day, first)
    midnight = datetime(2025, 11, 4, 0, 0, tzinfo=UTC)
    begin, end = (datetime.fromisoformat(text).replace(tzinfo=UTC) for text in (began, ends))
    trouble = take(watch, midnight - timedelta(hours=1), "2.0")
    assert trouble
    told = watch.papers.handover(midnight + timedelta(hours=1))
    assert (told.began_at, told.ends_at) == (begin, end)
    (item,) = told.section("troubles").items
    assert item.mark == "since Mon 3 Nov 23:00"
    watch.papers.sign(who=VALE, now=end - timedelta(minutes=5))
    watch.papers.take_over([trouble], who=MARSH, now=end + timedelta(minutes=10))
    assert watch.papers.handover(end + timedelta(minutes=20)).began_at == end
    kept = watch.papers.handover(end + timedelta(days=3), shift=midnight)
    assert kept.taken is not None
    assert [one.id for one in kept.section("troubles").items] == [trouble]


@pytest.mark.parametrize("hours", [8, 12])
def test_a_round_that_two_shifts_walk(day: Day, hours: int) -> None:
    watch = day.watch if hours == 8 else twelve(day, "06:00")
    change = datetime(2025, 11, 3, 14 if hours == 8 else 18, 0, tzinfo=UTC)
    view = watch.start_round("boiler house", who=VALE, now=change - timedelta(minutes=8))
    take(watch, change - timedelta(minutes=5), "3.1")
    before = watch.papers.handover(change - timedelta(minutes=2))
    (walked,) = [i for i in before.section("unfinished").items if i.id == view.id]
    assert walked.text == "Round boiler house is being walked."
    # The next watch goes on with it where it is.
    again = watch.start_round("boiler house", who=MARSH, now=change + timedelta(minutes=6))
    assert again.id == view.id
    taken = [p.point for stop in again.stops for p in stop.points if p.taken]
    assert taken == ["discharge_pressure"]
    take(watch, change + timedelta(minutes=7), "3.1", tag="C1B")
    end = change + timedelta(minutes=9)
    watch.finish_round(view.id, who=MARSH, now=end, reason="standing")
    for shift in (change - timedelta(minutes=1), change + timedelta(minutes=1)):
        told = watch.papers.handover(end, shift=shift)
        assert view.id in {item.id for item in told.section("rounds").items}
    due = next(row for row in watch.rounds_due(end) if row.name == "boiler house")
    assert due.open_id is None
    assert due.due_at > end
