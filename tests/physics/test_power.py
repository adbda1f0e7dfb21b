"""Power: proportions and refusals; published rows stand in check_values."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.power import hydraulic_power, pump_efficiency, shaft_power

flows, heads = st.floats(1e-4, 2.0), st.floats(0.5, 500.0)
densities, shares = st.floats(300.0, 2000.0), st.floats(0.05, 1.0)


@given(flows, heads, densities, shares)
def test_efficiency_inverts_shaft_power(flow, head, density, eta) -> None:
    power = shaft_power(flow, head, density, eta)
    assert pump_efficiency(flow, head, density, power) == pytest.approx(eta)
    assert power >= hydraulic_power(flow, head, density)


@given(flows, heads, densities, st.floats(0.1, 10.0))
def test_half_the_flow_at_twice_the_head_is_the_same_power(flow, head, density, k) -> None:
    assert hydraulic_power(flow / k, head * k, density) == pytest.approx(
        float(hydraulic_power(flow, head, density))
    )


def test_array_equals_scalar_and_gaps_stay() -> None:
    whole = shaft_power([0.01, np.nan, 0.02], 30.0, 998.2, [0.5, 0.6, 0.7])
    assert whole[2] == shaft_power(0.02, 30.0, 998.2, 0.7)
    assert np.isnan(whole[1])


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"efficiency": 0.0}, "efficiency = 0 must be above 0"),
        ({"efficiency": 70.0}, r"70 % is 0\.7"),
        ({"flow": -1.0}, "flow = -1"),
        ({"density": 0.0}, "density = 0"),
    ],
)
def test_refuses(change: dict[str, float], message: str) -> None:
    arguments = {"flow": 0.01, "head": 30.0, "density": 998.2, "efficiency": 0.7} | change
    with pytest.raises(ArgumentError, match=message):
        shaft_power(**arguments)
