"""A pump on a liquid thicker than water: the correction of ANSI/HI 9.6.7.

The formulas are those reproduced in public texts; the standard itself was not opened. It is a fit
to tests: for conventional radial impellers and Newtonian liquids, and not exact for any one pump.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.errors import OutOfRangeError
from gaugewalk.physics.arguments import Array, complete, not_negative, positive
from gaugewalk.physics.curve import PumpCurve, best_efficiency_flow, head_at

SOURCE = "ANSI/HI 9.6.7, as reproduced in public texts"
LIMIT = 40.0
"""Value of B from which the method gives no answer."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ViscousFactors:
    """Viscous over water performance."""

    flow: Array  # C_Q
    head: Array  # C_H
    efficiency: Array  # C_η


def viscous_parameter(
    kinematic_viscosity: ArrayLike, flow: ArrayLike, head: ArrayLike, speed: ArrayLike
) -> Array:
    """Return the parameter B of the method, 16.5 ν^0.5 H^0.0625/(Q^0.375 N^0.25).

    Parameters
    ----------
    kinematic_viscosity : float or array
        Of the liquid, up to about 3000e-6 in the data behind the method. [m2/s]
    flow, head : float or array
        On water at best efficiency; the head of one stage. [m3/s, m]
    speed : float or array
        [1/s]

    Returns
    -------
    array
        B. [-] Up to 1 nothing needs correction, from 40 the method ends.

    References
    ----------
    .. [1] ANSI/HI 9.6.7; the formula takes mm2/s, m3/h, m and r/min. Its form for US units, with
       26.6, gives 0.4 % less.

    Examples
    --------
    >>> round(float(viscous_parameter(120e-6, 100 / 3600, 91.44, 2950 / 60)), 3)
    5.783
    """
    nu = positive("kinematic_viscosity", kinematic_viscosity) * 1e6
    q, n = positive("flow", flow) * 3600, positive("speed", speed) * 60
    return np.asarray(16.5 * nu**0.5 * positive("head", head) ** 0.0625 / (q**0.375 * n**0.25))[()]


def viscous_factors(parameter: ArrayLike, flow_share: ArrayLike = 1.0) -> ViscousFactors:
    """Return the factors on flow, head and efficiency.

    C_Q = 2.71^(-0.165 (log10 B)^3.15); C_H = 1 - (1 - C_Q) (Q/Q_bep)^0.75;
    C_η = B^(-0.0547 B^0.69)

    Parameters
    ----------
    parameter : float or array
        B, as by `viscous_parameter`.
    flow_share : float or array
        Water flow over water flow at best efficiency. [-]

    Returns
    -------
    ViscousFactors
        All 1 up to B = 1.

    Raises
    ------
    OutOfRangeError
        B from 40: the method gives no answer; ask the maker.

    Examples
    --------
    >>> factors = viscous_factors(5.50)
    >>> round(float(factors.flow), 3), round(float(factors.efficiency), 3)
    (0.938, 0.739)
    """
    b = positive("parameter", parameter)
    if (wrong := b >= LIMIT).any():
        hint = "So thick a liquid is outside the method; ask the maker."
        raise OutOfRangeError("parameter", float(b[wrong].flat[0]), 0.0, LIMIT, SOURCE, hint)
    thick = np.maximum(b, 1.0)
    flow = 2.71 ** (-0.165 * np.log10(thick) ** 3.15)
    head = 1 - (1 - flow) * not_negative("flow_share", flow_share) ** 0.75
    return ViscousFactors(
        flow=np.asarray(flow)[()],
        head=np.asarray(head)[()],
        efficiency=np.asarray(thick ** (-0.0547 * thick**0.69))[()],
    )


def viscous_curve(
    curve: PumpCurve,
    kinematic_viscosity: float,
    *,
    density: float | None = None,
    stages: int = 1,
    best_flow: float | None = None,
) -> PumpCurve:
    """Return the curve of a pump on a viscous liquid.

    Parameters
    ----------
    curve : PumpCurve
        On water.
    kinematic_viscosity : float
        Of the liquid. [m2/s]
    density : float, optional
        Of the liquid; none: that of the curve. [kg/m3]
    stages : int
        Number of stages, as the method takes the head of one.
    best_flow : float, optional
        Flow of best efficiency on water; none: found from the power row. [m3/s]

    Returns
    -------
    PumpCurve
        Flow, head and power corrected; NPSH required kept, which for thick liquids is too low.

    Raises
    ------
    OutOfRangeError
        Too thick for the method.
    ArgumentError
        Neither `best_flow` nor a power row is given.

    Notes
    -----
    Power follows without a division at no flow: P C_Q C_H/C_η, times the ratio of densities.

    Examples
    --------
    >>> water = PumpCurve(speed=49.0, flow=[0.0, 0.01, 0.02], head=[40.0, 36.0, 16.0])
    >>> thick = viscous_curve(water, 100e-6, best_flow=0.012)
    >>> float(thick.head[0]), bool(thick.head[1] < 36.0)
    (40.0, True)
    """
    rho = curve.density if density is None else float(positive("density", density))
    best = (
        best_efficiency_flow(curve)
        if best_flow is None
        else float(complete("best_flow", best_flow))
    )
    head = head_at(curve, best) / float(positive("stages", stages))
    b = viscous_parameter(kinematic_viscosity, best, head, curve.speed)
    factors = viscous_factors(b, curve.flow / best)
    power = None
    if curve.power is not None:
        gain = factors.flow * factors.head / factors.efficiency
        power = curve.power * gain * rho / curve.density
    return PumpCurve(
        speed=curve.speed,
        flow=curve.flow * factors.flow,
        head=curve.head * factors.head,
        power=power,
        npshr=curve.npshr,
        density=rho,
    )
