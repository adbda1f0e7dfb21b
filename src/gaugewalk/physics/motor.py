"""Electric motors: power from what the ammeter shows, and the ammeter from the power.

Three-phase induction motors only. Currents are line currents, voltages line to line.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.arguments import Array, array, not_negative, positive, share, within

# NEMA MG 1, 14.36 and Figure 14-1: load a motor may carry at a voltage unbalance. The curve is
# read from memory, unverified; the 5 % limit and the definition are quoted publicly.
DERATING_UNBALANCE = (0.0, 0.01, 0.02, 0.03, 0.04, 0.05)
DERATING_FACTOR = (1.0, 1.0, 0.95, 0.88, 0.82, 0.75)
DERATING_SOURCE = "NEMA MG 1, 14.36, Figure 14-1, factors from memory, unverified"

# Departure of supply from the nameplate: (voltage, frequency), from memory, unverified.
SUPPLY_TOLERANCE = {
    "NEMA MG 1, 12.44": (0.10, 0.05),
    "IEC 60034-1, zone A": (0.05, 0.02),
}

PULL_OUT_RATIO = 2.7  # pull-out over rated torque; catalogs print 2.2 to 3.5. Common practice.
CONSTANT_LOSS_SHARE = 0.4  # of the rated losses that do not change with load. Common practice.
HIGHEST_LOAD = 1.5  # of rated power, as far as the estimate goes
HALVINGS = 60  # enough to reach the last digit of a float
ROOT_3 = float(np.sqrt(3.0))
IDLE_CURRENT_LOW = 0.05  # smallest idle current taken, as a share of the rated current


@dataclass(frozen=True, slots=True, kw_only=True)
class Nameplate:
    """What a motor's plate says; an idle current measured uncoupled makes the estimate better."""

    power: float  # shaft power, [W]
    current: float  # [A]
    voltage: float  # [V]
    power_factor: float
    efficiency: float | None = None  # none: from the four others
    idle_current: float | None = None  # none: from the circle diagram, [A]

    def __post_init__(self) -> None:
        positive("power", self.power)
        positive("current", self.current)
        positive("voltage", self.voltage)
        share("power_factor", self.power_factor)
        if self.efficiency is not None:
            share("efficiency", self.efficiency)
        if self.idle_current is not None:
            positive("idle_current", self.idle_current)
            if self.idle_current >= self.current:
                raise ArgumentError(
                    f"idle_current = {self.idle_current:g} A: expected less than the rated "
                    f"current, {self.current:g} A."
                )

    def rated_efficiency(self) -> float:
        """Return the efficiency given, or the one that the rest of the plate implies, [-]."""
        if self.efficiency is not None:
            return self.efficiency
        implied = self.power / float(input_power(self.voltage, self.current, self.power_factor))
        if not 0 < implied < 1:
            raise ArgumentError(
                f"The nameplate does not fit together: {self.power:g} W at {self.voltage:g} V, "
                f"{self.current:g} A and power factor {self.power_factor:g} would be an "
                f"efficiency of {implied:.3g}; expected less than 1."
            )
        return implied


def synchronous_speed(frequency: ArrayLike, poles: int) -> Array:
    """Speed of the rotating field.

    Parameters
    ----------
    frequency : float or array
        Supply frequency. [Hz]
    poles : int
        Number of poles, even. [-]

    Returns
    -------
    float or array
        Synchronous speed. [1/s]

    References
    ----------
    .. [1] n = 2 f / p, definition (120 f / p in r/min).

    Examples
    --------
    >>> float(synchronous_speed(50.0, 4) * 60)
    1500.0
    """
    if poles < 2 or poles % 2:
        raise ArgumentError(f"poles = {poles}: expected an even number of at least 2.")
    return 2 * positive("frequency", frequency) / poles


def input_power(voltage: ArrayLike, current: ArrayLike, power_factor: ArrayLike) -> Array:
    """Electric power taken from the line.

    Parameters
    ----------
    voltage : float or array
        Mean of the three line-to-line voltages. [V]
    current : float or array
        Mean of the three line currents. [A]
    power_factor : float or array
        Cosine of the phase angle, above 0 to 1. [-]

    Returns
    -------
    float or array
        Input power. [W]

    References
    ----------
    .. [1] U.S. Department of Energy, Determining Electric Motor Load and Efficiency, Equation 1.

    Examples
    --------
    >>> round(float(input_power(469.7, 37.0, 0.763)))
    22967
    """
    apparent = ROOT_3 * not_negative("voltage", voltage) * not_negative("current", current)
    return apparent * share("power_factor", power_factor)


