"""The closed registry of observation points."""

import pytest

from gaugewalk import units
from gaugewalk.errors import NotFoundError
from gaugewalk.plant.points import GROUPS, all_points, point_kind

# The names other programs rely on: a case or a plant file may name any of them.
PROMISED = """
suction_pressure discharge_pressure flow suction_strainer_dp discharge_strainer_dp
liquid_temperature casing_temperature source_level source_pressure motor_current motor_power
motor_voltage motor_temperature speed bearing_temperature_de bearing_temperature_nde
driver_bearing_temperature_de driver_bearing_temperature_nde vibration_de vibration_nde
vibration_de_horizontal vibration_de_vertical vibration_de_axial vibration_nde_horizontal
vibration_nde_vertical vibration_nde_axial driver_vibration_de driver_vibration_nde leak_off
gland_temperature seal_leakage seal_water_pressure seal_water_flow seal_flush_pressure
seal_flush_flow seal_flush_temperature seal_pot_level seal_pot_pressure seal_pot_temperature
oil_level oiler_level oil_supply_pressure oil_supply_temperature oil_filter_dp
oil_reservoir_level oil_reservoir_temperature cooling_water_flow cooling_water_temperature_in
cooling_water_temperature_out ambient_temperature run_hours
""".split()


@pytest.mark.parametrize("name", PROMISED)
def test_promised_point_exists(name: str) -> None:
    assert point_kind(name).id == name


def test_every_point_can_be_entered_in_its_default_unit() -> None:
    for point in all_points().values():
        row = units.unit_for(point.default_unit, point.kinds)
        assert row.name == point.default_unit, point.id


def test_every_point_says_where_it_stands_and_how_it_is_read() -> None:
    for point in all_points().values():
        assert point.group in GROUPS
        assert len(point.how) > 10
        assert set(point.kinds) <= set(units.kinds())
    labels = [point.label for point in all_points().values()]
    assert len(set(labels)) == len(labels)


def test_direction_keeps_the_family() -> None:
    assert point_kind("vibration_nde_axial").family == "vibration_nde"
    assert point_kind("leak_off").family == "leak_off"


@pytest.mark.parametrize(
    ("given", "nearest"),
    [("discharge_presure", "discharge_pressure"), ("Leak_Off", "leak_off"), ("ampere", None)],
)
def test_unknown_point_names_the_nearest(given: str, nearest: str | None) -> None:
    with pytest.raises(NotFoundError) as refused:
        point_kind(given)
    assert repr(given) in str(refused.value)
    assert (f"Did you mean {nearest!r}" in str(refused.value)) == (nearest is not None)
