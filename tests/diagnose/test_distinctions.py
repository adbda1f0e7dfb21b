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
