"""What goes wrong at Larkmoor, day by day: severities of causes, and what people did about them.

Every trouble acts through the forward model; nothing here writes a reading. Days are counted from
now, so that -9 is nine days ago. The figures are made up so that each screen has something to show.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from gaugewalk.drill.weather import Weather

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Deed:
    """Something done, seen or written at a pump; `day` counted from now.

    ``finding`` and ``present`` belong to an observation, ``trial`` with its ``result`` and the
    ``cause`` that it removed to an action. Care is ``what`` was done, at which ``place``, with how
    much; its text is what was found.
    """

    day: float
    text: str = ""
    finding: str = ""
    present: bool = True
    trial: str = ""
    result: str = ""
    cause: str = ""
    kind: Literal["action", "note", "observation", "care"] = "action"
    what: str = ""
    place: str = ""
    amount: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Scene:
    """The days at which a pump is visited, and the weather then."""

    days: Array
    weather: Weather


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Story:
    """What befalls one pump over the scene's days."""

    severities: Mapping[str, Array] = field(default_factory=dict)
    offsets: Mapping[str, Array] = field(default_factory=dict)  # of gauges, SI
    liquid_warmer: Array | float = 0.0  # over its usual temperature, [K]
    level: Array | float = 0.0  # of the source over the usual, [m]
    bearing: Literal["de", "nde"] = "de"
    deeds: tuple[Deed, ...] = ()


def growing(days: Array, start: float, end: float, power: float = 1.0) -> Array:
    """Return a severity that grows from nothing on day ``start`` to ``end`` now.

    Examples
    --------
    >>> growing(np.array([-12.0, -8.0, -4.0, 0.0]), -8.0, 0.6).tolist()
    [0.0, 0.0, 0.3, 0.6]
    """
    return np.asarray(end * np.clip((days - start) / -start, 0.0, 1.0) ** power)


def since_last(days: Array, remedies: tuple[float, ...], first: float) -> Array:
    """Return the days since the last remedy before each day; ``first`` is where the count begins.

    Examples
    --------
    >>> since_last(np.array([-9.0, -5.0, -1.0]), (-6.0, -2.0), -10.0).tolist()
    [1.0, 1.0, 1.0]
    """
    marks = np.array((first, *remedies))
    last = np.searchsorted(marks, days, side="right") - 1
    return np.asarray(days - marks[np.maximum(last, 0)])


def _cleaned(day: float, side: str, dirt: str, cause: str) -> Deed:
    return Deed(day=day, kind="care", what="strainer cleaned", place=side, text=dirt, cause=cause)


def miscella_strainer(scene: Scene) -> Story:
    """Meal fines: cleaned now and then, and since a new lot of seed it clogs in nine days."""
    cleaned = (-46.0, -28.0, -9.0)
    slow = 0.26 * np.clip(since_last(scene.days, cleaned, -62.0) / 19.0, 0.0, 1.2)
    fast = growing(scene.days, -9.0, 0.64, power=1.3)
    severity = np.where(scene.days > -9.0, fast, slow)
    plugged = "suction-strainer-plugged"
    deeds = [_cleaned(day, "suction", "Meal fines.", plugged) for day in cleaned]
    deeds += [
        Deed(day=-8.6, kind="note", text="New seed lot in the extractor; more fines in the oil."),
        Deed(day=-1.2, kind="observation", finding="suction-strainer-dp-high"),
        Deed(day=-0.35, kind="observation", finding="noise-rattle-intermittent"),
        Deed(day=-0.2, kind="observation", finding="suction-valve-not-open", present=False),
    ]
    return Story(severities={"suction-strainer-plugged": severity}, deeds=tuple(deeds))


def effluent_air(scene: Scene) -> Story:
    """Seal water falls off, the packing draws air; vented four times in six days, and it returns.

    The basket strainer of the same pump is cleaned as a matter of course.
    """
    vented = (-5.8, -4.3, -2.9, -1.5)
    cleaned = (-52.0, -45.0, -39.0, -32.0, -26.0, -10.0, -3.2)
    returned = np.clip(since_last(scene.days, vented, -7.2) / 1.5, 0.0, 1.0)
    air = np.where(scene.days > -7.2, 0.40 * returned**1.5, 0.0)
    dirt = 0.28 * np.clip(since_last(scene.days, cleaned, -60.0) / 7.0, 0.0, 1.3)
    plugged = "suction-strainer-plugged"
    deeds = [_cleaned(day, "suction", "Rags and fiber.", plugged) for day in cleaned]
    for day in vented:
        text = "Vented the casing; pressure came back."
        deeds.append(Deed(day=day, text=text, trial="vent", result="gas"))
        deeds.append(Deed(day=day + 0.002, kind="observation", finding="vent-gives-gas"))
        deeds.append(Deed(day=day + 0.02, kind="observation", finding="venting-helps-briefly"))
    deeds.append(Deed(day=-0.4, kind="observation", finding="gland-drawing-air"))
    return Story(
        severities={
            "air-through-packing": air,
            "seal-water-lost": growing(scene.days, -8.0, 0.45),
            "suction-strainer-plugged": dirt,
        },
        level=0.15 * np.sin(scene.days * 5.3),
        deeds=tuple(deeds),
    )


