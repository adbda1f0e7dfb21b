from gaugewalk.journal.store import Journal
from gaugewalk.judge.severity import Severity
from gaugewalk.watch.service import Watch

from .watch_day import Day

WHO = "r. vale"


def test_calm_where_nothing_is_open(day: Day) -> None:
    day.read(0, "3.1")
    view = day.watch.this_watch(day.at(1))
    assert (view.troubles, view.follow_ups, view.uneasy, view.changes) == ((), (), (), ())
    assert (view.plant, view.pumps) == ("Test House", 3)
    assert (view.shift_began_at, view.shift_ends_at) == (day.at(0), day.at(8))
    assert {row.name for row in view.rounds} == {"boiler house", "outside"}


def test_urgency_first_then_the_way_one_walks(day: Day) -> None:
    day.read(0, "2.0", tag="C1B")
    day.watch.open_trouble("C1A", "Rattles.", Severity.ACT, who=WHO, now=day.at(0))
    day.watch.open_trouble("S3", "Drips.", Severity.WATCH, who=WHO, now=day.at(0))
    assert [line.tag for line in day.watch.this_watch(day.at(1)).troubles] == ["C1A", "C1B", "S3"]
    day.watch.observe("S3", "gland-smoke", True, who=WHO, now=day.at(1))
    assert [line.tag for line in day.watch.this_watch(day.at(1)).troubles] == ["S3", "C1A", "C1B"]


def test_one_uneasy_reading_is_kept_in_sight(day: Day) -> None:
    taken = day.read(0, "95", point="leak_off")
    (uneasy,) = day.watch.this_watch(day.at(1)).uneasy
    assert (uneasy.tag, uneasy.severity) == ("C1A", Severity.WATCH)
    assert uneasy.sentence == taken.verdict.sentence
    day.read(1, "40", point="leak_off")
    assert day.watch.this_watch(day.at(2)).uneasy == ()


def test_changes_since_the_shift_began_newest_first_without_plain_readings(day: Day) -> None:
    day.watch.note("C1A", "before the shift", who=WHO, now=day.at(-0.1))
    day.read(1, "3.1")
    day.watch.event("C1A", "stopped", who=WHO, now=day.at(2))
    day.watch.note(None, "Rain expected", who=WHO, now=day.at(3))
    changes = day.watch.this_watch(day.at(4)).changes
    assert [entry.kind for entry in changes] == ["note", "event"]
    assert day.watch.this_watch(day.at(9)).changes == ()


def test_follow_ups_are_sorted_by_when_they_are_due(day: Day) -> None:
    for hours, tag in ((5, "S3"), (2, "C1A"), (3, "C1B")):
        day.watch.add_follow_up(tag, "look again", day.at(hours), who=WHO, now=day.at(0))
    assert [row.tag for row in day.watch.follow_ups(day.at(4))] == ["C1A", "C1B", "S3"]


def test_all_that_is_shown_follows_from_the_journal_alone(day: Day) -> None:
    trouble = day.read(0, "2.0").trouble_id
    assert trouble is not None
    wrong = day.read(1, "1.2", tag="S3")
    for n in range(12):
        day.read(1 + n, f"{3.10 + 0.01 * (n % 3):.2f}")
        day.read(1 + n, "31 A", point="motor_current")
    day.read(14, "3.3", seen_at=day.at(2.5))  # late
    day.watch.correct(wrong.entry.id, "1.1", who=WHO, now=day.at(15))
    gone = day.read(15, "9.9", tag="C1B")
    day.watch.withdraw(gone.entry.id, why="wrong pump", who=WHO, now=day.at(15.1))
    day.watch.event("C1B", "stopped", who=WHO, now=day.at(15))
    day.watch.act("C1A", trouble, "Throttled", kind="temporary", who=WHO, now=day.at(15))
    day.watch.add_follow_up("C1A", "look again", day.at(20), who=WHO, now=day.at(15))
    view = day.watch.start_round("boiler house", who=WHO, now=day.at(16))
    day.watch.finish_round(view.id, who=WHO, now=day.at(17), reason="called away")
    day.watch.event("S3", "overhauled", who=WHO, now=day.at(17))
    day.read(18, "1.2", tag="S3")
    before = day.watch.journal.load_states("")
    watch = day.watch.this_watch(day.at(18))
    assert day.watch.rebuild() == len(before)
    assert day.watch.journal.load_states("") == before
    assert day.watch.this_watch(day.at(18)) == watch


def test_a_pump_that_left_the_plant_file_keeps_its_past_and_is_not_shown(
    day: Day, place: str
) -> None:
    day.read(0, "0.2", tag="S3")
    smaller = day.watch.plant.__class__(
        name="Test House", pumps=tuple(p for p in day.watch.plant.pumps if p.tag != "S3")
    )
    journal = Journal.open(place)
    watch = Watch(plant=smaller, journal=journal, knowledge=day.watch.knowledge)
    watch.rebuild()
    view = watch.this_watch(day.at(1))
    assert (view.pumps, view.troubles, view.uneasy) == (2, (), ())
    assert len(journal.history("S3", since=day.at(-1))) > 0
    journal.close()
