"""The plant file: what a good one becomes, and every kind of fault in a bad one."""

from pathlib import Path

import pytest

from gaugewalk.errors import FileError, Problem
from gaugewalk.plant.plant_file import check_plant_text, load_plant
from gaugewalk.plant.pump import Plant
from gaugewalk.plant.site import barometric

WORKS = Path(__file__).with_name("works.toml")
TEXT = WORKS.read_text("utf-8")
# U.S. Standard Atmosphere 1976 at 1600 m geometric: 83 524 Pa (from Eq. 33a, printed table has
# 1600 m = 8.3524e4 Pa; from memory, unverified).
AIR = 83_524.0

SMALL = """
[plant]
name = "Tolland Dye Works"
[[pump]]
tag = "P-1"
name = "one"
liquid = { name = "water", temperature = "20 degC" }
rated = { flow = "10 m3/h", head = "20 m" }
seal = { kind = "single mechanical seal" }
lubrication = { kind = "grease" }
"""


@pytest.fixture(scope="module")
def works() -> Plant:
    return load_plant(WORKS)


def found(old: str, new: str) -> tuple[Problem, ...]:
    """The problems of the good file with one text replaced."""
    assert TEXT.count(old) >= 1, old
    return check_plant_text(TEXT.replace(old, new, 1), "works.toml")[1]


# ------------------------------------------------------------------ a good file


def test_good_file_has_no_problem() -> None:
    plant, problems = check_plant_text(TEXT, "works.toml")
    assert problems == ()
    assert plant is not None
    assert [pump.tag for pump in plant.pumps] == ["WW-7", "BF-1A", "BF-1B", "EF-2", "CH-4"]


def test_quantities_become_si(works: Plant) -> None:
    pump = works.pump("WW-7")
    assert pump is not None
    assert pump.curve is not None
    assert pump.discharge_diameter == pytest.approx(0.0762)
    assert pump.curve.flow[2] == pytest.approx(40 / 3600)
    assert pump.curve.efficiency[3] == pytest.approx(0.70)
    assert pump.curve.speed == pytest.approx(1475 / 60)
    assert pump.lubrication.grease_mass == pytest.approx(0.012)
    assert pump.driver.power_factor == 0.84
    assert works.rounds[0].every == 4 * 3600


def test_gauge_pressures_count_from_the_air_at_the_plant(works: Plant) -> None:
    assert barometric(works) == pytest.approx(AIR, rel=1e-4)
    pump = works.pump("BF-1A")
    assert pump is not None
    assert pump.source.pressure == pytest.approx(25_000 + AIR, rel=1e-4)
    point = pump.point("oil_supply_pressure")
    assert point is not None
    assert point.stop_low == pytest.approx(70_000 + AIR, rel=1e-4)


def test_air_pressure_may_be_given() -> None:
    given = TEXT.replace('elevation = "1600 m"', 'barometric_pressure = "840 mbara"')
    plant, _ = check_plant_text(given, "works.toml")
    assert plant is not None
    assert barometric(plant) == pytest.approx(84_000)


def test_limits_as_numbers_and_as_text_are_in_the_unit_of_the_point(works: Plant) -> None:
    pump = works.pump("WW-7")
    assert pump is not None
    point = pump.point("discharge_pressure")
    assert point is not None
    assert point.unit == "barg"  # its default: the file names none
    assert point.watch_low == pytest.approx(250_000 + AIR, rel=1e-4)
    assert point.watch_high == pytest.approx(310_000 + AIR, rel=1e-4)
    assert point.act_low == pytest.approx(34 * 6894.757 + AIR, rel=1e-4)
    assert point.accuracy == pytest.approx(10_000)  # a difference: no air in it
    hot = pump.point("bearing_temperature_de")
    assert hot is not None
    assert hot.usual == pytest.approx(322.039, abs=1e-3)
    assert hot.accuracy == pytest.approx(4.0)


def test_unit_of_a_point_is_kept_by_its_name_in_the_table() -> None:
    plant, _ = check_plant_text(TEXT.replace('unit = "barg"', 'unit = "bar(g)"'), "works.toml")
    assert plant is not None
    assert plant.pumps[0].points[0].unit == "barg"


def test_level_may_be_a_share(works: Plant) -> None:
    pump = works.pump("EF-2")
    assert pump is not None
    point = pump.point("source_level")
    assert point is not None
    assert point.watch_low == pytest.approx(0.25)


# ------------------------------------------------------------------ faults, one of each kind

