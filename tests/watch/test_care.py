"""Care through the journal: run hours, deeds, what is due, what is warned of and asked for."""

from datetime import timedelta

import pytest

from gaugewalk.errors import ArgumentError, ConflictError, NotFoundError, UnitError
from gaugewalk.journal.ids import new_id
from gaugewalk.judge.severity import Severity
from gaugewalk.watch.care import Care, care_key
from gaugewalk.watch.care_findings import care_findings
from gaugewalk.watch.care_views import DueItem, Kept

from .watch_day import Day

VALE = "r. vale"
DAY = 24.0  # [h]


def did(day: Day, hours: float, what: str, tag: str = "W1A", **other: str) -> Kept:
    at = day.at(hours)
    return day.watch.program.did(tag, what, who=VALE, now=at, **other)


def event(day: Day, hours: float, what: str, tag: str = "W1A") -> None:
    day.watch.event(tag, what, who=VALE, now=day.at(hours))


def items(day: Day, hours: float, tag: str, kind: str) -> list[DueItem]:
    view = day.watch.program.due(day.at(hours))
    return [item for item in view.items if (item.tag, item.kind) == (tag, kind)]


def care(day: Day, tag: str) -> Care:
    return Care.from_json(day.watch.journal.load_state(care_key(tag)))


# ------------------------------------------------------------------ run hours


def test_run_hours_follow_from_events_gauges_and_the_meter(care_day: Day) -> None:
    event(care_day, 0, "started")
    for hours in (4, 8):
        care_day.read(hours, "50 A", tag="W1A", point="motor_current")
    care_day.read(12, "0 A", tag="W1A", point="motor_current")
    hours = care_day.watch.program.care("W1A", care_day.at(20)).hours
    assert hours.ran == pytest.approx(10 * 3600)  # seen running at 8 h, standing at 12 h
    assert (hours.running, hours.starts) == (False, 1)
    care_day.read(13, "1000 h", tag="W1A", point="run_hours")
    care_day.read(113, "1050 h", tag="W1A", point="run_hours")
    later = care_day.watch.program.care("W1A", care_day.at(113)).hours
    assert later.ran == pytest.approx((10 + 50) * 3600)
    assert later.source == "hour meter, and starts and stops since"


def test_a_corrected_meter_reading_counts_as_corrected(care_day: Day) -> None:
    event(care_day, 0, "started")
    care_day.read(0, "1000 h", tag="W1A", point="run_hours")
    slip = care_day.read(100, "1008 h", tag="W1A", point="run_hours")
    care_day.watch.correct(slip.entry.id, "1080 h", who=VALE, now=care_day.at(101))
    assert care(care_day, "W1A").clock.ran(care_day.at(100).timestamp()) == pytest.approx(80 * 3600)


def test_everything_can_be_made_anew(care_day: Day) -> None:
    event(care_day, 0, "started")
    care_day.read(2, "0.05 bar", tag="W1A", point="suction_strainer_dp")
    did(care_day, 3, "greased", place="de", amount="12 g")
    kept = did(care_day, 4, "strainer cleaned", place="suction")
    care_day.read(5, "0.04 bar", tag="W1A", point="suction_strainer_dp")
    did(care_day, 6, "oil topped up", tag="F2", amount="1 L", place="pump")
    program = care_day.watch.program
    program.take_back(kept.entry.id, why="that was W1B", who=VALE, now=care_day.at(7))
    program.change_limit(
        "W1A", "act_high", "0.25 bar", point="suction_strainer_dp",
        why="torn basket", who=VALE, now=care_day.at(8),
    )  # fmt: skip
    care_day.read(9, "0.27 bar", tag="W1A", point="suction_strainer_dp")
    run = program.begin("oil-top-up", "F2", who=VALE, now=care_day.at(10))
    program.tick(run.id, "right-oil", who=VALE, now=care_day.at(10))
    before = care_day.watch.journal.load_states("")
    care_day.watch.rebuild()
    assert care_day.watch.journal.load_states("") == before
    assert care_day.watch.journal.verify().ok


# ------------------------------------------------------------------ deeds


def test_a_deed_keeps_what_was_typed_and_its_amount(care_day: Day) -> None:
    kept = did(care_day, 0, "greased", place="driver_de", amount="0.03 kg")
    entry = kept.entry
    assert (entry.kind, entry.body["event"], entry.body["place"]) == (
        "event", "greased", "driver_de",
    )  # fmt: skip
    assert (entry.value, entry.entered) == (pytest.approx(0.03), "0.03 kg")
    assert entry.body["text"] == "Greased, driver's drive end, 0.03 kg"
    assert did(care_day, 1, "greased", place="de", amount="12").entry.unit == "gram"


