"""The fine distinctions of the trade: what the operator notes, and which cause must then lead.

The rows are written from the trade's common practice (no source) unless one is named; they test
the knowledge as a whole, not a single strength.
"""

import pytest

from gaugewalk.diagnose.case_file import read_case
from gaugewalk.diagnose.diagnosis import Diagnosis, diagnose

LIFT = {"suction": "lift", "shaft_seal": "packing", "driver": "electric motor"}
VESSEL = {"suction": "vessel", "shaft_seal": "single mechanical seal"}
SUMP = {"suction": "sump", "driver": "electric motor"}
FORCED = {"lubrication": "forced feed", "driver": "electric motor"}
OIL = {"lubrication": "oil sump", "driver": "electric motor"}
GREASE = {"lubrication": "grease", "driver": "electric motor"}
PACKED = {"shaft_seal": "packing"}
SEALED = {"shaft_seal": "single mechanical seal"}
DOUBLE = {"shaft_seal": "double mechanical seal"}

# pump, there, looked for and not there, the cause that must lead (or one of them)
ROWS = [
    # Air bound, vapor bound, cavitating
    (
        LIFT,
        "noise-hiss discharge-pressure-swinging motor-current-swinging",
        "",
        "air-through-suction-joint",
    ),
    (
        LIFT,
        "discharge-pressure-swinging venting-helps-briefly suction-air-leak-found",
        "",
        "air-through-suction-joint",
    ),
    (
        LIFT,
        "seal-water-low gland-drawing-air discharge-pressure-swinging leak-off-none",
        "noise-hiss",
        "air-through-packing",
    ),
    (
        SUMP,
        "sump-vortex source-level-low discharge-pressure-swinging noise-rattle-intermittent",
        "",
        "air-through-vortex",
    ),
    (
        LIFT,
        "just-started after-maintenance discharge-pressure-zero noise-quiet-hum vent-gives-gas",
        "",
        "air-trapped",
    ),
    (
        VESSEL,
        "vent-gives-gas venting-helps-briefly throttling-discharge-worsens",
        "noise-hiss suction-air-leak-found",
        "gas-in-liquid",
    ),
    (
        VESSEL,
        "liquid-temperature-high vent-gives-vapor motor-current-swinging",
        "suction-pressure-low",
        "vapor-from-hot-liquid",
    ),
    (
        VESSEL,
        "suction-pressure-low came-suddenly vent-gives-vapor discharge-pressure-swinging",
        "liquid-temperature-high source-level-low suction-strainer-dp-high",
        "vapor-from-low-suction-pressure",
    ),
    (
        VESSEL | {"suction_strainer": True},
        "suction-pressure-low noise-rattle-steady suction-strainer-dp-high",
        "source-level-low",
        "suction-strainer-plugged",
    ),
    (
        VESSEL | {"suction_strainer": True},
        "suction-pressure-low noise-rattle-steady after-maintenance suction-valve-not-open",
        "source-level-low suction-strainer-dp-high",
        "suction-valve-throttled",
    ),
    (
        VESSEL | {"suction_strainer": True},
        "suction-pressure-low noise-rattle-steady source-level-low",
        "suction-strainer-dp-high",
        "source-level-too-low",
    ),
    (
        VESSEL,
        "flow-high noise-rattle-steady motor-current-high throttling-discharge-helps",
        "",
        "runout-with-cavitation",
    ),
    (
        VESSEL,
        "flow-low noise-rattle-intermittent noise-knock throttling-discharge-worsens",
        "suction-pressure-low",
        "low-flow-recirculation",
    ),
    # Partly bound, and nearly empty
    (
        LIFT,
        "discharge-pressure-zero noise-quiet-hum motor-current-low just-started",
        "noise-hiss",
        "air-trapped foot-valve-leaking",
    ),
    (
        LIFT,
        "just-started discharge-pressure-zero prime-lost-when-stopped",
        "",
        "foot-valve-leaking",
    ),
    # The way out
    (
        {"suction_strainer": True, "discharge_strainer": True},
        "discharge-pressure-high flow-low discharge-strainer-dp-high",
        "suction-strainer-dp-high",
        "discharge-strainer-plugged",
    ),
    ({}, "flow-zero discharge-valve-closed casing-hot discharge-pressure-high", "", "deadheaded"),
    (
        {},
        "flow-low discharge-pressure-high motor-current-low",
        "discharge-strainer-dp-high casing-hot",
        "back-pressure-too-high",
    ),
    (
        {},
        "discharge-pressure-high check-valve-dp-high flow-low",
        "discharge-valve-closed",
        "check-valve-stuck-closed",
    ),
    (
        {},
        "flow-low motor-current-low parallel-pump-running casing-hot",
        "discharge-valve-closed",
        "pushed-back-by-parallel-pump",
    ),
    ({}, "standby-turning-backward flow-low noise-slam", "", "check-valve-leaking-back"),
    (
        {},
        "flow-high motor-current-high discharge-pressure-low came-suddenly change-large",
        "noise-rattle-steady",
        "runout",
    ),
    (
        {"minimum_flow_line": True},
        "min-flow-line-passing flow-low motor-current-high",
        "head-below-curve",
        "min-flow-valve-passing",
    ),
    (
        {"minimum_flow_line": True},
        "min-flow-line-shut flow-low casing-hot",
        "discharge-valve-closed",
        "min-flow-valve-stuck-shut",
    ),
    # Inside the pump
    (
        {},
        "discharge-pressure-drifting-down flow-low came-slowly",
        "vibration-radial-high",
        "wear-rings-worn",
    ),
    (
        {},
        "discharge-pressure-low flow-low vibration-radial-high came-suddenly suction-pressure-high",
        "",
        "impeller-plugged",
    ),
    (
        {},
        "after-electrical-work just-started discharge-pressure-low flow-low",
        "",
        "rotation-reversed",
    ),
    ({}, "speed-low discharge-pressure-low flow-low", "", "speed-too-low"),
    (
        {},
        "impeller-changed after-maintenance discharge-pressure-low flow-low",
        "rotation-wrong speed-low",
        "impeller-wrong-size",
    ),
    (
        {},
        "only-one-reading-off gauge-stuck",
        "flow-low motor-current-low",
        "gauge-faulty gauge-line-plugged",
    ),
    ({}, "only-one-reading-off gauge-stuck cold-weather", "flow-low", "gauge-line-plugged"),
    (
        {"driver": "turbine"},
        "speed-hunting discharge-pressure-swinging flow-swinging",
        "vent-gives-gas",
        "speed-control-hunting",
    ),
    # The liquid
    ({}, "liquid-changed motor-current-low discharge-pressure-low", "flow-low", "density-too-low"),
    (
        {},
        "liquid-changed motor-current-high discharge-pressure-high",
        "flow-low speed-high",
        "density-too-high",
    ),
    (
        {},
        "cold-weather motor-current-high flow-low",
        "liquid-temperature-high",
        "viscosity-too-high",
    ),
    # Bearings and what lubricates them
    (
        GREASE,
        "bearing-hot-after-greasing grease-pushed-out",
        "noise-bearing",
        "bearing-overgreased",
    ),
    (
        GREASE,
        "noise-bearing grease-dry came-slowly bearing-temperature-high",
        "",
        "bearing-undergreased",
    ),
    (GREASE, "cold-weather just-started noise-bearing", "grease-dry", "grease-stiff-cold"),
    (OIL, "oil-level-low bearing-temperature-high", "", "bearing-oil-low"),
    (OIL, "oil-level-high oil-foam bearing-temperature-high", "oil-milky", "bearing-oil-high"),
    (OIL, "oil-milky", "", "water-in-oil"),
    (OIL, "oil-dark came-slowly bearing-temperature-high", "oil-level-low", "oil-dirty"),
    (
        OIL,
        "after-maintenance bearing-temperature-high oil-foam",
        "oil-level-high oil-level-low oil-milky",
        "oil-wrong-grade",
    ),
    (OIL, "noise-bearing oil-metal vibration-radial-high", "oil-level-low", "pump-bearing-worn"),
    (
        OIL | {"lubrication": "oil ring"},
        "oil-ring-stopped bearing-temperature-rising-fast",
        "",
        "oil-ring-stuck",
    ),
    (
        OIL,
        "rotor-moved-axially bearing-temperature-high vibration-axial-high",
        "",
        "axial-thrust-fault",
    ),
    (GREASE, "driver-bearing-hot noise-bearing vibration-at-driver", "", "driver-bearing-worn"),
    # Forced-feed oil
    (
        FORCED,
        "oil-supply-temperature-low cooling-water-excess",
        "just-started",
        "cooling-water-too-much",
    ),
    (
        FORCED,
        "oil-supply-temperature-low cold-weather pump-stopped",
        "cooling-water-excess",
        "oil-heater-off",
    ),
    (
        FORCED,
        "oil-supply-temperature-high cooling-water-flow-low cooling-water-outlet-hot",
        "",
        "cooling-water-too-little",
    ),
    (
        FORCED,
        "oil-supply-temperature-high cooling-water-inlet-warm",
        "cooling-water-outlet-hot",
        "cooling-water-too-warm",
    ),
    (
        FORCED,
        "oil-supply-temperature-high came-slowly cooling-water-excess",
        "cooling-water-inlet-warm cooling-water-outlet-hot",
        "oil-cooler-fouled",
    ),
    (FORCED, "oil-milky oil-reservoir-rising", "", "oil-cooler-leaking"),
    (FORCED, "oil-supply-pressure-low oil-filter-dp-high", "", "oil-filter-plugged"),
    (
        FORCED,
        "oil-supply-pressure-low auxiliary-oil-pump-running oil-supply-pressure-swinging",
        "oil-filter-dp-high relief-line-warm",
        "oil-pump-failing",
    ),
    (
        FORCED,
        "oil-supply-pressure-low relief-line-warm came-suddenly",
        "oil-filter-dp-high",
        "oil-relief-stuck-open",
    ),
    (
        FORCED,
        "oil-supply-pressure-high",
        "oil-supply-temperature-low cold-weather",
        "oil-relief-stuck-shut",
    ),
    (FORCED, "oil-reservoir-falling bearing-oil-leak", "oil-milky", "oil-system-leaking"),
    # Vibration
    (
        {},
        "vibration-axial-high vibration-radial-high after-maintenance coupling-debris",
        "noise-bearing",
        "misalignment",
    ),
    (
        {},
        "vibration-radial-high",
        "vibration-axial-high vibration-unsteady after-maintenance noise-knock",
        "unbalance",
    ),
    (
        {},
        "vibration-at-feet bolts-or-grout-loose vibration-radial-high",
        "after-maintenance",
        "foundation-loose",
    ),
    ({}, "vibration-at-feet after-maintenance motor-hum", "bolts-or-grout-loose", "soft-foot"),
    (
        {},
        "pipe-moving vibration-radial-high vibration-axial-high",
        "vibration-near-one-speed",
        "pipe-strain",
    ),
    ({"variable_speed": True}, "vibration-near-one-speed vibration-radial-high", "", "resonance"),
    ({}, "coupling-debris came-slowly", "vibration-axial-high", "coupling-worn"),
    ({}, "shaft-stands-driver-turns flow-zero came-suddenly", "", "shaft-or-coupling-broken"),
    (SEALED, "shaft-hard-to-turn driver-tripped", "noise-grinding", "rotor-seized"),
    (
        {},
        "noise-grinding motor-current-high vibration-radial-high just-started",
        "",
        "internal-rub",
    ),
    # Packing
    (PACKED, "leak-off-none gland-hot after-maintenance", "seal-water-low", "packing-too-tight"),
    (PACKED, "leak-off-high after-maintenance nuts-answer", "", "packing-too-loose"),
    (
        PACKED,
        "leak-off-high leak-off-not-adjustable came-slowly",
        "after-maintenance",
        "packing-worn",
    ),
    (PACKED, "gland-smoke leak-off-not-adjustable gland-hot", "", "packing-burnt"),
    (
        PACKED,
        "seal-water-low leak-off-low gland-hot",
        "gland-drawing-air after-maintenance",
        "seal-water-lost",
    ),
    (
        PACKED,
        "after-maintenance gland-hot gland-drawing-air",
        "seal-water-low",
        "lantern-ring-displaced air-through-packing",
    ),
    (
        PACKED,
        "leak-off-high leak-off-not-adjustable after-maintenance sleeve-grooved",
        "",
        "shaft-sleeve-worn",
    ),
    # Mechanical seal
    (SEALED, "seal-dripping", "seal-line-wet seal-crust", "mechanical-seal-damaged"),
    (SEALED, "seal-dripping seal-line-wet after-maintenance", "", "seal-line-leaking"),
    (SEALED, "seal-flush-low seal-hot", "", "seal-flush-lost"),
    (
        DOUBLE,
        "barrier-pressure-low seal-pot-level-falling",
        "after-maintenance",
        "barrier-pressure-lost",
    ),
    (
        DOUBLE,
        "seal-hot after-maintenance just-started barrier-pressure-low",
        "seal-squeal",
        "seal-system-fault",
    ),
    (
        SEALED,
        "seal-squeal seal-hot just-started vent-gives-gas",
        "seal-flush-low",
        "mechanical-seal-run-dry",
    ),
    (SEALED, "seal-crust came-slowly", "seal-hot", "seal-deposits"),
    (DOUBLE, "seal-pot-level-rising seal-pot-pressure-high", "", "mechanical-seal-damaged"),
    # Driver
    ({}, "motor-current-unequal motor-hum motor-hot", "", "phase-unbalance"),
    (
        {},
        "motor-hum noise-dies-with-power motor-hot",
        "motor-current-unequal",
        "motor-electrical-fault",
    ),
    (
        {},
        "motor-hot came-slowly",
        "motor-current-high motor-current-unequal",
        "motor-cooling-blocked",
    ),
    ({}, "speed-high motor-current-high discharge-pressure-high", "", "speed-too-high"),
    # Little is noted: what a bare sign most often means
    (LIFT, "flow-zero", "", "air-trapped foot-valve-leaking"),
    (LIFT, "discharge-pressure-zero just-started", "", "air-trapped foot-valve-leaking"),
    (OIL, "oil-dark", "", "oil-dirty"),
    (OIL, "oil-metal", "", "pump-bearing-worn"),
    ({}, "shaft-hard-to-turn driver-tripped motor-smell", "", "rotor-seized"),
    ({}, "discharge-pressure-low flow-low after-electrical-work", "", "rotation-reversed"),
]


