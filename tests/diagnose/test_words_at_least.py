"""The word that signs call for at least: a table of what the trade does, row by row.

Common practice, no source, but for what `dangers.toml` names one for: a sign that means a stop is
never answered with less, whatever the ranking says.
"""

import pytest

from gaugewalk.diagnose.case_file import read_case
from gaugewalk.diagnose.diagnosis import diagnose
from gaugewalk.judge.severity import Severity

LEAST = {
    "stop": (
        "bearing-smoke",
        "noise-grinding",
        "seal-spraying",
        "seal-hot seal-squeal",
        "gland-smoke",
        "flow-zero casing-hot",
        "discharge-valve-closed casing-hot discharge-pressure-high",
        "just-started discharge-pressure-zero",
        "discharge-pressure-zero motor-current-low noise-quiet-hum",
        "oil-level-low noise-bearing bearing-temperature-high",
        "oil-ring-stopped",
        "oil-pressure-lost",
        "rotation-wrong",
        "motor-smell",
        "shaft-stands-driver-turns",
        "shaft-hard-to-turn",
        "shaft-sparks",
        "casing-hot flow-low discharge-pressure-high",
        "source-level-low flow-zero motor-current-low",
        "vibration-radial-high came-suddenly noise-knock",
        "rotor-moved-axially",
    ),
    "act": (
        "seal-dripping",
        "seal-dripping came-slowly",
        "barrier-pressure-low",
        "seal-pot-level-falling",
        "seal-pot-level-rising",
        "leak-off-none gland-hot",
        "leak-off-high bearing-temperature-high",
        "seal-water-low",
        "gland-hot !leak-off-none",
        "noise-rattle-steady suction-pressure-low",
        "discharge-pressure-swinging motor-current-swinging",
        "flow-zero",
        "suction-valve-not-open",
        "oil-level-low",
        "oil-milky",
        "oil-metal",
        "oil-supply-pressure-low",
        "auxiliary-oil-pump-running",
        "oil-supply-temperature-high bearing-temperature-high",
        "oil-reservoir-rising oil-milky",
        "cooling-water-flow-low oil-supply-temperature-high",
        "speed-high",
        "motor-current-unequal",
        "motor-current-high motor-hot",
        "driver-tripped",
        "coupling-debris vibration-radial-high",
        "standby-turning-backward",
        "casing-hot min-flow-line-shut",
        "sump-vortex",
        "noise-knock vibration-radial-high flow-low",
        "noise-bearing",
        "seal-flush-low",
        "gland-drawing-air discharge-pressure-swinging",
        "suction-strainer-dp-high suction-pressure-low",
        "source-level-low suction-pressure-low",
        "flow-high motor-current-high motor-hot",
        "driver-tripped motor-current-high",
    ),
    "watch": (
        "leak-off-high",
        "oil-dark",
        "oil-filter-dp-high",
        "oil-reservoir-falling",
        "coupling-debris",
        "bolts-or-grout-loose",
        "pipe-moving",
        "noise-knock",
        "gauge-stuck",
        "seal-crust",
        "suction-strainer-dp-high",
        "discharge-pressure-drifting-down",
        "oil-supply-temperature-low",
    ),
}
ROWS = [(word, signs) for word, rows in LEAST.items() for signs in rows]


@pytest.mark.parametrize(("word", "signs"), ROWS, ids=[signs for _, signs in ROWS])
def test_signs_call_for_a_word_at_least(word: str, signs: str) -> None:
    observations = [
        {"finding": sign.lstrip("!"), "present": not sign.startswith("!")} for sign in signs.split()
    ]
    found = diagnose(read_case({"pump": {}, "observations": observations}))
    assert found.verdict.rank >= Severity(word).rank


@pytest.mark.parametrize(
    ("point", "values"),
    [
        ("bearing_temperature_de", {"70 degC": "watch", "84 degC": "act", "90 degC": "stop"}),
        ("vibration_de", {"3.2 mm/s": "watch", "5.2 mm/s": "act", "8 mm/s": "stop"}),
        ("driver_vibration_de", {"5.5 mm/s": "act", "8 mm/s": "stop"}),
        ("seal_leakage", {"60 drops/min": "act", "600 drops/min": "stop"}),
    ],
)
def test_readings_call_for_a_word_at_least(point: str, values: dict[str, str]) -> None:
    usual = {
        "bearing_temperature_de": "62 degC",
        "vibration_de": "2.4 mm/s",
        "driver_vibration_de": "2 mm/s",
        "seal_leakage": "0 drops/min",
    }
    for value, word in values.items():
        case = {"pump": {}, "readings": {point: value}, "normal": {point: usual[point]}}
        assert diagnose(read_case(case)).verdict.rank >= Severity(word).rank, value
