"""The published guidance as quoted, row by row, and how it is applied."""

import numpy as np
import pytest

from gaugewalk.errors import ArgumentError
from gaugewalk.physics.npsh_margin import Guidance, guidance, npsh_margin

# ANSI/HI 9.6.1 as quoted in a public summary (studylib.net 26301095): service, suction specific
# speed in US units, in the preferred region or not, ratio, head [m].
QUOTED = [
    ("hydrocarbon", 9000.0, False, 1.1, 1.0),
    ("chemical", 10_900.0, False, 1.1, 0.6),
    ("chemical", 11_100.0, True, 1.1, 0.6),
    ("chemical", 11_100.0, False, 1.2, 1.0),
    ("power", 7400.0, False, 1.1, 0.6),
    ("power", 7600.0, False, 1.2, 1.0),
    ("water", 7400.0, False, 1.1, 0.6),
    ("water", 7600.0, False, 1.2, 1.0),
    ("paper", 7600.0, False, 1.2, 1.0),
    ("building", 7400.0, False, 1.0, 0.0),
    ("building", 7600.0, False, 1.1, 0.6),
]


@pytest.mark.parametrize(("service", "speed", "calm", "ratio", "head"), QUOTED)
def test_quoted(service, speed, calm, ratio, head) -> None:
    answer = guidance(service, speed, in_preferred_region=calm)
    assert answer == Guidance(ratio=ratio, head=head)


@pytest.mark.parametrize("service", ["hydrocarbon", "chemical", "power", "water", "building"])
def test_unknown_suction_specific_speed_takes_the_stricter(service) -> None:
    unknown, high, low = guidance(service), guidance(service, 13_000.0), guidance(service, 5000.0)
    assert unknown == high
    assert (unknown.ratio, unknown.head) >= (low.ratio, low.head)


def test_the_greater_of_ratio_and_head_counts() -> None:
    wanted = Guidance(ratio=1.1, head=0.6)
    result = npsh_margin([5.0, 12.0], [4.0, 10.0], wanted)
    np.testing.assert_allclose(result.wanted, [0.6, 1.0])
    np.testing.assert_allclose(result.margin, [1.0, 2.0])
    np.testing.assert_allclose(result.ratio, [1.25, 1.2])
    assert result.enough.all()
    assert not npsh_margin(4.5, 4.0, wanted).enough


def test_refuses() -> None:
    with pytest.raises(ArgumentError, match="required = 0"):
        npsh_margin(4.0, 0.0, guidance("water"))
    with pytest.raises(ArgumentError, match="suction_specific_speed = -1"):
        guidance("water", -1.0)