def test_the_same_deed_sent_twice_is_one(care_day: Day) -> None:
    id, at = new_id(care_day.at(0)), care_day.at(0)
    for _ in range(2):
        care_day.watch.program.did(
            "W1A", "greased", place="de", amount="12 g", who=VALE, now=at, seen_at=at, id=id
        )
    assert len(care(care_day, "W1A").done("greased", "de")) == 1


def test_a_deed_sent_late_is_counted_when_it_was_done(care_day: Day) -> None:
    event(care_day, 0, "started")
    did(care_day, 50, "greased", place="de", amount="12 g")
    late = care_day.watch.program.did(
        "W1A", "greased", place="de", amount="12 g",
        who=VALE, now=care_day.at(60), seen_at=care_day.at(10),
    )  # fmt: skip
    assert late.warnings == ()
    assert [deed.ran / 3600 for deed in care(care_day, "W1A").done("greased", "de")] == [10, 50]


REFUSED = [
    ({"what": "greasd", "place": "de"}, NotFoundError, "Did you mean 'greased'"),
    ({"what": "greased", "place": "nose"}, ArgumentError, "de, nde, driver_de, driver_nde"),
    ({"what": "greased", "place": ""}, ArgumentError, "place"),
    ({"what": "greased", "place": "de", "amount": "12 bar"}, UnitError, "12 bar"),
    ({"what": "greased", "place": "de", "amount": "0 g"}, ArgumentError, "above zero"),
    ({"what": "greased", "place": "de", "amount": "5 to 9 g"}, ArgumentError, "one amount"),
    ({"what": "isolated", "amount": "1"}, ArgumentError, "no amount is counted"),
]


@pytest.mark.parametrize(("given", "error", "said"), REFUSED)
def test_what_makes_no_sense_is_refused(
    care_day: Day, given: dict[str, str], error: type[Exception], said: str
) -> None:
    other = {name: value for name, value in given.items() if name != "what"}
    with pytest.raises(error, match=said):
        did(care_day, 0, given["what"], **other)
    assert care_day.watch.journal.last_seq() == 0


def test_a_deed_recorded_by_mistake_is_taken_back_and_stays_reachable(care_day: Day) -> None:
    kept = did(care_day, 0, "greased", place="de", amount="12 g")
    program = care_day.watch.program
    program.take_back(kept.entry.id, why="other pump", who=VALE, now=care_day.at(1))
    assert care(care_day, "W1A").last("greased", "de") is None
    assert care_day.watch.journal.get(kept.entry.id).body["event"] == "greased"
    reading = care_day.read(2, "50 A", tag="W1A", point="motor_current").entry
    with pytest.raises(ConflictError, match="no deed of care"):
        program.take_back(reading.id, why="x", who=VALE, now=care_day.at(3))


# ------------------------------------------------------------------ over-greasing


def test_greasing_too_soon_is_warned_of(care_day: Day) -> None:
    event(care_day, 0, "started")
    assert did(care_day, 0, "greased", place="de", amount="12 g").warnings == ()
    (warning,) = did(care_day, 10 * DAY, "greased", place="de", amount="12 g").warnings
    assert "Greased 10 days ago" in warning
    assert "ran 240 h since" in warning
    # The interval by the formula is 12,113 h: after more than half of it nothing is said.
    assert did(care_day, 300 * DAY, "greased", place="de", amount="12 g").warnings == ()


def test_too_much_grease_is_warned_of(care_day: Day) -> None:
    assert did(care_day, 0, "greased", place="de", amount="18 g").warnings == ()
    (warning,) = did(care_day, 0, "greased", place="nde", amount="19 g").warnings
    assert "19 g is more than the set 12.5 g" in warning


def test_greasing_because_it_is_warm_is_warned_of(care_day: Day) -> None:
    care_day.read(0, "80 degC", tag="W1A", point="bearing_temperature_de")
    (warning,) = did(care_day, 1, "greased", place="de", amount="12 g").warnings
    assert "usually has too much grease" in warning
    (other,) = did(care_day, 1, "greased", place="de", tag="F2").warnings
    assert "no grease point" in other


