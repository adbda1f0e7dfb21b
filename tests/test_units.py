"""The border for units: every factor against pint, published pairs, round trips, messages."""

import json
import math

import pint
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from gaugewalk import units
from gaugewalk.errors import UnitError
from gaugewalk.unit_text import squeeze
from gaugewalk.units import from_si, parse, parse_range, show, table, to_si

PINT: pint.UnitRegistry[float] = pint.UnitRegistry()

# Our name -> pint's. A gauge, absolute or vacuum form is built here by hand on the plain unit, as
# pint knows no gauge pressure.
PLAIN_PRESSURE = {
    "bar": "bar", "mbar": "mbar", "kPa": "kPa", "MPa": "MPa", "Pa": "Pa", "psi": "psi",
    "mmHg": "mmHg", "inHg": "inHg", "mH2O": "100 * cmH2O", "inH2O": "inH2O", "ftH2O": "ftH2O",
    "kgf/cm2": "kgf/cm**2", "atm": "atm", "torr": "torr",
}  # fmt: skip
SHORT = {"bar": "barg", "mbar": "mbarg", "kPa": "kPag", "MPa": "MPag", "psi": "psig"}
SHORT_ABSOLUTE = {"bar": "bara", "mbar": "mbara", "kPa": "kPaa", "MPa": "MPaa", "psi": "psia"}
GAUGE = {SHORT.get(u, f"{u} gauge"): e for u, e in PLAIN_PRESSURE.items()}
ABSOLUTE = {SHORT_ABSOLUTE.get(u, f"{u} abs"): e for u, e in PLAIN_PRESSURE.items()}
VACUUM = {f"{u} vac": e for u, e in PLAIN_PRESSURE.items()}

