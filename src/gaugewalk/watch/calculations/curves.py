"""Handbook: a pump's curve and what stands against it."""

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gaugewalk.physics.affinity import trimmed
from gaugewalk.physics.curve import (
    PumpCurve,
    best_efficiency_flow,
    head_at,
    npshr_at,
    power_at,
)
from gaugewalk.physics.duty import (
    duty_from_power,
    duty_point,
    intersect,
    require_flow,
    resistance_through,
)
from gaugewalk.physics.parallel import parallel_duty, pushed_back, series_duty
from gaugewalk.physics.region import preferred_limits
from gaugewalk.watch.calculation import (
    Calculation,
    Result,
    gives,
    may,
    need,
    row,
    says,
)
from gaugewalk.watch.charts import PumpPicture, pump_chart

GROUP = "Pump curve"
_Row = NDArray[np.float64]
_FLOWS = row("flows", "flow", "m3/h", "of the curve, rising", fill="curve.flow")
_HEADS = row("heads", "length", "m", "of the curve, one for each flow", fill="curve.head")
_POWERS = row("powers", "power", "kW", "of the curve", required=False, fill="curve.power")
_MORE = (
    _POWERS,
    row("npshrs", "length", "m", "NPSH required, of the curve", required=False, fill="curve.npshr"),
    may("npsh_available", "length", "m", "for the margin"),
)
_ALSO = (
    gives("power", "power", "kW", "shaft power there"),
    gives("share", "fraction", "%", "of best efficiency flow"),
    gives("npsh_required", "length", "m", "NPSH required there"),
    gives("npsh_margin", "length", "m", "NPSH margin there"),
)
_SYSTEM = (
    need("static_head", "length", "m", "that the system holds at no flow"),
    need("known_flow", "flow", "m3/h", "at which the system's head is known"),
    need("known_head", "length", "m", "of the system at that flow"),
)
_EXAMPLE = {"flows": "0; 50; 100; 150 m3/h", "heads": "60; 58; 50; 35 m"}
_METHOD = "curve read by monotone cubic interpolation (Fritsch and Carlson 1980)"
_WORN = "A worn pump lies below its curve, so the flow told here is then too high."


def _curve(
    flows: _Row, heads: _Row, powers: _Row | None = None, npshrs: _Row | None = None
) -> PumpCurve:
    # The speed only matters to the affinity laws, which are not used here.
    return PumpCurve(speed=1.0, flow=flows, head=heads, power=powers, npshr=npshrs)


def _there(curve: PumpCurve, flow: float, npsh_available: float | None) -> dict[str, object]:
    """What else the curve says at a flow, where its rows are known."""
    found: dict[str, object] = {}
    if curve.power is not None:
        best = best_efficiency_flow(curve)
        found |= {"power": power_at(curve, flow), "share": flow / best}
    if curve.npshr is not None:
        needed = npshr_at(curve, flow)
        found["npsh_required"] = needed
        if npsh_available is not None:
            found["npsh_margin"] = npsh_available - float(needed)
    return found


def _duty(
    flows: _Row,
    heads: _Row,
    head: float,
    head_error: float,
    powers: _Row | None = None,
    npshrs: _Row | None = None,
    npsh_available: float | None = None,
) -> Result:
    curve = _curve(flows, heads, powers, npshrs)
    duty = duty_point(curve, head, head_error)
    flow = require_flow(duty)
    flat = ("The curve is so flat here that the head says little about the flow.",)
    return {
        "flow": flow,
        "flow_low": duty.flow_low,
        "flow_high": duty.flow_high,
        **_there(curve, flow, npsh_available),
        "warnings": flat if duty.flat else (),
    }


def _draw(given: Mapping[str, Any], units: Mapping[str, str], on_paper: bool) -> str:
    """Draw the curve with whatever of system, duty, region and NPSH the inputs give."""
    curve = _curve(*(given.get(name) for name in ("flows", "heads", "powers", "npshrs")))  # type: ignore[arg-type] # the first two are required
    system = duty = low = high = preferred = None
    if "static_head" in given:
        static = given["static_head"]
        system = (
            static, float(resistance_through(static, given["known_head"], given["known_flow"])),
        )  # fmt: skip
        duty = require_flow(intersect(curve, *system))
    else:
        found = duty_point(curve, given["head"], given["head_error"])
        duty, low, high = require_flow(found), float(found.flow_low), float(found.flow_high)
    if curve.power is not None:
        best = best_efficiency_flow(curve)
        near, far = preferred_limits()
        preferred = (near * best, far * best)
    shown = PumpPicture(
        system=system,
        duty=duty,
        duty_low=low,
        duty_high=high,
        preferred=preferred,
        npsh_available=given.get("npsh_available"),
    )
    return pump_chart(
        curve,
        shown,
        title="Pump curve and duty point",
        flow_unit=units["flows"],
        head_unit=units["heads"],
        on_paper=on_paper,
    )


