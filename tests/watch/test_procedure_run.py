"""Running a check-list: ticks, readings, waits, holds, breaking off, two persons, offline."""

import pytest

from gaugewalk.errors import ArgumentError, ConflictError, NotFoundError
from gaugewalk.journal.ids import new_id
from gaugewalk.watch.procedure_views import RunView, StepView

from .watch_day import Day, run_from

VALE, MARSH = "r. vale", "s. marsh"


def begin(day: Day, id: str, tag: str, hours: float = 0.0, who: str = VALE) -> RunView:
    return day.watch.program.begin(id, tag, who=who, now=day.at(hours))


def tick(day: Day, run: RunView, step: str, hours: float, **other: object) -> RunView:
    given: dict[str, object] = {"who": VALE, "now": day.at(hours)}
    return day.watch.program.tick(run.id, step, **(given | other))  # type: ignore[arg-type]


def step(run: RunView, id: str) -> StepView:
    return next(one for one in run.steps if one.id == id)


def events(day: Day, tag: str) -> list[str]:
    found = day.watch.journal.entries(kinds=["event"], tags=[tag])
    return [str(entry.body["event"]) for entry in found]


# ------------------------------------------------------------------ ticking


def test_a_list_is_kept_as_it_was_begun_and_can_be_gone_on_with(care_day: Day) -> None:
    run = begin(care_day, "grease-cup", "G3")
    assert [one.id for one in run.steps] == ["look", "turn", "refill"]
    assert [one.is_next for one in run.steps] == [True, False, False]
    assert step(run, "turn").places == ("de",)
    run = tick(care_day, run, "look", 0.1)
    assert (step(run, "look").state, step(run, "look").who_did) == ("done", VALE)
    again = begin(care_day, "grease-cup", "G3", hours=1, who=MARSH)
    assert again.id == run.id
    (line,) = care_day.watch.program.under_way()
    assert (line.tag, line.done, line.of) == ("G3", 1, 3)
    assert line.next_text.startswith("Turn the cap 0.25 of a turn")


def test_two_persons_see_and_tick_the_same_list(care_day: Day) -> None:
    run = begin(care_day, "grease-cup", "G3")
    tick(care_day, run, "look", 0.1, who=MARSH)
    seen = tick(care_day, run, "look", 0.2, who=VALE)  # once more, by the other
    assert step(seen, "look").who_did == MARSH
    assert seen.who == (VALE, MARSH)
    entries = list(care_day.watch.journal.entries(kinds=["procedure"]))
    assert [entry.body["step"] for entry in entries] == ["begun", "done"]


def test_a_tick_records_its_deed_with_the_amount(care_day: Day) -> None:
    run = begin(care_day, "grease-cup", "G3")
    tick(care_day, run, "turn", 0.1, amounts={"de": "0.25"})
    (entry,) = care_day.watch.journal.entries(kinds=["event"])
    assert (entry.body["event"], entry.body["place"], entry.value) == (
        "grease cup turned", "de", 0.25,
    )  # fmt: skip
    view = care_day.watch.program.due(care_day.at(0.2))
    assert next(i for i in view.items if i.kind == "grease cup").state == "later"


def test_amounts_are_for_places_the_pump_has(care_day: Day) -> None:
    run = begin(care_day, "grease", "W1A")
    care_day.read(0.05, "50 degC", tag="W1A", point="bearing_temperature_de")
    tick(care_day, run, "right-grease", 0.1)
    tick(care_day, run, "before", 0.1, readings={"bearing_temperature_de": "50"})
    tick(care_day, run, "guarded", 0.1)
    with pytest.raises(ArgumentError, match="Where\\? Name one or more of de, nde, driver_de"):
        tick(care_day, run, "give", 0.2, result="no change")
    with pytest.raises(ArgumentError, match="driver_nde"):
        tick(care_day, run, "give", 0.2, result="no change", amounts={"driver_nde": "9 g"})
    run = tick(
        care_day, run, "give", 0.2, result="no change", amounts={"de": "12 g", "nde": "40 g"}
    )
    assert events(care_day, "W1A") == ["greased", "greased"]
    assert "40 g is more than the set 12.5 g" in step(run, "give").warnings[0]
    # The trial is evidence for the diagnosis, the follow-up of the list comes at its own step.
    actions = list(care_day.watch.journal.entries(kinds=["action"]))
    assert [(a.body["trial"], a.body["result"]) for a in actions] == [("grease", "no change")]
    assert care_day.watch.follow_ups(care_day.at(0.3)) == ()
    tick(care_day, run, "after", 0.4)
    (asked,) = care_day.watch.follow_ups(care_day.at(0.5))
    assert "1 h after greasing" in asked.what
    assert asked.due_at == care_day.at(1.4)


