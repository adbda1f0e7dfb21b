"""What stands beside a pump's curve: its duty, its preferred region, the NPSH it has."""

from gaugewalk.errors import GaugewalkError
from gaugewalk.judge.estimate import Estimate, Estimated
from gaugewalk.physics.curve import PumpCurve, best_efficiency_flow, npshr_at
from gaugewalk.physics.region import preferred_limits
from gaugewalk.watch.charts import PumpPicture

SURE = 2.0  # standard uncertainties: 95 times in 100


def duty_picture(curve: PumpCurve, estimate: Estimate | None) -> PumpPicture:
    """Return what the readings of the last visit and the curve itself let be drawn.

    Parameters
    ----------
    curve : PumpCurve
    estimate : Estimate or None
        What all gauges said together; none: the curve alone.

    Returns
    -------
    PumpPicture
        Each part that is not known is left out.
    """
    flow = estimate.values.get("flow") if estimate else None
    margin = estimate.values.get("npsh_margin") if estimate else None
    if flow is None:
        return PumpPicture(preferred=_preferred(curve))
    reach = SURE * flow.uncertainty
    return PumpPicture(
        duty=flow.value,
        duty_low=max(flow.value - reach, 0.0),
        duty_high=flow.value + reach,
        preferred=_preferred(curve),
        npsh_available=_available(curve, flow, margin),
    )


def _preferred(curve: PumpCurve) -> tuple[float, float] | None:
    try:
        best = best_efficiency_flow(curve)
    except GaugewalkError:
        return None  # a curve without power has no best efficiency
    low, high = preferred_limits()
    return low * best, high * best


def _available(curve: PumpCurve, flow: Estimated, margin: Estimated | None) -> float | None:
    if margin is None:
        return None
    try:
        return margin.value + float(npshr_at(curve, flow.value))
    except GaugewalkError:
        return None  # off the curve
