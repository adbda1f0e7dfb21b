"""The part-load estimate against the full equivalent circuit of many usual motors."""

import numpy as np
import pytest
from numpy.typing import NDArray

from gaugewalk.physics.motor import Nameplate, current_at_load, load_from_current

SHARES = np.array([0.0, 0.25, 0.5, 0.75, 1.0, 1.2])
# Spread of usual motors in per-unit, from machine textbooks (common practice, no source): R1, X1,
# R2, X2, Xm, rotational loss. Kept are those whose pull-out is 2 to 3.6 times the rated power.
LOW = (0.01, 0.06, 0.01, 0.06, 2.0, 0.008)
HIGH = (0.04, 0.13, 0.035, 0.15, 4.0, 0.020)
Row = NDArray[np.float64]


def circuit(r1: float, x1: float, r2: float, x2: float, xm: float, loss: float) -> tuple[Row, ...]:
    """Shaft power, current and power factor of one phase from no slip to pull-out, per unit."""
    slip = np.linspace(1e-5, 0.12, 8000)
    rotor, magnetizing = r2 / slip + 1j * x2, 1j * xm
    current = 1 / (r1 + 1j * x1 + rotor * magnetizing / (rotor + magnetizing))
    in_rotor = np.abs((1 - current * (r1 + 1j * x1)) / rotor)
    power = in_rotor**2 * r2 * (1 - slip) / slip - loss
    end = int(np.argmax(power))
    return power[:end], np.abs(current[:end]), (current.real / np.abs(current))[:end]


def plates() -> list[tuple[Nameplate, Nameplate, Row]]:
    """Plate without and with the idle current, and the true current at each share of load."""
    random = np.random.default_rng(1)
    found = []
    for parameters in random.uniform(LOW, HIGH, size=(120, 6)):
        power, current, factor = circuit(*parameters)
        rated = int(np.argmin(np.abs(current - 1)))
        if not 2.0 < power[-1] / power[rated] < 3.6:
            continue
        # The circuit is of one phase; the plate of three at a line voltage of 1.
        given = {
            "power": np.sqrt(3) * power[rated], "current": current[rated], "voltage": 1.0,
            "power_factor": factor[rated],
        }  # fmt: skip
        true = np.interp(SHARES * power[rated], power, current)
        found.append((Nameplate(**given), Nameplate(**given, idle_current=true[0]), true))
    return found


MOTORS = plates()


def test_enough_motors_are_usual() -> None:
    assert len(MOTORS) > 60


def test_from_the_plate_alone() -> None:
    # The docstring claims 9 % of rated current when idle, 5 % at half load, 2.5 % at 3/4.
    wrong = [np.abs(current_at_load(SHARES * p.power, p) - t) / t[4] for p, _, t in MOTORS]
    worst = np.max(wrong, axis=0)
    assert (worst <= [0.09, 0.07, 0.05, 0.025, 1e-6, 0.025]).all(), worst


def test_with_the_idle_current() -> None:
    # With the idle current measured: 2 % of rated current everywhere.
    wrong = [np.abs(current_at_load(SHARES * p.power, p) - t) / t[4] for _, p, t in MOTORS]
    assert np.max(wrong) <= 0.02


def test_power_from_the_ammeter() -> None:
    # From half load up the power is told to 8 % of rated power, with the idle current to 4 %.
    for column, allowed in ((0, 0.08), (1, 0.04)):
        for motor in MOTORS:
            plate = motor[column]
            assert isinstance(plate, Nameplate)
            found = load_from_current(motor[2][2:], plate) / plate.power
            assert found == pytest.approx(SHARES[2:], abs=allowed)
