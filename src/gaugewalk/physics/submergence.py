"""How deep an intake must lie below the surface so that no vortex draws air into it."""

import numpy as np
from numpy.typing import ArrayLike

from gaugewalk.physics.arguments import Array, not_negative, positive
from gaugewalk.physics.constants import GRAVITY
from gaugewalk.physics.head import velocity


def bell_froude_number(flow: ArrayLike, bell_diameter: ArrayLike) -> Array:
    """Return the Froude number at an intake, V/√(g D).

    Parameters
    ----------
    flow : float or array
        [m3/s]
    bell_diameter : float or array
        Outside diameter of the bell, or inside diameter of a plain pipe end. [m]

    Returns
    -------
    array
        [-]

    References
    ----------
    .. [1] ANSI/HI 9.8-1998, section 9.8.7, as cited in public texts.

    Examples
    --------
    >>> round(float(bell_froude_number(0.25, 0.489)), 3)
    0.608
    """
    d = positive("bell_diameter", bell_diameter)
    speed = velocity(not_negative("flow", flow), d)
    return np.asarray(speed / np.sqrt(GRAVITY * d))[()]


def minimum_submergence(flow: ArrayLike, bell_diameter: ArrayLike) -> Array:
    """Return the least depth of an intake below the surface, D (1 + 2.3 V/√(g D)).

    Parameters
    ----------
    flow : float or array
        [m3/s]
    bell_diameter : float or array
        Outside diameter of the bell, or inside diameter of a plain pipe end. [m]

    Returns
    -------
    array
        Depth of the intake's mouth below the surface. [m]

    Notes
    -----
    Makes strong surface vortices unlikely where the approach is even; a skewed inflow, a near
    wall or a neighbor needs more. This is not the depth that NPSH needs: check both.

    References
    ----------
    .. [1] ANSI/HI 9.8-1998, section 9.8.7, as cited in public texts; the standard was not opened.

    Examples
    --------
    >>> round(float(minimum_submergence(0.25, 0.489)), 3)
    1.173
    """
    froude = bell_froude_number(flow, bell_diameter)
    return np.asarray(positive("bell_diameter", bell_diameter) * (1 + 2.3 * froude))[()]


def submergence_margin(
    surface_level: ArrayLike, bell_level: ArrayLike, flow: ArrayLike, bell_diameter: ArrayLike
) -> Array:
    """Return how much deeper an intake lies than it must.

    Parameters
    ----------
    surface_level, bell_level : float or array
        Surface and mouth of the intake above one datum. [m]
    flow, bell_diameter : float or array
        As for `minimum_submergence`. [m3/s, m]

    Returns
    -------
    array
        [m] Below zero a vortex that draws air must be expected.

    Examples
    --------
    >>> round(float(submergence_margin(-1.0, -2.0, 0.25, 0.489)), 3)
    -0.173
    """
    depth = np.asarray(surface_level, dtype=float) - np.asarray(bell_level, dtype=float)
    return np.asarray(depth - minimum_submergence(flow, bell_diameter))[()]
