"""A work request: what, where, why, how urgent, what to mind; on one page."""

import json
import re
from dataclasses import replace

import pytest

from gaugewalk.errors import NotFoundError
from gaugewalk.judge.severity import Severity
from gaugewalk.plant.pump import (
    Driver,
    Lubrication,
    OilSystem,
    PlantLiquid,
    Pump,
    SealLiquid,
    ShaftSeal,
    Source,
)
from gaugewalk.watch.isolation import isolation_cautions

from .watch_day import Day, settle

WHO = "r. vale"


def troubled(day: Day) -> str:
    settle(day)
    for hours, text in ((0.0, "2.6"), (4.0, "2.4"), (8.0, "1.9 to 2.1 barg")):
        taken = day.read(hours, text)
    day.read(8.0, "24", point="motor_current")
    assert taken.trouble_id is not None
    watch, now = day.watch, day.at(8.1)
    watch.observe("C1A", "vent-gives-gas", True, who=WHO, now=now)
    watch.observe("C1A", "gland-smoke", False, who=WHO, now=now)
    for hours in (8.2, 8.6):
        watch.act("C1A", taken.trouble_id, "Vented", trial="vent", result="gas", who=WHO,
                  now=day.at(hours))  # fmt: skip
    watch.act("C1A", taken.trouble_id, "Throttled", kind="temporary", who=WHO, now=day.at(8.7))
    return taken.trouble_id


def test_it_has_what_a_mechanic_and_a_planner_need(day: Day) -> None:
    made = day.watch.papers.work_request(troubled(day), day.at(9))
    assert (made.tag, made.name, made.area) == ("C1A", "Condensate pump A", "Boiler house")
    assert (made.severity, made.urgency) == ("act", "This shift.")
    assert "Discharge pressure 2.4 barg is far below" in made.what
    assert made.since.startswith("Mon 3 Nov 2025 ")
    pressure = next(r for r in made.evidence if r.label == "Discharge pressure")
    assert (pressure.value, pressure.severity) == ("1.9 to 2.1 barg", "act")
    assert pressure.expected.endswith("barg")
    assert len(made.seen) == len(made.not_there) == 1
    assert made.causes
    assert made.causes[0].because
    assert made.tried == (
        "2 times since 14:12, last 14:36 by r. vale: Vented. Result: gas.",
        "14:42 by r. vale: Throttled.",
    )
    assert made.remedies == ("Throttled",)
    assert dict(made.facts)["Standby"] == "C1B, no trouble open there"
    assert made.run_until[0] == "Discharge pressure is past its act limit 2.2 barg already."
    assert made.run_until[-1].startswith("No further limit is forecast to be reached; that is no")
    assert {course.title for course in made.courses} >= {"Discharge pressure"}


def test_a_word_that_the_diagnosis_makes_graver_sets_the_urgency(day: Day) -> None:
    id = troubled(day)
    day.watch.observe("C1A", "gland-smoke", True, who=WHO, now=day.at(8.8))
    made = day.watch.papers.work_request(id, day.at(9))
    assert made.severity == "stop"
    assert made.urgency.startswith("Now.")
    assert "not to be run" in made.run_until[0]


def test_the_json_has_the_course_as_numbers(day: Day) -> None:
    id = troubled(day)
    plain = json.loads(json.dumps(day.watch.papers.work_request_json(id, day.at(9))))
    course = next(c for c in plain["courses"] if c["title"] == "Discharge pressure")
    assert course["unit"] == "barg"
    when, value = course["readings"][-1]
    assert (when, value) == ("2025-11-03T14:00:00+00:00", "2 barg")
    assert plain["version"] == 1
    assert plain["isolation"]


def test_it_is_one_page(day: Day) -> None:
    made = day.watch.papers.work_request_pdf(troubled(day), day.at(9))
    assert re.findall(rb"/Count (\d+)", made)[0] == b"1"
    assert made.startswith(b"%PDF-")


def test_handed_in_is_an_entry_and_stands_on_the_next_print(day: Day) -> None:
    id = troubled(day)
    day.watch.papers.hand_in(id, who=WHO, now=day.at(9))
    made = day.watch.papers.work_request(id, day.at(9.5))
    assert made.handed_in == "Mon 3 Nov 2025 15:00 by r. vale"
    assert not any("Work request" in line for line in made.tried)


def test_a_trouble_by_hand_without_readings_has_a_page_too(day: Day) -> None:
    id = day.watch.open_trouble("S3", "It rattles.", Severity.WATCH, who=WHO, now=day.at(0))
    made = day.watch.papers.work_request(id, day.at(1))
    assert (made.evidence, made.courses, made.tried) == ((), (), ())
    assert "no promise" in made.run_until[0]
    assert day.watch.papers.work_request_pdf(id, day.at(1)).startswith(b"%PDF-")
    with pytest.raises(NotFoundError):
        day.watch.papers.work_request("nonsense", day.at(1))


def pump(**given: object) -> Pump:
    base = Pump(
        tag="P",
        name="pump",
        liquid=PlantLiquid(name="water"),
        seal=ShaftSeal(kind="packing"),
        lubrication=Lubrication(kind="grease"),
    )
    return replace(base, **given)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({}, "Motor isolated, locked and tried"),
        ({"liquid": PlantLiquid(name="oil", temperature=363.15)}, "about 90 °C: burns"),
        ({"liquid": PlantLiquid(name="x", hazards=("toxic",))}, "Toxic liquid"),
        ({"liquid": PlantLiquid(name="hexane", hazards=("flammable",))}, "no ignition source"),
        ({"liquid": PlantLiquid(name="lye", hazards=("corrosive",))}, "face and skin covered"),
        ({"liquid": PlantLiquid(name="x", hazards=("hot",))}, "Hot liquid: burns"),
        ({"source": Source(kind="vessel", name="the deaerator")}, "hangs on the deaerator"),
        ({"driver": Driver(kind="turbine")}, "Steam isolated on both sides"),
        ({"driver": Driver(kind="engine")}, "Fuel, starter battery"),
        ({"heat_traced": True}, "Heat tracing stays live"),
        (
            {"seal": ShaftSeal(kind="double mechanical seal",
                               liquid=SealLiquid(plan="barrier", pot=True))},
            "seal pot keeps its pressure",
        ),
        (
            {"seal": ShaftSeal(kind="packing", liquid=SealLiquid(plan="seal water"))},
            "The seal water of the seal comes from elsewhere",
        ),
        (
            {"lubrication": Lubrication(kind="forced feed", system=OilSystem())},
            "auxiliary oil pump may start by itself",
        ),
    ],
)  # fmt: skip
def test_what_stands_in_the_plant_file_is_minded(given: dict[str, object], said: str) -> None:
    cautions = isolation_cautions(pump(**given), None)
    assert "lockout-tagout procedure" in cautions[0]
    assert any(said in caution for caution in cautions)
    driver_only = "liquid" not in given and "driver" in given
    assert len(cautions) == 2 + bool(given and not driver_only)


def test_the_other_pump_of_a_pair_is_minded(day: Day) -> None:
    pumps = day.watch.desk.pumps
    cautions = isolation_cautions(pumps["C1A"], pumps["C1B"])
    assert any(caution.startswith("C1B shares the lines") for caution in cautions)


def test_nothing_ever_says_that_it_is_safe(day: Day) -> None:
    plain = json.dumps(day.watch.papers.work_request_json(troubled(day), day.at(9)))
    assert not re.search(r"\bis safe\b|\bsafe to\b", plain)
