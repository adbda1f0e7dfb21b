"""The liquid a pump moves: found by its everyday name, then asked for its properties."""

import difflib
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.errors import ArgumentError, NotFoundError, OutOfRangeError
from gaugewalk.physics import coolprop_liquids, table_liquids, water
from gaugewalk.physics.arguments import Array, absolute_pressure, temperature_within
from gaugewalk.physics.liquid_names import PURE, SOLUTIONS, WATER, Solute
from gaugewalk.physics.table_liquids import Table

_WATER_MOLAR_MASS = 0.01801528  # [kg/mol]
_COLDEST_SOLUTION = 243.15  # [K] down to here the IF97 equation follows supercooled water to 0.5 %
_HOTTEST_SOLUTION = 473.15  # [K]
_RAOULT_SOURCE = "Raoult's law on IAPWS R7-97, region 4"
_RAOULT = (
    "vapor pressure by Raoult's law on the water's mole share: right for dilute solutions, "
    "too high by up to a tenth for strong brine, which is on the cautious side"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Liquid:
    """A liquid of known properties.

    Parameters
    ----------
    name : str
        As it was asked for.
    model : str
        Which kind of source answers.
    fluid : str
        CoolProp's name, where it answers.
    water_share : float
        Mole share of water in a solution, ions counted. [-]
    table : Table, optional
        The liquid's own table.
    assumption : str
        What was assumed, to be shown beside every number; empty where nothing was.
    """

    name: str
    model: Literal["water", "pure", "solution", "mixture", "table"]
    fluid: str = ""
    water_share: float = 1.0
    table: Table | None = None
    assumption: str = ""


def find_liquid(name: str, mass_fraction: float | None = None) -> Liquid:
    """Return the liquid of an everyday name.

    Parameters
    ----------
    name : str
        Such as "water", "cooling water", "hexane", "ethylene glycol", "sea water"; a mixture by
        its mole shares, as "60 % propane + 40 % butane".
    mass_fraction : float, optional
        Of the glycol or salt in water, by mass, not by volume. [-]

    Returns
    -------
    Liquid
        With its assumption in words, where one was made.

    Raises
    ------
    NotFoundError
        No liquid of that name; the message holds the nearest known one.
    ArgumentError
        A solution without its mass fraction, or a mass fraction for what is none.
    OutOfRangeError
        Mass fraction outside the range of the solution's source.

    Examples
    --------
    >>> find_liquid("River water").assumption
    'taken as pure water; silt and dissolved air are left out'
    >>> find_liquid("hexan")
    Traceback (most recent call last):
    ...
    gaugewalk.errors.NotFoundError: No liquid is known as 'hexan'. Did you mean 'hexane'? \
Give its own table of vapor pressure and density instead.
    """
    if "+" in name:
        return mixture(_parts_of(name))
    key = " ".join(name.lower().replace("-", " ").replace(",", " ").replace("_", " ").split())
    solute = SOLUTIONS.get(key)
    if solute and (mass_fraction is not None or key not in PURE):
        return _solution(name, solute, mass_fraction)
    if mass_fraction is not None and (key in WATER or key in PURE):
        raise ArgumentError(f"mass_fraction is given, but {name!r} is no solution; leave it out.")
    if key in WATER:
        return Liquid(name=name, model="water", assumption=WATER[key])
    if key in PURE:
        fluid, assumption = PURE[key]
        return Liquid(name=name, model="pure", fluid=fluid, assumption=assumption)
    near = difflib.get_close_matches(key, [*WATER, *PURE, *SOLUTIONS], n=1)
    hint = f" Did you mean {near[0]!r}?" if near else ""
    raise NotFoundError(
        f"No liquid is known as {name!r}.{hint} "
        "Give its own table of vapor pressure and density instead."
    )


def table_liquid(
    name: str,
    temperature: ArrayLike,
    vapor_pressure: ArrayLike,
    density: ArrayLike,
    kinematic_viscosity: ArrayLike | None = None,
    specific_heat: float | None = None,
) -> Liquid:
    """Return a liquid known by its own table.

    Parameters
    ----------
    name : str
        For the eye only.
    temperature : array, shape (n,)
        Rising, two rows or more. [K]
    vapor_pressure : array, shape (n,)
        Absolute, rising; interpolated monotone in ln p over 1/T. [Pa]
    density : array, shape (n,)
        [kg/m3]
    kinematic_viscosity : array, shape (n,), optional
        [m2/s]
    specific_heat : float, optional
        [J/(kg K)]

    Returns
    -------
    Liquid
        Valid from the first to the last row's temperature.

    Raises
    ------
    ArgumentError
        Rows of unequal length, a gap, temperature or vapor pressure not rising.

    Examples
    --------
    >>> oil = table_liquid("oil", [300.0, 400.0], [10.0, 1000.0], [920.0, 850.0])
    >>> float(density(oil, 350.0))
    885.0
    """
    table = table_liquids.make_table(
        temperature, vapor_pressure, density, kinematic_viscosity, specific_heat
    )
    return Liquid(name=name, model="table", table=table)


def mixture(parts: Mapping[str, float]) -> Liquid:
    """Return a mixture of pure liquids.

    Parameters
    ----------
    parts : mapping of str to float
        Everyday name of each part and its mole share; the shares must add up to 1. [-]

    Returns
    -------
    Liquid
        Its vapor pressure is the bubble point.

    Raises
    ------
    NotFoundError
        A part that is no known pure liquid.
    ArgumentError
        Fewer than two parts, or shares that do not add up to 1.

    Notes
    -----
    Reliable for hydrocarbons among themselves. What boils first is the light end: even a little
    of it sets the vapor pressure.

    Examples
    --------
    >>> mixture({"propane": 0.6, "butane": 0.4}).fluid
    'HEOS::n-Propane[0.6]&n-Butane[0.4]'
    """
    liquids = {part: find_liquid(part) for part in parts}
    for part, liquid in liquids.items():
        if liquid.model != "pure":
            raise ArgumentError(f"{part!r} cannot be a part of a mixture; pure liquids can.")
    if len(parts) < 2 or min(parts.values()) <= 0 or abs(sum(parts.values()) - 1) > 1e-6:
        raise ArgumentError("parts must be two or more, with mole shares that add up to 1.")
    fluid = "HEOS::" + "&".join(f"{liquids[part].fluid}[{x:.12g}]" for part, x in parts.items())
    assumptions = sorted({liquid.assumption for liquid in liquids.values() if liquid.assumption})
    name = " + ".join(f"{x:.3g} {part}" for part, x in parts.items())
    return Liquid(name=name, model="mixture", fluid=fluid, assumption="; ".join(assumptions))


def vapor_pressure(liquid: Liquid, temperature: ArrayLike) -> Array:
    """Return the vapor pressure of a liquid; of a mixture, its bubble point.

    Parameters
    ----------
    liquid : Liquid
        As found by `find_liquid`.
    temperature : float or array
        [K]

    Returns
    -------
    array
        Absolute pressure. [Pa]

    Raises
    ------
    OutOfRangeError
        Outside the range of the liquid's source.

    Notes
    -----
    Solutions of salts and glycols by Raoult's law, p = x_water p_water(T); what is dissolved is
    taken not to boil, salts to be split fully into ions. Strong brines have less than this, so the
    NPSH margin found is on the cautious side. Dissolved gas raises the practical limit.

    Examples
    --------
    >>> round(float(vapor_pressure(find_liquid("water"), 353.15)) / 1e3, 2)
    47.41
    """
    return _properties(liquid).vapor_pressure(liquid, temperature)


def boiling_temperature(liquid: Liquid, pressure: ArrayLike) -> Array:
    """Return the temperature at which a liquid begins to boil at a pressure.

    Parameters
    ----------
    liquid : Liquid
        As found by `find_liquid`.
    pressure : float or array
        Absolute. [Pa]

    Returns
    -------
    array
        [K]

    Raises
    ------
    OutOfRangeError
        Outside the range of the liquid's source.

    Examples
    --------
    >>> round(float(boiling_temperature(find_liquid("water"), 101_325.0)) - 273.15, 2)
    99.97
    """
    return _properties(liquid).boiling_temperature(liquid, pressure)


def density(liquid: Liquid, temperature: ArrayLike) -> Array:
    """Return the density of a liquid at its point of boiling.

    Parameters
    ----------
    liquid : Liquid
        As found by `find_liquid`.
    temperature : float or array
        [K]

    Returns
    -------
    array
        [kg/m3] Under the pressures of ordinary pumps a liquid is denser by less than 0.1 %.

    Raises
    ------
    OutOfRangeError
        Outside the range of the liquid's source.

    Examples
    --------
    >>> round(float(density(find_liquid("water"), 353.15)), 1)
    971.8
    """
    return _properties(liquid).density(liquid, temperature)


def dynamic_viscosity(liquid: Liquid, temperature: ArrayLike) -> Array:
    """Return the dynamic viscosity of a liquid.

    Parameters
    ----------
    liquid : Liquid
        As found by `find_liquid`.
    temperature : float or array
        [K]

    Returns
    -------
    array
        [Pa s]

    Raises
    ------
    OutOfRangeError
        Outside the range of the liquid's source.
    ArgumentError
        The source knows no viscosity of this liquid.

    Examples
    --------
    >>> round(float(dynamic_viscosity(find_liquid("water"), 293.15)) * 1e3, 3)
    1.002
    """
    return _properties(liquid).dynamic_viscosity(liquid, temperature)


def kinematic_viscosity(liquid: Liquid, temperature: ArrayLike) -> Array:
    """Return the kinematic viscosity of a liquid, dynamic viscosity over density.

    Parameters
    ----------
    liquid : Liquid
        As found by `find_liquid`.
    temperature : float or array
        [K]

    Returns
    -------
    array
        [m2/s]

    Raises
    ------
    OutOfRangeError
        Outside the range of the liquid's source.

    Examples
    --------
    >>> round(float(kinematic_viscosity(find_liquid("water"), 293.15)) * 1e6, 3)
    1.003
    """
    return np.asarray(dynamic_viscosity(liquid, temperature) / density(liquid, temperature))[()]


def specific_heat(liquid: Liquid, temperature: ArrayLike) -> Array:
    """Return the specific heat capacity of a liquid at constant pressure.

    Parameters
    ----------
    liquid : Liquid
        As found by `find_liquid`.
    temperature : float or array
        [K]

    Returns
    -------
    array
        [J/(kg K)]

    Raises
    ------
    OutOfRangeError
        Outside the range of the liquid's source.

    Examples
    --------
    >>> round(float(specific_heat(find_liquid("water"), 293.15)))
    4185
    """
    return _properties(liquid).specific_heat(liquid, temperature)


def temperature_limits(liquid: Liquid) -> tuple[float, float]:
    """Return the temperatures between which a liquid's density and vapor pressure are known.

    Parameters
    ----------
    liquid : Liquid
        As found by `find_liquid`.

    Returns
    -------
    tuple of float
        Lowest and highest temperature. [K]

    Examples
    --------
    >>> temperature_limits(find_liquid("water"))
    (273.15, 623.15)
    """
    return _properties(liquid).limits(liquid)


_Property = Callable[[Liquid, ArrayLike], Array]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Source:
    """How one kind of liquid answers."""

    vapor_pressure: _Property
    boiling_temperature: _Property
    density: _Property
    dynamic_viscosity: _Property
    specific_heat: _Property
    limits: Callable[[Liquid], tuple[float, float]]


def _properties(liquid: Liquid) -> _Source:
    """Return the source that answers for a liquid."""
    return _SOURCES[liquid.model]


def _parts_of(name: str) -> dict[str, float]:
    """Return the parts and mole shares of a mixture's name, "60 % propane + 40 % butane"."""
    parts: dict[str, float] = {}
    for text in name.split("+"):
        found = re.fullmatch(r"\s*([\d.]+)\s*(%?)\s*(\D.*)", text)
        if not found:
            raise ArgumentError(
                f"{text.strip()!r} in {name!r} must be a mole share and a liquid, as "
                "'60 % propane + 40 % butane'."
            )
        share, percent, part = found.groups()
        parts[part.strip()] = float(share) / (100 if percent else 1)
    return parts


def _solution(name: str, solute: Solute, mass_fraction: float | None) -> Liquid:
    """Return a solution of a known solute in water."""
    w = solute.usual if mass_fraction is None else float(mass_fraction)
    if w is None:
        raise ArgumentError(
            f"mass_fraction is needed for {name!r}: the share of {solute.title} by mass, "
            f"0 to {solute.highest:g}."
        )
    if not 0 <= w <= solute.highest:
        hint = f"{w:g} % is {w / 100:g}." if 1 <= w <= 100 else ""
        raise OutOfRangeError(
            "mass_fraction", w, 0.0, solute.highest, f"CoolProp {solute.fluid}", hint
        )
    of_water = (1 - w) / _WATER_MOLAR_MASS
    of_solute = solute.particles * w / solute.molar_mass
    guess = f"; {w:g} by mass assumed" if mass_fraction is None else ""
    return Liquid(
        name=name,
        model="solution",
        fluid=f"INCOMP::{solute.fluid}[{w:.12g}]",
        water_share=of_water / (of_water + of_solute),
        assumption=f"{solute.title}{guess}; {_RAOULT}",
    )


def _solution_vapor_pressure(liquid: Liquid, temperature: ArrayLike) -> Array:
    """Return the vapor pressure of a solution by Raoult's law."""
    t = temperature_within(
        "temperature", temperature, _COLDEST_SOLUTION, _HOTTEST_SOLUTION, _RAOULT_SOURCE
    )
    return np.asarray(liquid.water_share * water.saturation_pressure_extended(t))[()]


def _solution_boiling_temperature(liquid: Liquid, pressure: ArrayLike) -> Array:
    """Return the boiling temperature of a solution by Raoult's law."""
    p = absolute_pressure("pressure", pressure) / liquid.water_share
    t = water.saturation_temperature_extended(p)
    return np.asarray(
        temperature_within(
            "boiling temperature", t, _COLDEST_SOLUTION, _HOTTEST_SOLUTION, _RAOULT_SOURCE
        )
    )[()]


def _solution_limits(liquid: Liquid) -> tuple[float, float]:
    """Return the range in which both density and vapor pressure of a solution are known."""
    low, high = coolprop_liquids.solution_limits(liquid.fluid)
    return max(low, _COLDEST_SOLUTION), min(high, _HOTTEST_SOLUTION)


def _table(liquid: Liquid) -> Table:
    """Return the table of a liquid that has one."""
    if liquid.table is None:
        raise ArgumentError(f"{liquid.name!r} is said to have a table, but has none.")
    return liquid.table


def _table_viscosity(liquid: Liquid, temperature: ArrayLike) -> Array:
    """Return the dynamic viscosity from a table of kinematic viscosity and density."""
    table = _table(liquid)
    nu = table_liquids.kinematic_viscosity(table, temperature)
    return np.asarray(nu * table_liquids.density(table, temperature))[()]


_SATURATED = _Source(
    vapor_pressure=lambda q, t: coolprop_liquids.saturation_pressure(q.fluid, t),
    boiling_temperature=lambda q, p: coolprop_liquids.saturation_temperature(q.fluid, p),
    density=lambda q, t: coolprop_liquids.saturated_density(q.fluid, t),
    dynamic_viscosity=lambda q, t: coolprop_liquids.saturated_viscosity(q.fluid, t),
    specific_heat=lambda q, t: coolprop_liquids.saturated_specific_heat(q.fluid, t),
    limits=lambda q: coolprop_liquids.saturation_limits(q.fluid),
)
_SOURCES: dict[str, _Source] = {
    "water": _Source(
        vapor_pressure=lambda q, t: water.vapor_pressure(t),
        boiling_temperature=lambda q, p: water.boiling_temperature(p),
        density=lambda q, t: water.density(t),
        dynamic_viscosity=lambda q, t: water.dynamic_viscosity(t),
        specific_heat=lambda q, t: water.specific_heat(t),
        limits=lambda q: (water.LOW, water.HIGH),
    ),
    "pure": _SATURATED,
    "mixture": _SATURATED,
    "solution": _Source(
        vapor_pressure=_solution_vapor_pressure,
        boiling_temperature=_solution_boiling_temperature,
        density=lambda q, t: coolprop_liquids.solution_property("D", q.fluid, t),
        dynamic_viscosity=lambda q, t: coolprop_liquids.solution_property("V", q.fluid, t),
        specific_heat=lambda q, t: coolprop_liquids.solution_property("C", q.fluid, t),
        limits=_solution_limits,
    ),
    "table": _Source(
        vapor_pressure=lambda q, t: table_liquids.vapor_pressure(_table(q), t),
        boiling_temperature=lambda q, p: table_liquids.boiling_temperature(_table(q), p),
        density=lambda q, t: table_liquids.density(_table(q), t),
        dynamic_viscosity=_table_viscosity,
        specific_heat=lambda q, t: table_liquids.specific_heat(_table(q), t),
        limits=lambda q: (_table(q).low, _table(q).high),
    ),
}
