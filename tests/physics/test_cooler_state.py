"""What four temperatures say: every cause made by the forward model must be found again."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.cooler import ARRANGEMENTS, Arrangement, heat_carried
from gaugewalk.physics.cooler_state import (
    CoolerInOrder,
    cooler_says,
    fouling_rate,
    fouling_resistance,
)

OIL = 860.0  # W/K
USUAL = {"heat": 11_180.0, "surface": 600.0, "water": 1160.72, "water_in": 301.15}


def in_order(arrangement: Arrangement = "counterflow") -> CoolerInOrder:
    middle = four(**USUAL, arrangement=arrangement)[1]
    return CoolerInOrder(
        oil_capacity_rate=OIL,
        clean_conductance=USUAL["surface"],
        water_capacity_rate=USUAL["water"],
        water_in=USUAL["water_in"],
        duty=USUAL["heat"],
        oil_out_low=middle - 3.0,
        oil_out_high=middle + 3.0,
        arrangement=arrangement,
    )


def four(
    heat: float,
    surface: float,
    water: float,
    water_in: float,
    arrangement: Arrangement = "counterflow",
) -> tuple[float, float, float, float]:
    """Temperatures that a cooler shows when the bearings give this heat."""
    per_kelvin = float(heat_carried(1.0, 0.0, OIL, water, surface, arrangement))
    oil_in = water_in + heat / per_kelvin
    return oil_in, oil_in - heat / OIL, water_in, water_in + heat / water


CHANGES = [
    ({}, "none"),
    ({"surface": 350.0}, "fouled"),
    ({"water": 350.0}, "too-little-water"),
    ({"water": 9000.0}, "too-much-water"),
    ({"water_in": 308.0}, "warm-water"),
    ({"water_in": 292.0}, "cold-water"),
    ({"heat": 17_000.0}, "more-heat"),
    ({"heat": 6000.0}, "less-heat"),
    ({"surface": 900.0}, "better-surface"),
]


@pytest.mark.parametrize("arrangement", ARRANGEMENTS)
@pytest.mark.parametrize(("change", "cause"), CHANGES)
def test_each_cause_is_found(
    change: dict[str, float], cause: str, arrangement: Arrangement
) -> None:
    state = {**USUAL, **change}
    found = cooler_says(*four(**state, arrangement=arrangement), in_order(arrangement))
    assert found.cause == cause
    assert found.conductance == pytest.approx(state["surface"], rel=1e-5)
    assert found.water_capacity_rate == pytest.approx(state["water"], rel=1e-6)
    assert found.duty == pytest.approx(state["heat"], rel=1e-9)


@given(
    st.floats(5e3, 2e4), st.floats(200.0, 900.0), st.floats(300.0, 6000.0), st.floats(285.0, 310.0)
)
def test_shares_add_up(heat: float, surface: float, water: float, water_in: float) -> None:
    readings = four(heat, surface, water, water_in)
    found = cooler_says(*readings, in_order())
    departure = readings[1] - four(**USUAL)[1]
    assert sum(found.shares.values()) == pytest.approx(departure, abs=1e-6)


def test_sentence_carries_the_numbers() -> None:
    found = cooler_says(*four(**{**USUAL, "surface": 300.0}), in_order())
    assert "too hot, mostly because the surface carries less heat" in found.sentence
    assert "Water flow 100% of usual, surface 50% of clean" in found.sentence


@pytest.mark.parametrize(
    ("readings", "words"),
    [
        ((300.0, 299.0, 305.0, 306.0), "as hot as the oil"),
        ((330.0, 300.0, 301.0, 305.0), "outside the two inlets"),
        ((330.0, 329.9, 301.0, 305.0), "hardly changes"),
        ((330.0, float("nan"), 301.0, 305.0), "missing"),
        ((330.0, 310.0, 309.9, 329.9), "No surface could cool"),
    ],
)
def test_readings_that_do_not_fit(readings: tuple[float, ...], words: str) -> None:
    parallel = in_order("parallel")
    found = cooler_says(*readings, parallel)
    assert found.cause == "readings-do-not-fit"
    assert words in found.sentence


def test_fouling() -> None:
    assert float(fouling_resistance(420.0, 600.0)) == pytest.approx(1 / 420 - 1 / 600)
    # A straight rise with one wild reading keeps its slope; a plain fit would not.
    days = np.arange(12.0)
    resistance = 2e-5 * days
    resistance[7] = 1.0
    assert fouling_rate(days, resistance) == pytest.approx(2e-5, rel=1e-9)
    assert np.polyfit(days, resistance, 1)[0] > 1e-3
    gap = resistance.copy()
    gap[3] = np.nan
    assert fouling_rate(days, gap) == pytest.approx(2e-5, rel=1e-9)


def test_messages() -> None:
    with pytest.raises(ArgumentError, match="at least three readings"):
        fouling_rate([0.0, 1.0], [0.0, 1.0])
    with pytest.raises(ArgumentError, match="two rows of equal length"):
        fouling_rate([0.0, 1.0, 2.0], [0.0, 1.0])
    with pytest.raises(ArgumentError, match="expected below oil_out_high"):
        CoolerInOrder(
            oil_capacity_rate=1.0, clean_conductance=1.0, water_capacity_rate=1.0, water_in=300.0,
            duty=1.0, oil_out_low=320.0, oil_out_high=310.0,
        )  # fmt: skip