def ask(pump: dict[str, object], there: str, absent: str = "") -> Diagnosis:
    return diagnose(
        read_case(
            {
                "pump": pump,
                "observations": [
                    {"finding": finding, "present": present}
                    for words, present in ((there, True), (absent, False))
                    for finding in words.split()
                ],
            }
        )
    )


@pytest.mark.parametrize(("pump", "there", "absent", "leads"), ROWS, ids=[r[3] for r in ROWS])
def test_the_right_cause_leads(
    pump: dict[str, object], there: str, absent: str, leads: str
) -> None:
    found = ask(pump, there, absent)
    assert found.causes[0].cause in leads.split(), [
        (one.cause, round(one.probability, 2)) for one in found.causes[:4]
    ]


def current(now: str, liquid: str = "water", **more: object) -> Diagnosis:
    return diagnose(
        read_case(
            {
                "pump": {"driver": "electric motor", "liquid": {"name": liquid}},
                "readings": {"motor_current": now},
                "normal": {"motor_current": "100 A"},
                **more,
            }
        )
    )


def test_a_current_half_as_high_again_is_no_full_pipe() -> None:
    """A little more current is the operating point; far more is something that holds the rotor."""
    held = {"rotor-seized", "internal-rub", "driver-overloaded", "phase-unbalance"}
    assert current("170 A").causes[0].cause in held
    assert current("112 A").no_fault > current("170 A").no_fault + 0.2


