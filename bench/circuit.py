"""The forward model over a spread of severities, beside scipy looking for each duty on its own."""

import numpy as np
from scipy.optimize import brentq

from bench.common import Row, measure, show
from gaugewalk.drill.larkmoor import larkmoor
from gaugewalk.physics.circuit import operate
from gaugewalk.physics.circuit_parts import Circuit, Condition
from gaugewalk.plant.circuit import circuit_of
from gaugewalk.plant.site import barometric

COUNT = 500


def rows() -> list[Row]:
    """Return one pump under five hundred conditions of two causes at once."""
    plant = larkmoor()
    pump = next(pump for pump in plant.pumps if pump.tag == "E21A")
    circuit = circuit_of(pump, barometric=barometric(plant))
    severity = np.linspace(0.0, 1.0, COUNT)
    both = {"suction-strainer-plugged": severity, "wear-rings-worn": severity[::-1]}
    return [
        measure(
            f"{COUNT} conditions of one pump, all gauges",
            lambda: operate(circuit, Condition(severities=both)),
            "scipy brentq for the flows alone",
            lambda: [_flow(circuit, k) for k in np.linspace(1.0, 4.0, COUNT)],
        )
    ]


def _flow(circuit: Circuit, resistance: float) -> float:
    """Return where the bare curve meets a system of so many times its usual resistance."""
    machine, static = circuit.machine, circuit.discharge.static_head
    duty = float(np.interp(circuit.duty_flow, machine.flow, machine.head))
    factor = resistance * (duty - static) / circuit.duty_flow**2

    def surplus(flow: float) -> float:
        return float(np.interp(flow, machine.flow, machine.head)) - static - factor * flow**2

    return float(brentq(surplus, 0.0, float(machine.flow[-1])))


if __name__ == "__main__":
    show(rows())