OTHERS = {
    "m3/h": ("m**3/hour", "m**3/s"), "m3/s": ("m**3/s", "m**3/s"),
    "m3/min": ("m**3/minute", "m**3/s"), "m3/d": ("m**3/day", "m**3/s"),
    "L/s": ("liter/s", "m**3/s"), "L/min": ("liter/minute", "m**3/s"),
    "L/h": ("liter/hour", "m**3/s"), "gpm": ("gallon/minute", "m**3/s"),
    "gph": ("gallon/hour", "m**3/s"), "igpm": ("imperial_gallon/minute", "m**3/s"),
    "bbl/d": ("oil_bbl/day", "m**3/s"), "ft3/min": ("ft**3/minute", "m**3/s"),
    "mL/min": ("mL/minute", "m**3/s"), "mL/h": ("mL/hour", "m**3/s"),
    "m3/s leak": ("m**3/s", "m**3/s"),
    "m": ("m", "m"), "cm": ("cm", "m"), "mm": ("mm", "m"), "um": ("um", "m"), "km": ("km", "m"),
    "ft": ("ft", "m"), "in": ("inch", "m"), "yd": ("yard", "m"),
    "K": ("K", "K"), "degC difference": ("delta_degC", "K"), "degF difference": ("delta_degF", "K"),
    "A": ("A", "A"), "mA": ("mA", "A"), "kA": ("kA", "A"),
    "V": ("V", "V"), "kV": ("kV", "V"), "mV": ("mV", "V"),
    "W": ("W", "W"), "kW": ("kW", "W"), "MW": ("MW", "W"), "hp": ("hp", "W"),
    "PS": ("metric_horsepower", "W"), "BTU/h": ("Btu_it/hour", "W"),
    "kcal/h": ("1000*cal_it/hour", "W"),
    "mm/s": ("mm/s", "m/s"), "cm/s": ("cm/s", "m/s"), "m/s": ("m/s", "m/s"),
    "in/s rms": ("inch/s", "m/s"), "g": ("g_0", "m/s**2"),
    "m/s2": ("m/s**2", "m/s**2"), "mm/s2": ("mm/s**2", "m/s**2"),
    "um pk-pk": ("um", "m"), "mm pk-pk": ("mm", "m"), "m pk-pk": ("m", "m"),
    "mil pk-pk": ("thou", "m"),
    "kg/m3": ("kg/m**3", "kg/m**3"), "kg/L": ("kg/liter", "kg/m**3"),
    "g/cm3": ("gram/cm**3", "kg/m**3"), "lb/ft3": ("lb/ft**3", "kg/m**3"),
    "lb/gal": ("lb/gallon", "kg/m**3"),
    "cSt": ("cSt", "m**2/s"), "mm2/s": ("mm**2/s", "m**2/s"), "m2/s": ("m**2/s", "m**2/s"),
    "St": ("stokes", "m**2/s"), "ft2/s": ("ft**2/s", "m**2/s"),
    "cP": ("cP", "Pa*s"), "mPa s": ("mPa*s", "Pa*s"), "Pa s": ("Pa*s", "Pa*s"),
    "P": ("poise", "Pa*s"),
    "J/(kg K)": ("J/(kg*K)", "J/(kg*K)"), "kJ/(kg K)": ("kJ/(kg*K)", "J/(kg*K)"),
    "BTU/(lb degF)": ("Btu_it/(lb*delta_degF)", "J/(kg*K)"),
    "%": ("percent", "dimensionless"), "ppm": ("ppm", "dimensionless"),
    "1": ("dimensionless", "dimensionless"),
    "s": ("s", "s"), "min": ("minute", "s"), "h": ("hour", "s"), "d": ("day", "s"),
    "week": ("week", "s"), "month": ("month", "s"), "year": ("year", "s"),
    "m3": ("m**3", "m**3"), "L": ("liter", "m**3"), "mL": ("mL", "m**3"),
    "gal": ("gallon", "m**3"), "imp gal": ("imperial_gallon", "m**3"), "qt": ("quart", "m**3"),
    "fl oz": ("US_fluid_ounce", "m**3"), "ft3": ("ft**3", "m**3"), "bbl": ("oil_bbl", "m**3"),
    "kg": ("kg", "kg"), "gram": ("gram", "kg"), "t": ("tonne", "kg"), "lb": ("lb", "kg"),
    "oz": ("oz", "kg"),
    "N m": ("N*m", "N*m"), "kN m": ("kN*m", "N*m"), "lbf ft": ("lbf*ft", "N*m"),
    "m2": ("m**2", "m**2"), "cm2": ("cm**2", "m**2"), "mm2": ("mm**2", "m**2"),
    "ft2": ("ft**2", "m**2"), "in2": ("inch**2", "m**2"),
    "W/K": ("W/K", "W/K"), "kW/K": ("kW/K", "W/K"),
    "BTU/(h degF)": ("Btu_it/(hour*delta_degF)", "W/K"),
}  # fmt: skip
# pint counts a turn as 2 pi radians; ours is revolutions a second.
TURNING = {"rpm": "rpm", "1/s": "revolutions_per_second", "rad/s": "radian/s"}
# A cycle a minute is a count; pint's Hz is one a second.
FREQUENCY = {"Hz": "1/s", "cpm": "1/minute"}
TEMPERATURE = {"degC": "degC", "degF": "degF"}
# What pint cannot know, with the convention each rests on; checked one by one below.
CONVENTIONS = {"drops/min", "drops/h", "mm/s pk", "in/s pk", "g pk", "SG", "Kv", "Cv"}


def test_every_unit_is_checked_against_pint_or_is_a_named_convention() -> None:
    checked = {*GAUGE, *ABSOLUTE, *VACUUM, *PLAIN_PRESSURE, *OTHERS, *TURNING, *FREQUENCY}
    assert set(table()) - checked - set(TEMPERATURE) - CONVENTIONS == set()


def _pint(expression: str, base: str) -> float:
    return float(PINT.Quantity(expression).to(base).magnitude)


@pytest.mark.parametrize(("unit", "expression"), PLAIN_PRESSURE.items())
def test_plain_pressure_against_pint(unit: str, expression: str) -> None:
    assert to_si(1, unit) == pytest.approx(_pint(expression, "Pa"), rel=1e-12)


@pytest.mark.parametrize("unit", sorted({*GAUGE, *ABSOLUTE, *VACUUM} & set(table())))
def test_pressure_with_a_reference_against_pint(unit: str) -> None:
    air = 97_000.0
    plain = _pint((GAUGE | ABSOLUTE | VACUUM)[unit], "Pa")
    wanted = {"gauge": air + 0.3 * plain, "absolute": 0.3 * plain, "vacuum": air - 0.3 * plain}
    reference = "gauge" if unit in GAUGE else "absolute" if unit in ABSOLUTE else "vacuum"
    assert table()[unit].reference == reference
    assert to_si(0.3, unit, barometric=air) == pytest.approx(wanted[reference], rel=1e-12)


@pytest.mark.parametrize(("unit", "pair"), OTHERS.items())
def test_factor_against_pint(unit: str, pair: tuple[str, str]) -> None:
    assert to_si(1, unit) == pytest.approx(_pint(*pair), rel=1e-12)