def test_a_cup_turned_once_more_for_luck_is_warned_of(care_day: Day) -> None:
    assert did(care_day, 0, "grease cup turned", tag="G3", amount="0.25").warnings == ()
    (again,) = did(care_day, 0.5, "grease cup turned", tag="G3", amount="0.25").warnings
    assert "Turned 30 min ago already" in again
    (more,) = did(care_day, 4.5, "grease cup turned", tag="G3", amount="1").warnings
    assert "1 turns are more than the set 0.25" in more
    (cup,) = items(care_day, 5, "G3", "grease cup")
    assert "29 times what the formula asks for" in cup.remarks[0]


def test_after_greasing_the_temperature_is_asked_for(care_day: Day) -> None:
    did(care_day, 0, "greased", place="de", amount="12 g")
    (asked,) = care_day.watch.follow_ups(care_day.at(0))
    assert (asked.point, asked.due_at) == ("bearing_temperature_de", care_day.at(1))
    assert "because it is warm" in asked.what


def test_a_bearing_hot_after_greasing_speaks_in_the_diagnosis(care_day: Day) -> None:
    event(care_day, -1, "started")
    care_day.read(0, "50 degC", tag="W1A", point="bearing_temperature_de")
    kept = did(care_day, 1, "greased", place="de", amount="40 g")
    care_day.read(2, "90 degC", tag="W1A", point="bearing_temperature_de")
    causes = care_day.watch.diagnose_pump("W1A", care_day.at(3)).causes
    assert causes[0].cause == "bearing-overgreased"
    care_day.watch.program.take_back(kept.entry.id, why="W1B", who=VALE, now=care_day.at(4))
    again = care_day.watch.diagnose_pump("W1A", care_day.at(5)).causes
    assert again[0].cause != "bearing-overgreased"


def test_a_bearing_hot_before_greasing_is_not_laid_to_it(care_day: Day) -> None:
    care_day.read(0, "90 degC", tag="W1A", point="bearing_temperature_de")
    did(care_day, 1, "greased", place="de", amount="12 g")
    care_day.read(2, "91 degC", tag="W1A", point="bearing_temperature_de")
    watch = care_day.watch
    with watch.journal.reading() as ledger:
        assert care_findings(watch.desk, ledger, watch.desk.pump("W1A"), care_day.at(3)) == {}


# ------------------------------------------------------------------ oil that goes


def top_up(day: Day, days: float, liters: float, tag: str = "F2", **other: str) -> Kept:
    return did(
        day, days * DAY, "oil topped up", tag=tag, place="pump", amount=f"{liters} L", **other
    )


def test_a_reservoir_is_refilled_and_its_reason_sought(care_day: Day) -> None:
    kept = top_up(care_day, 0, 1.0)
    assert any("Where did the oil go?" in words for words in kept.follow_ups)
    assert any("unchanged since the top-up" in words for words in kept.follow_ups)
    found = top_up(care_day, 10, 1.0, found="flange of the filter, tightened by maintenance")
    assert not any("Where did" in words for words in found.follow_ups)


def test_top_ups_that_grow_open_a_trouble_and_are_evidence(care_day: Day) -> None:
    for days in (0, 10, 20, 30):
        kept = top_up(care_day, days, 1.0)
        assert kept.trouble_id is None
    kept = top_up(care_day, 34, 1.0)
    assert kept.trouble_id is not None
    (line,) = care_day.watch.troubles(care_day.at(34 * DAY))
    assert line.severity is Severity.WATCH
    assert "250 mL a day, usually 100 mL a day" in line.sentence
    diagnosis = care_day.watch.diagnose_pump("F2", care_day.at(34 * DAY + 1))
    assert diagnosis.causes[0].cause == "oil-system-leaking"
    (item,) = items(care_day, 34 * DAY + 1, "F2", "oil use")
    assert item.state == "due"
    # It lasts again: nothing more is claimed of the log.
    assert items(care_day, 46 * DAY, "F2", "oil use") == []


def test_an_oiler_that_empties_faster_is_its_own_finding(care_day: Day) -> None:
    for days in (0, 14, 28, 42, 45):
        top_up(care_day, days, 0.1, tag="H4")
    watch, at = care_day.watch, care_day.at(45 * DAY + 1)
    with watch.journal.reading() as ledger:
        found = care_findings(watch.desk, ledger, watch.desk.pump("H4"), at)
        before = care_findings(watch.desk, ledger, watch.desk.pump("H4"), at - timedelta(days=2))
    assert found == {"oiler-emptying-fast": True}
    assert before == {}  # what was done later is not known yet