FAULTS = [
    # old, new, where, given, expected, nearest; the line is checked for all of them below
    ('name = "Tolland Dye Works"', "", "plant.name", "nothing", "must be given", None),
    ("elevation =", "elevatoin =", "plant.elevatoin", "elevatoin", "known key", "elevation"),
    ('"America/Denver"', '"America/Denwer"', "plant.time_zone", "Denwer", "zone", "America/Denver"),
    ('"1600 m"', '"16000 m"', "plant.elevation", "16000 m", "5500 m", None),
    ('"1600 m"', "1600", "plant.elevation", "1600", "'1.2 m', or elevation_unit", None),
    ("shift_hours = 8", "shift_hours = 7", "plant.shift_hours", "7", "divide a day", None),
    ('"06:00"', '"6 am"', "plant.first_shift", "6 am", "'06:00'", None),
    ("[[round]]", "[[rounds]]", "rounds", "rounds", "[[round]]", "round"),
    ('"wet side"]', '"wet sid"]', "wet side, areas", "wet sid", "in this file", "wet side"),
    ('["BF-1A", "BF-1B"]', '["BF-1A", "BF-1C"]', "boiler house, tags", "BF-1C", "in this", "BF-1B"),
    ('["BF-1A", "BF-1B"]', '"BF-1A"', "boiler house, tags", "'BF-1A'", "a list", None),
    ('every = "2 h"', 'every = "2 bar"', "every", "2 bar", "a time span", None),
    ('tag = "WW-7"', "", "[[pump]] wash water to the vats, tag", "nothing", "must be given", None),
    ('tag = "WW-7"', 'tag = "EF-2"', "[[pump]] EF-2, tag", "'EF-2'", "2 pumps have this", None),
    ('tag = "WW-7"', 'tag = "WW 7"', "tag", "'WW 7'", "letters, digits", None),
    ("walk_order = 10", 'walk_order = "10"', "[[pump]] WW-7, walk_order", "'10'", "a number", None),
    ('"normal"', '"important"', "WW-7, service", "important", "'critical', 'normal'", None),
    ("line = true", 'line = "yes"', "minimum_flow_line", "'yes'", "true or false", None),
    ('"100 mm"', '"0 mm"', "suction_diameter", "'0 mm'", "above zero", None),
    ('"100 mm"', '"1,480 m"', "suction_diameter", "'1,480 m'", "'1480 m' or '1.480 m'", None),
    ('"100 mm"', '"80 to 100 mm"', "suction_diameter", "80 to 100", "not a swing", None),
    ('"100 mm"', "true", "suction_diameter", "True", "a text with its unit", None),
    ('"hot", "sl', '"hott", "sl', "liquid.hazards", "hott", "one of", "hot"),
    ('kind = "flooded"', 'kind = "flood"', "source.kind", "flood", "one of", "flooded"),
    ("head = [34, 35", "head = [34, -35", "curve.head", "-35", "zero or more", None),
    ("head = [34, 35, 33, 28, 20]", "head = [34, 35, 33, 28]", "curve.head", "4 ", "5 val", None),
    ("[0, 20, 40, 60, 80]", "[0, 20, 20, 60, 80]", "curve.flow", "value 3", "rises", None),
    ("[34, 35, 33, 28, 20]", "[34, 35, 33, 34, 20]", "curve.head", "value 4", "falls", None),
    ("[34, 35, 33, 28, 20]", "[34, 35, 36, 37, 38]", "curve.head", "not fall", "less head", None),
    ("[34, 35, 33, 28, 20]", "[0, 0, 0, 0, 0]", "curve.head", "no head", "above zero", None),
    ('flow_unit = "m3/h"', 'flow_unit = "m3h"', "curve.flow_unit", "m3h", "a known", "m3/h"),
    ("efficiency = [0, 41", "efficiency = [0, 141", "curve.efficiency", "141", "a share", None),
    ("npshr = [1.6", 'power = ["1 kW"]\nnpshr = [1.6', "curve.power", "1 val", "5 values", None),
    ("vanes = 6", "vanes = 0", "rated.vanes", "0", "above zero", None),
    ("vanes = 6", "vanes = 6.5", "rated.vanes", "6.5", "a whole number", None),
    ('"10 drops/min"', '"10 drop/mim"', "seal.leak_off_low", "10 drop/mim", "L/h", "drops/min"),
    ('"10 drops/min"', '"40 drops/min"', "leak_off_target", "less than", "in this order", None),
    ('place = "de"', 'place = "inner"', "[[pump.bearing]] inner, place", "inner", "'de'", None),
    ("balls = 8", "bals = 8", "[[pump.bearing]] de, bals", "bals", "known key", "balls"),
    ('kind = "grease cup"', 'kind = "greasecup"', "lubrication.kind", "greas", "of", "grease cup"),
    ('limit_dp = "0.2 bar"', 'limit_dp = "0.02 bar"', "limit_dp", "0.02 bar", "0.04 bar", None),
    ('clean_dp = "0.04 bar"', 'clean_dp = "0.04 barg"', "clean_dp", "barg", "'0.04 bar'", None),
    ("poles = 4", "poles = 5", "driver.poles", "5", "even number", None),
    ("power_factor = 0.84", "power_factor = 84", "power_factor", "84", "0 to 1", None),
    ('"leak_off"', '"leakoff"', "[[pump.point]] leakoff, point", "leakoff", "point", "leak_off"),
    ('unit = "barg"', 'unit = "bar"', "suction_pressure, unit", "'bar'", "gauge or absolute", None),
    ('unit = "barg"', 'unit = "m"', "suction_pressure, unit", "'m'", "a pressure", None),
    ('unit = "mbar"', 'unit = "mbra"', "strainer_dp, unit", "mbra", "a known unit", "mbar"),
    ("watch_low = 2.5", "watch_low = 3.5", "watch_high", "watch_low 3.5 barg", "rise", None),
    ("act_high = 3.3", "act_high = 3.0", "act_high", "act_high 3 barg", "rise", None),
    ("usual = 2.8", "usual = 3.2", "discharge_pressure, usual", "3.2 barg", "3.1 barg", None),
    ("usual = 2.8", "usual = 2.4", "discharge_pressure, usual", "2.4 barg", "2.5 barg", None),
    ("act_high = 3.3", "act_high = 4.5", "act_high", "4.5 barg", "range, to 4 barg", None),
    ("act_low = -0.3", "act_low = -1.1", "act_low", "below a perfect|-1.1", "", None),
    ("range_low = 0", "range_low = 5", "range_high", "4 barg", "above range_low, 5 barg", None),
    ("usual = 10.5", "usual = nan", "motor_current, usual", "nan", "a number", None),
    ("usual = 10.5", 'usual = "10.5 V"', "motor_current, usual", "10.5 V", "a current", None),
    ('"leak_off"', '"seal_leakage"', "seal_leakage, point", "seal_leak", "mechanical", None),
    ('"oil_supply_pressure"', '"leak_off"', "[[pump.point]] leak_off", "leak", "packing", None),
    ('"motor_current"', '"leak_off"', "leak_off, point", "leak_off", "once a pump", None),
    ("pot = true", "pot = false", "seal_pot_level", "seal_pot_level", "pot = true", None),
    ('partner = "BF-1B"', 'partner = "BF-1D"', "BF-1A, partner", "BF-1D", "in this file", "BF-1B"),
    ('partner = "BF-1B"', 'partner = "BF-1A"', "BF-1A, partner", "BF-1A", "than itself", None),
    ('partner = "BF-1B"\n', "", "BF-1B, partner", "no partner", "partner = 'BF-1B' there", None),
    ('partner = "BF-1B"', 'partner = "CH-4"', "BF-1A, partner", "CH-4", "there too", None),
    ('"double mechanical seal"', '"single mechanical seal"', "seal.kind", "single", "barr", None),
    ('low = "1.1 barg"', 'low = "1.8 barg"', "supply_pressure_low", "not below", "above", None),
    ('low = "30 degC"', 'low = "60 degC"', "temperature_low", "not below", "above", None),
    ('{ kind = "oil ring" }', '{ kind = "forced feed" }', "lubrication", "without", "[pump", None),
    ('kind = "forced feed"', 'kind = "oil sump"', "lubrication.system", "oil sump", "for", None),
    ("0.3 m\"\nbell", "0.9 m\"\nbell", "lowest_level", "0.9 m", "at or below", None),
    ("[1.2, 7.3, 46.8]", "[1.2, 7.3]", "table.vapor_pressure", "2 values", "3 values", None),
    ("[1.2, 7.3, 46.8]", "[1.2, 1.1, 46.8]", "table.vapor_pressure", "not rise", "rise", None),
    ("= [10, 40, 80]", "= [10, 80, 40]", "table.temperature", "not rise", "rise", None),
    ('vapor_pressure_unit = "kPaa"\n', "", "table.vapor_pressure", "1.2", "_unit beside", None),
    ('mass_fraction = "35 %", ', "", "liquid.mass_fraction", "nothing", "is needed", None),
    ('mass_fraction = "35 %"', 'mass_fraction = "95 %"', "mass_fraction", "0.95", "outside", None),
    ('"60 degC"', '"60 K"', "WW-7, liquid.temperature", "-213 °C", "outside", None),
    ("efficiency = [0, 41", "efficiency = [0, 0", "curve.efficiency", "not be", "above 0", None),
    ("lubrication = { kind", "lubricaton = { kind", "lubrication", "nothing", "be given", None),
    ("lubrication = { kind", "lubricaton = { kind", "lubricaton", "lubric", "key", "lubrication"),
    ("[pump.rated]", "[[pump.rated]]", "WW-7, rated", "[{", "a table [pump.rated]", None),
    ('name = "chill circuit"', 'name = ""', "CH-4, name", "''", "not empty", None),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "where", "given", "expected", "nearest"), FAULTS)
