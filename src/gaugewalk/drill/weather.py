"""The weather over Larkmoor: air, river and cooling water, by the season, the hour and chance."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_DAY = 86400.0
_YEAR = 365.25 * _DAY
_WARMEST = 200.0  # day of the year
_ZERO = 273.15


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Weather:
    """Temperatures [K] at given times, and how far the day is from what the season would give."""

    air: Array
    river: Array
    cooling_water: Array
    boiler_house: Array
    spell: Array  # warm (above zero) or cold against the season, [K]


def weather(seconds: Array, now: float, rng: np.random.Generator) -> Weather:
    """Return the weather at times within the months before ``now``, all in seconds since 1970.

    The last days before ``now`` are a warm spell.
    """
    season = np.cos(2 * np.pi * (seconds / _YEAR - _WARMEST / 365.25))
    hour = np.cos(2 * np.pi * ((seconds % _DAY) / _DAY - 15.0 / 24.0))
    days = (seconds - now) / _DAY
    spell = _slow(days, rng, scale=2.0, every=4.0) + 5.0 * _ramp(days, -4.0, -1.5)
    air = _ZERO + 10.5 + 8.0 * season + 3.5 * hour + spell
    river = _ZERO + 11.5 + 7.0 * season + 0.3 * spell
    cooling = _ZERO + 20.0 + 3.0 * season + 0.8 * hour + 0.4 * spell
    house = _ZERO + 24.0 + 4.0 * season + 1.5 * hour + 0.5 * spell
    return Weather(air=air, river=river, cooling_water=cooling, boiler_house=house, spell=spell)


def _ramp(days: Array, start: float, full: float) -> Array:
    return np.clip((days - start) / (full - start), 0.0, 1.0)


def _slow(days: Array, rng: np.random.Generator, *, scale: float, every: float) -> Array:
    """Chance that wanders: values drawn every so many days, joined smoothly."""
    first, last = float(np.min(days)) - every, float(np.max(days)) + every
    knots = np.arange(first, last + every, every)
    return np.interp(days, knots, scale * rng.standard_normal(knots.size))


def wander(days: Array, rng: np.random.Generator, *, scale: float, every: float = 0.5) -> Array:
    """Return a slow random movement around zero over rising days, for loads and levels."""
    if days.size == 0:
        return np.zeros(0)
    return _slow(days, rng, scale=scale, every=every)
