"""The check-lists as data: every list the trade asks for, sources, care beside deeds, the fit."""

import re
from pathlib import Path

import pytest

from gaugewalk.diagnose.knowledge import Knowledge
from gaugewalk.errors import ArgumentError, FileError, NotFoundError
from gaugewalk.plant.plant_file import load_plant
from gaugewalk.plant.pump import Pump
from gaugewalk.watch.procedure import Procedures
from gaugewalk.watch.procedure_file import load_procedures
from gaugewalk.watch.procedure_fit import Fitted, fitted, lists_for, must_fit, slots_in

WATCH = Path(__file__).parents[2] / "src" / "gaugewalk" / "watch"
CARE = load_plant(Path(__file__).with_name("care.toml"))
PAIR = load_plant(Path(__file__).with_name("pair.toml"))
WORKS = load_plant(Path(__file__).parents[1] / "plant" / "works.toml")

# What a watch-keeper does by list, in the order of the trade's day.
WANTED = {
    "round-running", "round-standby", "start-up", "changeover", "shutdown", "venting",
    "strainer-changeover", "strainer-cleaning", "oil-filter-changeover", "packing-adjustment",
    "repacking-request", "seal-leak", "grease", "grease-cup", "oil-top-up", "oil-change",
    "oil-sample", "oil-temperature", "isolation", "return-to-service", "freezing-weather",
}  # fmt: skip


@pytest.fixture(scope="module")
def book() -> Procedures:
    return load_procedures()


def pump(tag: str) -> Pump:
    return next(p for plant in (CARE, PAIR) for p in plant.pumps if p.tag == tag)


def fit(book: Procedures, id: str, tag: str) -> Fitted:
    return fitted(book, book.named(id), pump(tag))


def ids(made: Fitted) -> list[str]:
    return [step.id for step in made.steps]


def test_every_list_is_there(book: Procedures) -> None:
    assert set(book.lists) == WANTED


def test_start_up_has_its_parts(book: Procedures) -> None:
    steps = [step.id for step in book.named("start-up").steps]
    parts = ["suction-open", "minimum-flow", "prime", "rotation", "start", "first-minutes"]
    assert [steps.index(part) for part in parts] == sorted(steps.index(part) for part in parts)


# Printed values: DOE, MIL, NFPA and the like as given in the setting's source.
PUBLISHED = [
    ("new_packing_wait", 600.0, 900.0, "MIL-HDBK-1164, Table 11"),
    ("grease_longest", 48 * 365.25 / 12 * 86400, None, "MIL-HDBK-1164, par. 11.6.4"),
    ("oil_change_every", 6 * 365.25 / 12 * 86400, None, "NAVFAC MO-209"),
    ("test_run", 600.0, None, "NFPA 25"),
    ("room_least", 277.55, None, "NFPA 25"),
    ("standby_run_every", 4 * 7 * 86400.0, None, "every 6 weeks, better every 4"),
]


@pytest.mark.parametrize(("id", "low", "high", "source"), PUBLISHED)
def test_a_published_setting_holds_the_printed_value(
    book: Procedures, id: str, low: float, high: float | None, source: str
) -> None:
    setting = book.setting(id)
    assert setting.low == pytest.approx(low, rel=1e-9)
    assert setting.high == pytest.approx(high or low, rel=1e-9)
    assert source in setting.source


def test_every_setting_says_where_it_comes_from_and_is_used(book: Procedures) -> None:
    code = "".join(path.read_text("utf-8") for path in WATCH.glob("*.py"))
    steps = [step for one in book.lists.values() for step in one.steps]
    texts = " ".join(f"{s.text} {s.caution} {s.again_what} {s.hold}" for s in steps)
    used = set(slots_in(texts)) | {s.wait for s in steps} | {s.again for s in steps}
    for id, setting in book.settings.items():
        named = f'"{id}"' in code or id.startswith("oil_sample_")  # put together of two words
        assert id in used or named, id
        assert re.search(
            r"practice|unverified|MIL|NAVFAC|NFPA|articles?|forum|manuals", setting.source
        )


def test_every_source_is_cited(book: Procedures) -> None:
    cited = {key for one in book.lists.values() for key in one.sources}
    cited |= {key for one in book.lists.values() for step in one.steps for key in step.sources}
    quoted = {"memory", "site"}  # stand in words in a setting, or in a plant's own file
    assert set(book.sources) - cited == quoted


def test_lockout_is_a_hold_that_refers_to_the_site(book: Procedures) -> None:
    for id in ("isolation", "return-to-service", "strainer-cleaning", "oil-change"):
        holds = [step.hold for step in book.named(id).steps if step.hold]
        assert any("site's" in hold and "lockout" in hold for hold in holds), id
    for one in book.lists.values():
        for step in one.steps:
            if re.search(r"\bby hand\b.*turn|turn.*\bby hand\b", step.text, re.IGNORECASE):
                assert step.hold, (one.id, step.id)