# ------------------------------------------------------------------ due


def test_grease_is_due_by_running_hours(care_day: Day) -> None:
    event(care_day, 0, "started")
    did(care_day, 0, "greased", place="de", amount="12 g")
    item = next(i for i in items(care_day, 1, "W1A", "grease") if i.place == "de")
    assert item.state == "later"
    assert item.due_at == pytest.approx(care_day.at(12113.3), abs=timedelta(hours=1))
    assert (item.strokes, item.amount) == (10, pytest.approx(0.0125))
    assert "ran 1 h of 12113 h" in item.sentence
    driver = next(i for i in items(care_day, 1, "W1A", "grease") if i.place == "driver_de")
    assert driver.source == "amount: plant file; interval: plant file"
    assert driver.amount == pytest.approx(0.03)
    assert "the formula gives 12.5 g" in driver.beside
    for hours, state in ((3000, "later"), (3900, "soon"), (4001, "due"), (4200, "overdue")):
        driver = next(i for i in items(care_day, hours, "W1A", "grease") if i.place == "driver_de")
        assert driver.state == state


def test_a_pump_that_stands_is_greased_by_the_calendar(care_day: Day) -> None:
    event(care_day, 0, "stopped")
    did(care_day, 0, "greased", place="de", amount="12 g")
    item = next(i for i in items(care_day, 1, "W1A", "grease") if i.place == "de")
    assert item.due_at == pytest.approx(
        care_day.at(48 * 365.25 / 12 * DAY), abs=timedelta(minutes=1)
    )


def test_what_was_never_recorded_says_so(care_day: Day) -> None:
    (change,) = items(care_day, 0, "W1B", "oil change")
    assert change.state == "not known"
    assert "Neither the last time nor any running is on record" in change.sentence
    event(care_day, 0, "started", tag="W1B")
    (change,) = items(care_day, 1, "W1B", "oil change")
    assert "Never recorded; since 03 Nov 2025" in change.sentence
    assert change.due_at == pytest.approx(care_day.at(4000), abs=timedelta(minutes=1))


def test_the_grease_cup_is_due_at_each_round(care_day: Day) -> None:
    (cup,) = items(care_day, 0, "G3", "grease cup")
    assert (cup.state, cup.amount) == ("due", 0.25)
    # By the formula a charge of 12.5 g each 6,056 h (vertical: half): 0.0087 turns in 4 h.
    assert "the formula gives 0.0087 turns" in cup.beside
    did(care_day, 0, "grease cup turned", tag="G3", amount="0.25")
    assert [items(care_day, h, "G3", "grease cup")[0].state for h in (1, 3.5, 7)] == [
        "later", "due", "overdue",
    ]  # fmt: skip
    event(care_day, 8, "stopped", tag="G3")
    assert items(care_day, 9, "G3", "grease cup")[0].state == "later"


def test_samples_are_due_by_running_or_by_the_calendar(care_day: Day) -> None:
    event(care_day, 0, "stopped", tag="F2")
    assert items(care_day, 80 * DAY, "F2", "oil sample")[0].state == "later"
    assert items(care_day, 100 * DAY, "F2", "oil sample")[0].state == "overdue"  # 3 months
    did(care_day, 100 * DAY, "oil sampled", tag="F2", place="pump")
    assert items(care_day, 101 * DAY, "F2", "oil sample")[0].state == "later"
    event(care_day, 101 * DAY, "started", tag="F2")
    (item,) = items(care_day, 101 * DAY + 2060, "F2", "oil sample")  # 87 days on
    assert item.state == "overdue"
    assert "ran 2060 h of 2000 h" in item.sentence
    assert items(care_day, 0, "F2", "oil change") == []  # a system is changed on analysis


def test_the_list_walks_from_pump_to_pump(care_day: Day) -> None:
    event(care_day, 0, "started")
    view = care_day.watch.program.due(care_day.at(1))
    walked = list(dict.fromkeys(item.tag for item in view.items))
    assert walked == ["W1A", "W1B", "F2", "G3", "H4"]
    assert all(item.caution for item in view.items)
    assert set(view.pressing()) < set(view.items)


def test_the_plant_file_is_asked_for_what_is_missing(care_day: Day) -> None:
    assert care_day.watch.program.due(care_day.at(0)).remarks == ()
