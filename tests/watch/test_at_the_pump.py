"""What a phone is given for the pump: words for findings, help by one sign, readings made twice."""

import json
from datetime import timedelta
from pathlib import Path

import pytest

from gaugewalk.diagnose.knowledge import load_knowledge
from gaugewalk.errors import NotFoundError
from gaugewalk.watch.carried import carried
from gaugewalk.watch.first_help import first_help
from gaugewalk.watch.service import Watch
from gaugewalk.watch.states import answered, answers_of, looks_at
from tests.web.seeded import NOW, TAGS, TROUBLED, copy_of, seed


@pytest.fixture(scope="module")
def seeded(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return seed(tmp_path_factory.mktemp("seeded"))


@pytest.fixture
def watch(seeded: Path, tmp_path: Path) -> Watch:
    return copy_of(seeded, tmp_path)


@pytest.mark.parametrize("tag", TAGS)
def test_every_word_means_findings_of_the_book(watch: Watch, tag: str) -> None:
    known = load_knowledge().findings
    for look in looks_at(watch.desk.pump(tag)):
        assert len({choice.words for choice in look.choices}) == len(look.choices)
        told = [dict(choice.findings) for choice in look.choices]
        assert all(told[a] != told[b] for a in range(len(told)) for b in range(a))
        assert all(finding in known for choice in told for finding in choice)
        assert not any(told[0].values()) or look.id == "leak-off"  # the first word is the calm one


def test_a_word_that_is_not_asked_is_told(watch: Watch) -> None:
    pump = watch.desk.pump("B11A")
    assert answers_of(pump, "seal", "drips") == {"seal-dripping": True, "seal-spraying": False}
    with pytest.raises(NotFoundError, match="nothing to look at under 'leak-off'"):
        answers_of(pump, "leak-off", "drops")
    with pytest.raises(NotFoundError, match="dry, drips, sprays"):
        answers_of(pump, "seal", "wet")


def test_what_was_answered_is_found_again(watch: Watch) -> None:
    pump = watch.desk.pump("W21A")
    since = NOW - timedelta(minutes=1)
    assert answered(watch.desk, pump, since) == {}
    for finding, present in answers_of(pump, "oil", "milky").items():
        watch.observe("W21A", finding, present, who="R. Vale", now=NOW)
    assert answered(watch.desk, pump, since) == {"oil": "milky"}
    assert answered(watch.desk, pump, NOW + timedelta(minutes=1)) == {}


def test_help_names_causes_that_show_the_sign_at_such_a_pump(watch: Watch) -> None:
    knowledge = load_knowledge()
    for tag in TAGS:
        pump = watch.desk.pump(tag)
        for states in first_help(watch.desk, pump).values():
            for causes in states.values():
                assert 1 <= len(causes) <= 4
                assert all(knowledge.cause(id).title == title for id, title in causes)
    packed = first_help(watch.desk, watch.desk.pump("W21A"))["leak_off"]
    sealed = first_help(watch.desk, watch.desk.pump("B11A"))
    assert any("packing" in id or "gland" in id for id, _ in packed["zero"] + packed["high"])
    assert not any(
        "packing" in id for s in sealed.values() for causes in s.values() for id, _ in causes
    )


def test_what_is_carried_is_plain_json_and_knows_the_limits(watch: Watch) -> None:
    made = json.loads(json.dumps(carried(watch.desk, TROUBLED), allow_nan=False))
    point = made["points"]["discharge_pressure"]
    assert {row[0] for row in point["limits"]} >= {"watch", "act"}
    assert made["last"]["discharge_pressure"]["value"] == pytest.approx(
        watch.journal.latest(TROUBLED)["discharge_pressure"].value
    )
    with pytest.raises(NotFoundError):
        carried(watch.desk, "NOPE")


def test_readings_of_one_point_in_one_round_are_told(watch: Watch) -> None:
    view = watch.start_round("water side", who="A. Reed", now=NOW)
    for minute, (who, text) in enumerate((("B. Hale", "3.4"), ("A. Reed", "32"))):
        at = NOW + timedelta(minutes=minute)
        taken = watch.take_reading(
            "W21A", "discharge_pressure", text, who=who, now=at, round_id=view.id
        )
    watch.take_reading("W21A", "flow", "250", who="A. Reed", now=NOW, round_id=view.id)
    later = NOW + timedelta(minutes=5)
    watch.correct(taken.entry.id, "3.2", who="A. Reed", now=later)
    twice = watch.read_twice(view.id, "W21A")
    assert list(twice) == ["discharge_pressure"]
    assert [e.entered for e in twice["discharge_pressure"]] == ["3.4", "3.2"]
    assert watch.read_twice(view.id, TROUBLED) == {}
