"""What each cause does to the machine: which setting it moves, and how far at its worst.

A setting that is 1 in a sound machine is a factor and moves along a power of the severity (half way
is the root of the full effect); one that is 0 is a share, a temperature or a velocity and moves in
proportion. Causes act together: factors multiply, shares add.

How far a cause goes at severity 1 is a judgement of this project, no published figure; the
direction and the laws by which a setting reaches the gauges are physics.
"""

from collections.abc import Mapping

import numpy as np

from gaugewalk.errors import NotFoundError
from gaugewalk.physics.circuit_parts import Array, Number

_DROP_PER_MINUTE = 0.05e-6 / 60.0  # drops of 0.05 mL, [m3/s]

NEUTRAL: Mapping[str, float] = {
    # Suction side and liquid
    "suction_strainer_open": 1.0,  # share of the screen's area still open
    "suction_valve_open": 1.0,
    "level_drop": 0.0,  # share of the way from the usual to the lowest level
    "heating": 0.0,  # share of the way from the usual temperature to boiling at the suction
    "source_pressure_loss": 0.0,  # share of the NPSH available in order
    "gas_share": 0.0,  # of the volume at the suction
    "viscosity": 1.0,
    "density": 1.0,
    # Pump
    "ring_leak": 0.0,  # through the wear rings beyond the sound ones', share of the best flow
    "impeller_open": 1.0,  # share of the channels' area
    "impeller_head": 1.0,
    "reversed": 0.0,
    "speed": 1.0,
    "speed_swing": 0.0,  # half of the swing, share
    "rub": 0.0,  # braking power, share of the power at duty
    # Discharge side
    "bypass": 0.0,  # back to the source, share of the duty flow
    "discharge_open": 1.0,
    "discharge_strainer_open": 1.0,
    "back_pressure": 0.0,  # share of what lies between the duty head and shut-off
    "resistance": 1.0,
    # Driver
    "motor_current": 1.0,
    "motor_rise": 1.0,
    # Bearings and their lubricant
    "pump_friction": 1.0,
    "driver_friction": 1.0,
    "oil_level": 0.0,  # over the mark of the sight glass, [m]
    "oiler_level": 0.0,  # share of the bottle
    # Vibration beyond the sound machine's, r.m.s., added in squares, [m/s]
    "vibration_pump": 0.0,
    "vibration_driver": 0.0,
    "vibration_axial": 0.0,
    # Forced-feed oil
    "oil_pump": 1.0,
    "oil_relief": 1.0,
    "oil_filter_open": 1.0,
    "cooler_conductance": 1.0,
    "cooling_water": 1.0,
    "cooling_water_warmer": 0.0,  # [K]
    "oil_heater": 0.0,  # share of its power that runs when it should not
    "oil_reservoir": 0.0,  # share of the glass
    # Packing
    "gland_gap": 1.0,
    "gland_friction": 1.0,
    "seal_water_flow": 1.0,
    "seal_water_pressure": 1.0,
    # Mechanical seal
    "seal_drip": 0.0,  # [m3/s]
    "face_heat": 1.0,
    "flush_flow": 1.0,
    "flush_pressure": 1.0,
    "barrier_pressure": 1.0,
    "pot_level": 0.0,  # share of the glass
    # Instruments
    "gauge_low": 0.0,  # share of the reading that is missing
    "gauge_dead": 0.0,  # share of the way back to what it showed in order
}

