"""The physics floor stays light: heavy libraries are loaded by the question, not by the import."""

import pkgutil
import subprocess
import sys

import gaugewalk.physics

NAMES = [f"gaugewalk.physics.{m.name}" for m in pkgutil.iter_modules(gaugewalk.physics.__path__)]
QUESTION = """
import importlib, sys
for name in {names!r}:
    importlib.import_module(name)
from gaugewalk.physics import curve, duty, liquids, npsh
water = liquids.find_liquid("river water")
npsh.npsh_from_gauge(9e4, liquids.vapor_pressure(water, 350.0), liquids.density(water, 350.0))
pump = curve.PumpCurve(speed=49.0, flow=[0.0, 0.01], head=[40.0, 36.0], power=[2e3, 5e3])
duty.duty_point(pump, 38.0, 0.5)
print(sorted({{name.split(".")[0] for name in sys.modules}} & {{"scipy", "CoolProp", "pandas"}}))
"""


def test_importing_and_asking_about_water_loads_no_heavy_library() -> None:
    done = subprocess.run(
        [sys.executable, "-c", QUESTION.format(names=NAMES)],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert done.stdout.strip() == "[]"
    assert len(NAMES) > 20
