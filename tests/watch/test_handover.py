"""The handover: nothing that was opened falls out of it, and both sign what they read."""

import random
from datetime import datetime, timedelta

import pytest

from gaugewalk.errors import ArgumentError, ConflictError
from gaugewalk.journal.ids import new_id
from gaugewalk.judge.severity import Severity
from gaugewalk.watch.handover import SECTIONS
from gaugewalk.watch.handover_view import Handover, sections_from, sections_json, to_json
from gaugewalk.watch.service import Watch

from .month import Month, without
from .watch_day import Day

VALE, MARSH = "r. vale", "s. marsh"


def ids(told: Handover, *sections: str) -> set[str]:
    return {item.id for name in sections for item in told.section(name).items}


def checked(month: Month, watch: Watch) -> None:
    """Compare what is told with the month's own book."""
    told = watch.papers.handover(month.now)
    waiting = {i for i in ids(told, "overdue", "due", "later") if not i.startswith("round ")}
    begun = {item.id for item in told.section("unfinished").items if "steps answered" in item.text}
    out = {item.tag for item in told.section("unfinished").items if "Isolated" in item.text}
    assert ids(told, "troubles") == set(month.troubles.values())
    assert ids(told, "remedies") == set(month.remedies)
    assert waiting == month.asked()
    assert begun == month.lists
    assert out == month.isolated
    assert ids(told, "notes") == month.notes
    here = {tag for tag in month.limits if tag in watch.desk.pumps}
    assert {item.tag for item in told.section("limits").items} == here


@pytest.mark.parametrize("seed", range(3))
def test_nothing_that_was_opened_falls_out(day: Day, seed: int) -> None:
    month = Month(watch=day.watch, dice=random.Random(seed))
    for n in range(100):
        month.step()
        if n % 25 == 24:
            checked(month, day.watch)
    assert month.now - day.at(0) > timedelta(days=24)
    day.watch.rebuild()
    checked(month, day.watch)
    checked(month, without(day.watch, "C1A"))


def test_the_random_month_is_no_empty_one(day: Day) -> None:
    """Over the seeds above every kind of thing stands open at some time, and some are ended."""
    seen: set[str] = set()
    month = Month(watch=day.watch, dice=random.Random(1))
    for _ in range(100):
        month.step()
        seen |= {k for k in ("troubles", "remedies", "lists", "isolated", "notes", "limits")
                 if getattr(month, k)}  # fmt: skip
    assert len(seen) == 6
    steps = [e.body["step"] for e in day.watch.journal.entries(kinds=["trouble"])]
    assert steps.count("closed") > 0


def opened(day: Day) -> str:
    id = day.read(0, "2.0").trouble_id
    assert id is not None
    return id


def test_it_names_trouble_likely_cause_next_check_remedy_and_number(day: Day) -> None:
    id = opened(day)
    day.watch.act("C1A", id, "Throttled a little", kind="temporary", who=VALE, now=day.at(1))
    day.watch.act(
        "C1A", id, "Vented the casing", trial="vent", result="gas", who=VALE, now=day.at(1.5)
    )
    (trouble,) = day.watch.papers.handover(day.at(2)).section("troubles").items
    assert (trouble.tag, trouble.severity, trouble.mark) == ("C1A", "act", "since 06:00")
    assert "2 barg is below the act limit 2.2 barg" in trouble.text
    told = "\n".join(trouble.more)
    assert "Most likely: " in told
    assert "Would tell most: " in told
    assert "Done 07:30 by r. vale: Vented the casing. Result: gas." in told
    (remedy,) = day.watch.papers.handover(day.at(2)).section("remedies").items
    assert (remedy.text, remedy.mark, remedy.more) == (
        "Throttled a little", "since 07:00", ("By r. vale.",),
    )  # fmt: skip


