"""Circuits for the tests: a water pump with everything fitted, made from plain numbers."""

from dataclasses import replace

import numpy as np

from gaugewalk.physics import water
from gaugewalk.physics.circuit_parts import (
    BearingHeat,
    Circuit,
    DischargeSide,
    FaceSeal,
    LiquidTable,
    Machine,
    Motor,
    OilCircuit,
    PackedGland,
    Screen,
    SuctionSide,
)
from gaugewalk.physics.motor import Nameplate

DUTY = 40.0 / 3600.0  # [m3/s]
AIR = 101325.0
COLD = 293.15


def water_table() -> LiquidTable:
    grid = np.linspace(274.0, 440.0, 84)
    density = np.asarray(water.density(grid, 2e6))
    return LiquidTable(
        temperature=grid,
        vapor_pressure=np.asarray(water.vapor_pressure(grid)),
        density=density,
        kinematic_viscosity=np.asarray(water.dynamic_viscosity(grid, 2e6)) / density,
        specific_heat=4184.0,
    )


def machine() -> Machine:
    share = np.linspace(0.0, 1.75, 71)
    return Machine(
        flow=share * DUTY,
        head=38.0 * (1.2 - 0.2 * share**2),
        power=3000.0 + 3000.0 * share,
        npshr=1.5 + share**2,
        speed=49.0,
        density=998.2,
        best_flow=DUTY,
    )


def packed() -> Circuit:
    return Circuit(
        liquid=water_table(),
        liquid_temperature=COLD,
        barometric=AIR,
        ambient=COLD,
        cooling_water_in=COLD,
        suction=SuctionSide(
            surface_pressure=AIR,
            level=2.0,
            lowest_level=0.5,
            line_loss=0.5,
            strainer=Screen(clean_dp=3e3, clean_flow=DUTY),
            diameter=0.1,
            gauge_elevation=0.2,
        ),
        discharge=DischargeSide(
            static_head=22.0,
            strainer=Screen(clean_dp=10e3, clean_flow=DUTY),
            diameter=0.08,
            gauge_elevation=0.5,
        ),
        machine=machine(),
        duty_flow=DUTY,
        motor=Motor(plate=Nameplate(power=7500.0, current=14.0, voltage=400.0, power_factor=0.86)),
        bearings=(
            BearingHeat(place="de", friction=60.0, to_air=2.5, to_liquid=0.3),
            BearingHeat(place="nde", friction=50.0, to_air=2.5, to_liquid=0.3),
            BearingHeat(place="driver_de", friction=40.0, to_air=2.0),
        ),
        packing=PackedGland(
            leak_off=3.3e-8,
            friction=30.0,
            conductance=3.0,
            water_pressure=AIR + 2e5,
            water_flow=5e-5,
        ),
    )


def oiled() -> Circuit:
    """The same pump with a mechanical seal and fed oil."""
    return replace(
        packed(),
        packing=None,
        seal=FaceSeal(
            face_heat=100.0, conductance=12.0, barrier_pressure=AIR + 3e5, flush_flow=1e-4, pot=True
        ),
        bearings=(
            BearingHeat(place="de", friction=400.0, to_air=0.0, to_oil=30.0),
            BearingHeat(place="nde", friction=300.0, to_air=0.0, to_oil=25.0),
        ),
        oil=OilCircuit(
            flow=20.0 / 60e3,
            supply_pressure=AIR + 1.5e5,
            filter_dp=2e4,
            supply_temperature=316.15,
            conductance=220.0,
            water_flow=1.0 / 3600.0,
            other_heat=5000.0,
            heater_power=2000.0,
        ),
    )


def lone(circuit: Circuit) -> Circuit:
    """The pump with nothing but friction behind it and nothing lost before it."""
    return replace(
        circuit,
        suction=replace(circuit.suction, line_loss=0.0, strainer=None),
        discharge=replace(circuit.discharge, static_head=0.0, strainer=None),
    )
