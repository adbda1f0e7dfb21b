"""The knowledge is whole, and the loader refuses what contradicts itself or leaves a gap."""

import json
from pathlib import Path

import pytest

from gaugewalk.diagnose.knowledge import Knowledge, load_knowledge
from gaugewalk.errors import FileError, NotFoundError

KEPT = json.loads((Path(__file__).parent / "kept_ids.json").read_text("utf-8"))
CAUSE = """
[[cause]]
id = "{id}"
title = "T"
group = "G"
what_happens = "W"
prior = "rare"
finding = [{findings}]
action = [
  {{ kind = "now", do = "Do", who = "operator", caution = "{caution}" }},
  {{ kind = "cure", do = "Do", who = "maintenance", caution = "Care" }},
  {{ kind = "report", do = "Do", who = "operator", caution = "Care" }},
]
"""
HISS = '{ id = "noise-hiss", strength = 3 }'


@pytest.fixture(scope="module")
def knowledge() -> Knowledge:
    return load_knowledge()


def own(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "own.toml"
    path.write_text(text, "utf-8")
    return path


def faults(tmp_path: Path, text: str) -> str:
    with pytest.raises(FileError) as caught:
        load_knowledge(own(tmp_path, text))
    return str(caught.value)


@pytest.mark.parametrize("kind", ["causes", "findings"])
def test_no_agreed_id_is_lost(knowledge: Knowledge, kind: str) -> None:
    assert set(KEPT[kind]) <= set(getattr(knowledge, kind))


def test_every_cause_can_be_acted_on_with_care(knowledge: Knowledge) -> None:
    for cause in knowledge.causes.values():
        if not cause.innocent:
            assert {"now", "cure", "report"} <= {action.kind for action in cause.actions}
            assert all(action.caution and action.who for action in cause.actions)


def test_every_question_reads_as_a_question(knowledge: Knowledge) -> None:
    assert all(finding.ask.endswith("?") for finding in knowledge.findings.values())


def test_every_link_has_a_source(knowledge: Knowledge) -> None:
    used = {link.source for cause in knowledge.causes.values() for link in cause.links}
    assert used <= set(knowledge.sources)


def test_every_strong_link_says_why(knowledge: Knowledge) -> None:
    for cause in knowledge.causes.values():
        if not cause.innocent:
            assert all(link.why for link in cause.links if abs(link.strength) >= 3), cause.id


def test_look_alikes_say_how_to_tell_apart(knowledge: Knowledge) -> None:
    for cause in knowledge.causes.values():
        assert cause.tell_apart or not cause.look_alikes, cause.id


def test_a_plant_can_add_a_cause(tmp_path: Path) -> None:
    text = CAUSE.format(id="own-cause", findings=HISS, caution="Care")
    assert load_knowledge(own(tmp_path, text)).cause("own-cause").strength("noise-hiss") == 3


def test_a_plant_can_change_one_field_and_one_link(tmp_path: Path, knowledge: Knowledge) -> None:
    text = """
[[cause]]
id = "air-trapped"
prior = "rare"
finding = [{ id = "noise-hiss", strength = 1 }]
"""
    changed = load_knowledge(own(tmp_path, text)).cause("air-trapped")
    was = knowledge.cause("air-trapped")
    assert changed.prior == "rare"
    assert changed.title == was.title
    assert changed.strength("noise-hiss") == 1
    assert changed.strength("just-started") == was.strength("just-started")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (
            CAUSE.format(id="a", findings='{ id = "noise-his", strength = 3 }', caution="C"),
            "noise-hiss",
        ),
        (
            CAUSE.format(id="a", findings='{ id = "noise-hiss", strength = 7 }', caution="C"),
            "strength 7",
        ),
        (
            CAUSE.format(id="a", findings='{ id = "noise-hiss", strength = "3" }', caution="C"),
            "a int",
        ),
        (
            CAUSE.format(id="a", findings='{ id = "noise-hiss", strength = -2 }', caution="C"),
            "no finding for it",
        ),
        (CAUSE.format(id="a", findings=HISS, caution=" "), "action without caution"),
        (
            CAUSE.format(
                id="a",
                findings='{ id = "flow-high", strength = 3 }, { id = "flow-low", strength = 3 }',
                caution="C",
            ),
            "they exclude each other",
        ),
        ('[[cause]]\nid = "a"\n', "no title"),
        ('[[cause]]\nid = "air-trapped"\nprior = "commonn"\n', "common"),
        ('[[cause]]\nid = "air-trapped"\nleads_to = ["air-traped"]\n', "air-trapped"),
        ('[[cause]]\nid = "air-trapped"\napplies = { suction = ["lifts"] }\n', "lift"),
        ('[[cause]]\nid = "air-trapped"\nactoin = []\n', "actions"),
        (
            '[[finding]]\nid = "n"\ngroup = "G"\ntitle = "T"\nask = "A?"\nhow = "H"\n',
            "no cause linked",
        ),
        (
            '[[reading]]\nfinding = "flow-low"\npoints = ["flow"]\nquantity = "flow"\n'
            'state = "low"\nchange = "ratio"\nby = "10"\nspread = "3 %"\n',
            "unit",
        ),
        (
            '[[cause]]\nid = "packing-burnt"\nleads_to = ["packing-too-tight"]\n',
            "comes back to it",
        ),
        ("[[causes]]\n", "cause"),
        ("not toml at all", "valid TOML"),
    ],
)
def test_the_loader_names_each_fault(tmp_path: Path, text: str, words: str) -> None:
    assert words in faults(tmp_path, text)


def test_an_action_missing_from_a_cause_is_named(tmp_path: Path) -> None:
    text = CAUSE.format(id="a", findings=HISS, caution="C").replace('kind = "cure"', 'kind = "now"')
    assert "no action of kind 'cure'" in faults(tmp_path, text)


@pytest.mark.parametrize("text", ["a = " + "[" * 9000, "a = " + "9" * 5000, "a = = 1"])
def test_what_is_no_toml_is_told(tmp_path: Path, text: str) -> None:
    path = tmp_path / "own.toml"
    path.write_text(text)
    with pytest.raises(FileError, match=r"own\.toml: not TOML"):
        load_knowledge(path)


def test_a_missing_file_is_said(tmp_path: Path) -> None:
    with pytest.raises(NotFoundError, match="could not be read"):
        load_knowledge(tmp_path / "nowhere.toml")


def test_an_unknown_id_names_the_nearest(knowledge: Knowledge) -> None:
    with pytest.raises(NotFoundError, match="air-trapped"):
        knowledge.cause("air-traped")


def test_what_is_unknown_of_a_pump_is_possible(knowledge: Knowledge) -> None:
    at = list(knowledge.causes).index
    packed, bare = knowledge.prior({"shaft_seal": "packing"}, {}), knowledge.prior({}, {})
    assert packed[at("packing-worn")] == bare[at("packing-worn")] > 0
    assert packed[at("mechanical-seal-damaged")] == 0.0 < bare[at("mechanical-seal-damaged")]


def test_confirmed_causes_shift_the_prior(knowledge: Knowledge) -> None:
    at = list(knowledge.causes).index("air-trapped")
    plain, learned = knowledge.prior({}, {}), knowledge.prior({}, {"air-trapped": 3.0})
    odds = plain[at] / (1 - plain[at])
    assert learned[at] / (1 - learned[at]) == pytest.approx(3.0 * odds)