def test_fault(
    old: str, new: str, where: str, given: str, expected: str, nearest: str | None
) -> None:
    grave = [p for p in found(old, new) if p.grave]
    hits = [
        p
        for p in grave
        if where in p.where
        and any(word in p.given for word in given.split("|"))
        and expected in p.expected
        and p.nearest == nearest
    ]
    assert hits, [str(p) for p in grave]


def test_every_fault_is_in_the_table_it_was_planted_in() -> None:
    """A fault's line is that of the planted text, where the fault is about that very key."""
    planted = TEXT.replace('_diameter = "100 mm"', '_diameter = "0 mm"', 1).replace(
        "act_high = 4.5", "act_high = 1.5"
    )
    planted = planted.replace('place = "nde"', 'place = "rear"')
    lines = planted.split("\n")
    problems = check_plant_text(planted, "works.toml")[1]
    assert len(problems) == 3
    texts = {lines[(p.line or 0) - 1] for p in problems}
    assert texts == {'suction_diameter = "0 mm"', "act_high = 1.5", 'place = "rear"'}


def test_all_faults_are_said_at_once() -> None:
    bad = TEXT
    for old, new in [
        ('"America/Denver"', '"Denver"'),
        ('"0.2 bar"', '"0.02 bar"'),
        ('"leak_off"', '"leakoff"'),
        ("poles = 4", "poles = 5"),
        ('partner = "BF-1B"', 'partner = "X"'),
        ('mass_fraction = "35 %", ', ""),
    ]:
        bad = bad.replace(old, new, 1)
    plant, problems = check_plant_text(bad, "works.toml")
    assert plant is None
    # The partner that is not there also makes the other half of the pair one-sided.
    assert [p.line for p in problems] == sorted(p.line or 0 for p in problems)
    said = "\n".join(map(str, problems))
    for word in ("Denver", "0.02 bar", "leakoff", "poles", "'X'", "mass_fraction"):
        assert word in said


