"""What a verdict, a forecast and an estimate cost; and how often forecasts hold what they claim."""

import numpy as np
from scipy import optimize, stats

from bench import forecast, past
from bench.common import Row, measure, show
from gaugewalk.drill.larkmoor import larkmoor
from gaugewalk.judge.estimate import estimate
from gaugewalk.judge.forecast import time_to_limit
from gaugewalk.judge.screen import Screener
from gaugewalk.judge.screen_result import PointColumn
from gaugewalk.physics.circuit import solve
from gaugewalk.physics.circuit_parts import Condition
from gaugewalk.plant.circuit import circuit_of
from gaugewalk.plant.points import point_kind
from gaugewalk.plant.site import barometric


def rows() -> list[Row]:
    """Time the judge's parts."""
    return [*past.rows(), _forecast(), _estimate(), _screening()]


def _forecast() -> Row:
    times = np.arange(96) * 28800.0
    values = 1.0 + np.arange(96) / 100 + 0.02 * np.random.default_rng(1).standard_normal(96)
    return measure(
        "a forecast with both ends from 96 readings",
        lambda: time_to_limit(times, values, 2.5),
        "scipy theilslopes + kendalltau",
        lambda: (stats.theilslopes(values, times), stats.kendalltau(times, values)),
        repeat=30,
        note="ours also gives the time to the limit",
    )


def _estimate() -> Row:
    plant = larkmoor()
    pump, air = plant.pump("W21A"), barometric(plant)
    assert pump is not None
    shown = solve(circuit_of(pump, barometric=air), Condition())
    points = ("suction_pressure", "discharge_pressure", "flow", "motor_current")
    given = {point: float(shown[point]) for point in points}
    return measure(
        "an estimate from four gauges",
        lambda: estimate(pump, given, air),
        "scipy least_squares, 4 equations",
        lambda: optimize.least_squares(lambda x: np.array([*x, x.sum() - 2.0]) - 1.0, np.zeros(3)),
        repeat=20,
        note="ours with faults, suspects and seven quantities",
    )


def _screening() -> Row:
    from sklearn.ensemble import IsolationForest

    values = 50.0 + np.random.default_rng(2).standard_normal((4000, 8))
    kinds = [f"vibration_{end}" for end in ("de", "nde", "de_axial", "nde_axial")]
    kinds += [f"driver_vibration_{end}" for end in ("de", "nde")] + ["motor_current", "motor_power"]
    points = [
        PointColumn(column=kind, point=kind, unit=point_kind(kind).default_unit) for kind in kinds
    ]

    def ours() -> None:
        screener = Screener(points=points, learn_rows=400)
        for i, row in enumerate(values):
            screener.add(str(i), float(i), row)

    def peer() -> None:
        model = IsolationForest(random_state=0).fit(values[:400])
        for row in values[400:440]:  # row by row, as a live feed comes; a hundredth of the rows
            model.predict(row[None])

    return measure(
        "screening 4,000 rows of 8 channels, row by row",
        ours,
        "isolation forest, 40 rows",
        peer,
        repeat=3,
    )


def main() -> None:
    """Print the times, and whether forecasts hold what they claim."""
    show(rows())
    forecast.report()


if __name__ == "__main__":
    main()
