"""The drawing shows the equipment of the plant file, and every point has its plate."""

import re
from dataclasses import replace
from importlib.resources import files
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.plant.plant_file import load_plant
from gaugewalk.plant.points import all_points, point_kind
from gaugewalk.plant.pump import (
    Bearing,
    Driver,
    Lubrication,
    OilSystem,
    PlantLiquid,
    Pump,
    SealLiquid,
    ShaftSeal,
    Source,
    Strainer,
)
from gaugewalk.web.drawing import Mark, describe, pump_drawing
from gaugewalk.web.drawing_places import PLATE_HEIGHT, PLATE_WIDTH, place_of, spread

PLANT = load_plant(files("gaugewalk.drill") / "larkmoor.toml")
SVG = "{http://www.w3.org/2000/svg}"

PACKING = ShaftSeal(kind="packing")
PUMP = Pump(
    tag="P-1",
    name="Rinse",
    liquid=PlantLiquid(name="water"),
    seal=PACKING,
    lubrication=Lubrication(kind="oil sump"),
)


def marks_of(pump: Pump) -> dict[str, Mark]:
    return {
        p.point: Mark(point=p.point, label=point_kind(p.point).label, value="3.1 barg")
        for p in pump.points
    }


def bare(pump: Pump) -> str:
    """The drawing without any word, so that only equipment can make a difference."""
    drawn = pump_drawing(pump, {})
    return re.sub(r"<text.*?</text>|aria-label=\".*?\"", "", drawn)


def forced(**parts: bool) -> Lubrication:
    return Lubrication(kind="forced feed", system=OilSystem(**parts))


def faces(kind: str, plan: str) -> ShaftSeal:
    return ShaftSeal(kind=kind, liquid=SealLiquid(plan=plan))


VARIANTS = {
    "packing with seal water": {"seal": faces("packing", "seal water")},
    "single mechanical seal": {"seal": faces("single mechanical seal", "none")},
    "single, own liquid": {"seal": faces("single mechanical seal", "flush")},
    "single, cooled flush": {"seal": faces("single mechanical seal", "cooled flush")},
    "double mechanical seal": {"seal": faces("double mechanical seal", "none")},
    "double, buffer": {"seal": faces("double mechanical seal", "buffer")},
    "double, barrier": {"seal": faces("double mechanical seal", "barrier")},
    "grease": {"lubrication": Lubrication(kind="grease")},
    "grease cup": {"lubrication": Lubrication(kind="grease cup")},
    "constant-level oiler": {"lubrication": Lubrication(kind="constant-level oiler")},
    "oil ring": {"lubrication": Lubrication(kind="oil ring")},
    "forced feed": {"lubrication": forced()},
    "forced feed, heater": {"lubrication": forced(heater=True)},
    "forced feed, cooler": {"lubrication": forced(cooler=True)},
    "forced feed, two coolers": {"lubrication": forced(cooler=True, cooler_duplex=True)},
    "forced feed, two filters": {"lubrication": forced(filter_duplex=True)},
    "forced feed, no auxiliary pump": {"lubrication": forced(auxiliary_pump=False)},
    "roller bearing": {"bearings": (Bearing(place="de", kind="roller"),)},
    "sleeve bearings": {"bearings": (Bearing(place="de", kind="sleeve"),)},
    "motor grease": {"driver_lubrication": Lubrication(kind="grease")},
    "suction strainer": {"suction_strainer": Strainer()},
    "duplex suction strainer": {"suction_strainer": Strainer(duplex=True)},
    "discharge strainer": {"discharge_strainer": Strainer()},
    "turbine": {"driver": Driver(kind="turbine")},
    "engine": {"driver": Driver(kind="engine")},
    "variable speed": {"driver": Driver(variable_speed=True)},
    "lift": {"source": Source(kind="lift")},
    "vessel": {"source": Source(kind="vessel")},
    "boiling vessel": {"source": Source(kind="vessel", boiling=True)},
    "sump": {"source": Source(kind="sump")},
    "vertical in a sump": {"source": Source(kind="sump"), "orientation": "vertical"},
    "vertical, piped": {"orientation": "vertical"},
    "no check valve": {"check_valve": False},
    "minimum flow": {"minimum_flow_line": True},
    "heat traced": {"heat_traced": True},
}


def test_every_kind_of_equipment_looks_different() -> None:
    drawn = {name: bare(replace(PUMP, **change)) for name, change in VARIANTS.items()}
    drawn["as it was"] = bare(PUMP)
    seen: dict[str, str] = {}
    for name, drawing in drawn.items():
        assert drawing not in seen, f"{name} looks like {seen.get(drawing)}"
        seen[drawing] = name


