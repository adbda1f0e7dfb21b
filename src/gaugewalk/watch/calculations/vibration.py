"""Handbook: vibration."""

from gaugewalk.errors import ArgumentError
from gaugewalk.physics import vibration as vib
from gaugewalk.watch.calculation import (
    Calculation,
    Result,
    choice,
    gives,
    may,
    need,
    says,
    yes_no,
)

GROUP = "Vibration"
_VELOCITY = need(
    "velocity", "velocity", "mm/s", "r.m.s. on the bearing housing", "point:vibration_de"
)
_OWN = "A rise against the machine's own usual value says more than a zone."
_SINE = "For one frequency only; an overall value of mixed vibration cannot be converted."
_ZONES = {
    "A": "A: as new",
    "B": "B: fit for unrestricted service",
    "C": "C: not for long; find the cause at the next chance",
    "D": "D: may do damage",
}
_OUTPUTS = (
    says("zone", "zone"),
    gives("ab", "velocity", "mm/s", "boundary A/B"),
    gives("bc", "velocity", "mm/s", "boundary B/C"),
    gives("cd", "velocity", "mm/s", "boundary C/D"),
)


def _zone(limits: vib.ZoneLimits, velocity: float) -> dict[str, object]:
    return {
        "zone": _ZONES[limits.zone(velocity)],
        "ab": limits.ab,
        "bc": limits.bc,
        "cd": limits.cd,
    }


def _pump(velocity: float, category: str, power: float) -> Result:
    alarm, trip = vib.pump_alarm_and_trip(category, power)
    return {**_zone(vib.pump_zones(category, power), velocity), "alarm": alarm, "trip": trip}


def _api(velocity: float, orientation: str) -> Result:
    limits = vib.api_610_limits(orientation)
    region = (
        "inside the limit of the preferred region"
        if velocity <= limits.preferred
        else "inside the limit of the allowable region only"
        if velocity <= limits.allowable
        else "above both limits"
    )
    return {
        "verdict": region,
        "preferred": limits.preferred,
        "allowable": limits.allowable,
        "one_frequency": limits.one_frequency,
    }


def _convert(
    frequency: float,
    velocity: float | None = None,
    displacement: float | None = None,
    acceleration: float | None = None,
) -> Result:
    given = [one for one in (velocity, displacement, acceleration) if one is not None]
    if len(given) != 1:
        raise ArgumentError("expected one of velocity, displacement and acceleration.")
    if displacement is not None:
        velocity = float(vib.velocity_from_displacement(displacement, frequency))
    elif acceleration is not None:
        velocity = float(vib.velocity_from_acceleration(acceleration, frequency))
    rms = float(velocity or 0.0)
    return {
        "velocity_rms": rms,
        "velocity_peak": float(vib.peak_of_rms(rms)) * 1e3,
        "peak_in_s": float(vib.peak_of_rms(rms)) / vib.INCH,
        "displacement_pp": vib.displacement_from_velocity(rms, frequency),
        "acceleration_rms": vib.acceleration_from_velocity(rms, frequency),
    }