@pytest.mark.parametrize(("unit", "expression"), TURNING.items())
def test_speed_against_pint(unit: str, expression: str) -> None:
    turns = _pint(expression, "radian/s") / (2 * math.pi)
    assert to_si(1, unit) == pytest.approx(turns, rel=1e-12)


@pytest.mark.parametrize(("unit", "expression"), FREQUENCY.items())
def test_frequency_against_pint(unit: str, expression: str) -> None:
    assert to_si(1, unit) == pytest.approx(_pint(expression, "1/s"), rel=1e-12)


@pytest.mark.parametrize("value", [-40.0, 0.0, 82.5])
@pytest.mark.parametrize(("unit", "expression"), TEMPERATURE.items())
def test_temperature_against_pint(unit: str, expression: str, value: float) -> None:
    kelvin = PINT.Quantity(value, expression).to("kelvin").magnitude
    assert to_si(value, unit) == pytest.approx(kelvin, rel=1e-12)


def test_conventions() -> None:
    # 0.05 mL a drop, 20 drops a milliliter: common practice, no source.
    assert to_si(20, "drops/min") == pytest.approx(to_si(1, "mL/min"), rel=1e-12)
    assert to_si(60, "drops/h") == pytest.approx(to_si(1, "drops/min"), rel=1e-12)
    # Peak over r.m.s. of a pure sine is the square root of 2.
    for peak, rms in (("mm/s pk", "mm/s"), ("in/s pk", "in/s rms"), ("g pk", "g")):
        assert to_si(math.sqrt(2), peak) == pytest.approx(to_si(1, rms), rel=1e-12)
    assert to_si(1, "SG") == 1000.0
    # US gpm at 1 psi against m3/h at 1 bar, both of the same water: Kv = 0.8650 Cv.
    gpm_in_m3h = _pint("gallon/minute", "m**3/hour")
    assert to_si(1, "Cv") == pytest.approx(gpm_in_m3h / math.sqrt(_pint("psi", "bar")), rel=1e-12)
    assert to_si(1, "Cv") == pytest.approx(0.8650, abs=5e-5)  # from memory, unverified


# Unit definitions, from pint 0.25.3, tolerance 1e-6: value in, unit in, value out, unit out.
DEFINITIONS = [
    ("U-gpm", 1, "gpm", 0.227124707, "m3/h"),
    ("U-psi", 1, "psi", 6.89475729, "kPa"),
    ("U-mmHg", 1, "mmHg", 133.3224, "Pa"),
    ("U-hp", 1, "hp", 0.745699872, "kW"),
    ("U-PS", 1, "PS", 0.73549875, "kW"),
    ("U-bar", 1, "bar", 14.5037738, "psi"),
    ("U-ft", 1, "ft", 0.3048, "m"),
    ("U-igal", 1, "imp gal", 4.54609, "L"),
    ("U-lbft3", 1, "lb/ft3", 16.0184634, "kg/m3"),
    ("U-cSt", 1, "cSt", 1.0, "mm2/s"),
]


@pytest.mark.parametrize(("row", "value", "unit", "expected", "other"), DEFINITIONS)
def test_definitions(row: str, value: float, unit: str, expected: float, other: str) -> None:
    assert from_si(to_si(value, unit), other) == pytest.approx(expected, rel=1e-6), row


# mm/s r.m.s. to in/s peak of a pure sine, derived: sqrt(2)/25.4 = 0.0556777; printed digits.
VIBRATION = [
    ("D-UC-3.0", 3.0, 0.16703),
    ("D-UC-4.5", 4.5, 0.25055),
    ("D-UC-7.1", 7.1, 0.39531),
    ("D-UC-k", 1.0, 0.0556777),
]


@pytest.mark.parametrize(("row", "mm_s", "in_s"), VIBRATION)
def test_vibration_velocity(row: str, mm_s: float, in_s: float) -> None:
    assert from_si(to_si(mm_s, "mm/s"), "in/s pk") == pytest.approx(in_s, abs=6e-6), row


def test_rms_of_a_sine() -> None:  # D-UC-1, derived: peak 1 has an r.m.s. of 0.70710678
    assert from_si(to_si(1, "mm/s pk"), "mm/s") == pytest.approx(0.70710678, abs=1e-7)


