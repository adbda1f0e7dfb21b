"""Slips of the pen: what is suspected, what is not, and what cannot be."""

import pytest


@pytest.mark.parametrize(
    ("text", "slip", "meant"),
    [
        ("31 barg", "", "3.1 barg"),
        ("310 barg", "", "3.1 barg"),
        ("1.3 barg", "digits swapped", "3.1 barg"),
        ("45 barg", "", "45 psig"),
        ("0.031 barg", "decimal mark slipped", "3.1 barg"),
        ("-3.1 psig", "", "gauge"),
    ],
)
def test_slip_is_named_with_what_was_meant(judge, text, slip, meant):
    suspicion = judge(text)[0].suspicion
    assert slip in suspicion
    assert meant in suspicion


def test_where_no_single_slip_leads_back_nothing_is_guessed(judge):
    assert "meant" not in judge("-0.31 barg")[0].suspicion
    assert judge("1.1 barg")[0].suspicion is None


@pytest.mark.parametrize("text", ["3.1 barg", "2.4 barg", "4.2 barg", "2.2 barg"])
def test_a_reading_near_the_band_is_not_called_a_slip(judge, text):
    assert judge(text)[0].suspicion is None


def test_beyond_the_gauge_is_not_plausible_but_keeps_its_word(judge):
    verdict, _ = judge("31 barg")
    assert not verdict.plausible
    assert verdict.severity == "stop"  # it may be true: another gauge, a wrong range in the file
    assert "beyond the gauge's range 0 to 10 barg" in verdict.sentence
    assert "Please read again at once" in verdict.sentence


def test_a_dying_pump_is_never_called_implausible(judge):
    """0.31 for 3.1 may be a slip, or a pump that lost its prime."""
    verdict, _ = judge("0.31 barg")
    assert verdict.plausible
    assert verdict.severity == "act"
    assert "3.1 barg" in verdict.suspicion


def test_celsius_typed_as_fahrenheit_and_back(judge, history):
    how = {"point": "bearing_temperature_de", "kind": "temperature"}
    state = history(["55 degC", "54 degC", "56 degC", "55.5 degC"] * 5, **how)
    assert "131 °F meant" in judge("131 degC", state, hours=200, **how)[0].suspicion
    assert "55 °C meant" in judge("55 degF", state, hours=200, **how)[0].suspicion


def test_negative_current_cannot_be(judge):
    verdict, _ = judge("-5 A", point="motor_current", kind="current")
    assert not verdict.plausible
    assert "cannot be negative" in verdict.suspicion
