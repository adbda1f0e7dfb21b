"""Uncertainty of any calculation: first order after the GUM, or by Monte Carlo on request."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.arguments import complete, not_negative

Shape: TypeAlias = Literal["normal", "uniform", "triangular"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """A value with its standard uncertainty, and the shape of what is not known.

    Examples
    --------
    >>> Measured(value=3.1, uncertainty=0.05).shape
    'normal'
    """

    value: float
    uncertainty: float  # standard: one sigma
    shape: Shape = "normal"

    def __post_init__(self) -> None:
        complete("value", self.value)
        not_negative("uncertainty", complete("uncertainty", self.uncertainty))


@dataclass(frozen=True, slots=True, kw_only=True)
class Propagated:
    """A result with its combined standard uncertainty."""

    value: float
    uncertainty: float
    parts: Mapping[str, float]  # what each input alone gives, signed


@dataclass(frozen=True, slots=True, kw_only=True)
class Simulated:
    """A result by Monte Carlo: mean, standard deviation and the shortest-tail interval."""

    value: float
    uncertainty: float
    low: float
    high: float
    coverage: float
    lost: float  # share of trials in which the calculation has no answer


Input: TypeAlias = Measured | float
Calculation: TypeAlias = Callable[..., ArrayLike]


def gauge_uncertainty(span: float, accuracy_class: float) -> float:
    """Return the standard uncertainty of a gauge from its accuracy class.

    Parameters
    ----------
    span : float
        Full scale less zero, in any unit.
    accuracy_class : float
        Largest error in percent of the span, such as 1.6.

    Returns
    -------
    float
        Standard uncertainty in the span's unit: the error taken as equally likely all over, /√3.

    References
    ----------
    .. [1] EN 837-1, accuracy classes; JCGM 100:2008, 4.3.7.

    Examples
    --------
    >>> round(gauge_uncertainty(10e5, 1.6))
    9238
    """
    limit = float(not_negative("span", span)) * float(not_negative("class", accuracy_class)) / 100
    return limit / math.sqrt(3)


def propagate(
    calculation: Calculation,
    inputs: Mapping[str, Input],
    *,
    correlations: Mapping[tuple[str, str], float] | None = None,
) -> Propagated:
    """Return the result of a calculation with its combined standard uncertainty, first order.

    Parameters
    ----------
    calculation : callable
        Any function of the named inputs that gives one number.
    inputs : mapping of str to Measured or float
        Its arguments by name; a plain number is taken as exact.
    correlations : mapping of pairs of names to float, optional
        Correlation coefficients, -1 to 1, such as of two gauges read against one barometer.

    Returns
    -------
    Propagated
        Value, combined standard uncertainty, and the part of each input, c_i u_i.

    Raises
    ------
    ArgumentError
        The calculation gives more than one number, or a correlation is not of two measured inputs.

    Notes
    -----
    Slopes are taken over one standard uncertainty to either side. Where the calculation bends
    strongly over that width, or has an edge there, ask for Monte Carlo.

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), Eq. 10 and 13, and 5.1.3 note 2 for the numerical slopes.

    Examples
    --------
    >>> result = propagate(lambda a, b: a * b,
    ...                    {"a": Measured(value=2.0, uncertainty=0.1), "b": 3.0})
    >>> round(result.value, 6), round(result.uncertainty, 6)
    (6.0, 0.3)
    """
    values = {name: _value(item) for name, item in inputs.items()}
    parts = {
        name: _part(calculation, values, name, item.uncertainty)
        for name, item in inputs.items()
        if isinstance(item, Measured) and item.uncertainty > 0
    }
    variance = sum(part**2 for part in parts.values())
    for (one, other), r in (correlations or {}).items():
        if one not in parts or other not in parts or not -1 <= r <= 1 or one == other:
            raise ArgumentError(
                f"correlation of {one!r} and {other!r} = {r:g} must be of two measured inputs, "
                "-1 to 1."
            )
        variance += 2 * r * parts[one] * parts[other]
    value = _number(calculation(**values))
    return Propagated(value=value, uncertainty=math.sqrt(max(variance, 0.0)), parts=parts)


def monte_carlo(
    calculation: Calculation,
    inputs: Mapping[str, Input],
    *,
    trials: int = 100_000,
    seed: int = 1,
    coverage: float = 0.95,
) -> Simulated:
    """Return the result of a calculation with its uncertainty, by trials at random.

    Parameters
    ----------
    calculation : callable
        Any function of the named inputs that works on arrays, as all of `gaugewalk.physics` do.
    inputs : mapping of str to Measured or float
        Its arguments by name; a plain number is taken as exact. Inputs are independent.
    trials : int
        How many; 100 or more.
    seed : int
        Of the random numbers: the same seed gives the same answer.
    coverage : float
        Share of the trials inside the interval, with equal tails outside it.

    Returns
    -------
    Simulated
        Mean, standard deviation, interval, and the share of trials without an answer (NaN).

    Raises
    ------
    ArgumentError
        Too few trials, no trial with an answer, or an answer not of the trials' shape.

    References
    ----------
    .. [1] JCGM 101:2008 (GUM Supplement 1), section 7.

    Examples
    --------
    >>> result = monte_carlo(lambda a: 2 * a, {"a": Measured(value=1.0, uncertainty=0.1)})
    >>> round(result.uncertainty, 2)
    0.2
    """
    if trials < 100 or not 0 < coverage < 1:
        raise ArgumentError("trials must be 100 or more, and coverage between 0 and 1.")
    random = np.random.default_rng(seed)
    drawn = {
        name: _draw(item, trials, random) if isinstance(item, Measured) else item
        for name, item in inputs.items()
    }
    answers = np.asarray(calculation(**drawn), dtype=float)
    if answers.shape not in ((), (trials,)):
        raise ArgumentError(f"calculation gave the shape {answers.shape}, not ({trials},).")
    answers = np.broadcast_to(answers, trials)
    known = answers[np.isfinite(answers)]
    if not known.size:
        raise ArgumentError("calculation has no answer in any trial.")
    tail = (1 - coverage) / 2
    low, high = np.quantile(known, [tail, 1 - tail])
    return Simulated(
        value=float(known.mean()),
        uncertainty=float(known.std(ddof=1)),
        low=float(low),
        high=float(high),
        coverage=coverage,
        lost=1 - known.size / trials,
    )


def _value(item: Input) -> float:
    """Return the value of an input."""
    return item.value if isinstance(item, Measured) else float(item)


def _part(
    calculation: Calculation, values: Mapping[str, float], name: str, uncertainty: float
) -> float:
    """Return what one input's uncertainty does to the result, c_i u_i."""
    up = _number(calculation(**{**values, name: values[name] + uncertainty}))
    down = _number(calculation(**{**values, name: values[name] - uncertainty}))
    return (up - down) / 2


def _number(answer: ArrayLike) -> float:
    """Return a result that must be one number."""
    result = np.asarray(answer, dtype=float)
    if result.size != 1:
        raise ArgumentError(f"calculation gave {result.size} numbers; one is expected.")
    return float(result.reshape(()))


def _draw(item: Measured, trials: int, random: np.random.Generator) -> NDArray[np.float64]:
    """Return values at random, of the shape stated and with the standard uncertainty stated."""
    if item.shape == "uniform":
        half = math.sqrt(3) * item.uncertainty
        return random.uniform(item.value - half, item.value + half, trials)
    if item.shape == "triangular" and item.uncertainty > 0:
        half = math.sqrt(6) * item.uncertainty
        return random.triangular(item.value - half, item.value, item.value + half, trials)
    return random.normal(item.value, item.uncertainty, trials)
