"""Care of the oil: standard tables and maker's rules as printed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.errors import ArgumentError, OutOfRangeError
from gaugewalk.physics.oil_care import (
    MONTH,
    SCALE_UPPER,
    SUPPLY_WINDOW,
    SURFACE_BELOW_BEARING,
    USUAL_BALL_BEARING,
    bearing_limits,
    cleanliness_code,
    hand_oiler_rate,
    oil_change_interval,
    scale_number,
)

# ISO 4406:1999/2017 in two public reproductions: number, more than, up to; exact (rounded table).
SCALE = [
    (7, 0.64, 1.3), (13, 40, 80), (14, 80, 160), (15, 160, 320), (16, 320, 640), (17, 640, 1300),
    (18, 1300, 2500), (19, 2500, 5000), (21, 10_000, 20_000),
]  # fmt: skip


@pytest.mark.parametrize(("number", "above", "up_to"), SCALE)
def test_iso_4406(number: int, above: float, up_to: float) -> None:
    assert scale_number(up_to) == number
    assert scale_number(above) == number - 1
    assert scale_number(above * 1.0001) == number


def test_iso_4406_code() -> None:
    # Public article on ISO 4406:2017: counts per 100 mL.
    assert cleanliness_code(3000.0, 500.0, 7.0) == "19/16/10"
    # Filter maker's appendix (public): the code 14/12/7 reads 80-160, 20-40, 0.64-1.3.
    assert cleanliness_code(120.0, 30.0, 1.0) == "14/12/7"


@given(st.floats(0.0, 2.5e6))
def test_scale_holds_the_count(count: float) -> None:
    number = scale_number(count)
    assert count <= SCALE_UPPER[number]
    assert number == 0 or count > SCALE_UPPER[number - 1]


def test_oil_change() -> None:
    # Bearing maker's public catalog page: 12 months up to 50 °C, 3 months about 100 °C.
    assert float(oil_change_interval(313.15)) == pytest.approx(12 * MONTH)
    assert float(oil_change_interval(323.15)) == pytest.approx(12 * MONTH)
    assert float(oil_change_interval(373.15)) == pytest.approx(3 * MONTH)


@given(st.floats(323.2, 372.0))
def test_hotter_oil_is_changed_sooner(kelvin: float) -> None:
    assert oil_change_interval(kelvin + 1.0) < oil_change_interval(kelvin)


# MIL-HDBK-1164 Table 15, drops/min; exact.
@pytest.mark.parametrize(
    ("starts", "low", "high"), [(2, 1 / 15, 1 / 15), (12, 0.25, 0.25), (50, 0.5, 0.5), (80, 2, 4)]
)
def test_hand_oiler(starts: float, low: float, high: float) -> None:
    assert hand_oiler_rate(starts) == (low, high)


# API limits quoted in public forums; the 82 °C of a ring-oiled sump is from memory.
@pytest.mark.parametrize(
    ("lubrication", "what", "limit", "rise"),
    [
        ("forced feed", "oil leaving the bearing", 70, False),
        ("forced feed", "bearing metal", 93, False),
        ("forced feed", "oil through the bearing, shop test", 28, True),
        ("forced feed", "oil coming in, above which special care is needed", 50, False),
        ("ring or splash", "sump over ambient, shop test", 40, True),
        ("ring or splash", "oil in the sump", 82, False),
        ("turbine", "oil through the bearing", 30, True),
        ("turbine", "oil leaving the bearing", 80, False),
        ("compressor", "bearing metal, design", 100, False),
    ],
)
def test_bearing_limits(lubrication: str, what: str, limit: float, rise: bool) -> None:
    found = next(one for one in bearing_limits(lubrication) if one.what == what)
    assert found.rise == rise
    assert found.limit - (0 if rise else 273.15) == pytest.approx(limit)


def test_usual_temperatures() -> None:
    # Process-pump manual (public): VG 68 ball bearings 49 to 82 °C, 11 K above the surface.
    assert [t - 273.15 for t in USUAL_BALL_BEARING] == pytest.approx([49, 82])
    assert SURFACE_BELOW_BEARING == 11.0
    # Supply of forced feed 40 to 50 °C: common practice, no source.
    assert [t - 273.15 for t in SUPPLY_WINDOW] == pytest.approx([40, 50])


def test_messages() -> None:
    with pytest.raises(ArgumentError, match="not rising with size"):
        cleanliness_code(10.0, 50.0, 1.0)
    with pytest.raises(ArgumentError, match="end of ISO 4406"):
        scale_number(1e7)
    with pytest.raises(OutOfRangeError, match=r"temperature = 60 .* enter 333.15 K"):
        oil_change_interval(60.0)
    with pytest.raises(ArgumentError, match="expected one of forced feed"):
        bearing_limits("grease")
    with pytest.raises(ArgumentError, match="starts_per_day = -1"):
        hand_oiler_rate(-1.0)
