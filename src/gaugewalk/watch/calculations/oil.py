"""Handbook: oil and grease."""

from collections.abc import Mapping
from typing import Any

from gaugewalk.errors import ArgumentError
from gaugewalk.physics import grease, oil
from gaugewalk.physics.oil import USUAL_INDEX, ViscosityLine
from gaugewalk.physics.oil_care import (
    BEARING_LIMITS,
    bearing_limits,
    cleanliness_code,
    hand_oiler_rate,
    oil_change_interval,
)
from gaugewalk.units import show
from gaugewalk.watch.calculation import (
    Calculation,
    Result,
    choice,
    count,
    gives,
    may,
    need,
    says,
    yes_no,
)
from gaugewalk.watch.charts import oil_chart

GROUP = "Oil and grease"
_GRADE = may("grade", "number", "1", "ISO VG number", fill="lubrication.iso_vg")
_INDEX = may(
    "viscosity_index", "number", "1", "from the product sheet", f"{USUAL_INDEX:g}",
    "lubrication.viscosity_index",
)  # fmt: skip
OIL_INPUTS = (
    _GRADE,
    _INDEX,
    may("viscosity_40", "kinematic_viscosity", "cSt", "measured at 40 °C, instead of the grade"),
    may("viscosity_100", "kinematic_viscosity", "cSt", "measured at 100 °C, with the one at 40"),
)
"""The oil: by grade and index, or by two measured viscosities."""


def oil_line(
    grade: float | None,
    viscosity_index: float,
    viscosity_40: float | None,
    viscosity_100: float | None,
) -> ViscosityLine:
    """Return the line of the oil from whichever of `OIL_INPUTS` are given."""
    if viscosity_40 is not None and viscosity_100 is not None:
        return oil.line_through(oil.T40, viscosity_40, oil.T100, viscosity_100)
    if viscosity_40 is not None:
        hot = float(oil.viscosity_100(viscosity_40, viscosity_index))
        return oil.line_through(oil.T40, viscosity_40, oil.T100, hot)
    if grade is None or viscosity_100 is not None:
        raise ArgumentError(
            "the oil is not known; expected grade, or viscosity_40 with or without viscosity_100."
        )
    return oil.line_of_grade(round(grade), viscosity_index)


def _viscosity(
    temperature: float,
    viscosity_index: float,
    grade: float | None = None,
    viscosity_40: float | None = None,
    viscosity_100: float | None = None,
) -> Result:
    line = oil_line(grade, viscosity_index, viscosity_40, viscosity_100)
    return {"viscosity": line.viscosity(temperature)}


def _draw(given: Mapping[str, Any], units: Mapping[str, str], on_paper: bool) -> str:
    line = oil_line(
        given.get("grade"),
        given["viscosity_index"],
        given.get("viscosity_40"),
        given.get("viscosity_100"),
    )
    return oil_chart(line, temperature=given["temperature"], on_paper=on_paper)


def _temperature_for(
    viscosity: float,
    viscosity_index: float,
    grade: float | None = None,
    viscosity_40: float | None = None,
    viscosity_100: float | None = None,
) -> Result:
    line = oil_line(grade, viscosity_index, viscosity_40, viscosity_100)
    return {"temperature": line.temperature(viscosity)}


def _grade(grade: int) -> Result:
    least, middle, greatest = oil.grade_limits(grade)
    return {"least": least, "middle": middle, "greatest": greatest}


def _grade_of(viscosity_40: float) -> Result:
    grade = oil.grade_of(viscosity_40)
    return {"grade": f"ISO VG {grade}" if grade else "between two grades: mixed, diluted or aged"}


def _interval(
    speed: float,
    bore: float,
    kind: str,
    vertical: bool,
    contamination: str,
    moisture: str,
    temperature: float | None = None,
) -> Result:
    service = grease.GreaseService(
        temperature=temperature, vertical=vertical, contamination=contamination, moisture=moisture
    )
    interval = grease.regrease_interval(speed, bore, kind, service)  # type: ignore[arg-type] # a choice
    return {"interval": interval, "factor": service.factor()}


def _cup(
    plunger_diameter: float,
    thread_pitch: float,
    grease_density: float,
    charge: float,
    interval: float,
    round_every: float,
) -> Result:
    per_turn = grease.cup_mass_per_turn(plunger_diameter, thread_pitch, grease_density)
    return {
        "mass_per_turn": per_turn,
        "turns": grease.cup_turns(charge, per_turn),
        "turns_each_round": grease.cup_turns_per_round(charge, interval, round_every, per_turn),
    }


def _limits(lubrication: str) -> Result:
    lines = (
        f"{one.what}: {show(one.limit, 'K' if one.rise else 'degC')} ({one.source})"
        for one in bearing_limits(lubrication)
    )
    return {"limits": "; ".join(lines)}