def shaft_power(
    voltage: ArrayLike, current: ArrayLike, power_factor: ArrayLike, efficiency: ArrayLike
) -> Array:
    """Power at the shaft from electric readings.

    Parameters
    ----------
    voltage, current, power_factor : float or array
        As for `input_power`. [V], [A], [-]
    efficiency : float or array
        At this load, above 0 to 1. [-]

    Returns
    -------
    float or array
        Shaft power. [W]

    Notes
    -----
    The power factor on the plate holds at rated load only; below about half load use
    `load_from_current`, which lets it fall.

    References
    ----------
    .. [1] P = sqrt(3) V I pf eta, definition.

    Examples
    --------
    >>> round(float(shaft_power(400.0, 32.0, 0.86, 0.92)), 1)
    17541.1
    """
    return input_power(voltage, current, power_factor) * share("efficiency", efficiency)


def line_current(
    shaft_power: ArrayLike, voltage: ArrayLike, power_factor: ArrayLike, efficiency: ArrayLike
) -> Array:
    """Line current that a shaft power takes at a known power factor and efficiency.

    Returns
    -------
    float or array
        Line current. [A]

    References
    ----------
    .. [1] I = P / (sqrt(3) V pf eta), definition.

    Examples
    --------
    >>> round(float(line_current(18500.0, 400.0, 0.86, 0.92)), 3)
    33.749
    """
    useful = share("power_factor", power_factor) * share("efficiency", efficiency)
    power = not_negative("shaft_power", shaft_power)
    return power / (ROOT_3 * positive("voltage", voltage) * useful)


def torque(shaft_power: ArrayLike, speed: ArrayLike) -> Array:
    """Torque at the shaft.

    Parameters
    ----------
    shaft_power : float or array
        [W]
    speed : float or array
        Revolutions per second. [1/s]

    Returns
    -------
    float or array
        Torque. [N m]

    References
    ----------
    .. [1] M = P / (2 pi n), definition.

    Examples
    --------
    >>> round(float(torque(18500.0, 2940 / 60)), 3)
    60.089
    """
    return array("shaft_power", shaft_power) / (2 * np.pi * positive("speed", speed))


def slip_load(
    speed: ArrayLike,
    synchronous_speed: float,
    rated_speed: float,
    *,
    voltage: ArrayLike | None = None,
    rated_voltage: float | None = None,
) -> Array:
    """Load as a share of rated load, from the slip.

    Parameters
    ----------
    speed : float or array
        Measured speed. [1/s]
    synchronous_speed, rated_speed : float
        Of the rotating field, and on the plate. [1/s]
    voltage, rated_voltage : float, optional
        Both given, the slip is corrected to the voltage present. [V]

    Returns
    -------
    float or array
        Shaft power over rated shaft power. [-] Negative: the machine is driven.

    Notes
    -----
    The slip on the plate may be off by 20 % (one source) or 10 % (another); 1 r/min of error in
    the speed is several percent of load. Measure with a strobe or a tachometer of 1 r/min.

    References
    ----------
    .. [1] U.S. Department of Energy, Determining Electric Motor Load and Efficiency, slip method
       and Equation 6.

    Examples
    --------
    >>> round(float(slip_load(1770 / 60, 1800 / 60, 1750 / 60)), 3)
    0.6
    """
    field = positive("synchronous_speed", synchronous_speed)
    rated = positive("rated_speed", rated_speed)
    if rated_speed >= synchronous_speed:
        raise ArgumentError(
            f"rated_speed = {rated_speed * 60:g} r/min: expected below the synchronous speed, "
            f"{synchronous_speed * 60:g} r/min."
        )
    if (voltage is None) != (rated_voltage is None):
        raise ArgumentError("voltage and rated_voltage: expected both or neither.")
    full_slip = field - rated
    if voltage is not None and rated_voltage is not None:
        ratio = positive("rated_voltage", rated_voltage) / positive("voltage", voltage)
        full_slip = full_slip * ratio**2
    return (field - positive("speed", speed)) / full_slip


