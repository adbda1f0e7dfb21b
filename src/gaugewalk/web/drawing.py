"""The pump as a drawing made from its plant file, each observation point at its place."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace

from markupsafe import Markup

from gaugewalk.plant.pump import Lubrication, Pump, ShaftSeal, Source, Strainer
from gaugewalk.web.drawing_horizontal import horizontal
from gaugewalk.web.drawing_places import (
    PLATE_HEIGHT,
    PLATE_WIDTH,
    Place,
    Plate,
    place_of,
    put_plates,
)
from gaugewalk.web.drawing_vertical import lane_of, vertical
from gaugewalk.web.svg import attributes, box, circle, figure, group, line, severity_shape, words

LONG = 10  # characters that fit on a plate in large figures


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """What stands on the plate of one point: its last value, its severity, where it leads."""

    point: str
    label: str
    value: str = "–"
    severity: str = ""  # empty where there is no reading
    href: str = ""


def pump_drawing(pump: Pump, marks: Mapping[str, Mark]) -> Markup:
    """Draw a pump as SVG with a plate for each mark.

    Parameters
    ----------
    pump : Pump
        Its equipment decides the drawing: seal, lubrication, strainers, driver, source.
    marks : mapping of point to Mark
        What is written at each point.

    Returns
    -------
    Markup
        One ``<svg>`` without any style of its own; every plate is a link that can be focused.
    """
    placed = [(point, place_of(point, label=mark.label)) for point, mark in marks.items()]
    if pump.orientation == "vertical":
        placed = [(point, replace(place, lane=lane_of(place))) for point, place in placed]
    counts = Counter(place.lane for _, place in placed)
    if pump.lubrication.system is None or pump.orientation == "vertical":
        counts["under"] += counts.pop("oil", 0)
    sketch = (vertical if pump.orientation == "vertical" else horizontal)(pump, counts)
    plates = put_plates(placed, sketch.lanes, sketch.spots)
    shorts = dict(placed)
    leaders = "".join(_leader(plate) for plate in plates)
    drawn = "".join(_plate(plate, marks[plate.key], shorts[plate.key]) for plate in plates)
    content = sketch.content + leaders + drawn
    return figure(content, sketch.width, sketch.height, describe(pump), "pump-drawing")


def _leader(plate: Plate) -> str:
    x1, y1, x2, y2 = plate.leader
    return line(x1, y1, x2, y2, "leader") + circle(x2, y2, 3.5, "leader-end")


def _plate(plate: Plate, mark: Mark, place: Place) -> str:
    said = mark.severity or "no reading yet"
    # What is read out begins with what is seen, so that it can be asked for by voice.
    label = f"{place.short} {mark.value}, {said}: {mark.label}"
    inner = (
        box(0, 0, PLATE_WIDTH, PLATE_HEIGHT, "plate-face", 6)
        + severity_shape(mark.severity, 20, PLATE_HEIGHT / 2)
        + words(38, 22, place.short, "plate-name", "start")
        + " "
        + words(38, 45, mark.value, _value_style(mark.value), "start")
    )
    moved = group(inner, plate.x, plate.y)
    style = f"plate {mark.severity or 'none'}"
    given = attributes(class_=style, href=mark.href or f"#{mark.point}", aria_label=label)
    return f"<a{given}>{moved}</a>"


def _value_style(value: str) -> str:
    return "plate-value" if len(value) <= LONG else "plate-value long"


def describe(pump: Pump) -> str:
    """Say in one sentence what the drawing shows.

    Examples
    --------
    >>> from gaugewalk.plant.pump import PlantLiquid
    >>> describe(Pump(tag="P-1", name="Rinse", liquid=PlantLiquid(name="water"),
    ...     seal=ShaftSeal(kind="packing"), lubrication=Lubrication(kind="grease cup")))
    'P-1 Rinse: water from a flooded tank, horizontal pump, packing, bearings with grease cup,
    electric motor, check valve.'
    """
    driven = pump.driver.kind + (" with variable speed" if pump.driver.variable_speed else "")
    parts = [
        f"{pump.liquid.name} from {_source(pump.source)}",
        _strainer(pump.suction_strainer, "suction"),
        f"{pump.orientation} pump",
        _seal(pump.seal),
        f"bearings with {_lubrication(pump.lubrication)}",
        driven,
        "check valve" if pump.check_valve else "no check valve",
        _strainer(pump.discharge_strainer, "discharge"),
        "minimum-flow line" if pump.minimum_flow_line else "",
        "heat tracing" if pump.heat_traced else "",
    ]
    return f"{pump.tag} {pump.name}: {', '.join(part for part in parts if part)}."


def _source(source: Source) -> str:
    what = {
        "flooded": "a flooded tank",
        "lift": "below by suction lift",
        "vessel": "a boiling vessel" if source.boiling else "a vessel",
        "sump": "a sump",
    }[source.kind]
    return f"{source.name} ({what})" if source.name else what


def _strainer(fitted: Strainer | None, where: str) -> str:
    if fitted is None:
        return ""
    return f"{'duplex ' if fitted.duplex else ''}{where} strainer"


def _seal(seal: ShaftSeal) -> str:
    plan = seal.liquid.plan
    return seal.kind if plan == "none" else f"{seal.kind} with {plan}"


def _lubrication(lubricated: Lubrication) -> str:
    if lubricated.system is None:
        return lubricated.kind
    system = lubricated.system
    parts = [
        "pump" if system.pump else "",
        "auxiliary pump" if system.auxiliary_pump else "",
        "reservoir with heater" if system.heater else "reservoir",
        ("two coolers" if system.cooler_duplex else "cooler") if system.cooler else "",
        ("two filters" if system.filter_duplex else "filter") if system.filter else "",
    ]
    return f"{lubricated.kind} ({', '.join(part for part in parts if part)})"