def test_nothing_is_called_safe(book: Procedures) -> None:
    for one in book.lists.values():
        for step in one.steps:
            said = f"{step.text} {step.caution} {step.hold}".lower()
            assert not re.search(r"\b(is|are|it's) (now )?safe\b", said), (one.id, step.id)


def test_trials_are_ones_that_the_diagnosis_knows(book: Procedures, knowledge: Knowledge) -> None:
    known = {rule.action for rule in knowledge.done_rules}
    results = {(rule.action, rule.result) for rule in knowledge.done_rules}
    trials = [s for one in book.lists.values() for s in one.steps if s.trial]
    assert len(trials) > 5
    for step in trials:
        assert step.trial in known
        assert any((step.trial, result) in results for result in step.results), step.id


# ------------------------------------------------------------------ the fit to a pump


def test_a_list_fits_the_pump(book: Procedures) -> None:
    of = {tag: {one.id for one in lists_for(book, pump(tag))} for tag in ("C1A", "S3", "F2", "H4")}
    assert "packing-adjustment" in of["C1A"]
    assert "seal-leak" not in of["C1A"]
    assert "seal-leak" in of["S3"]
    assert {"changeover", "round-standby"} <= of["C1A"]
    assert not {"changeover", "round-standby"} & of["S3"]
    assert {"oil-temperature", "oil-filter-changeover", "oil-top-up"} <= of["F2"]
    assert "grease" not in of["F2"]
    assert "oil-change" not in of["F2"]  # a system is not drained by the watch


def test_the_steps_fit_the_pump(book: Procedures) -> None:
    hot = ids(fit(book, "start-up", "C1A"))
    assert {"warm-up", "not-turning", "oil"} <= set(hot)
    assert not {"seal-system", "oil-system", "lift"} & set(hot)
    assert {"oil-system", "seal-system", "warm-up"} <= set(ids(fit(book, "start-up", "F2")))
    assert "prelube" in ids(fit(book, "start-up", "G3"))
    isolated = ids(fit(book, "isolation", "H4"))
    assert {"steam", "gas-test"} <= set(isolated)
    assert not {"steam", "engine", "gas-test"} & set(ids(fit(book, "isolation", "C1A")))
    assert "regulated" in ids(fit(book, "seal-leak", "H4"))
    assert "regulated" not in ids(fit(book, "seal-leak", "S3"))


def test_a_list_for_another_kind_of_pump_is_refused(book: Procedures) -> None:
    with pytest.raises(ArgumentError, match="seal: packing"):
        must_fit(book.named("packing-adjustment"), pump("S3"))


def test_the_pumps_own_numbers_come_first(book: Procedures) -> None:
    own = fit(book, "round-running", "C1A")
    packing = next(step for step in own.steps if step.id == "packing")
    assert "20 to 80 drops/min" in packing.text
    band = next(one for one in own.settings if one.id == "leak_off_band")
    assert band.source == "plant file, C1A"
    # 8 to 10 drops/min per inch of shaft, half to double: 9 and 36 for a shaft of 2 in.
    window = next(s for s in fit(book, "round-running", "W1A").settings if s.id == "leak_off_band")
    assert window.value == "9 to 36 drops/min"
    generic = fitted(book, book.named("round-running"), None)
    assert any(step.only == "seal: packing" for step in generic.steps)


def test_readings_are_points_that_the_pump_has(book: Procedures) -> None:
    steps = {step.id: step for step in fit(book, "round-running", "W1A").steps}
    assert steps["hydraulics"].readings == ("flow", "motor_current")
    assert steps["bearings"].readings == ("bearing_temperature_de",)


def test_at_the_other_pump_its_own_points_are_read(book: Procedures) -> None:
    made = fitted(book, book.named("changeover"), pump("W1A"), pump("W1B"))
    prove = next(step for step in made.steps if step.id == "prove")
    assert (prove.tag, prove.readings) == ("W1B", ("motor_current",))


def test_every_list_reads_well_at_every_pump(book: Procedures) -> None:
    count = 0
    for one in (*WORKS.pumps, *CARE.pumps, *PAIR.pumps):
        own = {point.point for point in one.points}
        for procedure in lists_for(book, one):
            for step in fitted(book, procedure, one).steps:
                count += 1
                assert "{" not in f"{step.text}{step.caution}{step.hold}{step.again_what}"
                assert step.who
                assert step.look or step.caution
                assert set(step.readings) <= own
                assert step.sources
    assert count > 1000


# ------------------------------------------------------------------ a plant's own file


