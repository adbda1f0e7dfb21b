"""A reading from what was typed to what stands on the board."""

from collections.abc import Callable
from datetime import timedelta

import pytest

from gaugewalk.errors import ArgumentError, ConflictError, NotFoundError, UnitError
from gaugewalk.journal.ids import new_id
from gaugewalk.judge.severity import Severity
from gaugewalk.watch.take import verdict_in

from .watch_day import Day, settle

BAROMETRIC = 101325.0 * (1 - 2.25577e-5 * 64) ** 5.2559  # ISA at 64 m, [Pa]


def test_a_bare_number_is_read_in_the_points_own_unit(day: Day) -> None:
    taken = day.read(0, "3.1")
    assert taken.entry.value == pytest.approx(3.1e5 + BAROMETRIC, rel=1e-5)
    assert (taken.entry.entered, taken.entry.unit) == ("3.1", "barg")
    assert taken.verdict.severity is Severity.NORMAL
    assert taken.extra_checks == ()


def test_another_unit_may_be_typed_or_chosen(day: Day) -> None:
    typed = day.read(0, "45 psig").entry.value
    assert typed == pytest.approx(45 * 6894.757 + BAROMETRIC, rel=1e-5)
    assert day.read(1, "45", unit="psig").entry.value == typed


def test_what_cannot_be_read_is_refused_and_nothing_is_stored(day: Day) -> None:
    with pytest.raises(UnitError):
        day.read(0, "about three")
    assert day.watch.journal.last_seq() == 0
    day.read(0, "3.1")


def test_unknown_words_name_the_nearest(day: Day) -> None:
    with pytest.raises(NotFoundError, match="C1A"):
        day.read(0, "3.1", tag="C1AA")
    with pytest.raises(NotFoundError, match="discharge_pressure"):
        day.read(0, "3.1", point="discharge_presure")
    with pytest.raises(ArgumentError, match="who"):
        day.read(0, "3.1", who="  ")


def test_an_impossible_reading_is_stored_and_doubted_never_refused(day: Day) -> None:
    settle(day)
    taken = day.read(0, "31 barg")  # the gauge ends at 6
    assert not taken.verdict.plausible
    assert taken.verdict.suspicion is not None
    assert "3.1" in taken.verdict.suspicion
    assert day.watch.journal.get(taken.entry.id).entered == "31 barg"
    assert taken.trouble_id is None  # it asks to be read again


def test_the_entry_holds_the_verdict_and_what_it_rests_on(day: Day) -> None:
    settle(day)
    day.read(0, "31 A", point="motor_current")
    taken = day.read(0.02, "2.5")
    stored = day.watch.journal.get(taken.entry.id)
    assert verdict_in(stored).to_json() == taken.verdict.to_json()
    assert stored.body["context"]["motor_current"] == 31.0
    assert stored.body["context"]["running"] == 1.0
    assert ["act", "low"] in [limit[:2] for limit in stored.body["limits"]]


def test_readings_of_another_half_hour_are_no_context(day: Day) -> None:
    day.read(0, "31 A", point="motor_current")
    assert day.read(0.51, "3.1").entry.body["context"] == {}


def test_a_standing_pump_teaches_no_normal(day: Day) -> None:
    day.watch.event("C1B", "stopped", who="r. vale", now=day.at(0))
    for n in range(1, 12):
        assert day.read(n, "0.0", tag="C1B").verdict.severity is Severity.NORMAL
    assert day.watch.pump_page("C1B", day.at(12)).running is False
    expected = day.watch.pump_page("C1B", day.at(12)).points[0].expected
    assert expected is not None
    assert expected.source != "own normal"


def test_sent_twice_is_the_same_reading_with_the_same_word(day: Day) -> None:
    settle(day)
    sent = {"id": new_id(day.at(0)), "seen_at": day.at(0)}
    first = day.read(0, "2.75", **sent)
    day.read(1, "3.1")
    count = day.watch.journal.last_seq()
    again = day.read(2, "2.75", **sent)
    assert again.entry == first.entry
    assert again.verdict.to_json() == first.verdict.to_json()
    assert day.watch.journal.last_seq() == count


def test_same_id_with_another_number_is_a_conflict(day: Day) -> None:
    id = new_id(day.at(0))
    day.read(0, "3.1", id=id)
    with pytest.raises(ConflictError, match=str(id)):
        day.read(0, "3.2", id=id)


def test_a_clock_ahead_is_noted_and_does_no_harm(day: Day) -> None:
    sent = {"id": new_id(day.at(0)), "seen_at": day.at(9)}
    taken = day.read(0, "3.1", **sent)
    assert taken.entry.seen_at == day.at(0)
    assert taken.entry.body["clock_said"] == day.at(9).isoformat()
    assert day.read(1, "3.1", **sent).entry == taken.entry


