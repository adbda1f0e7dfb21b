"""Closed troubles shift what is thought of first, by counts shown and reversible."""

import pytest

from gaugewalk.errors import ConflictError

from .watch_day import Day

WHO = "r. vale"
CAUSE = "check-valve-leaking-back"


def closed(day: Day, cause: str, hours: float = 0.0, tag: str = "C1A") -> str:
    """Open a trouble with a bad reading and close it with a good one."""
    id = day.read(hours, "2.0", tag=tag).trouble_id
    assert id is not None
    proof = day.read(hours + 1, "3.1", tag=tag).entry.id
    day.watch.close_trouble(
        id, cause=cause, cure="mended", proof=proof, who=WHO, now=day.at(hours + 1.1)
    )
    return id


def chance(day: Day, hours: float, cause: str = CAUSE) -> float:
    day.read(hours, "2.0")
    causes = day.watch.diagnose_pump("C1A", day.at(hours + 0.1)).causes
    return next((one.probability for one in causes if one.cause == cause), 0.0)


def counts(day: Day, hours: float) -> dict[str, float]:
    learned = day.watch.diagnose_pump("C1A", day.at(hours)).to_json()["learned"]
    assert isinstance(learned, list)
    return {row["cause"]: row["count"] for row in learned}


def test_a_confirmed_cause_is_likelier_the_next_time_and_is_shown(day: Day) -> None:
    assert counts(day, -1) == {}
    id = closed(day, CAUSE)
    assert counts(day, 2) == {CAUSE: 1.0}
    view = day.watch.trouble(id, day.at(2))
    assert [one.cause for one in view.diagnosis.learned] == [CAUSE]
    with_it = chance(day, 3)
    day.watch.name_cause(id, "a bird in the pipe", who=WHO, now=day.at(3.2))
    assert counts(day, 4) == {}
    assert chance(day, 5) < with_it


def test_another_cause_found_later_takes_the_first_one_back(day: Day) -> None:
    id = closed(day, CAUSE)
    day.watch.name_cause(id, "wear-rings-worn", who=WHO, now=day.at(2))
    assert counts(day, 3) == {"wear-rings-worn": 1.0}
    view = day.watch.trouble(id, day.at(3))
    assert view.cause == day.watch.knowledge.causes["wear-rings-worn"].title
    assert CAUSE in {entry.body.get("cause_id") for entry in view.timeline}


def test_the_title_of_a_cause_counts_and_other_words_do_not(day: Day) -> None:
    closed(day, day.watch.knowledge.causes[CAUSE].title)
    closed(day, "nobody knows", hours=4)
    assert counts(day, 6) == {CAUSE: 1.0}


def test_a_pump_of_the_kind_counts_half_and_of_another_kind_nothing(day: Day) -> None:
    closed(day, CAUSE, tag="C1B")
    assert counts(day, 3) == {CAUSE: 0.5}
    other = day.watch.diagnose_pump("S3", day.at(3)).to_json()["learned"]
    assert other == []


def test_an_open_trouble_gets_its_cause_when_it_is_closed(day: Day) -> None:
    id = day.read(0, "2.0").trouble_id
    assert id is not None
    with pytest.raises(ConflictError, match="still open"):
        day.watch.name_cause(id, CAUSE, who=WHO, now=day.at(1))
