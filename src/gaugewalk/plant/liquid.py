"""From the liquid and the curve of a plant file to those of the physics floor."""

from functools import cache

import numpy as np

from gaugewalk.errors import NotFoundError, OutOfRangeError
from gaugewalk.physics.curve import PumpCurve, power_from_efficiency
from gaugewalk.physics.liquids import Liquid, density, find_liquid, table_liquid
from gaugewalk.plant.pump import PlantCurve, PlantLiquid


def physics_liquid(liquid: PlantLiquid) -> Liquid | None:
    """Return the liquid the numbers can be worked out with.

    Returns
    -------
    Liquid or None
        None where the name is no known liquid and no table is given: then what needs vapor
        pressure, density or viscosity is left out, and said to be.

    Examples
    --------
    >>> physics_liquid(PlantLiquid(name="wort of the third kettle")) is None
    True
    """
    try:
        return known_liquid(liquid)
    except NotFoundError:
        return None


def known_liquid(liquid: PlantLiquid) -> Liquid:
    """Return the liquid the numbers can be worked out with, or say why there is none.

    Raises
    ------
    NotFoundError
        No known name and no table; the message holds the nearest known name.
    ArgumentError
        A solution without mass fraction, or a table that makes no sense.
    OutOfRangeError
        A mass fraction outside the source of the solution.
    """
    if (table := liquid.table) is not None:
        return table_liquid(
            liquid.name,
            temperature=table.temperature,
            vapor_pressure=table.vapor_pressure,
            density=table.density,
            kinematic_viscosity=table.kinematic_viscosity or None,
            specific_heat=table.specific_heat,
        )
    return _known(liquid.name, liquid.mass_fraction)


@cache
def _known(name: str, mass_fraction: float | None) -> Liquid:
    return find_liquid(name, mass_fraction=mass_fraction)


@cache
def unusable_temperature(liquid: PlantLiquid) -> str | None:
    """Return why a known liquid has no properties at its usual temperature, or none if it has.

    Examples
    --------
    >>> print(unusable_temperature(PlantLiquid(name="water", temperature=353.15)))
    None
    >>> "outside" in unusable_temperature(PlantLiquid(name="water", temperature=80.0))
    True
    """
    try:
        density(known_liquid(liquid), liquid.temperature or 0.0)
    except OutOfRangeError as error:
        return str(error).rstrip(".")
    return None


def physics_curve(curve: PlantCurve) -> PumpCurve:
    """Return a pump's curve as the physics floor takes it; power from efficiency where needed.

    Examples
    --------
    >>> curve = PlantCurve(
    ...     speed=49.0, flow=(0.0, 0.01, 0.02), head=(40.0, 36.0, 25.0), efficiency=(0.0, 0.7, 0.65)
    ... )
    >>> round(float(physics_curve(curve).power[1]))
    5034
    """
    power = np.array(curve.power) if curve.power else None
    if power is None and curve.efficiency:
        power = power_from_efficiency(curve.flow, curve.head, curve.efficiency, curve.density)
    return PumpCurve(
        speed=curve.speed,
        flow=np.array(curve.flow),
        head=np.array(curve.head),
        power=power,
        npshr=np.array(curve.npshr) if curve.npshr else None,
        density=curve.density,
    )