# ------------------------------------------------------------------ readings and results


def test_readings_of_a_step_are_judged_like_any_other(care_day: Day) -> None:
    run = begin(care_day, "strainer-cleaning", "W1A")
    assert [p.point for p in step(run, "before").points] == ["flow", "suction_strainer_dp"]
    with pytest.raises(ArgumentError, match="Not read yet: suction_strainer_dp"):
        tick(care_day, run, "before", 0.1, readings={"flow": "100"})
    assert care_day.watch.journal.latest("W1A") == {}  # nothing of a refused tick is stored
    tick(care_day, run, "before", 0.2, readings={"flow": "100", "suction_strainer_dp": "0.35"})
    latest = care_day.watch.journal.latest("W1A")
    assert latest["suction_strainer_dp"].body["verdict"]["severity"] == "act"
    assert latest["suction_strainer_dp"].who == VALE


def test_a_reading_taken_since_the_last_step_counts(care_day: Day) -> None:
    run = begin(care_day, "strainer-cleaning", "W1A")
    care_day.read(0.1, "100", tag="W1A", point="flow", who=MARSH)
    tick(care_day, run, "before", 0.2, not_taken={"suction_strainer_dp": "gauge broken"})
    (skipped,) = care_day.watch.journal.entries(kinds=["skipped"])
    assert skipped.body["reason"] == "gauge broken"
    for id in ("out-of-service", "lockout", "cover", "basket", "close", "fill"):
        tick(care_day, run, id, 0.3)
    with pytest.raises(ArgumentError, match="Not read yet: suction_strainer_dp, flow"):
        tick(care_day, run, "clean-dp", 0.4)  # the old reading is from before the cleaning


def test_what_was_read_or_skipped_meanwhile_shows_in_the_step(care_day: Day) -> None:
    watch = care_day.watch
    care_day.read(-0.1, "90", tag="W1A", point="flow")  # before the list was begun
    run = begin(care_day, "strainer-cleaning", "W1A")
    shown = {p.point: p for p in step(run, "before").points}
    assert not shown["flow"].taken
    care_day.read(0.1, "100", tag="W1A", point="flow")
    watch.skip("W1A", "suction_strainer_dp", "No time", who=VALE, now=care_day.at(0.1))
    shown = {p.point: p for p in step(watch.program.run(run.id, care_day.at(0.2)), "before").points}
    assert shown["flow"].taken
    assert shown["suction_strainer_dp"].skipped == "No time"
    assert step(tick(care_day, run, "before", 0.2), "before").state == "done"


def test_what_the_step_does_not_ask_for_is_refused(care_day: Day) -> None:
    run = begin(care_day, "grease-cup", "G3")
    with pytest.raises(ArgumentError, match="this step asks for none"):
        tick(care_day, run, "look", 0.1, readings={"flow": "1"})
    with pytest.raises(ArgumentError, match="asks for no result"):
        tick(care_day, run, "look", 0.1, result="fine")
    with pytest.raises(ArgumentError, match="counts none"):
        tick(care_day, run, "look", 0.1, amounts={"de": "1"})
    with pytest.raises(NotFoundError, match="it has look, turn, refill"):
        tick(care_day, run, "lok", 0.1)


def test_a_result_is_one_of_the_lists(care_day: Day) -> None:
    run = begin(care_day, "oil-top-up", "F2")
    tick(care_day, run, "right-oil", 0.1)
    tick(care_day, run, "level", 0.1, readings={"oil_reservoir_level": "55 %"})
    with pytest.raises(ArgumentError, match="One of clear, milky, dark, glitter"):
        tick(care_day, run, "look", 0.2)
    with pytest.raises(ArgumentError, match="'cleer'; expected one of"):
        tick(care_day, run, "look", 0.2, result="cleer")
    assert step(tick(care_day, run, "look", 0.2, result="clear"), "look").result == "clear"


# ------------------------------------------------------------------ waiting


def test_a_step_is_not_ticked_before_its_time_without_a_reason(care_day: Day) -> None:
    run = begin(care_day, "oil-top-up", "F2")
    tick(care_day, run, "right-oil", 0.0)
    tick(care_day, run, "level", 0.0, readings={"oil_reservoir_level": "55 %"})
    tick(care_day, run, "look", 0.0, result="clear")
    run = tick(care_day, run, "add", 1.0, amounts={"pump": "2 L"}, found="none yet")
    assert step(run, "settle").ready_at == care_day.at(1 + 5 / 60)
    with pytest.raises(ArgumentError, match="5 min after the step before; 2 min are left"):
        tick(care_day, run, "settle", 1.05, readings={"oil_reservoir_level": "70 %"})
    early = tick(
        care_day, run, "settle", 1.05,
        readings={"oil_reservoir_level": "70 %"}, reason="thin warm oil, level stands",
    )  # fmt: skip
    assert step(early, "settle").reason == "thin warm oil, level stands"


