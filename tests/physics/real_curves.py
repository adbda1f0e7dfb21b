"""The measured pump curves of tests/data/pump-curves, as our curves (BSD-3-Clause, see LICENSE)."""

import json
from pathlib import Path

import numpy as np

from gaugewalk.physics.curve import PumpCurve
from gaugewalk.physics.head import head_of_pressure

_FILE = Path(__file__).parents[1] / "data" / "pump-curves" / "curves.json"


def _curve(row: dict[str, object]) -> PumpCurve:
    density = float(str(row["density_kg_m3"]))
    return PumpCurve(
        speed=float(str(row["speed_rpm"])) / 60,
        flow=np.asarray(row["flow_m3_per_s"]),
        head=head_of_pressure(np.asarray(row["differential_pressure_Pa"]), density),
        power=np.asarray(row["power_W"]),
        density=density,
    )


CURVES = {row["id"]: _curve(row) for row in json.loads(_FILE.read_text())}
NAMES = sorted(CURVES)
