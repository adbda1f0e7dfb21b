"""Packing: trade figures as printed, drops and milliliters, heat balance."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.packing import (
    LEAK_OFF_PRACTICES,
    OIL_DROP,
    WATER_DROP,
    drop_rate,
    friction_heat,
    gland_travel,
    leak_off_window,
    leak_off_wishes,
    leak_rate,
    leak_temperature_rise,
)

# 0.05 mL a drop (20 drops/mL water, pharmacy and trade convention); exact with that volume.
DROPS = [(10, 0.5), (40, 2.0), (60, 3.0)]

# Trade figures, drops/min: (words, low, high). Graphite: US Army TM 5-4210-233-14&P-2, 6-6; usual
# packing: vendor page; fire pump: maker's article; water works: operator examination (a drop a
# second). They differ by a factor of 60, which is why leak-off is a setting of the pump.
PRINTED = [
    ("flexible graphite, fully run in", 1, 1),
    ("flexible graphite, run in", 10, 15),
    ("usual packing", 40, 60),
    ("fire pump", 5, 60),
    ("water works", 60, 60),
]


@pytest.mark.parametrize(("per_minute", "ml_per_minute"), DROPS)
def test_drops(per_minute: float, ml_per_minute: float) -> None:
    flow = leak_rate(per_minute / 60)
    assert float(flow) * 60e6 == pytest.approx(ml_per_minute, rel=1e-12)
    assert float(drop_rate(flow)) * 60 == pytest.approx(per_minute, rel=1e-12)


def test_drop_volumes_and_a_day() -> None:
    assert pytest.approx(0.05e-6) == WATER_DROP
    assert pytest.approx(0.06667e-6, rel=1e-4) == OIL_DROP  # 15 drops/mL, pages give 10 to 15
    assert float(leak_rate(1.0)) * 86400e3 == pytest.approx(4.32)  # a drop a second, L/day


@pytest.mark.parametrize(("words", "low", "high"), PRINTED)
def test_practices_as_printed(words: str, low: float, high: float) -> None:
    found = next(p for p in LEAK_OFF_PRACTICES if p.words == words)
    assert (found.low * 60, found.high * 60) == pytest.approx((low, high))
    assert found.source


def test_wishes_differ_sixtyfold() -> None:
    wishes = leak_off_wishes(0.0508)
    assert max(high for _, _, high in wishes) / wishes[0][1] == pytest.approx(60)
    per_inch = next((low, high) for p, low, high in wishes if p.per_inch)
    assert np.array(per_inch) * 60e6 / 0.05 == pytest.approx([16, 20])  # 8 to 10 an inch, 2 in


@given(st.floats(0.01, 0.3))
def test_window_grows_with_the_shaft(diameter: float) -> None:
    low, target, high = leak_off_window(diameter)
    assert low < target < high
    assert leak_off_window(2 * diameter)[1] == pytest.approx(2 * target)


@given(st.floats(1e4, 1e6), st.floats(0.02, 0.2), st.floats(1.0, 60.0))
def test_heat_scales_as_friction_does(pressure: float, diameter: float, speed: float) -> None:
    base = friction_heat(pressure, diameter, 0.06, speed)
    assert friction_heat(pressure, 2 * diameter, 0.06, speed) == pytest.approx(4 * base)
    assert friction_heat(2 * pressure, diameter, 0.06, 2 * speed) == pytest.approx(4 * base)
    assert friction_heat(pressure, diameter, 0.06, 0.0) == 0


def test_leak_carries_the_heat() -> None:
    rise = float(leak_temperature_rise(100.0, 1e-6, 998.0, 4182.0))
    assert rise * 1e-6 * 998 * 4182 == pytest.approx(100.0)


def test_one_flat_is_a_sixth() -> None:
    # US Army TM 5-4210-233-14&P-2: one flat, 1/6 turn of a hexagon nut; exact.
    assert float(gland_travel(1, 0.0018)) == pytest.approx(0.0003)
    assert float(gland_travel(-2, 0.0018)) == pytest.approx(-0.0006)


def test_messages() -> None:
    with pytest.raises(ArgumentError, match="drop_rate = -1 must not be below zero"):
        leak_rate(-1.0)
    with pytest.raises(ArgumentError, match="shaft_diameter = 0 must be above zero"):
        leak_off_wishes(0.0)
    with pytest.raises(ArgumentError, match="leakage = 0 must be above zero"):
        leak_temperature_rise(1.0, 0.0, 998.0, 4182.0)