def _duty_of_power(flows: _Row, heads: _Row, powers: _Row, power: float, density: float) -> Result:
    duty = duty_from_power(_curve(flows, heads, powers), power, density=density)
    return {"flow": require_flow(duty), "flow_low": duty.flow_low, "flow_high": duty.flow_high}


def _operating(
    flows: _Row,
    heads: _Row,
    static_head: float,
    known_flow: float,
    known_head: float,
    powers: _Row | None = None,
    npshrs: _Row | None = None,
    npsh_available: float | None = None,
) -> Result:
    curve = _curve(flows, heads, powers, npshrs)
    resistance = resistance_through(static_head, known_head, known_flow)
    flow = require_flow(intersect(curve, static_head, resistance))
    return {"flow": flow, "head": head_at(curve, flow), **_there(curve, flow, npsh_available)}


def _together(
    flows: _Row,
    heads: _Row,
    static_head: float,
    known_flow: float,
    known_head: float,
    other_heads: _Row | None = None,
    *,
    series: bool,
) -> Result:
    curves = [_curve(flows, heads), _curve(flows, heads if other_heads is None else other_heads)]
    resistance = resistance_through(static_head, known_head, known_flow)
    both = (series_duty if series else parallel_duty)(curves, static_head, resistance)
    if series:
        first, second = (float(head) for head in both.heads)
        return {"flow": both.flow, "head": both.head, "first": first, "second": second}
    first, second = (float(flow) for flow in both.flows)
    return {"flow": both.flow, "head": both.head, "first": first, "second": second}


def _pushed(
    flows: _Row,
    heads: _Row,
    other_heads: _Row,
    head: float,
    best_efficiency_flow: float,
    minimum_flow: float,
) -> Result:
    shares = pushed_back(
        [_curve(flows, heads), _curve(flows, other_heads)],
        head,
        best_flows=[best_efficiency_flow] * 2,
        minimum_flows=[minimum_flow] * 2,
    )
    danger = any(share.state == "held shut" for share in shares)
    return {
        "first": shares[0].flow,
        "first_state": shares[0].state,
        "second": shares[1].flow,
        "second_state": shares[1].state,
        "warnings": ("A pump held shut heats its liquid: take it off under site procedure.",)
        if danger
        else (),
    }


def _trim(flows: _Row, heads: _Row, flow: float, diameter_ratio: float) -> Result:
    cut = trimmed(_curve(flows, heads), diameter_ratio)
    return {"head": head_at(cut, flow), "shutoff_head": cut.head[0]}


