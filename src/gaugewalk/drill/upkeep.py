"""What sound pumps use up and get back: oil in oilers and seal pots, grease in bearings."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gaugewalk.drill.faults import Deed
from gaugewalk.plant.pump import Pump
from gaugewalk.watch.deed_places import places_at
from gaugewalk.watch.deeds import GREASED, STANDBY_LOOKED, TEST_RUN, TOPPED_UP

Array = NDArray[np.float64]

_OILER_DAYS, _OILER_USE = 45.0, 0.08  # an oiler loses that share of its bottle in that time
_POT_DAYS, _POT_USE = 50.0, 0.04
_HOURS_A_DAY = 24.0
_ENGINE_HOURS, _TEST_HOURS = 1240.0, 0.5  # of the fire pump's engine; each weekly test


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Upkeep:
    """What is missing at each visit, by point in SI, and what was filled up."""

    missing: Mapping[str, Array]
    deeds: tuple[Deed, ...]


def upkeep(pump: Pump, days: Array, rng: np.random.Generator, horizon: float) -> Upkeep:
    """Return the slow falling of levels at one pump and their filling up.

    Parameters
    ----------
    pump : Pump
    days : array, shape (n,)
        Of the visits, from now, below zero.
    rng : numpy.random.Generator
    horizon : float
        First day of the history, below zero.
    """
    missing: dict[str, Array] = {}
    deeds: list[Deed] = []
    if pump.point("oiler_level") is not None:
        marks = _marks(_OILER_DAYS, rng)
        missing["oiler_level"] = _OILER_USE * _fraction(days, marks, _OILER_DAYS)
        deeds += [
            Deed(day=day, kind="care", what=TOPPED_UP, place="pump", text="Oiler at its usual use.")
            for day in marks
        ]
    if pump.point("seal_pot_level") is not None:
        marks = _marks(_POT_DAYS, rng)
        missing["seal_pot_level"] = _POT_USE * _fraction(days, marks, _POT_DAYS)
        deeds += [Deed(day=day, text="Filled the seal pot to its mark.") for day in marks]
    interval = pump.lubrication.grease_interval
    if interval is not None:
        span = interval / 3600.0 / _HOURS_A_DAY
        amount = f"{(pump.lubrication.grease_mass or 0.01) * 1e3:.0f} g"
        places = places_at(pump, GREASED)
        deeds += [
            Deed(day=day, kind="care", what=GREASED, place=place, amount=amount)
            for day in _marks(span, rng)
            for place in places
            if not place.startswith("driver")
        ]
    wanted = [deed for deed in deeds if horizon < deed.day < -0.1]
    return Upkeep(missing=missing, deeds=tuple(wanted))


def _marks(every: float, rng: np.random.Generator) -> list[float]:
    """Return the days of filling up, oldest first, at least one before the history begins."""
    last = -float(rng.uniform(0.08, 0.92)) * every
    return [last - n * every for n in range(int(70.0 / every) + 1, -1, -1)]


def _fraction(days: Array, marks: list[float], every: float) -> Array:
    last = np.searchsorted(np.array(marks), days, side="right") - 1
    return np.asarray((days - np.array(marks)[np.maximum(last, 0)]) / every)


def standing_by(pump: Pump, days: Array, on: NDArray[np.bool_]) -> tuple[Deed, ...]:
    """Return the weekly look at a standby pump, and the weekly run of the fire pump."""
    engine = pump.driver.kind == "engine"
    if pump.partner is None and not engine:
        return ()
    weekly = [n for n in range(len(days)) if n == 0 or days[n] // 7 > days[n - 1] // 7]
    what, amount = (TEST_RUN, "30 min") if engine else (STANDBY_LOOKED, "")
    return tuple(
        Deed(day=float(days[n]), kind="care", what=what, amount=amount) for n in weekly if not on[n]
    )


def engine_hours(days: Array) -> Array:
    """Hour meter of an engine that is tested half an hour a week. [s]

    Examples
    --------
    >>> (engine_hours(np.array([-8.0, -1.0])) / 3600.0).tolist()
    [1239.0, 1239.5]
    """
    return (_ENGINE_HOURS + _TEST_HOURS * np.floor(days / 7.0)) * 3600.0
