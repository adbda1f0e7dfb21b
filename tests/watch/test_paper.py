"""Paper says what the page says, in bytes that depend on nothing but the data."""

import sys
from datetime import timedelta

import pytest

from gaugewalk.errors import ArgumentError
from gaugewalk.watch.handover_pdf import handover_pdf
from gaugewalk.watch.paper import make_pdf

from .watch_day import Day, settle

SHARP = '#panic("evaluated") $x *bold* _it_ @ref <label> `raw` \\ // no'


def sharp_day(day: Day) -> None:
    """Somebody writes what would be markup wherever a person can write."""
    settle(day, days=3)
    id = day.read(0, "2.0").trouble_id
    act, who = day.watch.act, SHARP[:60]
    act("C1A", id, SHARP, kind="temporary", result=SHARP, who=who, now=day.at(1))
    day.watch.add_follow_up("C1A", SHARP, day.at(2), who=who, now=day.at(1))
    day.watch.note("C1A", SHARP, standing=True, who=who, now=day.at(1))
    day.watch.skip("C1A", "leak_off", SHARP, who=who, now=day.at(1))
    day.watch.papers.write_remark("general", SHARP, who=who, now=day.at(1))
    day.watch.papers.write_remark("troubles", SHARP, who=who, now=day.at(1))
    day.watch.papers.sign(who=who, now=day.at(7.9))


def test_what_people_write_never_becomes_markup(day: Day) -> None:
    sharp_day(day)
    made = day.watch.papers.handover_pdf(day.at(8.2))
    assert made.startswith(b"%PDF-")


def test_the_same_data_at_the_same_time_make_the_same_bytes(day: Day) -> None:
    day.read(0, "2.0")
    told = day.watch.papers.handover(day.at(1))
    first, again, later = (
        handover_pdf(day.watch.desk, told, now=day.at(1) + timedelta(minutes=m)) for m in (0, 0, 1)
    )
    assert first == again != later


def test_a_pump_in_trouble_comes_with_its_course(day: Day) -> None:
    settle(day, days=3)
    plain = len(day.watch.papers.handover_pdf(day.at(-1)))
    day.read(0, "2.0")
    drawn = day.watch.papers.handover_pdf(day.at(1))
    assert len(drawn) > plain + 2000


def test_paper_of_another_size(day: Day) -> None:
    assert day.watch.papers.handover_pdf(day.at(1), paper="us-letter").startswith(b"%PDF-")
    with pytest.raises(ArgumentError, match="a4, us-letter"):
        day.watch.papers.handover_pdf(day.at(1), paper="a0")


def test_without_the_typesetter_it_says_what_to_install(
    day: Day, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "typst", None)
    with pytest.raises(ArgumentError, match=r"gaugewalk\[pdf\]"):
        make_pdf("handover", {}, now=day.at(0))
