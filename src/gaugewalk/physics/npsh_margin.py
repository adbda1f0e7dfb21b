"""How much NPSH margin is wanted for a service: published guidance, not a law of nature.

The figures are those of ANSI/HI 9.6.1 as a public summary quotes them; the standard itself was not
opened. Where maker or site ask for more, theirs counts.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gaugewalk.physics.arguments import Array, array, not_negative, positive

Service = Literal["hydrocarbon", "chemical", "power", "water", "paper", "building"]
SOURCE = "ANSI/HI 9.6.1 as quoted in a public summary (studylib.net 26301095)"
"""Where the table comes from."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Guidance:
    """Wanted margin: the greater of a ratio of NPSH required and a head."""

    ratio: float  # NPSH available over NPSH required
    head: float  # [m]


_USUAL = Guidance(ratio=1.1, head=0.6)
_MORE = Guidance(ratio=1.2, head=1.0)
_BARE = Guidance(ratio=1.0, head=0.0)
_HYDROCARBON = Guidance(ratio=1.1, head=1.0)

# Service -> (suction specific speed in US units that parts the two cases, below it, above it).
_TABLE: dict[Service, tuple[float, Guidance, Guidance]] = {
    "hydrocarbon": (np.inf, _HYDROCARBON, _HYDROCARBON),
    "chemical": (11_000.0, _USUAL, _MORE),
    "power": (7_500.0, _USUAL, _MORE),
    "water": (7_500.0, _USUAL, _MORE),
    "paper": (7_500.0, _USUAL, _MORE),
    "building": (7_500.0, _BARE, _USUAL),
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Margin:
    """An NPSH margin beside the one that is wanted."""

    margin: Array  # NPSH available less NPSH required, [m]
    ratio: Array  # NPSH available over NPSH required, [-]
    wanted: Array  # [m]
    enough: NDArray[np.bool_]


def guidance(
    service: Service,
    suction_specific_speed: float | None = None,
    *,
    in_preferred_region: bool = False,
) -> Guidance:
    """Return the published guidance for a service.

    Parameters
    ----------
    service : str
        "hydrocarbon", "chemical", "power" (plant, not nuclear), "water" (and waste water),
        "paper" (and pulp), "building" (services).
    suction_specific_speed : float, optional
        In US units at best efficiency; none: the stricter case is taken.
    in_preferred_region : bool
        The pump runs in its preferred operating region; matters for chemical pumps of high
        suction specific speed only.

    Returns
    -------
    Guidance
        Ratio and head, of which the greater margin counts.

    Examples
    --------
    >>> guidance("water", 7000.0)
    Guidance(ratio=1.1, head=0.6)
    """
    border, below, above = _TABLE[service]
    if suction_specific_speed is not None:
        positive("suction_specific_speed", suction_specific_speed)
    known_low = suction_specific_speed is not None and suction_specific_speed <= border
    calm = service == "chemical" and in_preferred_region
    return below if known_low or calm or np.isinf(border) else above


def npsh_margin(available: ArrayLike, required: ArrayLike, wanted: Guidance) -> Margin:
    """Return the NPSH margin and whether it is as large as the guidance wants.

    Parameters
    ----------
    available : float or array
        NPSH available. [m]
    required : float or array
        NPSH required at that flow, above zero. [m]
    wanted : Guidance
        As by `guidance`, or the maker's or the site's own.

    Returns
    -------
    Margin
        Margin, ratio, wanted margin, and whether it is enough.

    Raises
    ------
    ArgumentError
        NPSH required not above zero.

    Notes
    -----
    NPSH required is the value at which the head has already dropped by 3 %: bubbles, noise and
    damage begin above it. A margin that is enough by this guidance is no promise.

    References
    ----------
    .. [1] ANSI/HI 9.6.1, as quoted in a public summary; the standard was not opened.

    Examples
    --------
    >>> result = npsh_margin(4.0, 3.0, guidance("water", 7000.0))
    >>> float(result.margin), round(float(result.wanted), 2), bool(result.enough)
    (1.0, 0.6, True)
    """
    need = positive("required", required)
    have = array("available", available)
    least = np.maximum((wanted.ratio - 1) * need, not_negative("head", wanted.head))
    margin = np.asarray(have - need)
    return Margin(
        margin=margin[()],
        ratio=np.asarray(have / need)[()],
        wanted=np.asarray(least)[()],
        enough=np.asarray(margin >= least)[()],
    )
