"""What to do: by expected consequence, with care, in an order that fits the word."""

from gaugewalk.diagnose.actions import choose, stop_when
from gaugewalk.diagnose.case_file import read_case
from gaugewalk.diagnose.diagnosis import diagnose
from gaugewalk.diagnose.explain import Ranked
from gaugewalk.diagnose.knowledge import load_knowledge
from gaugewalk.judge.severity import Severity


def ranked(**chances: float) -> list[Ranked]:
    return [
        Ranked(
            cause=id.replace("_", "-"),
            title="",
            probability=chance,
            reasons_for=(),
            reasons_against=(),
            because="",
        )
        for id, chance in chances.items()
    ]


def test_a_small_chance_of_ruin_outweighs_a_large_harmless_one() -> None:
    """15 % of a seal running dry before 80 % of a lighter liquid."""
    advice = choose(
        load_knowledge(),
        ranked(density_too_low=0.8, mechanical_seal_run_dry=0.15),
        Severity.ACT,
    )
    assert advice[0].causes == ("mechanical-seal-run-dry",)
    assert advice[0].action.do.startswith("Stop at once")


def test_a_stop_begins_with_making_it_safe() -> None:
    advice = choose(load_knowledge(), ranked(deadheaded=0.9), Severity.STOP)
    assert "Make the pump safe" in advice[0].action.do
    assert "Site procedure comes first" in advice[0].action.caution


def test_kinds_come_in_order_and_each_action_once() -> None:
    advice = choose(
        load_knowledge(), ranked(packing_too_tight=0.5, packing_burnt=0.4), Severity.ACT
    )
    kinds = [one.action.kind for one in advice]
    order = ["now", "temporary", "cure", "report"]
    assert kinds == sorted(kinds, key=order.index)
    texts = [one.action.do for one in advice]
    assert len(texts) == len(set(texts))


def test_venting_is_named_as_only_temporary() -> None:
    case = {
        "pump": {"suction": "lift"},
        "observations": [
            {"finding": finding, "present": True}
            for finding in ("noise-hiss", "venting-helps-briefly", "vent-gives-gas")
        ],
    }
    found = diagnose(read_case(case))
    temporary = [one.action.do for one in found.actions if one.action.kind == "temporary"]
    assert any(text.startswith("Vent") for text in temporary)


def test_signs_for_a_stop_are_named() -> None:
    texts = stop_when(load_knowledge(), ranked(packing_too_tight=0.9))
    assert any("smoke" in text for text in texts)


def test_nothing_unlikely_is_cured() -> None:
    advice = choose(
        load_knowledge(), ranked(packing_too_tight=0.9, wear_rings_worn=0.03), Severity.ACT
    )
    assert not any("wear-rings-worn" in one.causes for one in advice)
