"""Turbine: definitions, a second steam table, and the estimate's limits."""

import iapws
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.turbine import (
    power_from_steam,
    power_on_steam_line,
    theoretical_steam_rate,
)


def test_steam_rate_definition() -> None:
    # 12 kg/kWh at 1800 kg/h is 150 kW; derived.
    assert float(power_from_steam(0.5, 12 / 3.6e6)) == pytest.approx(150e3)


@settings(max_examples=8)
@given(st.floats(1.0, 6.0), st.floats(550.0, 750.0), st.floats(0.05, 0.6))
def test_rate_equals_if97(inlet_mpa: float, kelvin: float, exhaust_mpa: float) -> None:
    # iapws (IF97) as an independent computer; the formulations differ by less than 0.1 %.
    before = iapws.IAPWS97(P=inlet_mpa, T=kelvin)
    after = iapws.IAPWS97(P=exhaust_mpa, s=before.s)
    ours = theoretical_steam_rate(inlet_mpa * 1e6, kelvin, exhaust_mpa * 1e6)
    assert ours == pytest.approx(1 / ((before.h - after.h) * 1e3), rel=1e-3)


@given(st.floats(0.0, 2.0))
def test_steam_line(flow: float) -> None:
    power = float(power_on_steam_line(flow, 1.0, 100e3))
    assert power == pytest.approx(max((flow - 0.15) / 0.85, 0.0) * 100e3)


def test_line_goes_through_no_load_and_rated() -> None:
    found = power_on_steam_line(np.array([0.1, 0.2, 1.0]), 1.0, 50e3, idle_share=0.2)
    np.testing.assert_allclose(found, [0.0, 0.0, 50e3], atol=1e-9)


def test_messages() -> None:
    with pytest.raises(ArgumentError, match="between zero and the inlet"):
        theoretical_steam_rate(1e6, 500.0, 2e6)
    with pytest.raises(ArgumentError, match="wet steam or water"):
        theoretical_steam_rate(1e6, 400.0, 1e5)
    with pytest.raises(ArgumentError, match="outside the range of IAPWS-95"):
        theoretical_steam_rate(1e6, 9000.0, 1e5)
    with pytest.raises(ArgumentError, match=r"steam_rate = 0 must be above zero"):
        power_from_steam(1.0, 0.0)
    with pytest.raises(ArgumentError, match="idle_share = 1: expected below 1"):
        power_on_steam_line(1.0, 1.0, 1e3, idle_share=1.0)