def simple_current_load(
    current: ArrayLike, rated_current: float, voltage: ArrayLike, rated_voltage: float
) -> Array:
    """Load as a share of rated load, straight from the current.

    Returns
    -------
    float or array
        Shaft power over rated shaft power. [-]

    Notes
    -----
    Only above about half load: an idle motor still takes a third to a half of its current, so
    below that this says too much. `load_from_current` allows for it.

    References
    ----------
    .. [1] U.S. Department of Energy, Determining Electric Motor Load and Efficiency, Equation 7.

    Examples
    --------
    >>> round(float(simple_current_load(0.8, 1.0, 1.02, 1.0)), 3)
    0.816
    """
    amperes = not_negative("current", current) / positive("rated_current", rated_current)
    return amperes * not_negative("voltage", voltage) / positive("rated_voltage", rated_voltage)


def current_at_load(
    shaft_power: ArrayLike, nameplate: Nameplate, *, voltage: ArrayLike | None = None
) -> Array:
    """Line current expected at a shaft power: a stated estimate, good down to no load.

    Parameters
    ----------
    shaft_power : float or array
        Power at the coupling, zero to 1.5 times rated. [W]
    nameplate : Nameplate
        Of the motor.
    voltage : float or array, optional
        Present at the motor; rated where not given. [V]

    Returns
    -------
    float or array
        Line current. [A]

    Notes
    -----
    The active part is input power over voltage, with losses split into a constant part
    (`CONSTANT_LOSS_SHARE`) and one that rises with the square of the load. The reactive part
    follows the circle diagram: at rated load it is what the plate says; its diameter comes from
    the idle current or, not given, from a pull-out ratio of `PULL_OUT_RATIO`. The magnetizing
    part rises with voltage, the active part falls. At the plate the answer is the plate. Against
    the full equivalent circuit of usual motors the estimate is within 9 % of the rated current when
    idle, 5 % at half load and 2.5 % at three quarters; with a measured idle current within 2 %.
    Saturation, another voltage and a frequency drive add to that.

    References
    ----------
    .. [1] Circle diagram of the induction machine (Heyland), textbook; the two shares are common
       practice, no source.

    Examples
    --------
    >>> plate = Nameplate(power=18500, current=34.0, voltage=400, power_factor=0.86)
    >>> round(float(current_at_load(18500.0, plate)), 2)
    34.0
    >>> round(float(current_at_load(0.0, plate)), 1)
    11.8
    """
    volts = positive("voltage", nameplate.voltage if voltage is None else voltage)
    load = not_negative("shaft_power", shaft_power) / nameplate.power
    within("shaft_power / rated power", load, 0.0, HIGHEST_LOAD, "circle-diagram estimate")
    current = _current(load, volts / nameplate.voltage, nameplate)
    if np.any(np.isnan(current) & ~np.isnan(load)):
        raise ArgumentError(
            f"shaft_power = {np.max(load) * nameplate.power:g} W: expected less; it is beyond "
            "the pull-out torque of this motor at this voltage."
        )
    return current


def _current(load: Array, ratio: Array, nameplate: Nameplate) -> Array:
    """Return the current at a share of rated load, NaN beyond the pull-out torque, [A]."""
    losses = 1 / nameplate.rated_efficiency() - 1
    taken = load + losses * (CONSTANT_LOSS_SHARE + (1 - CONSTANT_LOSS_SHARE) * load**2)
    active = taken / (1 + losses) * nameplate.power_factor * nameplate.current / ratio
    idle, radius = _circle(nameplate)
    under_root = (radius * ratio) ** 2 - active**2
    leakage = radius * ratio - np.sqrt(np.where(under_root > 0, under_root, np.nan))
    return np.hypot(active, idle * ratio + leakage)


