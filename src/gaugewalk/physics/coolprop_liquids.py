"""Liquids whose properties CoolProp knows; it is loaded at the first question, not before.

CoolProp answers an array with a gap or a state it cannot reach by infinity and no word, so ranges
are checked here first and the answer once more afterwards.
"""

from functools import cache
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.arguments import Array, absolute_pressure, array, temperature_within, within

PURE_SOURCE = "CoolProp, Helmholtz equation of state"
SOLUTION_SOURCE = "CoolProp, incompressible solutions"
_WORDS = {
    "P": "vapor pressure",
    "T": "boiling temperature",
    "D": "density",
    "V": "viscosity",
    "C": "specific heat",
}
_SOLUTION_PRESSURE = 2e6  # [Pa] the correlations do not depend on it; it only must be above boiling


def saturation_pressure(fluid: str, temperature: ArrayLike) -> Array:
    """Return the pressure at which a pure liquid or mixture begins to boil, [Pa]."""
    return _saturated("P", fluid, temperature)


def saturation_temperature(fluid: str, pressure: ArrayLike) -> Array:
    """Return the temperature at which a pure liquid or mixture begins to boil, [K]."""
    p = absolute_pressure("pressure", pressure)
    low, high = saturation_limits(fluid)
    ends = _ask("P", "T", np.array([low * 1.0001, high * 0.9999]), "Q", 0.0, fluid)
    p = within("pressure", p, float(ends[0]), float(ends[1]), PURE_SOURCE)
    return _ask("T", "P", p, "Q", 0.0, fluid)


def saturated_density(fluid: str, temperature: ArrayLike) -> Array:
    """Return the density of the liquid at its point of boiling, [kg/m3]."""
    return _saturated("D", fluid, temperature)


def saturated_viscosity(fluid: str, temperature: ArrayLike) -> Array:
    """Return the dynamic viscosity of the liquid at its point of boiling, [Pa s]."""
    return _saturated("V", fluid, temperature)


def saturated_specific_heat(fluid: str, temperature: ArrayLike) -> Array:
    """Return the specific heat of the liquid at its point of boiling, [J/(kg K)]."""
    return _saturated("C", fluid, temperature)


@cache
def saturation_limits(fluid: str) -> tuple[float, float]:
    """Return the temperatures between which boiling is known, [K].

    Of a pure liquid from its triple to its critical point. Of a mixture, 0.45 to 0.9 times the
    mole-weighted critical temperature (Kay's rule): nearer to either end the search for the bubble
    point fails for some mixtures.
    """
    from CoolProp.CoolProp import PropsSI

    if "&" not in fluid:
        return float(PropsSI("Tmin", fluid)), float(PropsSI("Tcrit", fluid))
    parts = [part.rstrip("]").split("[") for part in fluid.removeprefix("HEOS::").split("&")]
    weighted = sum(float(share) * float(PropsSI("Tcrit", part)) for part, share in parts)
    highest_low = max(float(PropsSI("Tmin", part)) for part, _ in parts)
    return max(0.45 * weighted, highest_low), 0.9 * weighted


@cache
def solution_limits(fluid: str) -> tuple[float, float]:
    """Return the temperatures between which a solution's correlations hold, [K]."""
    from CoolProp.CoolProp import PropsSI

    def limit(name: str) -> float:
        return float(PropsSI(name, "T", 300.0, "P", _SOLUTION_PRESSURE, fluid))

    try:
        freezing = limit("T_freeze")
    except ValueError:  # sea water has none in CoolProp
        freezing = 0.0
    return max(limit("Tmin"), freezing), limit("Tmax")


def solution_property(output: str, fluid: str, temperature: ArrayLike) -> Array:
    """Return a property of a solution of CoolProp's incompressible list: "D", "V" or "C"."""
    low, high = solution_limits(fluid)
    t = temperature_within("temperature", temperature, low, high, SOLUTION_SOURCE)
    return _ask(output, "T", t, "P", _SOLUTION_PRESSURE, fluid)


def _saturated(output: str, fluid: str, temperature: ArrayLike) -> Array:
    """Return one property of the liquid at its point of boiling."""
    low, high = saturation_limits(fluid)
    t = temperature_within("temperature", temperature, low, high, PURE_SOURCE)
    return _ask(output, "T", t, "Q", 0.0, fluid)


def _ask(output: str, name: str, value: Array, other_name: str, other: float, fluid: str) -> Array:
    """Ask CoolProp for an array of values; gaps stay gaps."""
    from CoolProp.CoolProp import PropsSI

    value = array(name, value)
    what, known = _WORDS[output], np.isfinite(value)
    result = np.full(value.shape, np.nan)
    if known.any():
        try:
            answer: Any = PropsSI(output, name, value[known], other_name, other, fluid)
        except ValueError as error:
            raise ArgumentError(f"CoolProp cannot tell the {what} of {fluid}: {error}") from None
        result[known] = answer
    if not np.isfinite(result[known]).all():
        raise ArgumentError(f"CoolProp found no {what} of {fluid} in such a state.")
    return result[()]