CALCULATIONS = (
    Calculation(
        name="duty-point",
        title="Flow from the head, on the pump's curve",
        group=GROUP,
        inputs=(
            _FLOWS,
            _HEADS,
            need("head", "length", "m", "total head as measured"),
            may("head_error", "length", "m", "its standard uncertainty, from the gauges", "0 m"),
            *_MORE,
        ),
        outputs=(
            gives("flow", "flow", "m3/h", "flow"),
            gives("flow_low", "flow", "m3/h", "flow at least"),
            gives("flow_high", "flow", "m3/h", "flow at most"),
            *_ALSO,
        ),
        run=_duty,
        draw=_draw,
        formula="Q where H_curve(Q) = H",
        source=_METHOD,
        cautions=(_WORN,),
        example={**_EXAMPLE, "head": "50 m", "head_error": "1 m"},
    ),
    Calculation(
        name="duty-from-power",
        title="Flow from the shaft power, on the pump's curve",
        group=GROUP,
        inputs=(
            _FLOWS,
            _HEADS,
            row("powers", "power", "kW", "of the curve", fill="curve.power"),
            need("power", "power", "kW", "at the shaft, as measured"),
            may("density", "density", "kg/m3", "of the liquid", "998.2 kg/m3"),
        ),
        outputs=(
            gives("flow", "flow", "m3/h", "flow"),
            gives("flow_low", "flow", "m3/h", "flow at least"),
            gives("flow_high", "flow", "m3/h", "flow at most"),
        ),
        run=_duty_of_power,
        formula="Q where P_curve(Q) ρ/ρ_curve = P",
        source=_METHOD,
        cautions=("Worn rings raise the power at the same flow.",),
        example={**_EXAMPLE, "powers": "10; 13; 17; 19 kW", "power": "15 kW"},
    ),
    Calculation(
        name="operating-point",
        title="Where pump and system meet",
        group=GROUP,
        inputs=(_FLOWS, _HEADS, *_SYSTEM, *_MORE),
        outputs=(
            gives("flow", "flow", "m3/h", "flow"),
            gives("head", "length", "m", "head"),
            *_ALSO,
        ),
        run=_operating,
        draw=_draw,
        formula="H_curve(Q) = H_static + R Q²",
        source=_METHOD,
        cautions=("The system curve changes with every valve.",),
        example={
            **_EXAMPLE,
            "static_head": "20 m",
            "known_flow": "100 m3/h",
            "known_head": "50 m",
            "powers": "10; 13; 17; 19 kW",
            "npshrs": "1.5; 2; 3; 5 m",
            "npsh_available": "4.2 m",
        },
    ),
    Calculation(
        name="parallel-pumps",
        title="Two pumps side by side into one system",
        group=GROUP,
        inputs=(
            _FLOWS,
            _HEADS,
            *_SYSTEM,
            row(
                "other_heads",
                "length",
                "m",
                "of the second pump at the same flows; none: alike",
                required=False,
            ),
        ),
        outputs=(
            gives("flow", "flow", "m3/h", "flow together"),
            gives("head", "length", "m", "head"),
            gives("first", "flow", "m3/h", "through the first"),
            gives("second", "flow", "m3/h", "through the second"),
        ),
        run=lambda **given: _together(series=False, **given),
        formula="Q1(H) + Q2(H) at H = H_static + R Q²",
        source=_METHOD,
        cautions=("Two pumps never give twice the flow of one against friction.",),
        example={
            **_EXAMPLE,
            "static_head": "20 m",
            "known_flow": "100 m3/h",
            "known_head": "40 m",
        },
    ),
    Calculation(
        name="series-pumps",
        title="Two pumps one behind the other",
        group=GROUP,
        inputs=(
            _FLOWS,
            _HEADS,
            *_SYSTEM,
            row(
                "other_heads",
                "length",
                "m",
                "of the second pump at the same flows; none: alike",
                required=False,
            ),
        ),
        outputs=(
            gives("flow", "flow", "m3/h", "flow"),
            gives("head", "length", "m", "head together"),
            gives("first", "length", "m", "head of the first"),
            gives("second", "length", "m", "head of the second"),
        ),
        run=lambda **given: _together(series=True, **given),
        formula="H1(Q) + H2(Q) = H_static + R Q²",
        source=_METHOD,
        cautions=("The second casing and its seal must stand the pressure of both.",),
        example={
            **_EXAMPLE,
            "static_head": "60 m",
            "known_flow": "100 m3/h",
            "known_head": "90 m",
        },
    ),
    Calculation(
        name="pushed-back",
        title="Which of two parallel pumps is pushed back",
        group=GROUP,
        inputs=(
            _FLOWS,
            _HEADS,
            row("other_heads", "length", "m", "of the second pump at the same flows"),
            need("head", "length", "m", "that the header holds against both"),
            need("best_efficiency_flow", "flow", "m3/h", "of one pump"),
            need("minimum_flow", "flow", "m3/h", "least continuous flow of one pump"),
        ),
        outputs=(
            gives("first", "flow", "m3/h", "through the first"),
            says("first_state", "the first is"),
            gives("second", "flow", "m3/h", "through the second"),
            says("second_state", "the second is"),
        ),
        run=_pushed,
        formula="each pump's flow where its own curve has the common head",
        source=_METHOD,
        cautions=("Needs each pump's curve as it is now, worn or not.",),
        example={
            **_EXAMPLE,
            "other_heads": "56; 54; 46; 31 m",
            "head": "57 m",
            "best_efficiency_flow": "100 m3/h",
            "minimum_flow": "30 m3/h",
        },
    ),
    Calculation(
        name="trimmed-impeller",
        title="Head with a trimmed impeller",
        group=GROUP,
        inputs=(
            _FLOWS,
            _HEADS,
            need("flow", "flow", "m3/h", "at which the head is wanted"),
            need("diameter_ratio", "fraction", "%", "new over old diameter, 80 to 100 %"),
        ),
        outputs=(
            gives("head", "length", "m", "head at that flow"),
            gives("shutoff_head", "length", "m", "head at no flow"),
        ),
        run=_trim,
        formula="Q ~ D, H ~ D² (diameter laws)",
        source="common practice, no single published source",
        cautions=("The true head falls further than this law says; cut in steps and test.",),
        example={**_EXAMPLE, "flow": "80 m3/h", "diameter_ratio": "95 %"},
    ),
)
