import pytest

from gaugewalk.errors import ArgumentError, NotFoundError
from gaugewalk.judge.severity import Severity
from gaugewalk.watch.views import RoundView

from .watch_day import Day

WHO = "r. vale"


def points(view: RoundView, tag: str) -> dict[str, tuple[bool, str]]:
    stop = next(stop for stop in view.stops if stop.pump.tag == tag)
    return {point.point: (point.taken, point.skipped) for point in stop.points}


def test_pumps_stand_in_walking_order_and_points_as_they_are_drawn(day: Day) -> None:
    view = day.watch.start_round("boiler house", who=WHO, now=day.at(0))
    assert [stop.pump.tag for stop in view.stops] == ["C1A", "C1B"]
    assert list(points(view, "C1A")) == [
        "suction_pressure", "discharge_pressure", "leak_off", "motor_current",
    ]  # fmt: skip
    first = view.stops[0].points[1]
    assert (first.unit, first.taken, first.last) == ("barg", False, None)
    assert first.expected is not None
    assert "psig" in first.units
    assert "m3/h" not in first.units


def test_what_is_taken_or_skipped_counts_and_what_was_before_does_not(day: Day) -> None:
    day.read(-1, "3.1")
    view = day.watch.start_round("boiler house", who=WHO, now=day.at(0))
    assert points(view, "C1A")["discharge_pressure"] == (False, "")
    day.read(0.1, "3.1", round_id=view.id)
    day.read(0.1, "30 A", point="motor_current")  # through another door
    day.watch.skip("C1A", "leak_off", "no light", who=WHO, now=day.at(0.1), round_id=view.id)
    now = day.watch.round_view(view.id, day.at(0.2))
    assert points(now, "C1A") == {
        "suction_pressure": (False, ""),
        "discharge_pressure": (True, ""),
        "leak_off": (False, "no light"),
        "motor_current": (True, ""),
    }
    day.read(0.3, "40", point="leak_off")
    assert points(day.watch.round_view(view.id, day.at(0.4)), "C1A")["leak_off"] == (True, "")


def test_a_round_is_finished_only_with_every_point_answered(day: Day) -> None:
    view = day.watch.start_round("outside", who=WHO, now=day.at(0))
    with pytest.raises(ArgumentError, match="1 points are neither taken nor skipped"):
        day.watch.finish_round(view.id, who=WHO, now=day.at(0.1))
    day.watch.finish_round(view.id, who=WHO, now=day.at(0.2), reason="called away")
    done = day.watch.round_view(view.id, day.at(0.3))
    assert done.finished_at == day.at(0.2)
    assert points(done, "S3") == {"discharge_pressure": (False, "called away")}


def test_what_is_read_after_the_end_is_of_the_next_round(day: Day) -> None:
    view = day.watch.start_round("outside", who=WHO, now=day.at(0))
    day.watch.finish_round(view.id, who=WHO, now=day.at(0.2), reason="called away")
    day.read(1, "1.2", tag="S3")
    assert points(day.watch.round_view(view.id, day.at(2)), "S3")["discharge_pressure"][0] is False


def test_a_round_begun_is_gone_on_with_and_a_forgotten_one_is_begun_anew(day: Day) -> None:
    first = day.watch.start_round("boiler house", who=WHO, now=day.at(0))
    assert day.watch.start_round("boiler house", who="s. marsh", now=day.at(1)).id == first.id
    assert day.watch.start_round("boiler house", who=WHO, now=day.at(5)).id != first.id


def test_rounds_fall_due_and_tell_when_they_were_walked(day: Day) -> None:
    before = {row.name: row for row in day.watch.rounds_due(day.at(1))}
    assert (before["boiler house"].due_at, before["boiler house"].last_at) == (day.at(0), None)
    assert (before["boiler house"].pumps, before["outside"].pumps) == (2, 1)
    view = day.watch.start_round("boiler house", who=WHO, now=day.at(1))
    during = {row.name: row for row in day.watch.rounds_due(day.at(1.5))}
    assert during["boiler house"].open_id == view.id
    assert during["boiler house"].due_at == day.at(4)
    day.watch.finish_round(view.id, who=WHO, now=day.at(2), reason="called away")
    later = {row.name: row for row in day.watch.rounds_due(day.at(5))}
    assert (later["boiler house"].open_id, later["boiler house"].due_at) == (None, day.at(4))


def test_a_pump_in_trouble_brings_its_checks_along(day: Day) -> None:
    day.read(-1, "2.0")
    id = day.watch.start_round("boiler house", who=WHO, now=day.at(0)).id
    view = day.watch.round_view(id, day.at(0), at="C1A")
    assert view.stops[0].severity is Severity.ACT
    assert view.stops[0].trouble_id is not None
    assert view.stops[0].extra_checks
    assert view.stops[1].extra_checks == ()


@pytest.mark.parametrize("id", ["nonsense", "019a4883-f980-7d33-861b-e567f6abed3f"])
def test_unknown_rounds_are_not_found(day: Day, id: str) -> None:
    with pytest.raises(NotFoundError, match="no round"):
        day.watch.round_view(id, day.at(0))
    with pytest.raises(NotFoundError, match="boiler house"):
        day.watch.start_round("boiler hous", who=WHO, now=day.at(0))
