"""Handbook: rolling bearings, film and life."""

from collections.abc import Mapping
from typing import Any

from gaugewalk.physics import bearing_life as life
from gaugewalk.physics.bearing_frequencies import bearing_frequencies, vane_pass_frequency
from gaugewalk.watch.calculation import (
    Calculation,
    Result,
    choice,
    count,
    gives,
    may,
    need,
    says,
)
from gaugewalk.watch.calculations.oil import OIL_INPUTS, oil_line
from gaugewalk.watch.charts import oil_chart

GROUP = "Bearings"
_SPEED = need("speed", "speed", "rpm", "of the shaft", "point:speed")
_BORE = need("bore", "length", "mm", "of the bearing", "bearings.0.bore")
_OUTSIDE = need("outside_diameter", "length", "mm", "of the bearing", "bearings.0.outside_diameter")
_KINDS = ("ball", "roller")
_SOURCE = "ISO 281:2007 (formulas from memory, unverified); ASTM D341 for the oil"
_MAKER = "Maker's diagrams read up to 20 % less viscosity than the formula asks for."


def _required(speed: float, bore: float, outside_diameter: float) -> Result:
    return {"viscosity": life.reference_viscosity(speed, (bore + outside_diameter) / 2)}


def _kappa(
    speed: float,
    bore: float,
    outside_diameter: float,
    temperature: float,
    viscosity_index: float,
    grade: float | None = None,
    viscosity_40: float | None = None,
    viscosity_100: float | None = None,
) -> Result:
    line = oil_line(grade, viscosity_index, viscosity_40, viscosity_100)
    wanted = life.reference_viscosity(speed, (bore + outside_diameter) / 2)
    actual = line.viscosity(temperature)
    kappa = float(life.viscosity_ratio(actual, wanted))
    thin = "thin: metal may touch; find out why it is so hot, or ask for a thicker oil"
    thick = "thick: no more life to gain, more churning heat"
    return {
        "kappa": kappa,
        "viscosity": actual,
        "required": wanted,
        "film": thin if kappa < 1 else thick if kappa > life.KAPPA_HIGH else "sufficient",
    }


def _window(
    speed: float,
    bore: float,
    outside_diameter: float,
    kappa_low: float,
    kappa_high: float,
    viscosity_index: float,
    grade: float | None = None,
    viscosity_40: float | None = None,
    viscosity_100: float | None = None,
) -> Result:
    line = oil_line(grade, viscosity_index, viscosity_40, viscosity_100)
    pitch = (bore + outside_diameter) / 2
    cold, hot = life.oil_temperature_window(
        line, speed, pitch, kappa_low=kappa_low, kappa_high=kappa_high
    )
    return {"cold": cold, "hot": hot, "required": life.reference_viscosity(speed, pitch)}


def _draw(given: Mapping[str, Any], units: Mapping[str, str], on_paper: bool) -> str:
    """Draw the oil with its window for this bearing and, where given, its temperature now."""
    line = oil_line(
        given.get("grade"),
        given["viscosity_index"],
        given.get("viscosity_40"),
        given.get("viscosity_100"),
    )
    pitch = (given["bore"] + given["outside_diameter"]) / 2
    window = life.oil_temperature_window(
        line,
        given["speed"],
        pitch,
        kappa_low=given.get("kappa_low", 1.0),
        kappa_high=given.get("kappa_high", life.KAPPA_HIGH),
    )
    return oil_chart(
        line,
        window=window,
        temperature=given.get("temperature"),
        title="Viscosity of the oil and its window for this bearing",
        on_paper=on_paper,
    )


def _life(load_rating: float, load: float, speed: float, kind: str) -> Result:
    turns = life.rating_life(load_rating, load, kind)  # type: ignore[arg-type] # a choice
    return {"life": life.life_duration(turns, speed), "million_turns": turns / 1e6}


def _modified(
    load_rating: float,
    load: float,
    speed: float,
    kind: str,
    kappa: float,
    contamination: float,
    fatigue_load_limit: float,
    reliability: float,
) -> Result:
    turns = life.rating_life(load_rating, load, kind)  # type: ignore[arg-type] # a choice
    basic = life.life_duration(turns, speed)
    a1 = life.reliability_factor(round(reliability * 100, 6))
    factor = life.life_factor(kappa, contamination, fatigue_load_limit, load, kind)  # type: ignore[arg-type] # a choice
    return {
        "life": life.modified_life(basic, a1, factor),
        "basic_life": basic,
        "reliability_factor": a1,
        "life_factor": factor,
    }


