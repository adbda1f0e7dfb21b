"""The pump's curve with today's duty, and what the gauges say together."""

from dataclasses import dataclass

from markupsafe import Markup

from gaugewalk.errors import GaugewalkError
from gaugewalk.judge.estimate import Estimate
from gaugewalk.plant.liquid import physics_curve
from gaugewalk.plant.pump import Pump
from gaugewalk.watch.charts import pump_chart
from gaugewalk.watch.duty_picture import SURE, duty_picture
from gaugewalk.web.shown import Shown

# Name, words, unit: in the order in which they are asked for.
QUANTITIES = (
    ("flow", "Flow", "m3/h"),
    ("head", "Head", "m"),
    ("power", "Shaft power", "kW"),
    ("efficiency", "Efficiency", "%"),
    ("npsh_margin", "NPSH margin", "m"),
    ("wear", "Head lost to wear", "%"),
    ("gas_share", "Share of gas", "%"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One quantity that no single gauge shows."""

    name: str
    words: str
    known: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Duty:
    """The curve and what the readings of the last visit say together."""

    curve: Markup
    sentence: str
    figures: tuple[Figure, ...]


def duty_of(pump: Pump, estimate: Estimate | None, shown: Shown) -> Duty:
    """Build the part of a pump's page that looks at all gauges at once."""
    if estimate is None:
        return Duty(curve=_curve(pump, None), sentence="", figures=())
    return Duty(
        curve=_curve(pump, estimate),
        sentence=estimate.sentence,
        figures=tuple(
            figure
            for name, words, unit in QUANTITIES
            if (figure := _figure(name, words, unit, estimate, shown)) is not None
        ),
    )


def _figure(name: str, words: str, unit: str, estimate: Estimate, shown: Shown) -> Figure | None:
    known = estimate.values.get(name)
    if known is not None:
        said = f"{shown.value(known.value, unit)}, give or take "
        said += shown.value(SURE * known.uncertainty, unit, digits=2)
        return Figure(name=words, words=said, known=True)
    why = estimate.unobservable.get(name)
    return Figure(name=words, words=f"not known: {why}", known=False) if why else None


def _curve(pump: Pump, estimate: Estimate | None) -> Markup:
    if pump.curve is None:
        return Markup("")
    curve = physics_curve(pump.curve)
    try:
        drawn = pump_chart(curve, duty_picture(curve, estimate), title=f"Curve of {pump.tag}")
    except GaugewalkError:
        return Markup("")  # a duty beyond the curve cannot be drawn on it; the figures say it
    # Every text in the chart was escaped where it was drawn.
    return Markup(drawn)  # noqa: S704