@given(
    st.sampled_from(sorted(table())),
    st.floats(-1e6, 1e6, allow_nan=False),
    st.floats(50_000, 110_000),
)
def test_round_trip(unit: str, value: float, air: float) -> None:
    there = to_si(value, unit, barometric=air)
    # A gauge pressure shares its digits with the air's, a temperature with 273.15.
    lost = 1e-15 * max(abs(there), air if table()[unit].reference != "none" else 300)
    slack = abs(lost / table()[unit].factor) * 8
    assert from_si(there, unit, barometric=air) == pytest.approx(value, rel=1e-12, abs=slack)


@given(st.sampled_from(sorted(table())), st.integers(1, 99_999), st.integers(0, 3))
@example("barg", 31, 1)
def test_what_is_shown_can_be_entered(unit: str, digits: int, places: int) -> None:
    row = table()[unit]
    if row.reference == "vacuum":
        return  # a large vacuum is below zero
    value = to_si(digits / 10**places, unit)
    text = show(value, unit, digits=9)
    again = parse(text, row.kinds[0], default_unit="1" if unit == "1" else None)
    assert again.value == pytest.approx(value, rel=1e-7)
    assert again.unit == unit or table()[again.unit].factor == row.factor


ENTRIES = [
    ("12.5 psig", "pressure", 187509.466, "psig"),
    ("3.1 barg", "pressure", 411325.0, "barg"),
    ("3,1 barg", "pressure", 411325.0, "barg"),
    ("0.2 bara", "pressure", 20000.0, "bara"),
    ("-0.3 bar(g)", "pressure", 71325.0, "barg"),
    ("\u22120.3 bar g", "pressure", 71325.0, "barg"),  # the typographic minus
    ("- 0.3 BARG", "pressure", 71325.0, "barg"),
    ("20 inHg vac", "pressure", 33597.2272, "inHg vac"),
    ("0.3 bar", "pressure_difference", 30000.0, "bar"),
    ("30 kPa", "pressure_difference", 30000.0, "kPa"),
    ("85 gpm", "flow", 0.005362666694, "gpm"),
    ("40 m³/h", "flow", 40 / 3600, "m3/h"),
    ("140 °F", "temperature", 333.15, "degF"),
    ("80\u00a0°C", "temperature", 353.15, "degC"),
    ("80 C", "temperature", 353.15, "degC"),
    ("80 ℃", "temperature", 353.15, "degC"),
    ("10 °C", "temperature_difference", 10.0, "degC difference"),
    ("18 °F", "temperature_difference", 10.0, "degF difference"),
    ("40 drops/min", "leakage", 40 * 0.05e-6 / 60, "drops/min"),
    ("0.18 in/s pk", "velocity", 0.18 * 0.0254 / math.sqrt(2), "in/s pk"),
    ("2 1/2 in", "length", 0.0635, "in"),
    ("2½ in", "length", 0.0635, "in"),
    ("1/2 in", "length", 0.0127, "in"),
    ('4"', "length", 0.1016, "in"),
    (".5 m", "length", 0.5, "m"),
    ("1.5e-3 m3/s", "flow", 0.0015, "m3/s"),
    ("35 %", ("length", "fraction"), 0.35, "%"),
    ("35 cm", ("length", "fraction"), 0.35, "cm"),
    ("12 g", "mass", 0.012, "gram"),
    ("0.5 g", "acceleration", 4.903325, "g"),
    ("25 1/s", "speed", 25.0, "1/s"),
    ("25 s-1", "speed", 25.0, "1/s"),
    ("3", "number", 3.0, "1"),
    ("40 µm pk-pk", "displacement", 40e-6, "um pk-pk"),
]


@pytest.mark.parametrize(("text", "kind", "value", "unit"), ENTRIES)
def test_entries(text: str, kind: str, value: float, unit: str) -> None:
    quantity = parse(text, kind)
    assert quantity.value == pytest.approx(value, rel=1e-6)
    assert quantity.unit == unit
    assert quantity.low is None
    assert quantity.high is None
    assert quantity.entered == text.strip()


SWINGS = [
    "2.8 to 4.1 barg",
    "2.8-4.1 barg",
    "2.8 – 4.1 barg",
    "2.8 — 4.1 barg",
    "2.8 barg to 4.1 barg",
    "2.8 barg - 4.1",
    "2,8 ... 4,1 barg",
    "4.1 to 2.8 barg",
    "2.8 TO 4.1 barg",
]