CALCULATIONS = (
    Calculation(
        name="vibration-zone",
        title="Zone of a pump's vibration",
        group=GROUP,
        inputs=(
            _VELOCITY,
            choice(
                "category",
                ("I", "II"),
                "I: hazardous liquid or critical service; II: general",
                "II",
            ),
            need("power", "power", "kW", "of the pump; the step is at 200 kW", "driver.power"),
        ),
        outputs=(
            *_OUTPUTS,
            gives("alarm", "velocity", "mm/s", "alarm at most"),
            gives("trip", "velocity", "mm/s", "trip at most"),
        ),
        run=_pump,
        formula="table",
        source="ISO 10816-7:2009, Tables A.1 and A.2, public summary",
        cautions=(_OWN, "Pumps above 1 kW with more than three vanes, 10 to 1000 Hz."),
        example={"velocity": "4.2 mm/s", "category": "I", "power": "55 kW"},
    ),
    Calculation(
        name="vibration-zone-motor",
        title="Zone of a motor's or other machine's vibration",
        group=GROUP,
        inputs=(
            _VELOCITY,
            choice("group", ("1", "2"), "1: above 300 kW; 2: 15 to 300 kW", "2"),
            choice("support", ("rigid", "flexible"), "of the machine", "rigid"),
        ),
        outputs=_OUTPUTS,
        run=lambda velocity, group, support: _zone(
            vib.machine_zones(int(group), support), velocity
        ),
        formula="table",
        source="ISO 10816-3:2009, from memory, unverified; public pages print differing tables",
        cautions=(_OWN,),
        example={"velocity": "3 mm/s"},
    ),
    Calculation(
        name="vibration-class",
        title="Zone by the old general classes",
        group=GROUP,
        inputs=(_VELOCITY, choice("machine_class", tuple(vib.CLASS_ZONES_MMS), "I small to IV")),
        outputs=_OUTPUTS,
        run=lambda velocity, machine_class: _zone(vib.class_zones(machine_class), velocity),
        formula="table",
        source="ISO 10816-1:1995, Annex B (superseded), public reference page",
        cautions=(_OWN, "Superseded; for old papers."),
        example={"velocity": "2 mm/s", "machine_class": "II"},
    ),
    Calculation(
        name="vibration-api-610",
        title="Vibration against API 610",
        group=GROUP,
        inputs=(
            _VELOCITY,
            choice(
                "orientation",
                ("horizontal", "vertical"),
                "of the pump",
                "horizontal",
                fill="orientation",
            ),
        ),
        outputs=(
            says("verdict", "the reading is"),
            gives("preferred", "velocity", "mm/s", "limit in the preferred region"),
            gives("allowable", "velocity", "mm/s", "limit in the allowable region"),
            gives("one_frequency", "velocity", "mm/s", "limit at one frequency"),
        ),
        run=_api,
        formula="table",
        source="API 610, 12th ed., secondary public table; vertical from memory, unverified",
        cautions=("An acceptance limit of new pumps, not an alarm.", _OWN),
        example={"velocity": "3.4 mm/s"},
    ),
    Calculation(
        name="vibration-convert",
        title="Displacement, velocity and acceleration of a sine",
        group=GROUP,
        inputs=(
            need("frequency", "frequency", "Hz", "of the vibration"),
            may("velocity", "velocity", "mm/s", "r.m.s. or peak, by its unit"),
            may("displacement", "displacement", "um pk-pk", "peak to peak"),
            may("acceleration", "acceleration", "g", "r.m.s. or peak, by its unit"),
        ),
        outputs=(
            gives("velocity_rms", "velocity", "mm/s", "velocity r.m.s."),
            gives("velocity_peak", "number", "1", "velocity peak, mm/s"),
            gives("peak_in_s", "number", "1", "velocity peak, in/s"),
            gives("displacement_pp", "displacement", "um pk-pk", "displacement peak to peak"),
            gives("acceleration_rms", "acceleration", "g", "acceleration r.m.s."),
        ),
        run=_convert,
        formula="v = π f s/√2; a = 2π f v",
        source="derivatives of a sine",
        cautions=(_SINE,),
        example={"frequency": "25 Hz", "displacement": "50 um pk-pk"},
    ),
    Calculation(
        name="vibration-acceptance",
        title="Acceptance limit of a new or repaired pump",
        group=GROUP,
        inputs=(
            choice(
                "category",
                ("I", "II"),
                "I: hazardous liquid or critical service; II: general",
                "II",
            ),
            need("power", "power", "kW", "of the pump; the step is at 200 kW", "driver.power"),
            choice("place", ("site", "shop"), "where it is tested", "site"),
            yes_no("preferred_region", "run inside the preferred operating region", "yes"),
        ),
        outputs=(gives("limit", "velocity", "mm/s", "r.m.s. at most"),),
        run=lambda category, power, place, preferred_region: {
            "limit": vib.pump_acceptance(
                category, power, place=place, preferred_region=preferred_region
            )
        },
        formula="table",
        source="ISO 10816-7:2009, public summary; which row is site is from memory, unverified",
        example={"power": "55 kW"},
    ),
    Calculation(
        name="vibration-sum",
        title="R.m.s. of several sines together",
        group=GROUP,
        inputs=(
            need("first", "velocity", "mm/s pk", "peak of the first"),
            need("second", "velocity", "mm/s pk", "peak of the second"),
            may("third", "velocity", "mm/s pk", "peak of the third"),
        ),
        outputs=(gives("rms", "velocity", "mm/s", "r.m.s. together"),),
        # The border turns peaks of a sine into r.m.s. already.
        run=lambda first, second, third=0.0: {
            "rms": vib.rms_of_peaks(*(vib.peak_of_rms(one) for one in (first, second, third)))
        },
        formula="√(Σ peak²/2)",
        source="Parseval",
        cautions=("Sines of different frequencies only.",),
        example={"first": "3 mm/s pk", "second": "4 mm/s pk"},
    ),
)