# ------------------------------------------------------------------ holds


def test_a_hold_stops_the_list_and_is_passed_by_name_only(care_day: Day) -> None:
    run = begin(care_day, "strainer-cleaning", "W1A")
    assert step(run, "cover").blocked_by == "lockout"
    with pytest.raises(ConflictError, match=r"First the hold 'lockout': The site's lockout"):
        tick(care_day, run, "cover", 0.1)
    program = care_day.watch.program
    with pytest.raises(ArgumentError, match="name who allows it"):
        program.skip_step(run.id, "lockout", reason="no locks", who=VALE, now=care_day.at(0.2))
    with pytest.raises(ArgumentError, match="reason"):
        program.skip_step(
            run.id, "lockout", reason=" ", allowed_by="k. reed", who=VALE, now=care_day.at(0.2)
        )
    with pytest.raises(ConflictError, match="lockout"):
        program.finish(run.id, reason="busy", who=VALE, now=care_day.at(0.2))
    passed = program.skip_step(
        run.id, "lockout", reason="basket taken out of an empty line", allowed_by="k. reed",
        who=VALE, now=care_day.at(0.3),
    )  # fmt: skip
    assert step(passed, "lockout").allowed_by == "k. reed"
    (said,) = passed.passed_holds
    assert "passed by r. vale, allowed by k. reed: basket taken out of an empty line" in said
    assert step(passed, "cover").blocked_by == ""


def test_a_step_ticked_by_mistake_is_opened_again(care_day: Day) -> None:
    run = begin(care_day, "strainer-cleaning", "W1A")
    tick(care_day, run, "lockout", 0.1)
    program = care_day.watch.program
    opened = program.reopen_step(
        run.id, "lockout", reason="drain was shut", who=MARSH, now=care_day.at(0.2)
    )
    assert step(opened, "lockout").state == "open"
    assert step(opened, "cover").blocked_by == "lockout"
    steps = [e.body["step"] for e in care_day.watch.journal.entries(kinds=["procedure"])]
    assert steps == ["begun", "done", "reopened"]  # both stay


# ------------------------------------------------------------------ the end


def test_a_list_with_open_steps_is_finished_only_with_a_reason(care_day: Day) -> None:
    run = begin(care_day, "grease-cup", "G3")
    program = care_day.watch.program
    with pytest.raises(ArgumentError, match="3 steps have no answer"):
        program.finish(run.id, who=VALE, now=care_day.at(0.1))
    over = program.finish(run.id, reason="pump taken out", who=VALE, now=care_day.at(0.2))
    assert (over.ended, over.ended_at) == ("finished", care_day.at(0.2))
    assert {one.reason for one in over.steps} == {"pump taken out"}
    assert program.under_way() == ()
    with pytest.raises(ConflictError, match="is finished; begin it anew"):
        tick(care_day, run, "look", 0.3)
    assert begin(care_day, "grease-cup", "G3", hours=0.4).id != run.id


def test_breaking_off_says_how_the_pump_was_left_and_nags(care_day: Day) -> None:
    run = begin(care_day, "isolation", "F2")
    program = care_day.watch.program
    with pytest.raises(ArgumentError, match="left_as"):
        program.break_off(run.id, reason="alarm", left_as="", who=VALE, now=care_day.at(0.1))
    over = program.break_off(
        run.id, reason="called to a fire alarm", left_as="stopped, suction half shut",
        who=VALE, now=care_day.at(0.2),
    )  # fmt: skip
    assert (over.ended, over.left_as) == ("broken off", "stopped, suction half shut")
    (asked,) = care_day.watch.follow_ups(care_day.at(0.3))
    assert "Left as: stopped, suction half shut" in asked.what
    assert asked.due_at == care_day.at(8)  # end of the shift


