"""Standby pumps: idle days, their own round, the changeover that evens out run hours."""

from pathlib import Path

import pytest

from gaugewalk.watch.care_views import DueItem
from gaugewalk.watch.pair_hours import Hours, propose
from gaugewalk.watch.procedure_file import load_procedures
from gaugewalk.watch.service import Watch

from .watch_day import Day

VALE, DAY = "r. vale", 24.0


def event(day: Day, hours: float, tag: str, what: str) -> None:
    day.watch.event(tag, what, who=VALE, now=day.at(hours))


def items(day: Day, hours: float, tag: str, *kinds: str) -> list[DueItem]:
    view = day.watch.program.due(day.at(hours))
    return [one for one in view.items if one.tag == tag and one.kind in kinds]


def test_a_pump_not_started_for_forty_days_is_told(care_day: Day) -> None:
    event(care_day, 0, "W1A", "started")
    event(care_day, 0, "W1B", "stopped")
    (item,) = items(care_day, 40 * DAY, "W1B", "standby run")
    assert item.state == "overdue"
    assert item.sentence == "Not started for 40 days; wanted at least every 4 weeks."
    assert item.procedure == "changeover"
    assert "NAVFAC MO-209" in item.beside  # what other sources want
    assert items(care_day, 10 * DAY, "W1B", "standby run")[0].state == "later"


def test_a_test_run_counts_and_a_running_pump_is_no_standby(care_day: Day) -> None:
    event(care_day, 0, "W1B", "stopped")
    care_day.watch.program.did(
        "W1B", "test run", amount="10 min", who=VALE, now=care_day.at(35 * DAY)
    )
    (item,) = items(care_day, 40 * DAY, "W1B", "standby run")
    assert "Not started for 5 days" in item.sentence
    event(care_day, 41 * DAY, "W1B", "started")
    assert items(care_day, 42 * DAY, "W1B", "standby run", "standby round") == []


def test_nobody_said_whether_it_runs(care_day: Day) -> None:
    (item,) = items(care_day, 0, "W1B", "standby run")
    assert item.state == "not known"


def test_a_critical_pump_without_a_partner_is_run_too(care_day: Day) -> None:
    event(care_day, 0, "F2", "stopped")
    assert items(care_day, 40 * DAY, "F2", "standby run")[0].procedure == "start-up"
    event(care_day, 0, "G3", "stopped")
    assert items(care_day, 40 * DAY, "G3", "standby run") == []


def test_the_standby_has_its_own_round(care_day: Day) -> None:
    event(care_day, 0, "W1B", "stopped")
    (item,) = items(care_day, 8.5 * DAY, "W1B", "standby round")
    assert item.state == "overdue"
    care_day.watch.program.did("W1B", "standby looked over", who=VALE, now=care_day.at(8.5 * DAY))
    assert items(care_day, 9 * DAY, "W1B", "standby round")[0].state == "soon"
    assert item.procedure == "round-standby"


def test_an_isolated_pump_is_left_alone(care_day: Day) -> None:
    event(care_day, 0, "W1A", "started")
    event(care_day, 0, "W1B", "stopped")
    care_day.watch.program.did("W1B", "isolated", who=VALE, now=care_day.at(1))
    assert items(care_day, 40 * DAY, "W1B", "standby run", "standby round") == []
    assert care_day.watch.program.care("W1A", care_day.at(40 * DAY)).proposal == ""
    care_day.watch.program.did("W1B", "back in service", who=VALE, now=care_day.at(40 * DAY))
    assert items(care_day, 40.1 * DAY, "W1B", "standby run") != []


def test_run_hours_ask_for_a_changeover(care_day: Day) -> None:
    event(care_day, 0, "W1A", "started")
    event(care_day, 0, "W1B", "stopped")
    assert items(care_day, 500, "W1A", "changeover") == []
    (item,) = items(care_day, 501, "W1A", "changeover")
    assert "W1A ran 501 h, W1B 0 h in the same time" in item.sentence
    assert items(care_day, 501, "W1B", "changeover") == []
    event(care_day, 502, "W1A", "stopped")
    event(care_day, 502, "W1B", "started")
    assert items(care_day, 503, "W1B", "changeover") == []


def test_a_plant_may_keep_its_pumps_apart(care_day: Day, tmp_path: Path) -> None:
    own = tmp_path / "procedures.toml"
    own.write_text(
        '[setting.keep_apart]\nvalue = "1000 h"\n[setting.equalize_after]\nvalue = "50 h"'
    )
    watch = Watch(
        plant=care_day.watch.plant,
        journal=care_day.watch.journal,
        knowledge=care_day.watch.knowledge,
        procedures=load_procedures(own),
    )
    day = Day(watch)
    event(day, 0, "W1A", "started")
    event(day, 0, "W1B", "stopped")
    assert items(day, 1050, "W1A", "changeover") == []
    (item,) = items(day, 1051, "W1A", "changeover")
    assert "1000 h of it on purpose" in item.sentence
    assert item.source == "This plant's own instruction"


def hours(tag: str, ran: float, running: bool | None, isolated: bool = False) -> Hours:
    return Hours(
        tag=tag, ran=ran * 3600, running=running, since=0.0, first=0.0, starts=0, source="",
        isolated=isolated,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("first", "second"),
    [
        (hours("A", 900, True), hours("B", 0, True)),  # both run
        (hours("A", 900, False), hours("B", 0, True)),  # the one that leads stands already
        (hours("A", 900, True), hours("B", 0, None)),  # nobody knows of B
        (hours("A", 900, True), hours("B", 0, False, isolated=True)),
        (hours("A", 400, True), hours("B", 0, False)),
    ],
)
def test_no_changeover_is_proposed(first: Hours, second: Hours) -> None:
    for pair in ((first, second), (second, first)):
        assert propose(*pair, after=500 * 3600, keep_apart=0.0) is None


def test_the_order_of_a_pair_does_not_matter() -> None:
    a, b = hours("A", 900, True), hours("B", 0, False)
    found = [propose(*pair, after=500 * 3600, keep_apart=0.0) for pair in ((a, b), (b, a))]
    assert found[0] == found[1]
    assert found[0] is not None
    assert (found[0].stop, found[0].start, found[0].lead) == ("A", "B", 900 * 3600)
