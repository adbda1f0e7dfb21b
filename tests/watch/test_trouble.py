"""From the first bad reading to the proof that it is cured."""

from uuid import UUID

import pytest

from gaugewalk.errors import ArgumentError, ConflictError, NotFoundError
from gaugewalk.journal.ids import new_id
from gaugewalk.judge.severity import Severity

from .watch_day import Day

WHO = "r. vale"


def troubled(day: Day) -> str:
    taken = day.read(0, "2.0")
    assert taken.trouble_id is not None
    return taken.trouble_id


def test_a_trouble_shows_causes_checks_and_actions(day: Day) -> None:
    id = troubled(day)
    view = day.watch.trouble(id, day.at(0.1))
    answer = view.diagnosis.to_json()
    assert view.pump.tag == "C1A"
    assert answer["causes"][0]["probability"] > 0
    assert answer["next_checks"]
    assert answer["actions"]
    assert all(cause["cause"] in view.titles for cause in answer["causes"])


def test_an_answer_is_remembered_and_moves_the_ranking(day: Day) -> None:
    id = troubled(day)
    before = day.watch.diagnose_pump("C1A", day.at(0.1)).to_json()["causes"]
    day.watch.observe("C1A", "vent-gives-gas", True, who=WHO, now=day.at(0.2))
    day.watch.observe("C1A", "noise-hiss", None, who=WHO, now=day.at(0.2))
    view = day.watch.trouble(id, day.at(0.3))
    assert view.diagnosis.to_json()["causes"] != before
    assert {a.finding: a.present for a in view.answered} == {
        "vent-gives-gas": True,
        "noise-hiss": None,
    }
    checks = view.diagnosis.to_json()["next_checks"]
    assert "vent-gives-gas" not in {check["finding"] for check in checks}


def test_an_action_asks_for_its_proof_in_time(day: Day) -> None:
    id = troubled(day)
    action = next(
        a
        for cause in day.watch.knowledge.causes.values()
        for a in cause.actions
        if a.verify and a.within == "30 min"
    )
    entry = day.watch.act("C1A", id, action.do, who=WHO, now=day.at(1))
    assert entry.body["action"] == action.kind
    (due,) = day.watch.follow_ups(day.at(1))
    assert (due.what, due.tag, due.trouble_id) == (action.verify, "C1A", id)
    assert due.due_at == day.at(1.5)
    assert day.watch.trouble(id, day.at(1)).follow_ups == (due,)
    day.watch.answer_follow_up(due.id, "it holds", who=WHO, now=day.at(1.4))
    assert day.watch.follow_ups(day.at(1.5)) == ()
    with pytest.raises(NotFoundError, match="answered before"):
        day.watch.answer_follow_up(due.id, "again", who=WHO, now=day.at(1.5))


def test_an_action_sent_twice_is_done_once(day: Day) -> None:
    id, sent = troubled(day), {"who": WHO, "now": day.at(1), "id": new_id(day.at(1))}
    action = next(a for c in day.watch.knowledge.causes.values() for a in c.actions if a.verify)
    day.watch.act("C1A", id, action.do, **sent)
    day.watch.act("C1A", id, action.do, **sent)
    assert len(day.watch.trouble(id, day.at(2)).done) == 1
    assert len(day.watch.follow_ups(day.at(2))) == 1


def close(day: Day, id: str, proof: UUID, hours: float) -> None:
    day.watch.close_trouble(
        id,
        cause="strainer clogged",
        cure="basket cleaned",
        proof=proof,
        who=WHO,
        now=day.at(hours),
    )


def test_it_is_closed_with_cause_cure_and_a_reading_that_is_normal_again(day: Day) -> None:
    id = troubled(day)
    day.watch.add_follow_up("C1A", "look again", day.at(9), who=WHO, now=day.at(1))
    good = day.read(3, "3.1").entry.id
    close(day, id, good, 3.1)
    view = day.watch.trouble(id, day.at(4))
    assert (view.closed_at, view.cause, view.cure) == (
        day.at(3.1), "strainer clogged", "basket cleaned",
    )  # fmt: skip
    assert day.watch.troubles(day.at(4)) == ()
    with pytest.raises(NotFoundError, match="no open trouble"):
        close(day, id, good, 5)


def test_no_proof_no_end(day: Day) -> None:
    before = day.read(-1, "3.1").entry.id
    id = troubled(day)
    still = day.read(1, "2.1").entry.id
    other = day.read(1, "1.2", tag="S3").entry.id
    for proof, said in ((before, "after"), (still, "this one is act"), (other, "reading of C1A")):
        with pytest.raises(ConflictError, match=said):
            close(day, id, proof, 2)
    good = day.read(3, "3.1").entry.id
    with pytest.raises(ArgumentError, match="cause"):
        day.watch.close_trouble(id, cause="", cure="c", proof=good, who=WHO, now=day.at(4))


def test_a_temporary_remedy_keeps_it_open_until_it_is_taken_back(day: Day) -> None:
    id = troubled(day)
    wedge = day.watch.act(
        "C1A", id, "Discharge throttled to half", kind="temporary", who=WHO, now=day.at(1)
    )
    good = day.read(3, "3.1").entry.id
    with pytest.raises(ConflictError, match="Discharge throttled to half"):
        close(day, id, good, 4)
    assert day.watch.trouble(id, day.at(4)).remedies == {
        str(wedge.id): "Discharge throttled to half"
    }
    day.watch.act("C1A", id, "Discharge opened again", ends=wedge.id, who=WHO, now=day.at(5))
    close(day, id, good, 6)


