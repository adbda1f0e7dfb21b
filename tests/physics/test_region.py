"""Operating regions: limits as published texts cite them, and their edges."""

import numpy as np
import pytest

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.region import operating_region, preferred_limits


def test_published_limits() -> None:
    # API 610 and ANSI/HI 9.6.3 as cited in public texts: 70 to 120 %, limits inclusive; above a
    # specific speed of 4500 (US) 80 to 115 % in one text, to 120 % in another.
    assert preferred_limits() == (0.70, 1.20)
    assert preferred_limits(4500.0) == (0.70, 1.20)
    low, high = preferred_limits(4501.0)
    assert low == 0.80
    assert high in (1.15, 1.20)


def test_words_from_no_flow_to_run_out() -> None:
    flows = np.array([0.0, 2.9, 3.0, 6.99, 7.0, 10.0, 12.0, 12.01, 14.0, 14.1]) / 1000
    answer = operating_region(flows, 0.01, minimum_flow=0.003, maximum_flow=0.014)
    assert list(answer.word) == [
        "too low", "too low", "allowable", "allowable", "preferred", "preferred", "preferred",
        "allowable", "allowable", "too high",
    ]  # fmt: skip
    assert list(answer.preferred) == [word == "preferred" for word in answer.word]
    np.testing.assert_allclose(answer.share, flows / 0.01)


def test_preferred_ends_where_allowable_ends() -> None:
    answer = operating_region(0.0075, 0.01, minimum_flow=0.008, maximum_flow=0.014)
    assert answer.word == "too low"
    assert not answer.preferred


def test_a_gap_is_unknown() -> None:
    answer = operating_region(np.nan, 0.01, minimum_flow=0.003, maximum_flow=0.014)
    assert answer.word == "unknown"
    assert not answer.allowable


def test_refuses() -> None:
    with pytest.raises(ArgumentError, match="minimum_flow must be below maximum_flow"):
        operating_region(0.01, 0.01, minimum_flow=0.02, maximum_flow=0.014)
    with pytest.raises(ArgumentError, match="best_efficiency_flow = 0"):
        operating_region(0.01, 0.0, minimum_flow=0.003, maximum_flow=0.014)