def equipment(pump: Pump) -> tuple[object, ...]:
    return (
        pump.orientation,
        pump.source.kind,
        pump.source.boiling,
        pump.seal.kind,
        pump.seal.liquid.plan,
        tuple((b.place, b.kind) for b in pump.bearings),
        pump.lubrication.kind,
        pump.lubrication.system,
        pump.driver_lubrication.kind if pump.driver_lubrication else None,
        pump.suction_strainer and pump.suction_strainer.duplex,
        pump.discharge_strainer and pump.discharge_strainer.duplex,
        pump.driver.kind,
        pump.driver.variable_speed,
        pump.check_valve,
        pump.minimum_flow_line,
        pump.heat_traced,
    )


def test_no_two_demo_pumps_with_different_equipment_look_the_same() -> None:
    by_drawing: dict[str, tuple[object, ...]] = {}
    for pump in PLANT.pumps:
        known = by_drawing.setdefault(bare(pump), equipment(pump))
        driver_only = [a != b for a, b in zip(known, equipment(pump), strict=True)]
        # A driver's ball or roller bearings lie inside its housing and are not drawn.
        assert not any(driver_only[:5] + driver_only[6:]), pump.tag


def test_description_names_what_is_drawn() -> None:
    pump = replace(PUMP, lubrication=forced(heater=True, cooler=True), suction_strainer=Strainer())
    said = describe(pump)
    for part in ("packing", "suction strainer", "reservoir with heater", "cooler", "filter"):
        assert part in said


@pytest.mark.parametrize("pump", PLANT.pumps, ids=lambda pump: pump.tag)
def test_every_point_has_a_plate_inside_and_apart(pump: Pump) -> None:
    root = ElementTree.fromstring(pump_drawing(pump, marks_of(pump)))
    width, height = (float(x) for x in root.attrib["viewBox"].split()[2:])
    plates = {}
    for link in root.iter(f"{SVG}a"):
        move = link.find(f"{SVG}g").attrib["transform"]  # type: ignore[union-attr]
        plates[link.attrib["href"][1:]] = tuple(float(x) for x in re.findall(r"-?[\d.]+", move))
    assert set(plates) == {p.point for p in pump.points}
    spots = list(plates.values())
    for i, (x, y) in enumerate(spots):
        assert 0 <= x <= width - PLATE_WIDTH
        assert 0 <= y <= height - PLATE_HEIGHT
        for a, b in spots[i + 1 :]:
            assert abs(x - a) >= PLATE_WIDTH or abs(y - b) >= PLATE_HEIGHT


@pytest.mark.parametrize("vertical", [False, True])
def test_all_known_points_find_room_even_at_once(vertical: bool) -> None:
    pump = replace(PUMP, orientation="vertical" if vertical else "horizontal")
    marks = {name: Mark(point=name, label=kind.label) for name, kind in all_points().items()}
    root = ElementTree.fromstring(pump_drawing(pump, marks))
    assert len(list(root.iter(f"{SVG}a"))) == len(marks)


def test_each_known_point_has_a_place_of_its_own() -> None:
    strangers = [n for n, k in all_points().items() if place_of(n, label=k.label).spot == "beside"]
    assert strangers == ["ambient_temperature", "barometric_pressure"]  # the air is everywhere


def test_words_from_the_plant_file_cannot_become_markup() -> None:
    evil = replace(
        PUMP, name="<script>alert(1)</script>", source=Source(name='"><b>'), partner="<i>"
    )
    marks = {"flow": Mark(point="flow", label="<u>", value="<b>", href='" onload="x')}
    drawn = pump_drawing(evil, marks)
    root = ElementTree.fromstring(drawn)
    tags = {element.tag.removeprefix(SVG) for element in root.iter()}
    assert not tags & {"script", "b", "i", "u"}
    assert not any("onload" in element.attrib for element in root.iter())


def test_no_style_of_its_own() -> None:
    assert 'style="' not in pump_drawing(PLANT.pumps[0], marks_of(PLANT.pumps[0]))


@given(st.lists(st.floats(0, 1000), max_size=6))
def test_spread_keeps_order_room_and_bounds(wanted: list[float]) -> None:
    placed = spread(sorted(wanted), 150.0, 0.0, 1000.0)
    assert all(b - a >= 150.0 - 1e-6 for a, b in pairwise(placed))
    assert all(-1e-6 <= x <= 1000.0 + 1e-6 for x in placed)
