"""Handbook: strainers, filters and valves in the line."""

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gaugewalk.physics.strainer import (
    blocked_share,
    drop_from_kv,
    fouling_ratio,
    kv_from_drop,
    npsh_lost,
    scaled_drop,
    time_to_drop,
)
from gaugewalk.watch.calculation import Calculation, Result, gives, may, need, row
from gaugewalk.watch.charts import strainer_chart

GROUP = "Strainer"
_DROP = need(
    "drop", "pressure_difference", "bar", "across the strainer now", "point:suction_strainer_dp"
)
_FLOW = need("flow", "flow", "m3/h", "at that drop", "point:flow")
_EXPONENT = may("exponent", "number", "1", "2 for water, down to 1 for cold oil", "2")
_DENSITY = may("density", "density", "kg/m3", "of the liquid", "998.2 kg/m3")


def _blocked(
    drop: float, flow: float, clean_drop: float, clean_flow: float, exponent: float
) -> Result:
    ratio = fouling_ratio(drop, flow, clean_drop, clean_flow, exponent=exponent)
    return {
        "ratio": ratio,
        "blocked": blocked_share(ratio, exponent=exponent),
        "drop_at_clean_flow": scaled_drop(drop, flow, clean_flow, exponent=exponent),
    }


def _forecast(
    times: NDArray[np.float64], drops: NDArray[np.float64], limit: float, exponent: float
) -> Result:
    when, early, late = time_to_drop(times, drops, limit, exponent=exponent)
    last = float(np.max(times))
    ends = {"in": when - last, "in_at_least": early - last, "in_at_most": late - last}
    never = ("The trend does not lead to the limit.",) if not np.isfinite(when) else ()
    return {
        **{name: max(value, 0.0) for name, value in ends.items() if np.isfinite(value)},
        "notes": never,
    }


def _draw(given: Mapping[str, Any], units: Mapping[str, str], on_paper: bool) -> str:
    return strainer_chart(
        given["times"],
        given["drops"],
        given["limit"],
        exponent=given["exponent"],
        title="Strainer: trend and limit",
        time_unit=units["times"],
        drop_unit=units["drops"],
        on_paper=on_paper,
    )


CALCULATIONS = (
    Calculation(
        name="strainer-drop",
        title="Drop of a strainer at another flow",
        group=GROUP,
        inputs=(_DROP, _FLOW, need("to_flow", "flow", "m3/h", "wanted"), _EXPONENT),
        outputs=(gives("drop", "pressure_difference", "bar", "drop at that flow"),),
        run=lambda drop, flow, to_flow, exponent: {
            "drop": scaled_drop(drop, flow, to_flow, exponent=exponent)
        },
        formula="Δp2 = Δp1 (Q2/Q1)^m",
        source="m = 2: definition of Kv, IEC 60534-1",
        cautions=("Compare dirty with clean only at one flow.",),
        example={"drop": "0.1 bar", "flow": "80 m3/h", "to_flow": "100 m3/h"},
    ),
    Calculation(
        name="strainer-blocked",
        title="How much of a strainer is blocked",
        group=GROUP,
        inputs=(
            _DROP,
            _FLOW,
            need(
                "clean_drop",
                "pressure_difference",
                "bar",
                "when clean",
                "suction_strainer.clean_dp",
            ),
            need(
                "clean_flow", "flow", "m3/h", "at which it was clean", "suction_strainer.clean_flow"
            ),
            _EXPONENT,
        ),
        outputs=(
            gives("blocked", "fraction", "%", "share of the open area blocked"),
            gives("ratio", "number", "1", "drop over clean drop at one flow"),
            gives("drop_at_clean_flow", "pressure_difference", "bar", "drop at the clean flow"),
        ),
        run=_blocked,
        formula="blocked = 1 - (Δp/Δp_clean)^(-1/m), both at one flow",
        source="derived: the drop goes as the m-th power of the velocity in the open area",
        cautions=("Low flow hides a blocked strainer.",),
        example={
            "drop": "0.2 bar",
            "flow": "80 m3/h",
            "clean_drop": "0.05 bar",
            "clean_flow": "80 m3/h",
        },
    ),
    Calculation(
        name="strainer-npsh",
        title="NPSH that a suction strainer takes away",
        group=GROUP,
        inputs=(_DROP, _DENSITY),
        outputs=(gives("npsh_lost", "length", "m", "NPSH lost"),),
        run=lambda drop, density: {"npsh_lost": npsh_lost(drop, density)},
        formula="Δp/(ρ g)",
        source="hydrostatics",
        example={"drop": "0.2 bar"},
    ),
    Calculation(
        name="strainer-forecast",
        title="Hours until a strainer reaches its limit",
        group=GROUP,
        inputs=(
            row("times", "duration", "h", "when each drop was read, any common start"),
            row("drops", "pressure_difference", "bar", "at those times, all at one flow"),
            need(
                "limit",
                "pressure_difference",
                "bar",
                "at which it is cleaned",
                "suction_strainer.limit_dp",
            ),
            _EXPONENT,
        ),
        outputs=(
            gives("in", "duration", "h", "limit reached after the last reading in"),
            gives("in_at_least", "duration", "h", "at the earliest (95 %)"),
            gives("in_at_most", "duration", "h", "at the latest (95 %)"),
        ),
        run=_forecast,
        draw=_draw,
        formula="open share Δp^(-1/m) on a straight line, median of all slopes",
        source="Sen, J. Am. Stat. Assoc. 63 (1968)",
        cautions=("A slug of dirt comes without a trend; keep reading.",),
        example={
            "times": "0; 8; 16; 24; 32 h",
            "drops": "0.10; 0.11; 0.125; 0.14; 0.16 bar",
            "limit": "0.4 bar",
        },
    ),
    Calculation(
        name="valve-drop",
        title="Drop across a valve or fitting of known Kv",
        group=GROUP,
        inputs=(
            need("flow", "flow", "m3/h", "through it"),
            need("kv", "flow_coefficient", "Kv", "flow coefficient"),
            _DENSITY,
        ),
        outputs=(gives("drop", "pressure_difference", "bar", "pressure drop"),),
        run=lambda flow, kv, density: {"drop": drop_from_kv(flow, kv, density)},
        formula="Δp = SG (Q/Kv)² bar; Cv = 1.156 Kv",
        source="IEC 60534-1",
        cautions=("Not for flashing or choked flow.",),
        example={"flow": "40 m3/h", "kv": "63 Kv"},
    ),
    Calculation(
        name="valve-kv",
        title="Kv from a drop and a flow",
        group=GROUP,
        inputs=(need("flow", "flow", "m3/h", "through it"), _DROP, _DENSITY),
        outputs=(gives("kv", "flow_coefficient", "Kv", "flow coefficient"),),
        run=lambda flow, drop, density: {"kv": kv_from_drop(flow, drop, density)},
        formula="Kv = Q (SG/Δp)^0.5",
        source="IEC 60534-1",
        example={"flow": "40 m3/h", "drop": "0.4 bar"},
    ),
)