def test_syntax_faults_are_said_with_the_others() -> None:
    bad = TEXT.replace('"4 h"', "4 h").replace('"2.5 m"', "2.5 m").replace("poles = 4", "poles = 5")
    plant, problems = check_plant_text(bad, "works.toml")
    assert plant is None
    lines = bad.split("\n")
    syntax = [lines[(p.line or 0) - 1].strip() for p in problems if p.where == "syntax"]
    assert syntax == ["every = 4 h", "level = 2.5 m"]
    assert any("poles" in p.where for p in problems)


def test_bad_unit_of_a_row_is_one_fault_not_one_a_value() -> None:
    assert len(found('flow_unit = "m3/h"', 'flow_unit = "kg"')) == 1


# ------------------------------------------------------------------ remarks: the file stays good

REMARKS = [
    ('leak_off_target = "20 drops/min"', "", "EF-2, seal", "leak_off_target"),
    ('lowest_level = "0.3 m"', "", "EF-2, source", "lowest_level"),
    ('current = "12.2 A"', "", "WW-7, driver", "to judge motor_current"),
    ('name = "boiler feedwater"', 'name = "boiler fedwater"', "BF-1A, liquid.name", "feedwater'"),
    ('boiling = true\nlevel = "7 m"', 'level = "7 m"', "", ""),
    ('clean_flow = "60 m3/h"', "", "suction_strainer", "clean_flow"),
    ('rated = { flow = "25 m3/h", head = "310 m" }', "", "BF-1B", "to judge wear"),
    ("npshr = [1.6, 1.7, 2.1, 2.9, 4.3]\n", "", "WW-7, curve", "to judge the suction margin"),
    ("efficiency = [0, 41, 62, 70, 64]\n", "", "WW-7, curve", "to judge the motor's load"),
    (', temperature = "2 degC"', "", "CH-4, liquid", "usual temperature"),
    ('vessel", boiling = true', 'vessel"', "BF-1B, source", "taken as open to the air"),
]


