"""A liquid known only by a table of a few rows, interpolated smoothly and never beyond its ends."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.arguments import (
    Array,
    absolute_pressure,
    complete,
    positive,
    temperature_within,
    within,
)
from gaugewalk.physics.monotone import Monotone, monotone_through

SOURCE = "the liquid's own table"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Table:
    """Properties over temperature as monotone lines in straightening coordinates."""

    low: float  # [K]
    high: float  # [K]
    log_pressure: Monotone  # ln(Pa) over -1/T
    density: Monotone  # kg/m3 over T
    log_viscosity: Monotone | None  # ln(m2/s) over -1/T
    specific_heat: float | None  # J/(kg K)


def make_table(
    temperature: ArrayLike,
    vapor_pressure: ArrayLike,
    density: ArrayLike,
    kinematic_viscosity: ArrayLike | None = None,
    specific_heat: float | None = None,
) -> Table:
    """Return the table of a liquid.

    Raises
    ------
    ArgumentError
        Fewer than two rows, rows of unequal length, temperature or vapor pressure not rising.
    """
    t = positive("temperature", complete("temperature", temperature))
    rows = {"vapor_pressure": vapor_pressure, "density": density}
    if kinematic_viscosity is not None:
        rows["kinematic_viscosity"] = kinematic_viscosity
    columns = {name: positive(name, complete(name, row)) for name, row in rows.items()}
    if t.ndim != 1 or len(t) < 2 or (np.diff(t) <= 0).any():
        raise ArgumentError("temperature needs two rows or more, rising.")
    for name, column in columns.items():
        if column.shape != t.shape:
            raise ArgumentError(f"{name} has {column.size} rows, but temperature has {t.size}.")
    if (np.diff(columns["vapor_pressure"]) <= 0).any():
        raise ArgumentError("vapor_pressure must rise with temperature.")
    if specific_heat is not None:
        positive("specific_heat", specific_heat)
    viscosity = columns.get("kinematic_viscosity")
    return Table(
        low=float(t[0]),
        high=float(t[-1]),
        log_pressure=monotone_through(-1 / t, np.log(columns["vapor_pressure"])),
        density=monotone_through(t, columns["density"]),
        log_viscosity=None if viscosity is None else monotone_through(-1 / t, np.log(viscosity)),
        specific_heat=specific_heat,
    )


def vapor_pressure(table: Table, temperature: ArrayLike) -> Array:
    """Return the vapor pressure, monotone in ln p over -1/T, [Pa]."""
    return np.asarray(np.exp(table.log_pressure(-1 / _inside(table, temperature))))[()]


def boiling_temperature(table: Table, pressure: ArrayLike) -> Array:
    """Return the exact inverse of `vapor_pressure`, [K]."""
    low, high = (float(np.exp(table.log_pressure.y[i])) for i in (0, -1))
    slack = 1e-12 * high
    p = within(
        "pressure", absolute_pressure("pressure", pressure), low - slack, high + slack, SOURCE
    )
    height = np.log(np.clip(p, low, high))
    return np.asarray(-1 / table.log_pressure.inverse(height))[()]


def density(table: Table, temperature: ArrayLike) -> Array:
    """Return the density, [kg/m3]."""
    return np.asarray(table.density(_inside(table, temperature)))[()]


def kinematic_viscosity(table: Table, temperature: ArrayLike) -> Array:
    """Return the kinematic viscosity, monotone in ln ν over -1/T, [m2/s]."""
    if table.log_viscosity is None:
        raise ArgumentError("kinematic_viscosity is not given in this liquid's table.")
    return np.asarray(np.exp(table.log_viscosity(-1 / _inside(table, temperature))))[()]


def specific_heat(table: Table, temperature: ArrayLike) -> Array:
    """Return the specific heat, one value for all temperatures, [J/(kg K)]."""
    if table.specific_heat is None:
        raise ArgumentError("specific_heat is not given for this liquid.")
    return np.where(np.isnan(_inside(table, temperature)), np.nan, table.specific_heat)[()]


def _inside(table: Table, temperature: ArrayLike) -> Array:
    """Return the temperature, known to lie within the table."""
    return temperature_within("temperature", temperature, table.low, table.high, SOURCE)
