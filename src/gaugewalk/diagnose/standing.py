"""A pump that stands shows no flow, no current and no pressure, and nothing is wrong with that."""

from dataclasses import replace

from gaugewalk.diagnose.case import Case
from gaugewalk.units import Quantity

# Points that read about nothing while a pump stands.
STILL = ("flow", "motor_current", "motor_power", "speed")
NOTHING = {"flow": 3e-5, "motor_current": 0.2, "motor_power": 20.0, "speed": 0.05}  # SI
NO_HEAD = 0.3e5  # over the suction pressure, or over the air outside [Pa]
NOTE = "The pump stands: no flow, no current and no pressure say nothing about it."


def leave_out_standstill(case: Case) -> tuple[Case, tuple[str, ...]]:
    """Return the case without readings that only say that the pump stands, and a note if any.

    A pump stands if somebody says so, or if its motor takes no current, or if it does not turn.

    Examples
    --------
    >>> from gaugewalk.units import parse
    >>> zero = {"motor_current": parse("0 A", "current"), "flow": parse("0 m3/h", "flow")}
    >>> case, notes = leave_out_standstill(Case(readings=zero))
    >>> dict(case.readings), len(notes)
    ({}, 1)
    """
    readings = case.readings
    still = {
        point
        for point in STILL
        if point in readings
        and readings[point].value <= NOTHING[point]
        and not _swings(readings[point])
    }
    stands = case.observations.get("pump-stopped", False) or still & {"motor_current", "speed"}
    if not stands:
        return case, ()
    discharge = readings.get("discharge_pressure")
    if discharge is not None and discharge.value <= _without_head(case) + NO_HEAD:
        still.add("discharge_pressure")
    if not still:
        return case, ()
    kept = {point: reading for point, reading in readings.items() if point not in still}
    return replace(case, readings=kept), (NOTE,)


def _swings(reading: Quantity) -> bool:
    return reading.low is not None


def _without_head(case: Case) -> float:
    """Return the pressure that the discharge gauge shows while the pump stands. [Pa]"""
    suction = case.readings.get("suction_pressure")
    return max(case.barometric, suction.value if suction is not None else 0.0)