EXTENT: Mapping[str, Mapping[str, float]] = {
    "air-through-suction-joint": {"gas_share": 0.10},
    "air-through-packing": {"gas_share": 0.10, "gland_gap": 0.3},
    "air-through-vortex": {"gas_share": 0.10, "level_drop": 1.1},
    "air-trapped": {"gas_share": 0.14},
    "gas-in-liquid": {"gas_share": 0.08},
    "vapor-from-hot-liquid": {"heating": 1.05},
    "vapor-from-low-suction-pressure": {"source_pressure_loss": 1.0},
    "suction-strainer-plugged": {"suction_strainer_open": 0.08},
    "suction-valve-throttled": {"suction_valve_open": 0.04},
    "source-level-too-low": {"level_drop": 1.3},
    "density-too-low": {"density": 0.8},
    "density-too-high": {"density": 1.25},
    "viscosity-too-high": {"viscosity": 30.0},
    "wear-rings-worn": {"ring_leak": 0.25, "vibration_pump": 1.0e-3},
    "impeller-plugged": {"impeller_open": 0.55, "impeller_head": 0.88, "vibration_pump": 3.5e-3},
    "impeller-damaged": {"impeller_head": 0.65, "vibration_pump": 4.0e-3},
    "internal-rub": {"rub": 0.25, "pump_friction": 1.4, "vibration_pump": 4.0e-3},
    "rotation-reversed": {"reversed": 1.0, "vibration_pump": 3.0e-3},
    "speed-too-low": {"speed": 0.7},
    "speed-too-high": {"speed": 1.15},
    "speed-control-hunting": {"speed_swing": 0.08},
    "runout": {"resistance": 0.2, "vibration_pump": 1.5e-3},
    "runout-with-cavitation": {"resistance": 0.06, "vibration_pump": 2.0e-3},
    "low-flow-recirculation": {"resistance": 25.0, "vibration_pump": 3.0e-3},
    "back-pressure-too-high": {"back_pressure": 0.97},
    "pushed-back-by-parallel-pump": {"back_pressure": 1.02, "vibration_pump": 1.5e-3},
    "deadheaded": {"discharge_open": 1.0e-4, "vibration_pump": 2.0e-3},
    "check-valve-stuck-closed": {"discharge_open": 5.0e-3, "vibration_pump": 2.0e-3},
    "check-valve-leaking-back": {"bypass": 0.4},
    "min-flow-valve-passing": {"bypass": 0.35},
    "discharge-strainer-plugged": {"discharge_strainer_open": 0.06},
    "phase-unbalance": {"motor_current": 1.1, "motor_rise": 1.6, "vibration_driver": 2.0e-3},
    "motor-electrical-fault": {
        "motor_current": 1.15,
        "motor_rise": 1.6,
        "vibration_driver": 3.0e-3,
    },
    "motor-cooling-blocked": {"motor_rise": 1.9},
    "bearing-oil-low": {"pump_friction": 2.6, "oil_level": -0.012, "oiler_level": -0.6},
    "bearing-oil-high": {"pump_friction": 2.2, "oil_level": 0.012},
    "bearing-overgreased": {"pump_friction": 2.8},
    "bearing-undergreased": {"pump_friction": 2.6, "vibration_pump": 2.0e-3},
    "oil-wrong-grade": {"pump_friction": 1.8},
    "oil-dirty": {"pump_friction": 1.6, "vibration_pump": 1.5e-3},
    "water-in-oil": {"pump_friction": 1.6, "oil_level": 0.004, "vibration_pump": 1.0e-3},
    "oil-ring-stuck": {"pump_friction": 3.2, "vibration_pump": 1.5e-3},
    "pump-bearing-worn": {"pump_friction": 2.8, "vibration_pump": 5.0e-3},
    "driver-bearing-worn": {"driver_friction": 2.8, "vibration_driver": 5.0e-3},
    "coupling-worn": {"vibration_pump": 3.0e-3, "vibration_driver": 3.0e-3},
    "misalignment": {
        "pump_friction": 1.5,
        "driver_friction": 1.4,
        "vibration_pump": 4.0e-3,
        "vibration_driver": 3.5e-3,
        "vibration_axial": 5.0e-3,
    },
    "pipe-strain": {"pump_friction": 1.4, "vibration_pump": 3.5e-3, "vibration_axial": 2.0e-3},
    "shaft-bent": {"vibration_pump": 5.0e-3, "vibration_axial": 5.0e-3},
    "unbalance": {"vibration_pump": 6.0e-3, "vibration_driver": 2.0e-3},
    "foundation-loose": {"vibration_pump": 5.0e-3, "vibration_driver": 5.0e-3},
    "soft-foot": {"vibration_pump": 1.0e-3, "vibration_driver": 5.0e-3},
    "resonance": {"vibration_pump": 6.0e-3, "vibration_driver": 4.0e-3},
    "oil-cooler-fouled": {"cooler_conductance": 0.2},
    "oil-cooler-leaking": {"oil_reservoir": 0.2},
    "cooling-water-too-little": {"cooling_water": 0.06},
    "cooling-water-too-much": {"cooling_water": 3.0},
    "cooling-water-too-warm": {"cooling_water_warmer": 15.0},
    "oil-heater-stuck-on": {"oil_heater": 1.0},
    "oil-pump-failing": {"oil_pump": 0.4},
    "oil-relief-stuck-open": {"oil_relief": 0.45},
    "oil-relief-stuck-shut": {"oil_relief": 1.7},
    "oil-filter-plugged": {"oil_filter_open": 0.35},
    "oil-system-leaking": {"oil_reservoir": -0.5},
    "packing-too-tight": {"gland_gap": 0.3, "gland_friction": 7.0},
    "packing-too-loose": {"gland_gap": 2.2, "gland_friction": 0.7},
    "packing-worn": {"gland_gap": 2.4},
    "packing-burnt": {"gland_gap": 2.6, "gland_friction": 3.0},
    "shaft-sleeve-worn": {"gland_gap": 2.4, "gland_friction": 1.3},
    "seal-water-lost": {
        "seal_water_flow": 0.02,
        "seal_water_pressure": 0.1,
        "gland_gap": 0.6,
        "gland_friction": 4.0,
    },
    "lantern-ring-displaced": {
        "seal_water_flow": 0.05,
        "seal_water_pressure": 1.1,
        "gland_gap": 0.6,
        "gland_friction": 4.0,
    },
    "mechanical-seal-damaged": {"seal_drip": 80.0 * _DROP_PER_MINUTE, "face_heat": 1.3},
    "mechanical-seal-run-dry": {"seal_drip": 30.0 * _DROP_PER_MINUTE, "face_heat": 5.0},
    "seal-deposits": {"seal_drip": 15.0 * _DROP_PER_MINUTE, "face_heat": 1.3},
    "seal-flush-lost": {"flush_flow": 0.05, "face_heat": 3.0},
    "seal-system-fault": {"pot_level": -0.5, "barrier_pressure": 0.7},
    "barrier-pressure-lost": {"barrier_pressure": 0.4, "pot_level": -0.3},
    "gauge-faulty": {"gauge_low": 0.4},
    "gauge-line-plugged": {"gauge_dead": 1.0},
}


def settings(severities: Mapping[str, Number]) -> dict[str, Array]:
    """Return every setting of the machine under causes of the given severities.

    Parameters
    ----------
    severities : mapping of cause to float or array, shape (n,)
        0 to 1; a little more is extrapolated by the same law.

    Returns
    -------
    dict of setting to array
        Shape () or (n,), as the severities are.

    Raises
    ------
    NotFoundError
        A cause this model has no physics for.

    Examples
    --------
    >>> after = settings({"suction-strainer-plugged": 0.5, "runout": 0.0})
    >>> round(float(after["suction_strainer_open"]), 3), float(after["resistance"])
    (0.283, 1.0)
    """
    result = {name: np.asarray(value) for name, value in NEUTRAL.items()}
    for cause, severity in severities.items():
        if cause not in EXTENT:
            raise NotFoundError(
                f"cause {cause!r} has no physical model; modelled are: {', '.join(EXTENT)}."
            )
        share = np.asarray(severity, dtype=float)
        for name, full in EXTENT[cause].items():
            factor = NEUTRAL[name] == 1.0
            result[name] = result[name] * full**share if factor else result[name] + full * share
    return result