def test_due_is_until_the_next_watch_ends_and_later_is_later(day: Day) -> None:
    for hours in (-1.0, 15.9, 16.1):  # the next watch is on from 8 h to 16 h
        day.watch.add_follow_up("S3", f"At {hours}", day.at(hours), who=VALE, now=day.at(-2))
    told = day.watch.papers.handover(day.at(7))
    texts = {name: [i.text for i in told.section(name).items if i.tag] for name in
             ("overdue", "due", "later")}  # fmt: skip
    assert texts == {"overdue": ["At -1.0"], "due": ["At 15.9"], "later": ["At 16.1"]}
    assert told.section("overdue").items[0].late


def test_a_remark_stands_until_it_is_replaced_or_wiped(day: Day) -> None:
    write = day.watch.papers.write_remark
    write("troubles", "Ask the electrician.", who=VALE, now=day.at(1))
    write("troubles", "He was here.", who=VALE, now=day.at(2))
    write("general", "Quiet.", who=VALE, now=day.at(2))
    told = day.watch.papers.handover(day.at(3))
    remark = told.section("troubles").remark
    assert remark is not None
    assert (remark.text, remark.who, remark.mark) == ("He was here.", VALE, "08:00")
    assert told.general is not None
    write("troubles", " ", who=VALE, now=day.at(3))
    assert day.watch.papers.handover(day.at(4)).section("troubles").remark is None
    assert len(list(day.watch.journal.entries(kinds=["handover"]))) == 4
    # The next shift begins with a clean page.
    assert day.watch.papers.handover(day.at(9.5)).general is None


def test_a_remark_in_no_section_or_too_long_is_refused(day: Day) -> None:
    with pytest.raises(ArgumentError, match="Did you mean 'troubles'"):
        day.watch.papers.write_remark("trouble", "x", who=VALE, now=day.at(1))
    with pytest.raises(ArgumentError, match="4001"):
        day.watch.papers.write_remark("general", "x" * 4001, who=VALE, now=day.at(1))


def test_what_was_signed_is_kept_and_what_came_after_is_news(day: Day) -> None:
    first = opened(day)
    day.watch.papers.write_remark("general", "Quiet but for one.", who=VALE, now=day.at(7))
    day.watch.papers.sign(who=VALE, now=day.at(7.8))
    later = day.watch.open_trouble("S3", "It rattles.", Severity.WATCH, who=MARSH, now=day.at(7.9))
    day.read(7.95, "3.1")
    told = day.watch.papers.handover(day.at(8.2))  # after the change: still this one
    assert told.began_at == day.at(0)
    assert told.signed is not None
    assert (told.signed.who, told.signed.at, told.taken) == (VALE, day.at(7.8), None)
    assert ids(told, "troubles") == {first}
    assert [item.id for item in told.news] == [later]
    assert told.gone == ()
    assert {item.id for item in told.to_read} == {first, later}
    assert told.general is not None


def test_the_incoming_reads_each_pump_in_trouble_and_signs_with_another_name(day: Day) -> None:
    id = opened(day)
    take = day.watch.papers.take_over
    with pytest.raises(ConflictError, match="outgoing first"):
        take([id], who=MARSH, now=day.at(7.7))
    day.watch.papers.sign(who=VALE, now=day.at(7.8))
    with pytest.raises(ConflictError, match="another name"):
        take([id], who=VALE, now=day.at(8))
    with pytest.raises(ConflictError, match="Not yet read: C1A"):
        take([], who=MARSH, now=day.at(8))
    made = new_id(day.at(8.1))
    for _ in range(2):  # the same sent twice is signed once
        entry = take([id], who=MARSH, now=day.at(8.1), text="I look at ten.", id=made)
        assert entry.id == made
    told = day.watch.papers.handover(day.at(8.2), shift=day.at(1))
    assert told.taken is not None
    assert (told.taken.who, told.taken.read, told.taken.text) == (MARSH, (id,), "I look at ten.")
    assert told.news == ()
    with pytest.raises(ConflictError, match=r"s\. marsh took this shift over at 14:06"):
        day.watch.papers.sign(who=VALE, now=day.at(8.3), shift=day.at(1))
    assert day.watch.papers.handover(day.at(8.3)).began_at == day.at(8)