def test_a_late_reading_is_judged_in_its_place_and_moves_nothing(day: Day) -> None:
    settle(day)
    newest = day.read(0, "3.12")
    late = day.read(1, "2.5", seen_at=day.at(-3))
    assert late.verdict.severity is not Severity.NORMAL
    view = next(p for p in day.watch.pump_page("C1A", day.at(1)).points if p.last)
    assert view.last == newest.entry


def test_act_opens_one_trouble_and_further_readings_join_it(day: Day) -> None:
    settle(day)
    first = day.read(0, "2.1")
    assert first.verdict.severity is Severity.ACT
    assert first.trouble_id is not None
    assert 0 < len(first.extra_checks) <= 4
    second = day.read(0.5, "2.0")
    current = day.read(0.5, "45 A", point="motor_current")
    assert second.trouble_id == current.trouble_id == first.trouble_id
    (line,) = day.watch.troubles(day.at(1))
    assert (line.id, line.tag, line.severity) == (first.trouble_id, "C1A", Severity.ACT)
    worse = day.read(1, "0.5")
    assert worse.trouble_id == first.trouble_id
    assert day.watch.troubles(day.at(1))[0].severity is Severity.STOP
    assert day.watch.troubles(day.at(1))[0].sentence == worse.verdict.sentence


def test_watch_three_times_in_a_row_is_a_trouble(day: Day) -> None:
    words = [day.read(n, "95 drops/min", point="leak_off") for n in range(3)]
    assert [w.verdict.severity for w in words] == [Severity.WATCH] * 3
    assert [w.trouble_id is None for w in words] == [True, True, False]


def test_what_was_seen_days_ago_opens_no_trouble(day: Day) -> None:
    assert day.read(0, "1.9", seen_at=day.at(-30)).trouble_id is None
    assert day.watch.troubles(day.at(0)) == ()


def test_two_programs_on_one_journal_share_one_memory(open_day: Callable[[], Day]) -> None:
    one, other = open_day(), open_day()
    first = one.read(0, "2.1")
    second = other.read(0.2, "2.1")
    assert second.trouble_id == first.trouble_id
    assert other.watch.journal.verify().ok


def test_a_danger_sign_opens_a_trouble_at_once(day: Day) -> None:
    seen = day.watch.observe("C1A", "gland-smoke", True, who="r. vale", now=day.at(0))
    assert seen.trouble_id is not None
    assert day.watch.troubles(day.at(0))[0].severity is Severity.STOP
    absent = day.watch.observe("S3", "gland-smoke", False, who="r. vale", now=day.at(0))
    assert absent.trouble_id is None
    with pytest.raises(NotFoundError, match="gland-smoke"):
        day.watch.observe("S3", "gland-smok", True, who="r. vale", now=day.at(0))


def test_swing_is_kept_with_both_ends(day: Day) -> None:
    entry = day.read(0, "2.8 to 4.1 barg").entry
    assert entry.low == pytest.approx(2.8e5 + BAROMETRIC, rel=1e-5)
    assert entry.high == pytest.approx(4.1e5 + BAROMETRIC, rel=1e-5)


def test_a_reason_is_as_good_as_a_number_but_not_an_empty_one(day: Day) -> None:
    entry = day.watch.skip("C1A", "leak_off", "insulation on", who="r. vale", now=day.at(0))
    assert entry.body["reason"] == "insulation on"
    with pytest.raises(ArgumentError, match="reason"):
        day.watch.skip("C1A", "leak_off", " ", who="r. vale", now=day.at(0))


def test_after_an_overhaul_normal_is_learned_anew(day: Day) -> None:
    settle(day)
    day.watch.event("C1A", "overhauled", who="s. marsh", now=day.at(0))
    before = day.watch.journal.load_state("point/C1A/discharge_pressure")
    assert before is not None
    assert before["state"]["samples"] == []
    assert day.read(1, "3.3").verdict.rests_on == 0


def test_the_watch_counts_from_when_it_was_seen(day: Day) -> None:
    taken = day.read(2, "3.1", seen_at=day.at(1.5))
    assert taken.entry.seen_at == day.at(1.5)
    assert day.watch.journal.get(taken.entry.id).recorded_at == day.at(1.5) + timedelta(minutes=30)


def test_a_drift_inside_the_band_is_kept_in_sight_but_is_no_trouble(day: Day) -> None:
    settle(day, days=12)
    words = [day.read(6 * n, f"{3.19 + 0.01 * (n % 3):.2f}") for n in range(12)]
    drifting = [w for w in words if w.verdict.severity is Severity.WATCH]
    assert len(drifting) >= 3
    assert all(w.trouble_id is None for w in words)
    assert [u.tag for u in day.watch.this_watch(day.at(70)).uneasy] == ["C1A"]