@pytest.mark.parametrize("text", SWINGS)
def test_swings(text: str) -> None:
    quantity = parse(text, "pressure")
    assert quantity.low == pytest.approx(381325.0)
    assert quantity.high == pytest.approx(511325.0)
    assert quantity.value == pytest.approx(446325.0)


def test_swing_below_the_air() -> None:
    quantity = parse("-0.3--0.1 barg", "pressure")
    assert [quantity.low, quantity.high] == pytest.approx([71325.0, 91325.0])


def test_swing_in_two_units() -> None:
    quantity = parse("900 mbarg to 1.1 barg", "pressure")
    assert [quantity.low, quantity.high] == pytest.approx([191325.0, 211325.0])


def test_swing_in_two_texts() -> None:
    both, one = (parse_range(low, "24 A", "current") for low in ("18 A", "18"))
    assert (both.low, both.high, both.value) == (one.low, one.high, one.value) == (18, 24, 21)


THOUSANDS = [
    ("1,480 rpm", "speed", 1480 / 60),  # nobody reads a speed to a thousandth
    ("1 480 rpm", "speed", 1480 / 60),
    ("1'480 rpm", "speed", 1480 / 60),
    ("6,600 V", "voltage", 6600.0),
    ("1,480,000 Pa abs", "pressure", 1.48e6),
    ("1.480.000 Pa abs", "pressure", 1.48e6),
    ("1,480.5 kW", "power", 1.4805e6),
    ("1.480,5 kW", "power", 1.4805e6),
    ("0,480 kW", "power", 480.0),
    ("1,48 kW", "power", 1480.0),
    ("1,4805 kW", "power", 1480.5),
    ("1.480 kW", "power", 1480.0),  # a point is always the decimal mark
]


@pytest.mark.parametrize(("text", "kind", "value"), THOUSANDS)
def test_thousands(text: str, kind: str, value: float) -> None:
    assert parse(text, kind).value == pytest.approx(value, rel=1e-12)


def test_bare_number_takes_the_default_unit() -> None:
    assert parse("3.1", "pressure", default_unit="barg").unit == "barg"
    assert parse("2.8-4.1", "pressure", default_unit="barg").high == pytest.approx(511325.0)
    assert parse("45 psig", "pressure", default_unit="barg").unit == "psig"


def test_gauge_pressure_counts_from_the_local_air() -> None:
    assert parse("0 barg", "pressure", barometric=83_500.0).value == 83_500.0


REFUSED = [
    ("", "flow", "Nothing was entered.*'40 m3/h'"),
    ("   ", "flow", "Nothing was entered"),
    ("barg", "pressure", "'barg' has no number to read; write it as '3.1 barg'"),
    ("nan", "flow", "no number"),
    ("inf A", "current", "no number"),
    ("-inf A", "current", "no number"),
    ("1e999 A", "current", "too large"),
    ("9" * 70 + "e99999999 A", "current", "expected a short text|too large"),
    ("\N{PERSEVERING FACE}", "flow", "no number"),
    ("3 \N{PERSEVERING FACE}", "flow", "not known"),
    ("7" * 5000, "flow", "5000 characters"),
    ("3 bar", "pressure", r"gauge or absolute\? Write '3 barg' or '3 bara'"),
    ("3 psi", "pressure", r"Write '3 psig' or '3 psia'"),
    ("-0.3 bar", "pressure", r"Write '-0.3 barg'"),
    ("3 barg", "pressure_difference", "difference between two pressures.*Write '3 bar'"),
    ("3 psia", "pressure_difference", "Write '3 psi'"),
    ("3", "pressure", "a number without its unit; expected a pressure.*'3.1 barg'"),
    ("5 m", "flow", "m is a length, head or level; expected a flow, such as '40 m3/h'"),
    ("40 m3h", "flow", "Did you mean 'm3/h'"),
    ("40 drop/mim", "leakage", "Did you mean 'drops/min'"),
    ("5 mW", "power", "'mW' is not known"),
    ("5 Mbar", "pressure_difference", "'Mbar' is not known"),
    ("0.2 in/s", "velocity", r"r.m.s. or peak\? Write 'in/s rms' or 'in/s pk'"),
    ("100 SSU", "kinematic_viscosity", "Write 'cSt'"),
    ("1,480 m3/h", "flow", "may mean 1480 or 1.480. Write '1480 m3/h' or '1.480 m3/h'"),
    ("1,48,0 kW", "power", "part no thousands"),
    ("3.1.2 A", "current", "part no thousands"),
    ("3 4 A", "current", "more than one number"),
    ("1/0 in", "length", "divided by 0"),
    ("-2 barg", "pressure", "below a perfect vacuum by 0.987 bar"),
    ("-0.1 bara", "pressure", "below a perfect vacuum"),
    ("35 inHg vac", "pressure", "below a perfect vacuum"),
    ("-300 degC", "temperature", "below absolute zero"),
    ("1 to -300 degC", "temperature", "below absolute zero"),
    ("3 barg", "colour", "'colour' does not exist"),
]