def test_a_whole_changeover_from_ready_to_log(care_day: Day) -> None:
    run_from(care_day, -200, "W1A")
    run = begin(care_day, "changeover", "W1A")
    steps = [
        ("why", {}),
        ("before", {"readings": {"flow": "100", "motor_current": "50 A"}}),
        ("ready", {}),
        ("start", {}),
        ("prove", {"readings": {"motor_current": "48 A"}, "reason": "seen at once"}),
        ("shift-load", {}),
        ("stop", {}),
        ("backward", {"result": "stands"}),
        ("line-up", {}),
        ("log", {"readings": {"motor_current": "49 A"}}),
    ]
    for n, (id, given) in enumerate(steps):
        run = tick(care_day, run, id, 0.1 * (n + 1), **given)
    over = care_day.watch.program.finish(run.id, who=VALE, now=care_day.at(2))
    assert over.passed_holds == ()
    assert events(care_day, "W1A") == ["started", "stopped"]
    assert events(care_day, "W1B") == ["started"]
    assert care_day.watch.journal.latest("W1B")["motor_current"].value == 49.0
    a, b = (care_day.watch.program.care(tag, care_day.at(3)).hours for tag in ("W1A", "W1B"))
    assert (a.running, b.running) == (False, True)
    (asked,) = care_day.watch.follow_ups(care_day.at(2))
    assert asked.tag == "W1B"


def test_the_third_venting_of_a_shift_is_no_cure(care_day: Day) -> None:
    warned = []
    for n in range(3):
        run = begin(care_day, "venting", "G3", hours=n)
        run = tick(care_day, run, "source", n + 0.1)
        run = tick(care_day, run, "vent", n + 0.2, result="gas")
        warned.append(step(run, "vent").warnings)
        care_day.watch.program.skip_step(
            run.id, "turn", reason="left to the start", allowed_by="k. reed",
            who=VALE, now=care_day.at(n + 0.3),
        )  # fmt: skip
        care_day.watch.program.finish(run.id, reason="test", who=VALE, now=care_day.at(n + 0.4))
    assert [len(one) for one in warned] == [0, 0, 1]
    assert "Vented 3 times this shift: gas has a cause" in warned[2][0]
    # What came of each venting is evidence.
    first = care_day.watch.diagnose_pump("G3", care_day.at(3)).causes[0]
    assert "vent-gives-gas" in {reason.finding for reason in first.reasons_for}


def test_a_tick_sent_twice_from_a_phone_is_one(care_day: Day) -> None:
    id, at = new_id(care_day.at(0.1)), care_day.at(0.1)
    run = begin(care_day, "grease-cup", "G3")
    for _ in range(2):
        tick(care_day, run, "turn", 0.1, amounts={"de": "0.25"}, id=id, seen_at=at)
    assert events(care_day, "G3") == ["grease cup turned"]


def test_return_to_service_lets_normal_be_learned_anew_and_is_evidence(care_day: Day) -> None:
    run = begin(care_day, "return-to-service", "W1A")
    for id in ("report", "complete", "locks", "oil", "seal", "rotation"):
        run = tick(care_day, run, id, 0.1)
    run = tick(care_day, run, "fill", 0.1, result="gas")
    for id in ("leaks", "overhauled", "start"):
        run = tick(care_day, run, id, 0.2)
    run = tick(care_day, run, "vent-again", 0.5, result="gas")
    acceptance = {"flow": "100", "motor_current": "50 A"}
    run = tick(care_day, run, "acceptance", 0.6, readings=acceptance)
    run = tick(care_day, run, "back", 0.6)
    assert events(care_day, "W1A") == ["overhauled", "started", "back in service"]
    causes = [c.cause for c in care_day.watch.diagnose_pump("W1A", care_day.at(1)).causes]
    assert causes[0].startswith("air-")


# ------------------------------------------------------------------ what is asked for


def test_what_does_not_fit_is_refused(care_day: Day) -> None:
    with pytest.raises(ArgumentError, match="is for pumps with seal: packing; F2 is not one"):
        begin(care_day, "packing-adjustment", "F2")
    with pytest.raises(NotFoundError, match="Did you mean"):
        begin(care_day, "start-upp", "F2")
    with pytest.raises(NotFoundError):
        begin(care_day, "start-up", "F9")
    with pytest.raises(NotFoundError, match="no procedure under way"):
        care_day.watch.program.run("00000000-0000-7000-8000-000000000000", care_day.at(0))


def test_the_list_as_text_for_a_pump(care_day: Day) -> None:
    program = care_day.watch.program
    run = begin(care_day, "round-standby", "W1B")
    view = program.procedure("round-standby", "W1B")
    assert [line.id for line in view.running] == [run.id]
    assert view.pump is not None
    last_run = next(one for one in view.steps if one.id == "last-run")
    assert any("every 6 weeks, better every 4" in words for words in last_run.settings)
    assert any("Also found: Each week (NAVFAC MO-209)" in words for words in last_run.settings)
    listed = {line.id for line in program.procedures("W1B")}
    assert listed < {line.id for line in program.procedures()}