def feed_pump_oil(scene: Scene) -> Story:
    """The oil cooler fouls over two months, and the reservoir needs oil ever more often."""
    topped = (-38.0, -21.0, -10.0, -3.0)
    waiting = since_last(scene.days, topped, -60.0)
    per_day = np.interp(scene.days, [-60.0, -30.0, -10.0, 0.0], [0.006, 0.012, 0.028, 0.055])
    amounts = ("6 L", "8 L", "10 L", "10 L")
    deeds = [
        Deed(
            day=day,
            kind="care",
            what="oil topped up",
            place="pump",
            amount=amount,
            text="Topped up to the mark with ISO VG 46; nothing found yet.",
        )
        for day, amount in zip(topped, amounts, strict=True)
    ]
    deeds.append(Deed(day=-2.8, kind="observation", finding="oil-reservoir-falling"))
    return Story(
        severities={
            "oil-cooler-fouled": growing(scene.days, -60.0, 0.16),
            "oil-system-leaking": np.clip(per_day * waiting, 0.0, 0.8),
        },
        deeds=tuple(deeds),
    )


def cooling_bearing(scene: Scene) -> Story:
    """The drive-end bearing warms by a few degrees over eighteen days; packing adjusted once."""
    packing = np.where(scene.days > -24.0, 0.0, growing(scene.days + 24.0, -20.0, 0.45))
    deeds = (
        Deed(
            day=-24.0,
            text="Packing leaked freely: tightened both gland nuts one flat.",
            cause="packing-too-loose",
        ),
        Deed(day=-23.9, kind="note", text="Leak-off settled at about 50 drops/min after the flat."),
        *(
            Deed(day=-40.0, kind="care", what="greased", place=place, amount="25 g")
            for place in ("driver_de", "driver_nde")
        ),
    )
    return Story(
        severities={
            "pump-bearing-worn": growing(scene.days, -18.0, 0.36),
            "packing-too-loose": packing,
        },
        deeds=deeds,
    )


def river_wear(scene: Scene) -> Story:
    """Silt wears the rings over two months, and the river has been falling for ten days."""
    falling = -0.62 * np.clip((scene.days + 10.0) / 10.0, 0.0, 1.0)
    deeds = (
        Deed(day=-0.6, kind="observation", finding="source-level-low"),
        Deed(day=-0.6, kind="observation", finding="sump-vortex", present=False),
        Deed(day=-31.0, kind="care", what="greased", place="de", amount="20 g"),
    )
    return Story(
        severities={"wear-rings-worn": growing(scene.days, -60.0, 0.5)},
        level=0.12 * np.sin(scene.days / 3.1) + falling,
        deeds=deeds,
    )


def hot_condensate(scene: Scene) -> Story:
    """Condensate comes back hotter on warm days, close to boiling in the flash tank."""
    warmer = 0.85 * scene.weather.spell
    deeds = (Deed(day=-1.3, kind="observation", finding="noise-rattle-intermittent"),)
    return Story(liquid_warmer=np.clip(warmer, -4.0, 2.9), deeds=deeds)


def lying_gauge(scene: Scene) -> Story:
    """The discharge gauge was bumped twelve days ago and shows too little since."""
    low = np.where(scene.days > -12.0, -0.42e5, 0.0)
    return Story(
        offsets={"discharge_pressure": low},
        liquid_warmer=0.4 * scene.weather.spell,
        deeds=(Deed(day=-12.0, kind="note", text="Scaffold taken down beside R11A."),),
    )


def dripping_seal(scene: Scene) -> Story:
    """The seal begins to drip four days ago."""
    deeds = (
        Deed(day=-2.4, kind="observation", finding="seal-dripping"),
        Deed(day=-2.4, kind="note", text="Glycol drop seen at the gland plate; pan wiped dry."),
        Deed(day=-0.5, kind="observation", finding="seal-spraying", present=False),
    )
    return Story(
        severities={"mechanical-seal-damaged": growing(scene.days, -4.0, 0.1, power=1.3)},
        deeds=deeds,
    )


