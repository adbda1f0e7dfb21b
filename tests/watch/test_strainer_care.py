"""Strainers: the next cleaning, and the clean differential pressure learned anew."""

import pytest

from gaugewalk.judge.severity import Severity
from gaugewalk.watch.care_views import CleanView, DueItem
from gaugewalk.watch.remembered import Remembered, point_key

from .watch_day import Day, run_from

VALE, DP = "r. vale", "suction_strainer_dp"
DAY = 24.0


def dp(day: Day, hours: float, bar: float, flow: float | None = 100.0) -> None:
    if flow is not None:
        day.read(hours - 0.05, f"{flow} m3/h", tag="W1A", point="flow")
    day.read(hours, f"{bar:.4f} bar", tag="W1A", point=DP)


def clean(day: Day, hours: float) -> None:
    day.watch.program.did("W1A", "strainer cleaned", who=VALE, now=day.at(hours))


def item(day: Day, hours: float) -> DueItem:
    view = day.watch.program.due(day.at(hours))
    return next(one for one in view.items if one.kind == "strainer")


def view(day: Day, hours: float) -> CleanView:
    (found,) = day.watch.program.care("W1A", day.at(hours)).clean
    return found


def foul(day: Day, start: float, days: int, first: float = 0.05, rate: float = 0.01) -> None:
    """One reading in twelve hours; the strainer clogs by so many bar a day."""
    for n in range(days * 2):
        wobble = 0.001 * (n % 3 - 1)
        dp(day, start + 12 * n, first + rate * n / 2 + wobble)


def test_the_next_cleaning_is_forecast(care_day: Day) -> None:
    run_from(care_day, -1)
    foul(care_day, 0, days=14)
    found = item(care_day, 14 * DAY)
    # 0.05 bar and 0.01 bar a day: 0.2 bar (watch) after 15 days, told about two days ahead.
    assert found.due_at is not None
    assert found.due_at == pytest.approx(
        care_day.at(15 * DAY), abs=care_day.at(2 * DAY) - care_day.at(0)
    )
    assert found.state in ("due", "soon")
    assert (found.deed, found.place, found.procedure) == (
        "strainer cleaned", "suction", "strainer-cleaning",
    )  # fmt: skip
    assert "lockout-tagout" in found.caution


def test_past_its_limit_it_is_overdue(care_day: Day) -> None:
    run_from(care_day, -1)
    dp(care_day, 0, 0.35)
    assert item(care_day, 1).state == "overdue"


def test_after_cleaning_the_forecast_begins_anew(care_day: Day) -> None:
    run_from(care_day, -1)
    foul(care_day, 0, days=12)
    clean(care_day, 12 * DAY)
    for n in range(8):
        dp(care_day, 12 * DAY + 1 + 6 * n, 0.05 + 0.001 * (n % 3))
    assert item(care_day, 14 * DAY).state == "later"


def test_clean_is_learned_anew(care_day: Day) -> None:
    run_from(care_day, -1)
    for n in range(30):
        dp(care_day, 6 * n, 0.12 + 0.001 * (n % 3))
    key = point_key("W1A", DP)
    assert Remembered.from_json(care_day.watch.journal.load_state(key)).state.fit is not None
    clean(care_day, 181)
    assert Remembered.from_json(care_day.watch.journal.load_state(key)).state.fit is None
    # Half of what it was is now normal; without the cleaning it would have been odd.
    taken = care_day.read(182, "0.05 bar", tag="W1A", point=DP)
    assert taken.verdict.severity is Severity.NORMAL


def test_the_clean_value_is_compared_with_the_last_at_one_flow(care_day: Day) -> None:
    run_from(care_day, -1)
    assert view(care_day, 0).sentence.endswith("no cleaning on record.")
    clean(care_day, 0)
    assert "not read within two days" in view(care_day, 1).sentence
    for n in range(4):
        dp(care_day, 1 + n, 0.05)
    first = view(care_day, 5)
    assert (first.before, first.before_source) == (pytest.approx(5000.0), "plant file")
    assert not first.worse
    foul(care_day, 10, days=6)
    clean(care_day, 7 * DAY)
    # At 120 m3/h the drop is 1.44 times that at 100: 0.0792 there is 0.055 here, as clean.
    for n in range(4):
        dp(care_day, 7 * DAY + 1 + n, 0.0792, flow=120.0)
    second = view(care_day, 7 * DAY + 6)
    assert second.clean == pytest.approx(5500.0, rel=1e-3)
    assert second.scaled_to == pytest.approx(100 / 3600)
    assert not second.worse
    assert "as clean as before" in second.sentence


BAD = [(0.09, "not as clean as before"), (0.02, "Is the basket torn")]


@pytest.mark.parametrize(("bar", "said"), BAD)
def test_a_strainer_that_is_not_as_before_is_told(care_day: Day, bar: float, said: str) -> None:
    run_from(care_day, -1)
    clean(care_day, 0)
    for n in range(3):
        dp(care_day, 1 + n, bar)
    found = view(care_day, 6)
    assert found.worse
    assert said in found.sentence
    assert item(care_day, 6).remarks == (found.sentence,)


def test_without_flow_it_is_said(care_day: Day) -> None:
    run_from(care_day, -1)
    clean(care_day, 0)
    dp(care_day, 1, 0.09, flow=None)
    found = view(care_day, 6)
    assert not found.worse
    assert "Flow was not read beside both" in found.sentence


def test_readings_of_a_standing_pump_do_not_count(care_day: Day) -> None:
    run_from(care_day, -1)
    clean(care_day, 0)
    care_day.watch.event("W1A", "stopped", who=VALE, now=care_day.at(1))
    dp(care_day, 2, 0.0, flow=None)
    assert view(care_day, 6).readings == 0


def test_a_filter_is_changed_not_cleaned(care_day: Day) -> None:
    found = next(
        one for one in care_day.watch.program.due(care_day.at(0)).items if one.kind == "oil filter"
    )
    assert (found.tag, found.deed, found.place) == ("F2", "oil filter changed", "pump")
    kept = care_day.watch.program.did("F2", "oil filter changed", who=VALE, now=care_day.at(0))
    assert kept.entry.body["renews"] == ["oil_filter_dp"]