def test_actions_need_their_trouble_to_be_open(day: Day) -> None:
    id = troubled(day)
    close(day, id, day.read(3, "3.1").entry.id, 3)
    with pytest.raises(NotFoundError, match="no open trouble"):
        day.watch.act("C1A", id, "vented", who=WHO, now=day.at(4))
    day.watch.act("C1A", None, "greased", who=WHO, now=day.at(4))


def test_it_may_be_opened_by_hand_and_remembers_the_earlier_ones(day: Day) -> None:
    first = troubled(day)
    close(day, first, day.read(3, "3.1").entry.id, 3)
    second = day.watch.open_trouble(
        "C1A", "A new rattle at the coupling.", Severity.WATCH, who=WHO, now=day.at(20)
    )
    assert second != first
    view = day.watch.trouble(second, day.at(21))
    assert [line.id for line in view.earlier] == [first]
    assert view.severity is Severity.WATCH
    again = day.watch.open_trouble("C1A", "Louder.", Severity.ACT, who=WHO, now=day.at(22))
    assert again == second
    assert day.watch.trouble(second, day.at(23)).sentence == "Louder."


def test_its_line_of_time_holds_all_that_happened_meanwhile(day: Day) -> None:
    id = troubled(day)
    day.watch.note("C1A", "Smells of hot oil", who=WHO, now=day.at(0.5))
    day.watch.event("C1A", "stopped", who=WHO, now=day.at(0.6))
    day.watch.skip("C1A", "leak_off", "standing", who=WHO, now=day.at(0.7))
    kinds = [entry.kind for entry in day.watch.trouble(id, day.at(1)).timeline]
    assert kinds == ["reading", "trouble", "note", "event", "skipped"]


def test_a_trial_with_its_result_is_evidence(day: Day) -> None:
    troubled(day)
    before = day.watch.diagnose_pump("C1A", day.at(0.1)).to_json()["causes"]
    day.watch.act(
        "C1A", None, "Vented the casing", trial="vent", result="gas", who=WHO, now=day.at(0.5)
    )
    after = day.watch.diagnose_pump("C1A", day.at(0.6)).to_json()["causes"]
    assert after != before


@pytest.mark.parametrize("id", ["nonsense", "019a4883-f980-7d33-861b-e567f6abed3f"])
def test_unknown_troubles_are_not_found(day: Day, id: str) -> None:
    with pytest.raises(NotFoundError, match="no trouble"):
        day.watch.trouble(id, day.at(0))
    with pytest.raises(NotFoundError, match="no follow-up"):
        day.watch.answer_follow_up(id, "done", who=WHO, now=day.at(0))


def test_a_normal_trouble_is_none(day: Day) -> None:
    with pytest.raises(ArgumentError, match="severity"):
        day.watch.open_trouble("C1A", "all well", Severity.NORMAL, who=WHO, now=day.at(0))


def test_the_same_trouble_is_known_again_and_linked(day: Day) -> None:
    ids = []
    for n in range(3):
        start = 24.0 * n
        taken = day.read(start, "2.0")
        assert taken.trouble_id is not None
        ids.append(taken.trouble_id)
        if n < 2:
            close(day, taken.trouble_id, day.read(start + 3, "3.1").entry.id, start + 3.1)
    view = day.watch.trouble(ids[2], day.at(50))
    assert view.recurrence == (
        "Third time in 30 days at discharge pressure. Before: Tue 4 Nov (strainer clogged, basket "
        "cleaned); Mon 3 Nov (strainer clogged, basket cleaned)."
    )
    assert [line.id for line in view.earlier] == [ids[1], ids[0]]
    assert view.earlier[0].closed_at == day.at(27.1)
    assert day.watch.trouble(ids[0], day.at(50)).recurrence == ""


def test_what_is_long_ago_elsewhere_or_was_mistaken_is_no_recurrence(day: Day) -> None:
    first = troubled(day)
    close(day, first, day.read(3, "3.1").entry.id, 3.1)
    mistaken = day.read(10, "2.0", point="discharge_pressure")
    day.watch.correct(mistaken.entry.id, "3.0", who=WHO, now=day.at(10.1))
    assert day.watch.troubles(day.at(11)) == ()
    late = day.read(24 * 31, "2.0").trouble_id
    assert late is not None
    assert day.watch.trouble(late, day.at(24 * 31.1)).recurrence == ""
    other = day.read(24 * 31, "45 A", point="motor_current", tag="C1B").trouble_id
    assert other is None or day.watch.trouble(other, day.at(24 * 31.1)).recurrence == ""


def test_a_remedy_outside_any_trouble_stays_in_force_until_it_is_taken_back(day: Day) -> None:
    clamp = day.watch.act(
        "C1A", None, "Hose clamp on the seal water line", kind="temporary", who=WHO, now=day.at(1)
    )
    board = day.watch.desk.journal.load_state("pump/C1A")
    assert board is not None
    assert board["remedies"] == {str(clamp.id): "Hose clamp on the seal water line"}
    with pytest.raises(NotFoundError, match="no temporary remedy"):
        day.watch.act("C1B", None, "Line renewed", ends=clamp.id, who=WHO, now=day.at(2))
    day.watch.act("C1A", None, "Line renewed", ends=clamp.id, who=WHO, now=day.at(2))
    board = day.watch.desk.journal.load_state("pump/C1A")
    assert board is not None
    assert board["remedies"] == {}


def test_closing_leaves_what_was_asked_for_on_the_board(day: Day) -> None:
    id = troubled(day)
    action = next(a for c in day.watch.knowledge.causes.values() for a in c.actions if a.verify)
    day.watch.act("C1A", id, action.do, who=WHO, now=day.at(1))
    close(day, id, day.read(3, "3.1").entry.id, 3.1)
    (due,) = day.watch.follow_ups(day.at(4))
    assert (due.what, due.trouble_id) == (action.verify, id)