def _oiler(starts_per_day: float) -> Result:
    low, high = hand_oiler_rate(starts_per_day)
    return {"drops_per_minute": low, "at_most": high if high != low else None}


CALCULATIONS = (
    Calculation(
        name="oil-grade",
        title="Viscosity limits of an ISO VG grade",
        group=GROUP,
        inputs=(count("grade", "ISO VG number", fill="lubrication.iso_vg"),),
        outputs=(
            gives("least", "kinematic_viscosity", "cSt", "least at 40 °C"),
            gives("middle", "kinematic_viscosity", "cSt", "middle at 40 °C"),
            gives("greatest", "kinematic_viscosity", "cSt", "greatest at 40 °C"),
        ),
        run=_grade,
        formula="middle ± 10 %",
        source="ISO 3448",
        example={"grade": "46"},
    ),
    Calculation(
        name="oil-viscosity",
        title="Viscosity of an oil at a temperature",
        group=GROUP,
        inputs=(
            need(
                "temperature", "temperature", "degC", "of the oil", "point:oil_supply_temperature"
            ),
            *OIL_INPUTS,
        ),
        outputs=(gives("viscosity", "kinematic_viscosity", "cSt", "kinematic viscosity"),),
        run=_viscosity,
        draw=_draw,
        formula="log10 log10(ν + 0.7) = A - B log10 T",
        source="ASTM D341, short equation (from 2 mm²/s); grade and index by ISO 3448, D2270",
        cautions=("A grade is 20 % wide; aged or diluted oil is another oil.",),
        example={"temperature": "60 degC", "viscosity_40": "404 cSt", "viscosity_100": "28 cSt"},
    ),
    Calculation(
        name="oil-temperature",
        title="Temperature at which an oil has a viscosity",
        group=GROUP,
        inputs=(
            need("viscosity", "kinematic_viscosity", "cSt", "wanted"),
            *OIL_INPUTS,
        ),
        outputs=(gives("temperature", "temperature", "degC", "temperature"),),
        run=_temperature_for,
        formula="inverse of ASTM D341",
        source="ASTM D341, short equation (from 2 mm²/s)",
        cautions=("A grade is 20 % wide; aged or diluted oil is another oil.",),
        example={"viscosity": "13 cSt", "viscosity_40": "46 cSt", "viscosity_100": "6.8 cSt"},
    ),
    Calculation(
        name="viscosity-index",
        title="Viscosity index",
        group=GROUP,
        inputs=(
            need("viscosity_40", "kinematic_viscosity", "cSt", "at 40 °C"),
            need("viscosity_100", "kinematic_viscosity", "cSt", "at 100 °C"),
        ),
        outputs=(gives("index", "number", "1", "viscosity index"),),
        run=lambda viscosity_40, viscosity_100: {
            "index": oil.viscosity_index(viscosity_40, viscosity_100)
        },
        formula="A: (L - U)/(L - H) 100; B: (10^N - 1)/0.00715 + 100",
        source="ASTM D2270-10, procedures A and B",
        example={"viscosity_40": "73.30 cSt", "viscosity_100": "8.86 cSt"},
    ),
    Calculation(
        name="oil-cleanliness",
        title="Cleanliness code of an oil",
        group=GROUP,
        inputs=(
            need("above_4", "number", "1", "particles per mL above 4 µm"),
            need("above_6", "number", "1", "particles per mL above 6 µm"),
            need("above_14", "number", "1", "particles per mL above 14 µm"),
        ),
        outputs=(says("code", "code"),),
        run=lambda above_4, above_6, above_14: {
            "code": cleanliness_code(above_4, above_6, above_14)
        },
        formula="scale number of each count",
        source="ISO 4406:2017",
        cautions=("The sample bottle and the sample cock often are the dirt.",),
        example={"above_4": "3000", "above_6": "500", "above_14": "7"},
    ),
    Calculation(
        name="oil-change",
        title="Interval for an oil bath",
        group=GROUP,
        inputs=(need("temperature", "temperature", "degC", "of the oil"),),
        outputs=(gives("interval", "duration", "month", "change after at most"),),
        run=lambda temperature: {"interval": oil_change_interval(temperature)},
        formula="12 months to 50 °C, 3 months at 100 °C, straight in the logarithm between",
        source="public catalog page of a bearing maker (the two ends)",
        cautions=("Milky, dark or foaming oil is changed now, and the cause is found.",),
        example={"temperature": "75 degC"},
    ),
    Calculation(
        name="hand-oiler",
        title="Drops a minute of a hand oiler",
        group=GROUP,
        inputs=(need("starts_per_day", "number", "1", "of the machine"),),
        outputs=(
            gives("drops_per_minute", "number", "1", "drops a minute"),
            gives("at_most", "number", "1", "up to, drops a minute"),
        ),
        run=_oiler,
        formula="table",
        source="MIL-HDBK-1164, Table 15",
        example={"starts_per_day": "8"},
    ),
    Calculation(
        name="bearing-temperature-limits",
        title="Published temperature limits of bearings",
        group=GROUP,
        inputs=(choice("lubrication", tuple(BEARING_LIMITS), "way of lubricating"),),
        outputs=(says("limits", "limits"),),
        run=_limits,
        formula="table",
        source="named with each limit",
        cautions=("A rise against the bearing's own usual value says more than a limit.",),
        example={"lubrication": "forced feed"},
    ),
    Calculation(
        name="grease-charge",
        title="Grease for one regreasing",
        group=GROUP,
        inputs=(
            need(
                "outside_diameter", "length", "mm", "of the bearing", "bearings.0.outside_diameter"
            ),
            need("width", "length", "mm", "of the bearing", "bearings.0.width"),
        ),
        outputs=(gives("mass", "mass", "gram", "grease"),),
        run=lambda outside_diameter, width: {"mass": grease.charge_mass(outside_diameter, width)},
        formula="G = 0.005 D B (g, mm)",
        source="corporate relubrication standards and trade magazines (public)",
        cautions=(
            "More is not better: over-greased bearings run hot. Right grease, drain open, clean "
            "fitting, guard in place.",
        ),
        example={"outside_diameter": "100 mm", "width": "25 mm"},
    ),
    Calculation(
        name="regrease-interval",
        title="Running time between regreasings",
        group=GROUP,
        inputs=(
            need("speed", "speed", "rpm", "of the shaft", "point:speed"),
            need("bore", "length", "mm", "of the bearing", "bearings.0.bore"),
            choice("kind", tuple(grease.TYPE_FACTOR), "of bearing", "ball"),
            may(
                "temperature",
                "temperature",
                "degC",
                "of the bearing",
                fill="point:bearing_temperature_de",
            ),
            yes_no("vertical", "vertical shaft"),
            choice("contamination", tuple(grease.CONTAMINATION_FACTOR), "around it", "light dust"),
            choice("moisture", tuple(grease.MOISTURE_FACTOR), "around it", "dry"),
        ),
        outputs=(
            gives("interval", "duration", "h", "running time"),
            gives("factor", "number", "1", "product of the corrections"),
        ),
        run=_interval,
        formula="t = K (14e6/(n √d) - 4 d) h, halved per 15 K above 70 °C and for vertical",
        source="classical empirical formula (public guides); corrections: bearing maker's table "
        "and a trade table from memory, unverified",
        cautions=("Good to a factor of two; the makers' word comes first.",),
        example={"speed": "1500 rpm", "bore": "45 mm"},
    ),
    Calculation(
        name="grease-cup-turns",
        title="Turns of a grease cup",
        group=GROUP,
        inputs=(
            need("plunger_diameter", "length", "mm", "inside of the cup"),
            need("thread_pitch", "length", "mm", "travel in one turn"),
            need("charge", "mass", "gram", "for one regreasing", "lubrication.grease_mass"),
            need("interval", "duration", "h", "in which it is used", "lubrication.grease_interval"),
            may("round_every", "duration", "h", "between two rounds", "24 h"),
            may("grease_density", "density", "kg/m3", "of the grease", "900 kg/m3"),
        ),
        outputs=(
            gives("turns_each_round", "number", "1", "turns at each round"),
            gives("turns", "number", "1", "turns for the whole charge"),
            gives("mass_per_turn", "mass", "gram", "grease of one turn"),
        ),
        run=_cup,
        formula="m = π/4 d² pitch ρ; turns = charge/m",
        source="volume of a cylinder; grease density common practice, no source",
        cautions=("Turning until it is tight every watch gives far more than a bearing wants.",),
        example={
            "plunger_diameter": "30 mm",
            "thread_pitch": "1.5 mm",
            "charge": "12.5 gram",
            "interval": "2400 h",
        },
    ),
    Calculation(
        name="oil-grade-of",
        title="Grade of an oil from its viscosity",
        group=GROUP,
        inputs=(need("viscosity_40", "kinematic_viscosity", "cSt", "measured at 40 °C"),),
        outputs=(says("grade", "grade"),),
        run=_grade_of,
        formula="the grade within whose 10 % it lies",
        source="ISO 3448",
        cautions=("Two oils of one grade are not the same oil: never mix by grade alone.",),
        example={"viscosity_40": "44 cSt"},
    ),
)