def _circle(nameplate: Nameplate) -> tuple[float, float]:
    """Return idle reactive current and radius of the circle diagram, [A]."""
    active = nameplate.current * nameplate.power_factor
    reactive = nameplate.current * float(np.sqrt(1 - nameplate.power_factor**2))
    leakage = active * (PULL_OUT_RATIO - float(np.sqrt(PULL_OUT_RATIO**2 - 1)))
    if nameplate.idle_current is not None:
        idle_active = CONSTANT_LOSS_SHARE * (1 - nameplate.rated_efficiency()) * active
        idle = float(np.sqrt(max(nameplate.idle_current**2 - idle_active**2, 0.0)))
        leakage = reactive - idle
        if leakage <= 0:
            raise ArgumentError(
                f"idle_current = {nameplate.idle_current:g} A: expected less than the reactive "
                f"current at rated load, {reactive:.3g} A."
            )
        # The circle goes through (0, idle) and (active, reactive).
        return idle, (active**2 + leakage**2) / (2 * leakage)
    idle = max(reactive - leakage, IDLE_CURRENT_LOW * nameplate.current)
    leakage = max(reactive - idle, 1e-9)
    return idle, (active**2 + leakage**2) / (2 * leakage)


def load_from_current(
    current: ArrayLike, nameplate: Nameplate, *, voltage: ArrayLike | None = None
) -> Array:
    """Shaft power from the ammeter: the inverse of `current_at_load`.

    Parameters
    ----------
    current : float or array
        Line current. [A]
    nameplate : Nameplate
        Of the motor.
    voltage : float or array, optional
        Present at the motor; rated where not given. [V]

    Returns
    -------
    float or array
        Shaft power. [W] NaN below the idle current, where the ammeter tells nothing, and above
        the current at 1.5 times rated power.

    Notes
    -----
    Near no load the current hardly changes with power, so that the answer is loose there: an
    error of 1 A costs several times as much load at 30 % as at 100 %.

    References
    ----------
    .. [1] As for `current_at_load`.

    Examples
    --------
    >>> plate = Nameplate(power=18500, current=34.0, voltage=400, power_factor=0.86)
    >>> round(float(load_from_current(34.0, plate)))
    18500
    """
    amperes, volts = np.broadcast_arrays(
        not_negative("current", current),
        positive("voltage", nameplate.voltage if voltage is None else voltage),
    )
    ratio = volts / nameplate.voltage
    low, high = np.zeros(amperes.shape), np.full(amperes.shape, HIGHEST_LOAD)
    idle = _current(low, ratio, nameplate)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        below = _current(middle, ratio, nameplate) <= amperes  # beyond pull-out is never below
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    reached = np.isclose(_current(low, ratio, nameplate), amperes, rtol=1e-6, atol=0.0)
    answered = reached & (amperes >= idle)
    return np.where(answered, low * nameplate.power, np.nan)[()]


def unbalance(first: ArrayLike, second: ArrayLike, third: ArrayLike) -> Array:
    """Unbalance of three line voltages or three line currents.

    Returns
    -------
    float or array
        Largest departure from the mean over the mean. [-]

    Notes
    -----
    Not the spread between the largest and the smallest, which some meters show.

    References
    ----------
    .. [1] NEMA MG 1, 14.36 (definition, quoted publicly).

    Examples
    --------
    >>> round(float(unbalance(462.0, 463.0, 455.0)), 4)
    0.0109
    """
    lines = (positive("first", first), positive("second", second), positive("third", third))
    three = np.stack(np.broadcast_arrays(*lines))
    mean: Array = three.mean(axis=0)
    departure: Array = np.abs(three - mean).max(axis=0)
    return departure / mean


def derating_factor(voltage_unbalance: ArrayLike) -> Array:
    """Share of rated power that a motor may carry on unbalanced voltages.

    Parameters
    ----------
    voltage_unbalance : float or array
        By the NEMA definition, 0 to 0.05. [-]

    Returns
    -------
    float or array
        Factor on rated power. [-]

    Raises
    ------
    OutOfRangeError
        Above 5 %, where the motor should not run.

    References
    ----------
    .. [1] NEMA MG 1, 14.36, Figure 14-1; the factors are from memory, unverified.

    Examples
    --------
    >>> round(float(derating_factor(0.02)), 3)
    0.95
    """
    share_of_mean = within(
        "voltage_unbalance",
        voltage_unbalance,
        0.0,
        0.05,
        DERATING_SOURCE,
        "Above 5 % a motor should not be run; ask the electrician.",
    )
    factor: Array = np.interp(share_of_mean, DERATING_UNBALANCE, DERATING_FACTOR)
    return factor