@pytest.mark.parametrize(("old", "new", "where", "expected"), REMARKS)
def test_remark(old: str, new: str, where: str, expected: str) -> None:
    # A unit without its row is a fault of its own; it goes with the row.
    text = TEXT.replace(old, new, 1)
    for row in ("npshr", "efficiency"):
        if f"{row} = [" not in text:
            text = text.replace(f'{row}_unit = "m"\n', "").replace(f'{row}_unit = "%"\n', "")
    plant, problems = check_plant_text(text, "works.toml")
    assert plant is not None, [str(p) for p in problems]
    assert not any(p.grave for p in problems)
    if where:
        assert any(where in p.where and expected in p.expected for p in problems), problems
        assert str(problems[0]).startswith("remark, ")


def test_unknown_liquid_with_its_own_table_needs_no_remark(works: Plant) -> None:
    pump = works.pump("EF-2")
    assert pump is not None
    assert pump.liquid.table is not None
    assert pump.liquid.table.density[0] == 1031


# ------------------------------------------------------------------ the file as a whole


def test_small_file_is_enough() -> None:
    plant, problems = check_plant_text(SMALL, "small.toml")
    assert problems == ()
    assert plant is not None
    assert plant.time_zone == "UTC"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", "an empty file"),
        ("  \n", "an empty file"),
        ("[plant]\nname = 'x'", "one or more tables [[pump]]"),
        ("[[pump]]\n", "a table [plant]"),
        ("plant = 3", "a table [plant]"),
        ("[plant]\nname='x'\n[pump]\ntag='a'", "tables [[pump]], with double brackets"),
        ("pump = [1, 2]\n[plant]\nname='x'", "tables [[pump]], with double brackets"),
        ("hello", "TOML"),
        ("a = [\n", "TOML"),
        ("a = " + "[" * 5000, "TOML|a plant file"),
        ("a = " + "9" * 5000, "TOML|[plant]"),
        ("a = '''\n never closed", "TOML"),
    ],
)
def test_what_is_no_plant_file(text: str, expected: str) -> None:
    plant, problems = check_plant_text(text, "x.toml")
    assert plant is None
    said = "\n".join(map(str, problems))
    assert any(word in said for word in expected.split("|")), said


def test_load_lists_every_grave_problem(tmp_path: Path) -> None:
    path = tmp_path / "bad.toml"
    path.write_text(TEXT.replace("poles = 4", "poles = 5").replace('"leak_off"', '"leakoff"'))
    with pytest.raises(FileError, match=r"bad\.toml: 2 faults\.") as refused:
        load_plant(path)
    assert len(refused.value.problems) == 2


def test_load_of_no_file_or_no_text(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="cannot be read"):
        load_plant(tmp_path / "nowhere.toml")
    path = tmp_path / "latin.toml"
    path.write_bytes('[plant]\nname = "Mühle"'.encode("latin-1"))
    with pytest.raises(FileError, match="UTF-8"):
        load_plant(path)


def test_windows_line_ends_and_byte_order_mark(tmp_path: Path) -> None:
    path = tmp_path / "windows.toml"
    path.write_bytes(b"\xef\xbb\xbf" + TEXT.replace("\n", "\r\n").encode())
    assert len(load_plant(path).pumps) == 5


def test_large_plant_is_checked_whole() -> None:
    """Two hundred pumps, one fault in the last: found, and at its line."""
    head, _, one = SMALL.partition("[[pump]]")
    pumps = ["[[pump]]" + one.replace("P-1", f"P-{n}") for n in range(200)]
    pumps[-1] = pumps[-1].replace('"grease"', '"grase"')
    text = head + "".join(pumps)
    plant, problems = check_plant_text(text, "large.toml")
    assert plant is None
    assert [p.nearest for p in problems] == ["grease"]
    assert "grase" in text.split("\n")[(problems[0].line or 0) - 1]
