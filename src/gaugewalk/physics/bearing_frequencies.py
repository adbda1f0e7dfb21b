"""Frequencies at which a worn rolling bearing, a shaft and an impeller are heard."""

from dataclasses import dataclass

import numpy as np

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.arguments import positive


@dataclass(frozen=True, slots=True, kw_only=True)
class BearingFrequencies:
    """Defect frequencies of one bearing, [Hz]."""

    cage: float  # FTF
    ball_spin: float  # BSF; a flaw on a ball meets both races, so twice this is usually seen
    outer_race: float  # BPFO
    inner_race: float  # BPFI


def bearing_frequencies(
    speed: float,
    balls: int,
    ball_diameter: float,
    pitch_diameter: float,
    contact_angle: float = 0.0,
) -> BearingFrequencies:
    """Defect frequencies of a rolling bearing with a standing outer race.

    Parameters
    ----------
    speed : float
        Of the shaft. [1/s]
    balls : int
        Number of balls or rollers in a row, at least 2.
    ball_diameter, pitch_diameter : float
        [m]
    contact_angle : float
        [rad]

    Returns
    -------
    BearingFrequencies
        [Hz]

    Notes
    -----
    For rolling without slip; real ones lie 1 to 2 % beside. Catalog pages differ in whether they
    print the spin frequency or twice it.

    References
    ----------
    .. [1] Kinematics of a rolling bearing; checked against the bearing data of the Case Western
       Reserve University test rig.

    Examples
    --------
    >>> found = bearing_frequencies(1797 / 60, 9, 0.3126 * 0.0254, 1.537 * 0.0254)
    >>> round(found.outer_race, 2), round(found.inner_race, 2)
    (107.36, 162.19)
    """
    n = float(positive("speed", speed))
    d = float(positive("ball_diameter", ball_diameter))
    pitch = float(positive("pitch_diameter", pitch_diameter))
    if balls < 2:
        raise ArgumentError(f"balls = {balls}: expected at least 2.")
    if d >= pitch:
        raise ArgumentError(
            f"ball_diameter = {d:g} m: expected below the pitch diameter, {pitch:g} m."
        )
    r = d / pitch * float(np.cos(contact_angle))
    return BearingFrequencies(
        cage=n * (1 - r) / 2,
        ball_spin=n * pitch / d * (1 - r**2) / 2,
        outer_race=n * balls * (1 - r) / 2,
        inner_race=n * balls * (1 + r) / 2,
    )


def vane_pass_frequency(speed: float, vanes: int) -> float:
    """Frequency at which impeller vanes pass the cutwater, [Hz].

    Examples
    --------
    >>> vane_pass_frequency(2970 / 60, 6)
    297.0
    """
    if vanes < 1:
        raise ArgumentError(f"vanes = {vanes}: expected at least 1.")
    return float(positive("speed", speed)) * vanes
