"""Changed limits: who, when, why, old and new; the file stays the base; old verdicts stay."""

import pytest

from gaugewalk.errors import ArgumentError, UnitError
from gaugewalk.journal.store import Journal
from gaugewalk.judge.severity import Severity
from gaugewalk.watch.service import Watch

from .watch_day import Day

VALE, REED = "r. vale", "k. reed"
DP = "suction_strainer_dp"


def change(day: Day, hours: float, field: str, text: str, **other: object) -> None:
    given: dict[str, object] = {"why": "new basket", "who": REED, "now": day.at(hours), "point": DP}
    day.watch.program.change_limit("W1A", field, text, **(given | other))  # type: ignore[arg-type]


def verdict(day: Day, hours: float, bar: str) -> Severity:
    return day.read(hours, bar, tag="W1A", point=DP).verdict.severity


def test_a_changed_limit_judges_what_comes_and_not_what_was(care_day: Day) -> None:
    before = care_day.read(0, "0.25 bar", tag="W1A", point=DP)
    assert before.verdict.severity is Severity.WATCH
    change(care_day, 1, "act_high", "0.22 bar")
    after = care_day.read(2, "0.25 bar", tag="W1A", point=DP)
    assert after.verdict.severity is Severity.ACT
    kept = care_day.watch.journal.get(before.entry.id)
    assert kept.body["verdict"]["severity"] == "watch"
    assert ["act", "high", 30000.0, "plant file"] in kept.body["limits"]
    assert ["act", "high", 22000.0, "changed since the plant file"] in after.entry.body["limits"]


def test_the_change_says_who_when_why_old_and_new(care_day: Day) -> None:
    change(care_day, 1, "act_high", "0.22 bar")
    (entry,) = care_day.watch.journal.entries(kinds=["limit"])
    assert (entry.tag, entry.point, entry.who, entry.value) == ("W1A", DP, REED, 22000.0)
    assert (entry.body["old"], entry.body["why"]) == (30000.0, "new basket")
    assert entry.body["text"] == (
        "Suction strainer differential pressure, act limit high: 0.3 bar to 0.22 bar, "
        "because: new basket"
    )
    view = care_day.watch.program.limits("W1A", care_day.at(2))
    line = next(one for one in view.lines if (one.point, one.field) == (DP, "act_high"))
    assert (line.shown, line.filed_shown, line.changed_by) == ("0.22 bar", "0.3 bar", REED)
    assert line.changed_at == care_day.at(1)
    assert [change.text for change in view.history] == [entry.body["text"]]


def test_the_plant_file_can_be_put_in_force_again(care_day: Day) -> None:
    program = care_day.watch.program
    with pytest.raises(ArgumentError, match="is as the plant file has it"):
        program.restore_limit("W1A", "act_high", point=DP, why="x", who=REED, now=care_day.at(0))
    change(care_day, 1, "act_high", "0.22 bar")
    care_day.watch.program.restore_limit(
        "W1A", "act_high", point=DP, why="old basket back", who=VALE, now=care_day.at(2)
    )
    assert verdict(care_day, 3, "0.25 bar") is Severity.WATCH
    texts = [one.text for one in care_day.watch.program.limits("W1A", care_day.at(4)).history]
    assert "0.22 bar to 0.3 bar, because: old basket back" in texts[0]


def test_a_limit_can_be_added_and_taken_away(care_day: Day) -> None:
    change(care_day, 0, "stop_high", "0.5 bar")
    assert verdict(care_day, 1, "0.6 bar") is Severity.STOP
    change(care_day, 2, "stop_high", "none")
    assert verdict(care_day, 3, "0.6 bar") is Severity.ACT
    change(care_day, 4, "watch_low", "20", point="flow")
    assert care_day.read(5, "10", tag="W1A", point="flow").verdict.severity is not Severity.NORMAL


def test_a_datum_of_the_pump_can_be_changed(care_day: Day) -> None:
    change(care_day, 0, "driver_lubrication.grease_mass", "20 g", point=None)
    items = care_day.watch.program.due(care_day.at(1)).items
    driver = next(i for i in items if i.tag == "W1A" and i.place == "driver_de")
    assert driver.amount == pytest.approx(0.02)
    change(care_day, 1, "seal.leak_off_low", "10 drops/min", point=None)
    taken = care_day.read(2, "5 drops/min", tag="W1A", point="leak_off")
    assert taken.verdict.severity is Severity.WATCH


REFUSED = [
    ({"field": "act_hihg"}, ArgumentError, "Did you mean 'act_high'"),
    ({"field": "act_high", "text": "0.3 bar"}, ArgumentError, "is 0.3 bar already"),
    ({"field": "act_high", "text": "0.1 bar"}, ArgumentError, "limits that rise in this order"),
    ({"field": "act_high", "text": "3 barg"}, UnitError, "difference"),
    ({"field": "act_high", "text": "0.2 to 0.25 bar"}, ArgumentError, "one value is wanted"),
    ({"field": "act_high", "why": " "}, ArgumentError, "why"),
    ({"field": "act_high", "point": "sucton_strainer_dp"}, LookupError, "suction_strainer_dp"),
    ({"field": "curve.speed", "point": None}, ArgumentError, "changed in the plant file"),
    ({"field": "seal.kind", "point": None}, ArgumentError, "no quantity"),
    ({"field": "discharge_strainer.clean_dp", "point": None}, ArgumentError, "has no discharge"),
    ({"field": "seal.leak_off_low", "point": None, "text": "none"}, ArgumentError, "not taken"),
    (
        {"field": "seal.leak_off_low", "point": None, "text": "-1 L/min"},
        ArgumentError,
        "zero or more",
    ),
]


@pytest.mark.parametrize(("given", "error", "said"), REFUSED)
def test_what_makes_no_sense_is_refused(
    care_day: Day, given: dict[str, object], error: type[Exception], said: str
) -> None:
    other = {name: value for name, value in given.items() if name not in ("field", "text")}
    with pytest.raises(error, match=said):
        change(care_day, 0, str(given["field"]), str(given.get("text", "0.22 bar")), **other)
    assert care_day.watch.journal.last_seq() == 0


def test_another_program_sees_the_change(care_day: Day, place: str) -> None:
    journal = Journal.open(place)
    other = Day(
        Watch(plant=care_day.watch.plant, journal=journal, knowledge=care_day.watch.knowledge)
    )
    assert verdict(other, 0, "0.25 bar") is Severity.WATCH
    change(care_day, 1, "act_high", "0.22 bar")
    assert verdict(other, 2, "0.25 bar") is Severity.ACT
    desk = other.watch.desk
    assert other.watch.desk is desk  # the same as long as nothing changed
    journal.close()


def test_a_rebuild_judges_each_reading_by_the_limits_of_its_time(care_day: Day) -> None:
    for n in range(12):
        verdict(care_day, n, f"{0.18 + 0.001 * (n % 3):.3f} bar")
    change(care_day, 12, "watch_high", "0.17 bar")
    for n in range(13, 18):
        verdict(care_day, n, f"{0.18 + 0.001 * (n % 3):.3f} bar")
    care_day.watch.program.restore_limit(
        "W1A", "watch_high", point=DP, why="was a slip", who=VALE, now=care_day.at(18)
    )
    verdict(care_day, 19, "0.18 bar")
    before = care_day.watch.journal.load_states("")
    care_day.watch.rebuild()
    assert care_day.watch.journal.load_states("") == before