def _life_inputs(
    bore: float, outside_diameter: float, cleanliness: str, static_load_rating: float, kind: str
) -> Result:
    pitch = (bore + outside_diameter) / 2
    low, high = life.contamination_factor(cleanliness, pitch)
    limit = life.fatigue_load_limit(static_load_rating, pitch, kind)  # type: ignore[arg-type] # a choice
    return {"contamination_low": low, "contamination_high": high, "fatigue_load_limit": limit}


def _frequencies(
    speed: float,
    balls: int,
    ball_diameter: float,
    pitch_diameter: float,
    contact_angle_deg: float,
) -> Result:
    found = bearing_frequencies(
        speed, balls, ball_diameter, pitch_diameter, contact_angle_deg * 3.141592653589793 / 180
    )
    return {
        "shaft": speed,
        "cage": found.cage,
        "ball_spin": found.ball_spin,
        "outer_race": found.outer_race,
        "inner_race": found.inner_race,
    }


CALCULATIONS = (
    Calculation(
        name="required-viscosity",
        title="Viscosity a bearing asks for",
        group=GROUP,
        inputs=(_SPEED, _BORE, _OUTSIDE),
        outputs=(gives("viscosity", "kinematic_viscosity", "cSt", "ν1 at working temperature"),),
        run=_required,
        formula="ν1 = 45000 n^-0.83 D_pw^-0.5 (n < 1000), 4500 n^-0.5 D_pw^-0.5 (n ≥ 1000)",
        source=_SOURCE,
        cautions=(_MAKER,),
        example={"speed": "3000 rpm", "bore": "45 mm", "outside_diameter": "100 mm"},
    ),
    Calculation(
        name="film",
        title="Viscosity ratio κ of a bearing at its temperature",
        group=GROUP,
        inputs=(
            _SPEED,
            _BORE,
            _OUTSIDE,
            need(
                "temperature",
                "temperature",
                "degC",
                "of the oil in the bearing, about 11 K over the housing surface",
                "point:bearing_temperature_de",
            ),
            *OIL_INPUTS,
        ),
        outputs=(
            gives("kappa", "number", "1", "κ"),
            says("film", "the film is"),
            gives("viscosity", "kinematic_viscosity", "cSt", "viscosity there"),
            gives("required", "kinematic_viscosity", "cSt", "ν1 asked for"),
        ),
        run=_kappa,
        draw=_draw,
        formula="κ = ν/ν1",
        source=_SOURCE,
        cautions=(_MAKER,),
        example={
            "speed": "2950 rpm",
            "bore": "45 mm",
            "outside_diameter": "100 mm",
            "temperature": "70 degC",
            "grade": "46",
        },
    ),
    Calculation(
        name="oil-temperature-window",
        title="Too cold, too hot: the oil's window for this bearing",
        group=GROUP,
        inputs=(
            _SPEED,
            _BORE,
            _OUTSIDE,
            may("kappa_low", "number", "1", "thinnest film", "1"),
            may("kappa_high", "number", "1", "thickest useful film", "4"),
            *OIL_INPUTS,
        ),
        outputs=(
            gives("cold", "temperature", "degC", "too cold below"),
            gives("hot", "temperature", "degC", "too hot above"),
            gives("required", "kinematic_viscosity", "cSt", "ν1 asked for"),
        ),
        run=_window,
        draw=_draw,
        formula="temperatures at which κ = κ_high and κ = κ_low",
        source=_SOURCE,
        cautions=(
            "In the bearing, not at the housing surface (about 11 K less). Seals, oil life and the "
            "maker may ask for less than the upper end.",
        ),
        example={
            "speed": "2950 rpm",
            "bore": "45 mm",
            "outside_diameter": "100 mm",
            "grade": "68",
        },
    ),
    Calculation(
        name="bearing-life",
        title="Basic rating life of a rolling bearing",
        group=GROUP,
        inputs=(
            need("load_rating", "number", "1", "C, in newton"),
            need("load", "number", "1", "P, in newton"),
            _SPEED,
            choice("kind", _KINDS, "of bearing", "ball"),
        ),
        outputs=(
            gives("life", "duration", "h", "L10h, reached by nine of ten"),
            gives("million_turns", "number", "1", "L10 in million turns"),
        ),
        run=_life,
        formula="L10 = (C/P)^p, p = 3 ball, 10/3 roller",
        source="ISO 281",
        cautions=("A statistic of many bearings; most fail of dirt, water and lubrication.",),
        example={"load_rating": "55300", "load": "10000", "speed": "3000 rpm"},
    ),
    Calculation(
        name="bearing-life-modified",
        title="Bearing life with film, dirt and reliability",
        group=GROUP,
        inputs=(
            need("load_rating", "number", "1", "C, in newton"),
            need("load", "number", "1", "P, in newton"),
            _SPEED,
            choice("kind", _KINDS, "of bearing", "ball"),
            need("kappa", "number", "1", "viscosity ratio, from film"),
            need("contamination", "number", "1", "e_C, 0 dirty to 1 clean; 0.5 usual when clean"),
            need("fatigue_load_limit", "number", "1", "C_u, in newton"),
            may("reliability", "fraction", "%", "90, 95, 96, 97, 98 or 99", "90 %"),
        ),
        outputs=(
            gives("life", "duration", "h", "L_nmh"),
            gives("basic_life", "duration", "h", "L10h"),
            gives("reliability_factor", "number", "1", "a1"),
            gives("life_factor", "number", "1", "a_ISO"),
        ),
        run=_modified,
        formula="L_nm = a1 a_ISO L10",
        source="ISO 281:2007, Equations 31 to 36 and Table 12, from memory, unverified",
        cautions=("The contamination factor is a judgement and moves the answer most.",),
        example={
            "load_rating": "55300",
            "load": "5000",
            "speed": "2950 rpm",
            "kappa": "2",
            "contamination": "0.5",
            "fatigue_load_limit": "1340",
        },
    ),
    Calculation(
        name="bearing-frequencies",
        title="Frequencies of a worn rolling bearing",
        group=GROUP,
        inputs=(
            _SPEED,
            count("balls", "balls or rollers in a row", fill="bearings.0.balls"),
            need("ball_diameter", "length", "mm", "of one", "bearings.0.ball_diameter"),
            need("pitch_diameter", "length", "mm", "of the circle they run on"),
            may(
                "contact_angle_deg",
                "number",
                "1",
                "in degrees",
                "0",
                "bearings.0.contact_angle_deg",
            ),
        ),
        outputs=(
            gives("outer_race", "frequency", "Hz", "outer race"),
            gives("inner_race", "frequency", "Hz", "inner race"),
            gives("ball_spin", "frequency", "Hz", "ball spin (seen at twice it)"),
            gives("cage", "frequency", "Hz", "cage"),
            gives("shaft", "frequency", "Hz", "shaft"),
        ),
        run=_frequencies,
        formula="N n (1 ∓ r)/2, r = d/D cos α",
        source="kinematics of rolling without slip",
        cautions=("Real bearings slip by 1 to 2 %.",),
        example={
            "speed": "1797 rpm",
            "balls": "9",
            "ball_diameter": "0.3126 in",
            "pitch_diameter": "1.537 in",
        },
    ),
    Calculation(
        name="vane-pass",
        title="Vane-pass frequency",
        group=GROUP,
        inputs=(_SPEED, count("vanes", "of the impeller", fill="rated.vanes")),
        outputs=(gives("frequency", "frequency", "Hz", "vane-pass frequency"),),
        run=lambda speed, vanes: {"frequency": vane_pass_frequency(speed, vanes)},
        formula="f = z n",
        source="definition",
        example={"speed": "2970 rpm", "vanes": "6"},
    ),
    Calculation(
        name="bearing-life-inputs",
        title="Contamination factor and fatigue limit, where the catalog gives none",
        group=GROUP,
        inputs=(
            _BORE,
            _OUTSIDE,
            choice("cleanliness", tuple(life.CONTAMINATION), "of the oil", "normal cleanliness"),
            need("static_load_rating", "number", "1", "C_0, in newton"),
            choice("kind", _KINDS, "of bearing", "ball"),
        ),
        outputs=(
            gives("contamination_low", "number", "1", "e_C at least"),
            gives("contamination_high", "number", "1", "e_C at most"),
            gives("fatigue_load_limit", "number", "1", "C_u, newton"),
        ),
        run=_life_inputs,
        formula="table of words; C_u = C_0/22 ball, C_0/8.2 roller, less above 100 mm",
        source="ISO 281:2007, Table 13 and simplified method, from memory, unverified",
        cautions=("A word for the oil is a judgement; an oil sample is better.",),
        example={"bore": "45 mm", "outside_diameter": "100 mm", "static_load_rating": "31500"},
    ),
)