def test_an_idling_motor_drives_nothing() -> None:
    seen = [{"finding": id, "present": True} for id in ("flow-low", "came-suddenly")]
    assert current("30 A", observations=seen).causes[0].cause == "shaft-or-coupling-broken"
    assert current("85 A", observations=seen).causes[0].cause != "shaft-or-coupling-broken"


def test_water_does_not_thicken() -> None:
    seen = [{"finding": id, "present": True} for id in ("flow-low", "motor-current-high")]

    def thick(liquid: str) -> float:
        found = current("115 A", liquid, observations=seen).causes
        return next((one.probability for one in found if one.cause == "viscosity-too-high"), 0.0)

    assert thick("heavy fuel") > 0.5 > 0.2 > thick("river water")


def test_a_reading_that_moved_far_more_than_it_swings_has_moved() -> None:
    swing = {"motor_current": {"low": "165 A", "high": "178 A"}}
    there = {one.finding for one in current("1 A", readings=swing).pieces if one.present}
    assert "motor-current-very-high" in there
    assert "motor-current-swinging" not in there


def test_a_seal_that_drips_on_a_shaking_pump_has_a_root() -> None:
    found = ask(SEALED, "seal-dripping vibration-radial-high vibration-axial-high")
    chains = {(one.root, one.consequence) for one in found.chains}
    assert {one.cause for one in found.causes[:2]} == {"misalignment", "mechanical-seal-damaged"}
    assert ("misalignment", "mechanical-seal-damaged") in chains
