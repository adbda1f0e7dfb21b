"""What the screens need is made anew where another version kept it in another form."""

from dataclasses import dataclass

import pytest

from gaugewalk.watch import form as forms
from gaugewalk.watch.form import form, is_kept, keep

from .watch_day import Day, settle


@dataclass
class Inner:
    a: int


@dataclass
class Outer:
    inner: tuple[Inner, ...]


def test_the_form_is_told_from_the_fields_all_the_way_down() -> None:
    @dataclass
    class Other:
        a: int
        b: int

    before = form((Outer,))
    Outer.__annotations__["inner"] = tuple[Other, ...]
    changed = form((Outer,))
    Outer.__annotations__["inner"] = tuple[Inner, ...]
    assert form((Outer,)) == before != changed
    assert form((Outer,), 2) != before


def test_a_new_journal_takes_on_the_form(day: Day) -> None:
    assert is_kept(day.watch.desk)
    day.read(0, "3.1")
    assert is_kept(day.watch.desk)
    day.watch.rebuild()
    assert is_kept(day.watch.desk)


def test_another_form_is_made_anew(day: Day, monkeypatch: pytest.MonkeyPatch) -> None:
    assert is_kept(day.watch.desk)
    settle(day, days=1)
    states = day.watch.journal.load_states("")
    broken = {key: {"in": "another form"} for key in states}
    with day.watch.journal.writing() as ledger:
        ledger.save_states(broken)
    with pytest.raises((KeyError, TypeError)):
        day.watch.this_watch(day.at(1))
    monkeypatch.setattr(forms.form, "__defaults__", (forms.KEPT, 2))
    assert not is_kept(day.watch.desk)
    assert keep(day.watch.desk) == len(states)
    assert is_kept(day.watch.desk)
    assert day.watch.journal.load_states("") == states
    day.watch.this_watch(day.at(1))