def polishing_strainer(scene: Scene) -> Story:
    """The discharge strainer loads slowly and was cleaned a month ago."""
    loaded = np.clip(since_last(scene.days, (-29.0,), -64.0) / 36.0, 0.0, 1.0)
    return Story(
        severities={"discharge-strainer-plugged": 0.2 * loaded},
        liquid_warmer=0.3 * scene.weather.spell,
        deeds=(_cleaned(-29.0, "discharge", "Fine press cake.", "discharge-strainer-plugged"),),
    )


def follows_air(share: float, floor: float) -> Callable[[Scene], Story]:
    """Return a story of a liquid that follows the air, for tanks and basins outside."""

    def tell(scene: Scene) -> Story:
        warmer = share * (scene.weather.air - float(np.mean(scene.weather.air)))
        return Story(liquid_warmer=np.maximum(warmer, floor))

    return tell


def tower_water(scene: Scene) -> Story:
    """Return the cooling bearing's story with water as warm as the tower makes it."""
    story = cooling_bearing(scene)
    usual = float(np.mean(scene.weather.cooling_water))
    return Story(
        severities=story.severities,
        deeds=story.deeds,
        liquid_warmer=scene.weather.cooling_water - usual,
    )


def cup_turned(scene: Scene) -> Story:
    """Nothing is wrong; the grease cups are turned once a week."""
    weeks = np.arange(-56.0, 0.0, 7.0)
    deeds = [
        Deed(day=float(day), kind="care", what="grease cup turned", place=place, amount="0.25")
        for day in weeks
        for place in ("de", "nde")
    ]
    return Story(deeds=tuple(deeds))


STORIES: Mapping[str, Callable[[Scene], Story]] = {
    "W11A": river_wear,
    "W21A": tower_water,
    "B11A": feed_pump_oil,
    "B21A": hot_condensate,
    "B31": cup_turned,
    "E21A": miscella_strainer,
    "R11A": lying_gauge,
    "R21": polishing_strainer,
    "R41A": dripping_seal,
    "T11": follows_air(0.5, -8.0),
    "T12": follows_air(0.4, -6.0),
    "F11A": effluent_air,
}

# Which pump of a pair runs: from that day on, in order.
DUTY: Mapping[str, tuple[tuple[float, str], ...]] = {
    "W11": ((-61.0, "W11A"), (-50.0, "W11B"), (-39.0, "W11A")),
    "W21": ((-61.0, "W21B"), (-47.0, "W21A")),
    "B11": ((-61.0, "B11A"),),
    "B21": ((-61.0, "B21A"), (-27.0, "B21B"), (-20.0, "B21A")),
    "E11": ((-61.0, "E11A"), (-34.0, "E11B"), (-15.0, "E11A")),
    "E21": ((-61.0, "E21A"), (-28.0, "E21B"), (-27.0, "E21A")),
    "R11": ((-61.0, "R11A"), (-36.0, "R11B"), (-30.0, "R11A")),
    "R41": ((-61.0, "R41B"), (-33.0, "R41A")),
    "F11": ((-61.0, "F11A"), (-20.0, "F11B"), (-14.0, "F11A")),
}

LOADING = {"T11": (7.0, 16.0), "T12": (9.0, 19.0)}  # hours of the day at which trucks are loaded
STANDS_BY = frozenset({"W32"})  # always


def running(tag: str, days: Array, hours: Array) -> NDArray[np.bool_]:
    """Tell at which visits a pump runs.

    Parameters
    ----------
    tag : str
    days : array, shape (n,)
        From now, below zero.
    hours : array, shape (n,)
        Of the day, local.

    Examples
    --------
    >>> running("W11B", np.array([-55.0, -45.0, -1.0]), np.zeros(3)).tolist()
    [False, True, False]
    """
    if tag in STANDS_BY:
        return np.zeros(days.shape, dtype=bool)
    if tag in LOADING:
        first, last = LOADING[tag]
        return (hours >= first) & (hours < last)
    turns = DUTY.get(tag[:-1])
    if turns is None:
        return np.ones(days.shape, dtype=bool)
    starts = np.array([day for day, _ in turns])
    on = np.array([name == tag for _, name in turns])
    return on[np.maximum(np.searchsorted(starts, days, side="right") - 1, 0)]
