"""Invented courses of wear, dirt and leaks, of which it is known when they reach their limit.

Eight kinds, from even wear to such that comes to rest short of its limit. None is fitted to any
forecast; how fast, how noisy, how much alike neighboring readings are and at which moment it is
asked comes from the seed.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Random = np.random.Generator
DAY = 86400.0
READINGS = 400  # three a day
FEWEST = 15  # readings before a forecast is asked for
LIMIT = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """Readings up to now, and when the limit was truly reached; infinite where it never was."""

    times: Array
    values: Array
    limit: float
    reached: float
    end: float = float("inf")  # of the record: what comes later cannot be checked


def _even(_: Random, share: Array) -> Array:
    return share


def _speeding_up(random: Random, share: Array) -> Array:
    return np.asarray(share ** random.uniform(1.3, 2.5))


def _slowing_down(random: Random, share: Array) -> Array:
    return np.asarray(share ** random.uniform(0.5, 0.8))


def _settling(random: Random, share: Array) -> Array:
    """Towards a height of 0.8 to 2.5 limits: some never arrive."""
    height = random.uniform(0.8, 2.5)
    rate = -np.log(max(1.0 - 1.0 / height, 0.15)) if height > 1.18 else 1.5
    return np.asarray(height * -np.expm1(-rate * share))


def _in_steps(random: Random, share: Array) -> Array:
    """About 25 jumps of random size to the limit."""
    jumps = random.poisson(25 * np.diff(share, prepend=0.0))
    return np.cumsum([random.exponential(1 / 25, count).sum() for count in jumps])


def _by_regimes(random: Random, share: Array) -> Array:
    """Three times on the way to the limit the rate changes, by a factor of two and more."""
    change = random.random(len(share)) < 3.0 * share[1]
    rates = np.exp(0.7 * random.standard_normal(len(share)))
    rates[0], change[0] = 1.0, True
    lasting = rates[np.maximum.accumulate(np.where(change, np.arange(len(share)), 0))]
    return np.asarray(np.cumsum(lasting) * share[1])


def _stopping(random: Random, share: Array) -> Array:
    """Even, until at 0.4 to 1.6 limits it stands still: one half of them short of it."""
    return np.minimum(share, random.uniform(0.4, 1.6))


def _wandering(random: Random, share: Array) -> Array:
    """The rate wanders, now and then it turns back."""
    steps = random.standard_normal(len(share)) / len(share) ** 0.5
    return np.asarray(np.cumsum(1.0 + 1.5 * np.cumsum(steps)) * share[1])


KINDS: Mapping[str, Callable[[Random, Array], Array]] = {
    "even": _even,
    "speeding up": _speeding_up,
    "slowing down": _slowing_down,
    "settling": _settling,
    "in steps": _in_steps,
    "rate changes": _by_regimes,
    "stops somewhere": _stopping,
    "rate wanders": _wandering,
}


def case(kind: str, seed: int) -> Case | None:
    """Return a case; none where the limit is passed already, or too little was read."""
    random = np.random.default_rng((seed, *kind.encode()))
    times = np.arange(READINGS) * DAY / 3
    whole = random.uniform(15.0, 60.0) * DAY  # in which even wear goes its way
    level = KINDS[kind](random, times / whole)
    scatter = np.exp(random.uniform(np.log(0.02), np.log(0.12)))
    values = level + scatter * _noise(random, alike=random.choice([0.0, 0.5]))
    if random.random() < 0.25:
        values += 0.5 * (random.random(READINGS) < 0.03)  # slips of the pen
    now = int(random.uniform(0.35, 0.95) * whole / times[1])
    passed = np.flatnonzero(level >= LIMIT)
    if now < FEWEST or (len(passed) and passed[0] < now):
        return None
    reached = float(times[passed[0]]) if len(passed) else float("inf")
    return Case(times=times[:now], values=values[:now], limit=LIMIT, reached=reached)


def _noise(random: Random, *, alike: float) -> Array:
    """Return noise of unit variance whose neighbors are correlated by `alike`."""
    noise = random.standard_normal(READINGS)
    for i in range(1, READINGS):
        noise[i] = alike * noise[i - 1] + (1.0 - alike**2) ** 0.5 * noise[i]
    return np.asarray(noise)
