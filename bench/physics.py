"""A million states of each everyday calculation, beside the same in plain CoolProp or numpy."""

import numpy as np
from CoolProp.CoolProp import PropsSI
from scipy.interpolate import PchipInterpolator

from bench.common import Row, measure, show
from gaugewalk.physics import liquids, water
from gaugewalk.physics.curve import PumpCurve, head_at
from gaugewalk.physics.duty import duty_point
from gaugewalk.physics.npsh import npsh_from_gauge

COUNT = 1_000_000
G = 9.80665


def rows() -> list[Row]:
    """Return vapor pressures, densities, NPSH margins and duty points."""
    random = np.random.default_rng(1)
    temperature = random.uniform(280.0, 450.0, COUNT)
    return [*_properties(temperature), *_margins(temperature, random), *_duties(random)]


def _properties(temperature: np.ndarray) -> list[Row]:
    hexane = liquids.find_liquid("n-hexane")
    few = temperature[: COUNT // 10]
    return [
        measure(
            "1e6 vapor pressures of water",
            lambda: water.vapor_pressure(temperature),
            "CoolProp vector call, Water",
            lambda: PropsSI("P", "T", temperature, "Q", 0, "Water"),
            repeat=3,
        ),
        measure(
            "1e6 densities of water",
            lambda: water.density(temperature),
            "CoolProp vector call, Water",
            lambda: PropsSI("D", "T", temperature, "Q", 0, "Water"),
            repeat=3,
        ),
        measure(
            "1e5 vapor pressures of hexane",
            lambda: liquids.vapor_pressure(hexane, few),
            "CoolProp vector call, n-Hexane",
            lambda: PropsSI("P", "T", few, "Q", 0, "n-Hexane"),
            repeat=3,
        ),
    ]


def _margins(temperature: np.ndarray, random: np.random.Generator) -> list[Row]:
    suction = random.uniform(1e6, 1.5e6, COUNT)
    flow, required = random.uniform(0.0, 0.03, COUNT), random.uniform(1.0, 5.0, COUNT)
    vapor, density = water.vapor_pressure(temperature), water.density(temperature)

    def ours_whole() -> object:
        vapor = water.vapor_pressure(temperature)
        density = water.density(temperature)
        return npsh_from_gauge(suction, vapor, density, flow=flow, diameter=0.15) - required

    def plain_whole() -> object:
        vapor = PropsSI("P", "T", temperature, "Q", 0, "Water")
        density = PropsSI("D", "T", temperature, "Q", 0, "Water")
        return plain(vapor, density)

    def plain(vapor: np.ndarray, density: np.ndarray) -> object:
        velocity = flow / (np.pi / 4 * 0.15**2)
        return (suction - vapor) / (density * G) + velocity**2 / (2 * G) - required

    return [
        measure(
            "1e6 NPSH margins from temperature and gauge",
            ours_whole,
            "CoolProp and numpy",
            plain_whole,
            repeat=3,
        ),
        measure(
            "1e6 NPSH margins, properties given",
            lambda: npsh_from_gauge(suction, vapor, density, flow=flow, diameter=0.15) - required,
            "the bare numpy formula",
            lambda: plain(vapor, density),
            note="the rest is the checking of arguments",
        ),
    ]


def _duties(random: np.random.Generator) -> list[Row]:
    flow = np.linspace(0.0, 0.03, 11)
    curve = PumpCurve(speed=24.0, flow=flow, head=40 - 30 * (flow / 0.03) ** 2)
    head, q = random.uniform(12.0, 39.0, COUNT), random.uniform(0.0, 0.03, COUNT)
    fine = np.linspace(0.0, 0.03, 4001)
    falling = PchipInterpolator(curve.flow, curve.head)(fine)[::-1]
    rising = fine[::-1]

    def table() -> object:
        return [np.interp(head + shift, falling, rising) for shift in (0.0, -0.5, 0.5)]

    return [
        measure(
            "1e6 duty points with interval, all crossings",
            lambda: duty_point(curve, head, 0.5),
            "numpy.interp on a fine table, three times",
            table,
            note="the table is good for a falling curve only, to 1e-8",
        ),
        measure(
            "1e6 heads on a curve",
            lambda: head_at(curve, q),
            "scipy PchipInterpolator",
            lambda: PchipInterpolator(curve.flow, curve.head)(q),
        ),
    ]


if __name__ == "__main__":
    show(rows())