@pytest.mark.parametrize(("text", "kind", "message"), REFUSED)
def test_refusals_say_what_to_write(text: str, kind: str, message: str) -> None:
    with pytest.raises(UnitError, match=message):
        parse(text, kind)


def test_milli_is_never_proposed_as_mega() -> None:
    with pytest.raises(UnitError) as refused:
        parse("5 mW", "power")
    assert "mean 'MW'" not in str(refused.value)


def _read_or_refused(text: str, kind: tuple[str, ...]) -> units.Quantity | None:
    """Any other exception is a fault."""
    try:
        return parse(text, kind)
    except UnitError:
        return None


@given(st.text(max_size=90), st.sampled_from(sorted(units.kinds())))
@example("1/", "length")
@example("²/₃ in", "length")
@example("٣ barg", "pressure")  # digits of another script
def test_any_text_is_read_or_refused(text: str, kind: str) -> None:
    quantity = _read_or_refused(text, (kind,))
    assert quantity is None or math.isfinite(quantity.value)


@given(st.from_regex(r"[-+]?[0-9., '/eE-]{1,12} ?(barg|to|-|bar|m|1/s){0,3}", fullmatch=True))
def test_near_numbers_are_read_or_refused(text: str) -> None:
    quantity = _read_or_refused(text, ("pressure", "length", "speed"))
    assert quantity is None or math.isfinite(quantity.value)


SHOWN = [
    (411325.0, "barg", "3.1 barg"),
    (101325.0 - 30000, "barg", "-0.3 barg"),
    (101325.0, "barg", "0 barg"),
    (353.15, "degC", "80 °C"),
    (273.15, "degC", "0 °C"),
    (1480 / 60, "rpm", "1480 rpm"),
    (0.0123456, "m", "0.0123 m"),
    (12345.6, "V", "12346 V"),
    (0.35, "%", "35 %"),
    (0.012, "gram", "12 g"),
    (7.0, "1", "7"),
    (math.nan, "barg", "not known"),
]


@pytest.mark.parametrize(("value", "unit", "text"), SHOWN)
def test_show(value: float, unit: str, text: str) -> None:
    assert show(value, unit) == text


def test_show_with_digits_keeps_zeros() -> None:
    assert show(411325.0, "barg", digits=3) == "3.10 barg"
    assert show(411325.0, "barg", barometric=83_500.0, digits=4) == "3.278 barg"


@pytest.mark.parametrize("unit", ["furlong", "", "bar(x)"])
def test_unknown_unit_in_a_conversion(unit: str) -> None:
    with pytest.raises(UnitError, match="not known"):
        to_si(1, unit)


def test_alias_of_two_units_is_no_unit_by_itself() -> None:
    with pytest.raises(UnitError, match="may be 'degC' or 'degC difference'"):
        to_si(1, "°C")


def test_page_and_server_share_the_table() -> None:
    rows = {row["name"]: row for row in json.loads(units.as_json())["units"]}
    assert set(rows) == set(table())
    assert rows["degF"]["factor"] == table()["degF"].factor
    assert rows["inHg vac"]["reference"] == "vacuum"


def test_every_kind_has_its_si_unit_and_an_entry_that_can_be_read() -> None:
    used = {kind for row in table().values() for kind in row.kinds}
    assert used == set(units.kinds())
    for name, kind in units.kinds().items():
        assert parse(kind.example, name).kind == name
        si = units.unit_for(kind.si, name).line(0.0)
        assert si == (1.0, 0.0), name


def test_no_word_means_two_units_of_one_kind() -> None:
    for kind in units.kinds():
        words: dict[str, str] = {}
        for row in table().values():
            if row.kinds[0] != kind:
                continue
            for word in (row.name, *row.aliases):
                key = squeeze(word).casefold()
                assert words.setdefault(key, row.name) == row.name, (kind, word)


def test_conventions_are_stated() -> None:
    for name in CONVENTIONS - {"Kv"}:
        assert table()[name].note, name
