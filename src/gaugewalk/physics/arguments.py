"""Checks of arguments: each names the argument, what was given and what is expected.

Not-a-number is let through, because a gap in a column of readings must stay a gap; functions that
need whole data (a curve, a table) ask for it with `complete`. Infinity is refused everywhere.
"""

from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gaugewalk.errors import ArgumentError, OutOfRangeError
from gaugewalk.physics.constants import ZERO_CELSIUS

Array: TypeAlias = NDArray[np.float64]


def array(name: str, value: ArrayLike) -> Array:
    """Return the value as an array of floats.

    Raises
    ------
    ArgumentError
        Not a number, or infinite.

    Examples
    --------
    >>> array("flow", [1, 2])
    array([1., 2.])
    """
    try:
        result = np.asarray(value, dtype=np.float64)
    except (TypeError, ValueError):
        raise ArgumentError(f"{name} = {value!r} is not a number; give a number.") from None
    if np.isinf(result).any():
        raise ArgumentError(f"{name} is infinite; give a finite number.")
    return result


def complete(name: str, value: ArrayLike) -> Array:
    """Return the value as an array of floats without gaps.

    Examples
    --------
    >>> complete("head", [30.0, float("nan")])
    Traceback (most recent call last):
    ...
    gaugewalk.errors.ArgumentError: head has a gap (not a number); give every value.
    """
    result = array(name, value)
    if np.isnan(result).any():
        raise ArgumentError(f"{name} has a gap (not a number); give every value.")
    return result


def positive(name: str, value: ArrayLike) -> Array:
    """Return the value as an array of floats, all above zero.

    Examples
    --------
    >>> positive("speed", 0.0)
    Traceback (most recent call last):
    ...
    gaugewalk.errors.ArgumentError: speed = 0 must be above zero.
    """
    result = array(name, value)
    if (wrong := result <= 0).any():
        raise ArgumentError(f"{name} = {_first(result, wrong):g} must be above zero.")
    return result


def not_negative(name: str, value: ArrayLike) -> Array:
    """Return the value as an array of floats, none below zero.

    Examples
    --------
    >>> not_negative("flow", -1.0)
    Traceback (most recent call last):
    ...
    gaugewalk.errors.ArgumentError: flow = -1 must not be below zero.
    """
    result = array(name, value)
    if (wrong := result < 0).any():
        raise ArgumentError(f"{name} = {_first(result, wrong):g} must not be below zero.")
    return result


def absolute_pressure(name: str, value: ArrayLike) -> Array:
    """Return the value as an array of absolute pressures, none below zero.

    Examples
    --------
    >>> absolute_pressure("suction_pressure", -30e3)
    Traceback (most recent call last):
    ...
    gaugewalk.errors.ArgumentError: suction_pressure = -30000 Pa is below a perfect vacuum; \
pressures here are absolute: add the barometric pressure to a gauge reading.
    """
    result = array(name, value)
    if (wrong := result < 0).any():
        raise ArgumentError(
            f"{name} = {_first(result, wrong):g} Pa is below a perfect vacuum; pressures here are "
            "absolute: add the barometric pressure to a gauge reading."
        )
    return result


def share(name: str, value: ArrayLike) -> Array:
    """Return the value as an array of shares above 0 and up to 1.

    Examples
    --------
    >>> share("efficiency", 72.0)
    Traceback (most recent call last):
    ...
    gaugewalk.errors.ArgumentError: efficiency = 72 must be above 0 and at most 1; \
72 % is 0.72.
    """
    result = array(name, value)
    if (wrong := (result <= 0) | (result > 1)).any():
        first = _first(result, wrong)
        hint = f"; {first:g} % is {first / 100:g}" if 1 < first <= 100 else ""
        raise ArgumentError(f"{name} = {first:g} must be above 0 and at most 1{hint}.")
    return result


def within(
    name: str, value: ArrayLike, low: float, high: float, source: str, hint: str = ""
) -> Array:
    """Return the value as an array of floats, all from low to high.

    Raises
    ------
    OutOfRangeError
        Outside the range of the source.
    """
    result = array(name, value)
    if (wrong := (result < low) | (result > high)).any():
        raise OutOfRangeError(name, _first(result, wrong), low, high, source, hint)
    return result


def temperature_within(name: str, value: ArrayLike, low: float, high: float, source: str) -> Array:
    """Return the temperatures, all from low to high; the message knows the Celsius slip.

    Examples
    --------
    >>> temperature_within("temperature", 82.0, 273.15, 647.096, "IAPWS R7-97")
    Traceback (most recent call last):
    ...
    gaugewalk.errors.OutOfRangeError: temperature = 82 is outside 273.15 to 647.096 \
(IAPWS R7-97). If 82 was read in °C, enter 355.15 K.
    """
    result = array(name, value)
    if (wrong := (result < low) | (result > high)).any():
        first = _first(result, wrong)
        kelvin = first + ZERO_CELSIUS
        slip = first < low and low <= kelvin <= high
        hint = f"If {first:g} was read in °C, enter {kelvin:g} K." if slip else ""
        raise OutOfRangeError(name, first, low, high, source, hint)
    return result


def _first(values: Array, wrong: NDArray[np.bool_]) -> float:
    """Return the first offending value, which the message shows."""
    return float(values[wrong].flat[0])
