"""Handbook: units and gauges."""

from gaugewalk import units
from gaugewalk.physics.uncertainty import gauge_uncertainty
from gaugewalk.watch.calculation import Calculation, Result, gives, may, need, says, word

GROUP = "Gauges and units"


def _convert(value: str, to: str) -> Result:
    wanted = units.parse(f"0 {to}" if "vac" not in to else f"1 {to}", _kinds(to))
    read = units.parse(value, units.table()[wanted.unit].kinds)
    return {"converted": units.show(read.value, wanted.unit, digits=6), "si": f"{read.value:.9g}"}


def _kinds(unit: str) -> tuple[str, ...]:
    return units.table()[unit].kinds if unit in units.table() else tuple(units.kinds())


def _gauge(span: float, accuracy_class: float) -> Result:
    return {
        "uncertainty": gauge_uncertainty(span, accuracy_class),
        "limit": span * accuracy_class / 100,
    }


CALCULATIONS = (
    Calculation(
        name="convert",
        title="One unit into another",
        group=GROUP,
        inputs=(
            word("value", "a number with its unit, as in '3.1 barg'"),
            word("to", "the unit wanted, as in 'psig'"),
        ),
        outputs=(says("converted", "in the unit wanted"), says("si", "in SI, pressure absolute")),
        run=_convert,
        formula="value in SI = value * factor + offset",
        source="SI Brochure; every factor is checked against an independent table",
        cautions=("Gauge and absolute pressure are different kinds; air at 1013.25 mbar here.",),
        example={"value": "3.1 barg", "to": "psig"},
    ),
    Calculation(
        name="gauge-uncertainty",
        title="Standard uncertainty of a gauge by its class",
        group=GROUP,
        inputs=(
            need("span", "pressure_difference", "bar", "from end to end of the scale"),
            may("accuracy_class", "number", "1", "percent of span, as 1.6", "1.6"),
        ),
        outputs=(
            gives("uncertainty", "pressure_difference", "bar", "one standard uncertainty"),
            gives("limit", "pressure_difference", "bar", "largest error of the class"),
        ),
        run=_gauge,
        formula="u = span * class / 100 / √3",
        source="JCGM 100:2008, 4.3.7 (equally likely inside the limits); EN 837-1 classes",
        cautions=("For a gauge in order; a beaten or plugged one is outside its class.",),
        example={"span": "10 bar"},
    ),
)