def test_signed_again_before_it_is_taken_over_the_newer_stands(day: Day) -> None:
    opened(day)
    day.watch.papers.sign(who=VALE, now=day.at(7.5))
    with pytest.raises(ConflictError, match="Sign it again"):
        day.watch.papers.write_remark("general", "x", who=VALE, now=day.at(7.6))
    day.watch.open_trouble("S3", "It rattles.", Severity.WATCH, who=VALE, now=day.at(7.7))
    day.watch.papers.sign(who=VALE, now=day.at(7.8))
    told = day.watch.papers.handover(day.at(7.9))
    assert len(told.section("troubles").items) == 2
    assert told.news == ()
    assert len(list(day.watch.journal.entries(kinds=["handover"]))) == 2


@pytest.mark.parametrize(
    ("signed", "taken", "hours", "began"),
    [
        (False, False, 7.0, 0),  # the shift that is on
        (False, False, 8.5, 0),  # a late writer
        (False, False, 9.5, 8),  # nobody came back to it
        (True, False, 9.5, 0),  # waits for the incoming
        (True, False, 12.5, 8),  # half a shift later no longer
        (True, True, 8.5, 8),
    ],
)
def test_which_shift_is_handed_over(
    day: Day, signed: bool, taken: bool, hours: float, began: float
) -> None:
    if signed:
        day.watch.papers.sign(who=VALE, now=day.at(7.9))
    if taken:
        day.watch.papers.take_over([], who=MARSH, now=day.at(8.1))
    assert day.watch.papers.handover(day.at(hours)).began_at == day.at(began)


def test_every_section_is_told_even_where_there_is_nothing(day: Day) -> None:
    told = day.watch.papers.handover(day.at(0.5))
    assert [section.title for section in told.sections] == [title for _, title, _ in SECTIONS]
    text = day.watch.handover_text(day.at(0.5))
    for _, title, _ in SECTIONS:
        assert f"\n{title.upper()}\n" in text


def test_the_plain_text_carries_remarks_news_and_names(day: Day) -> None:
    id = opened(day)
    day.watch.papers.write_remark("troubles", "Two lines\nof it.", who=VALE, now=day.at(7))
    day.watch.papers.sign(who=VALE, now=day.at(7.8))
    day.watch.note("S3", "Key is in the office.", standing=True, who=VALE, now=day.at(7.9))
    text = day.watch.handover_text(day.at(8.1))
    assert "  > Two lines\n  > of it. (r. vale, 13:00)" in text
    assert "NEW SINCE IT WAS SIGNED\n- 13:54 S3 Sump pump: Key is in the office." in text
    assert "Handed over by: r. vale, Mon 3 Nov 2025 13:48" in text
    day.watch.papers.take_over([id], who=MARSH, now=day.at(8.2))
    later = day.watch.papers.handover(day.at(8.3), shift=day.at(1))
    assert later.taken is not None


def test_sections_survive_being_kept(day: Day) -> None:
    opened(day)
    day.watch.papers.write_remark("notes", "None today.", who=VALE, now=day.at(1))
    told = day.watch.papers.handover(day.at(2))
    assert sections_from(sections_json(told.sections)) == told.sections
    assert datetime.fromisoformat(to_json(told)["began_at"]) == day.at(0)


def test_a_round_that_goes_over_the_change_is_told_by_both(day: Day) -> None:
    day.watch.start_round("outside", who=VALE, now=day.at(7.8))
    before = day.watch.papers.handover(day.at(7.9))
    assert any("is being walked" in item.text for item in before.section("unfinished").items)
    day.read(8.1, "1.2", tag="S3")
    told = day.watch.papers.handover(day.at(8.2), shift=day.at(8.2))
    assert "outside: 1 of 1 points taken." in [item.text for item in told.section("rounds").items]
