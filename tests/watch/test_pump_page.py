from .watch_day import Day, settle

WHO = "r. vale"


def test_points_come_with_their_past_and_the_newest_events_first(day: Day) -> None:
    settle(day, days=2)
    day.watch.note("C1A", "Wet floor", who=WHO, now=day.at(1))
    day.watch.skip("C1A", "leak_off", "no light", who=WHO, now=day.at(2))
    view = day.watch.pump_page("C1A", day.at(3))
    counts = {point.point: len(point.history) for point in view.points}
    assert counts == {
        "suction_pressure": 0,
        "discharge_pressure": 8,
        "leak_off": 0,
        "motor_current": 0,
    }
    assert [event.kind for event in view.events] == ["skipped", "note"]
    past = view.points[1].history
    assert [s.seen_at for s in past] == sorted(s.seen_at for s in past)


def test_a_point_that_the_plant_file_has_not_is_shown_once_it_was_read(day: Day) -> None:
    day.read(0, "81 degC", point="bearing_temperature_de")
    last = day.watch.pump_page("C1A", day.at(1)).points[-1]
    assert (last.point, last.unit) == ("bearing_temperature_de", "degC")


def test_what_rises_towards_a_limit_is_said_with_its_time(day: Day) -> None:
    for n in range(30):
        day.read(24 * n - 24 * 30, f"{40 + n:.0f}", point="leak_off")
    (sentence,) = day.watch.pump_page("C1A", day.at(0)).forecasts
    assert "80 drops/min" in sentence
    (forecast,) = day.watch.ahead("C1A", day.at(0))
    assert forecast.sentence == sentence
    assert forecast.when is not None
    # 69 at the last reading, one more a day: eleven days to 80.
    assert abs((forecast.when - day.at(24 * 10)).total_seconds()) < 3 * 86400


def test_running_is_what_the_current_says_or_who_looked_last(day: Day) -> None:
    assert day.watch.pump_page("C1A", day.at(0)).running is None
    day.watch.event("C1A", "stopped", who=WHO, now=day.at(0))
    assert day.watch.pump_page("C1A", day.at(0.1)).running is False
    day.read(0.2, "31 A", point="motor_current")
    assert day.watch.pump_page("C1A", day.at(0.3)).running is True
    day.read(0.4, "0 A", point="motor_current")
    assert day.watch.pump_page("C1A", day.at(0.5)).running is False


def test_readings_of_one_visit_are_estimated_together(day: Day) -> None:
    assert day.watch.pump_page("C1A", day.at(0)).estimate is None
    day.read(0, "0.4", point="suction_pressure")
    day.read(0.02, "3.1")
    day.read(0.04, "31 A", point="motor_current")
    running = day.watch.pump_page("C1A", day.at(0.1)).estimate
    assert running is not None
    assert running.sentence
    day.read(0.2, "0 A", point="motor_current")
    assert day.watch.pump_page("C1A", day.at(0.3)).estimate is None
