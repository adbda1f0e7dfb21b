"""The air at the site: needed wherever a gauge reads against it."""

from gaugewalk.physics.npsh import barometric_pressure
from gaugewalk.plant.pump import Plant


def barometric(plant: Plant) -> float:
    """Return the pressure of the air at the plant: as given, else from its elevation.

    Returns
    -------
    float
        Absolute pressure. [Pa]

    Examples
    --------
    >>> round(barometric(Plant(name="Hill", elevation=1500.0)))
    84560
    """
    if plant.barometric_pressure is not None:
        return plant.barometric_pressure
    return float(barometric_pressure(plant.elevation))