def own_file(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "procedures.toml"
    path.write_text(text, "utf-8")
    return path


def test_a_plant_sets_its_own_time_and_source(tmp_path: Path) -> None:
    path = own_file(tmp_path, '[setting.vent_steady]\nvalue = "30 s"\n')
    mine = load_procedures(path)
    setting = mine.setting("vent_steady")
    assert (setting.low, setting.own, setting.source) == (
        30.0,
        True,
        "This plant's own instruction",
    )
    prime = next(s for s in fitted(mine, mine.named("start-up"), None).steps if s.id == "prime")
    assert "without gas for 30 s" in prime.text
    assert load_procedures().setting("vent_steady").words == "10 to 15 s"


def test_a_plant_replaces_a_list_and_adds_one(tmp_path: Path) -> None:
    path = own_file(
        tmp_path,
        """
        [[procedure]]
        id = "venting"
        [[procedure.step]]
        id = "only"
        text = "Vent by sheet 7."
        caution = "Face shield."

        [[procedure]]
        id = "night-lamps"
        title = "Lamps at the pumps"
        group = "Season"
        when = "In October."
        who = "operator"
        caution = "Ladders."
        applies = { suction = "sump" }
        [[procedure.step]]
        id = "look"
        text = "Does each lamp burn?"
        look = true
        """,
    )
    mine = load_procedures(path)
    vent = mine.named("venting")
    assert ([s.id for s in vent.steps], vent.own, vent.title) == (["only"], True, "Vent and prime")
    assert vent.steps[0].sources == ("site",)
    assert mine.named("night-lamps").own
    assert "night-lamps" in {one.id for one in lists_for(mine, pump("G3"))}
    assert "night-lamps" not in {one.id for one in lists_for(mine, pump("C1A"))}
    assert set(mine.lists) == WANTED | {"night-lamps"}


FAULTS = [
    ('[setting.vent_stedy]\nvalue = "30 s"', r"line 1.*vent_steady"),
    ('[setting.vent_steady]\nvalue = "30 bananas"', "30 bananas"),
    ('[setting.vent_steady]\nvalu = "30 s"', r"line 2.*'valu'.*value"),
    ('[[procedures]]\nid = "x"', r"line 1.*'procedure'"),
    ('[[procedure]]\ntitle = "x"', "no id"),
    ('[[procedure]]\nid = "mine"\ntitle = "x"', "no steps"),
    (
        '[[procedure]]\nid = "venting"\n[[procedure.step]]\nid = "a"\ntext = "Open."',
        "given no caution; expected a caution, or look = true",
    ),
    (
        '[[procedure]]\nid = "venting"\n[[procedure.step]]\nid = "a"\ntext = "Read"\nlook = true\n'
        'readings = ["sucton_pressure"]',
        r"sucton_pressure.*Did you mean 'suction_pressure'",
    ),
    (
        '[[procedure]]\nid = "venting"\n[[procedure.step]]\nid = "a"\ntext = "W"\nlook = true\n'
        'wait = "vent_most"',
        "vent_most",
    ),
    (
        '[[procedure]]\nid = "venting"\n[[procedure.step]]\nid = "a"\ntext = "W {vent_lots}"\n'
        "look = true",
        "vent_lots",
    ),
    (
        '[[procedure]]\nid = "venting"\n[[procedure.step]]\nid = "a"\ntext = "W"\nlook = true\n'
        'event = "greasd"',
        r"greasd.*Did you mean 'greased'",
    ),
    (
        '[[procedure]]\nid = "venting"\napplies = { seal = "pakcing" }\n[[procedure.step]]\n'
        'id = "a"\ntext = "W"\nlook = true',
        r"pakcing.*Did you mean 'packing'",
    ),
    (
        '[[procedure]]\nid = "venting"\nwho = "anyone"\n[[procedure.step]]\nid = "a"\ntext = "W"\n'
        "look = true",
        "anyone",
    ),
    (
        '[[procedure]]\nid = "venting"\n[[procedure.step]]\nid = "a"\ntext = "W"\nlook = true\n'
        '[[procedure.step]]\nid = "a"\ntext = "V"\nlook = true',
        "two steps 'a'",
    ),
    (
        '[[procedure]]\nid = "venting"\n[[procedure.step]]\nid = "a"\ntext = "W"\nlook = true\n'
        'trial = "vent"',
        "a trial without results",
    ),
    (
        '[[procedure]]\nid = "venting"\n[[procedure.step]]\nid = "a"\ntext = "W"\nlook = "yes"',
        "a bool",
    ),
    ("id = ", "syntax"),
]


@pytest.mark.parametrize(("text", "said"), FAULTS)
def test_a_fault_in_the_plants_file_is_named(tmp_path: Path, text: str, said: str) -> None:
    with pytest.raises(FileError) as caught:
        load_procedures(own_file(tmp_path, text))
    assert re.search(said, str(caught.value), re.DOTALL), str(caught.value)


def test_all_faults_come_at_once(tmp_path: Path) -> None:
    text = '[setting.vent_stedy]\nvalue = "1 s"\n[[procedure]]\nid = "mine"\ntitle = "x"'
    with pytest.raises(FileError) as caught:
        load_procedures(own_file(tmp_path, text))
    assert len(caught.value.problems) >= 2


def test_an_unknown_list_names_the_nearest(book: Procedures) -> None:
    with pytest.raises(NotFoundError, match="'changeover'"):
        book.named("change-over")
    with pytest.raises(FileError, match="cannot be read"):
        load_procedures(Path("nowhere.toml"))
