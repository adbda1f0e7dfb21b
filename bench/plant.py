"""How fast a large plant file is checked and an entry read, beside general-purpose parsers."""

import tomllib
from itertools import count

import pint

from bench.common import Row, measure, show
from gaugewalk.plant.plant_file import check_plant_text
from gaugewalk.units import parse

_PUMPS = 2000

_ONE = """
[[pump]]
tag = "P-{n}"
name = "pump number {n}"
area = "row {row}"
walk_order = {n}
suction_diameter = "100 mm"
discharge_diameter = "3 in"
liquid = {{ name = "water", temperature = "{warm} degC" }}
source = {{ kind = "flooded", level = "2.5 m", lowest_level = "1 m", line_loss = "0.4 m" }}
seal = {{ kind = "packing", leak_off_target = "{drops} drops/min" }}
lubrication = {{ kind = "constant-level oiler", iso_vg = 46 }}
driver = {{ power = "7.5 kW", current = "{amps} A", voltage = "460 V", poles = 4 }}

[pump.curve]
speed = "1475 rpm"
flow = [0, 20, 40, 60, 80]
flow_unit = "m3/h"
head = [36, 35, 33, 28, 20]
head_unit = "m"
power = [2.1, 3.0, 4.4, 5.6, 6.3]
power_unit = "kW"
npshr = [1.6, 1.7, 2.1, 2.9, 4.3]
npshr_unit = "m"

[[pump.point]]
point = "discharge_pressure"
unit = "barg"
usual = 2.8
watch_low = 2.5
act_low = "34 psig"
range_low = 0
range_high = 6

[[pump.point]]
point = "motor_current"
act_high = {amps}

[[pump.point]]
point = "bearing_temperature_de"
unit = "degF"
watch_high = 150
act_high = 170

[[pump.point]]
point = "leak_off"
watch_low = 10
watch_high = {drops}
"""


def _text() -> str:
    """A plant file with as many different numbers as real ones have."""
    head = '[plant]\nname = "Bench"\nelevation = "200 m"\n'
    return head + "".join(
        _ONE.format(n=n, row=n // 40, warm=5 + n % 80, drops=20 + n % 60, amps=10 + n % 300 / 10)
        for n in range(_PUMPS)
    )


def _check(text: str, *, good: bool) -> None:
    plant, problems = check_plant_text(text, "bench.toml")
    if (plant is not None) != good:
        raise AssertionError([str(problem) for problem in problems[:5]])


def rows() -> list[Row]:
    """A good plant, one with a fault in every pump, and one entry."""
    good = _text()
    bad = good.replace("watch_low = 2.5", "watch_low = 2.9")
    registry: pint.UnitRegistry[float] = pint.UnitRegistry()
    new = count(1)  # no entry twice: ours remembers what it has read
    return [
        measure(
            f"check a plant of {_PUMPS} pumps, no fault",
            lambda: _check(good, good=True),
            "tomllib alone",
            lambda: tomllib.loads(good),
            repeat=3,
            note="asked for: seconds",
        ),
        measure(
            f"check a plant of {_PUMPS} pumps, {_PUMPS} faults",
            lambda: _check(bad, good=False),
            "tomllib alone",
            lambda: tomllib.loads(bad),
            repeat=3,
        ),
        measure(
            "read 2,000 entries, 'x psi' as a difference",
            lambda: [parse(f"{next(new)} psi", "pressure_difference") for _ in range(2000)],
            "pint",
            lambda: [registry.Quantity(f"{next(new)} psi").to("Pa") for _ in range(2000)],
            repeat=3,
        ),
    ]


if __name__ == "__main__":
    show(rows())
