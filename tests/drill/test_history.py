"""The history of Larkmoor: the same from the same seed, in order, and true to its stories."""

from datetime import UTC, datetime, timedelta
from itertools import pairwise

import numpy as np
import pytest

from gaugewalk import units
from gaugewalk.drill.faults import DUTY, STORIES
from gaugewalk.drill.history import records
from gaugewalk.drill.larkmoor import larkmoor
from gaugewalk.drill.rounds import WATCHES
from gaugewalk.physics.npsh import npsh_from_gauge
from gaugewalk.plant.circuit import circuit_of, liquid_table
from gaugewalk.plant.points import point_kind
from gaugewalk.plant.site import barometric

PLANT = larkmoor()
AIR = barometric(PLANT)
NOW = datetime(2025, 6, 12, 13, 10, tzinfo=UTC)
WHOLE = records(PLANT, now=NOW)


def series(tag: str, point: str) -> tuple[np.ndarray, np.ndarray]:
    """Days before now and readings [SI] of one point, slips put right."""
    rows = [r for r in WHOLE if (r.tag, r.point, r.kind) == (tag, point, "reading")]
    kinds = point_kind(point).kinds
    kept = [a for a, b in zip(rows, [*rows[1:], rows[-1]], strict=True) if not b.corrects or a is b]
    days = [(row.seen_at - NOW) / timedelta(days=1) for row in kept]
    values = [units.parse(row.text, kinds, barometric=AIR).value for row in kept]
    return np.array(days), np.array(values)


def around(tag: str, point: str, first: float, last: float) -> float:
    days, values = series(tag, point)
    return float(np.median(values[(days >= first) & (days <= last)]))


# ------------------------------------------------------------------ the machinery


def test_the_same_seed_and_now_give_the_same_history() -> None:
    assert records(PLANT, now=NOW, seed=7, days=4) == records(PLANT, now=NOW, seed=7, days=4)


def test_another_seed_gives_other_readings() -> None:
    assert records(PLANT, now=NOW, seed=8, days=2) != records(PLANT, now=NOW, seed=7, days=2)


def test_time_only_goes_forward_and_ends_at_now() -> None:
    times = [record.seen_at for record in WHOLE]
    assert times == sorted(times)
    assert NOW - timedelta(days=60) <= times[0]
    assert NOW - timedelta(hours=4) <= times[-1] <= NOW


def test_every_reading_can_be_read_in_its_point() -> None:
    for record in WHOLE:
        if record.kind == "reading":
            units.parse(record.text, point_kind(record.point).kinds, barometric=AIR)


def test_only_the_three_watches_sign() -> None:
    assert {record.who for record in WHOLE} == set(WATCHES)


def test_every_pump_is_visited_and_read() -> None:
    read = {record.tag for record in WHOLE if record.kind == "reading"}
    assert read == {pump.tag for pump in PLANT.pumps}


def test_the_newest_round_of_the_refinery_is_half_walked() -> None:
    rounds = [r for r in WHOLE if r.kind == "round" and r.text == "extraction and refinery"]
    assert rounds[-1].point != "finished"
    seen = {r.tag for r in WHOLE if r.round_no == rounds[-1].round_no and r.tag}
    areas = {"Extraction", "Refinery"}
    assert 0 < len(seen) < sum(pump.area in areas for pump in PLANT.pumps)


def test_points_not_taken_have_a_reason() -> None:
    skipped = [record for record in WHOLE if record.kind == "skipped"]
    assert skipped
    assert all(len(record.text) > 5 for record in skipped)


def test_a_slip_is_put_right_at_once() -> None:
    where = [n for n, record in enumerate(WHOLE) if record.corrects]
    assert where
    for n in where:
        wrong, right = WHOLE[n - 1], WHOLE[n]
        assert (wrong.tag, wrong.point) == (right.tag, right.point)
        assert wrong.text != right.text


@pytest.mark.parametrize("pair", sorted(DUTY))
def test_one_pump_of_a_pair_runs(pair: str) -> None:
    for record in WHOLE:
        if record.tag[:3] == pair and record.kind == "reading" and record.point == "flow":
            days = (record.seen_at - NOW) / timedelta(days=1)
            on = [tag for start, tag in DUTY[pair] if start <= days]
            assert record.tag == on[-1]


def test_every_story_is_about_a_pump_of_the_plant() -> None:
    assert STORIES.keys() <= {pump.tag for pump in PLANT.pumps}


# ------------------------------------------------------------------ the stories, in the readings


def test_npsh_falls_as_the_miscella_strainer_clogs() -> None:
    pump = PLANT.pump("E21A")
    assert pump is not None
    liquid = liquid_table(pump.liquid)
    days, pressure = series("E21A", "suction_pressure")
    flow_days, flow = series("E21A", "flow")
    circuit = circuit_of(pump, barometric=AIR)
    weight = float(liquid.density_at(circuit.liquid_temperature)) * 9.80665
    vapor = float(liquid.vapor_pressure_at(circuit.liquid_temperature))
    steady = np.interp(days, flow_days, flow)
    margin = np.asarray(
        npsh_from_gauge(
            pressure,
            vapor,
            weight / 9.80665,
            gauge_elevation=circuit.suction.gauge_elevation,
            flow=steady,
            diameter=circuit.suction.diameter,
        )
    ) - np.interp(steady, circuit.machine.flow, circuit.machine.npshr)
    by_day = [float(np.median(margin[(days > d) & (days <= d + 1)])) for d in range(-9, 0)]
    assert by_day[0] > 4.0
    assert by_day[-1] < 1.0
    assert np.all(np.diff(by_day[2:]) < 0.1)


def test_the_strainer_drop_passes_its_limit_and_a_cleaning_brings_it_back() -> None:
    pump = PLANT.pump("E21A")
    assert pump is not None
    assert pump.suction_strainer is not None
    assert pump.suction_strainer.limit_dp is not None
    assert around("E21A", "suction_strainer_dp", -0.5, 0.0) > pump.suction_strainer.limit_dp
    before = around("E21A", "suction_strainer_dp", -12.0, -9.2)
    assert around("E21A", "suction_strainer_dp", -8.8, -8.0) < before / 1.5


def test_air_comes_back_after_each_of_four_ventings() -> None:
    vented = [r for r in WHOLE if r.tag == "F11A" and r.trial == "vent"]
    assert len(vented) == 4
    assert (vented[-1].seen_at - vented[0].seen_at) < timedelta(days=6)
    swings = [
        r for r in WHOLE if r.tag == "F11A" and r.point == "discharge_pressure" and "to" in r.text
    ]
    for before, after in pairwise(vented):
        assert any(before.seen_at < r.seen_at < after.seen_at for r in swings)
    assert swings[-1].seen_at > NOW - timedelta(hours=12)


def test_seal_water_of_the_effluent_pump_falls_off() -> None:
    usual = around("F11A", "seal_water_flow", -13.0, -9.0)
    assert around("F11A", "seal_water_flow", -1.0, 0.0) < 0.4 * usual


def test_the_oil_cooler_fouls_and_the_reservoir_needs_ever_more() -> None:
    assert around("B11A", "oil_supply_temperature", -2.0, 0.0) > 3.0 + around(
        "B11A", "oil_supply_temperature", -58.0, -45.0
    )
    topped = [r.seen_at for r in WHOLE if r.tag == "B11A" and "Topped up" in r.text]
    gaps = np.diff([moment.timestamp() for moment in topped])
    assert len(topped) == 4
    assert np.all(np.diff(gaps) < 0.0)


def test_one_bearing_of_the_cooling_water_pump_warms_alone() -> None:
    gap = [
        around("W21A", "bearing_temperature_de", *span)
        - around("W21A", "bearing_temperature_nde", *span)
        for span in ((-46.0, -20.0), (-2.0, 0.0))
    ]
    assert gap[1] > gap[0] + 4.0


def test_worn_rings_take_flow_over_two_months() -> None:
    early = around("W11A", "flow", -60.0, -51.0)
    assert around("W11A", "flow", -4.0, 0.0) < 0.97 * early


def test_only_the_discharge_gauge_of_the_degummed_oil_pump_lies() -> None:
    spans = ((-20.0, -12.2), (-6.0, 0.0))
    pressure = [around("R11A", "discharge_pressure", *span) for span in spans]
    current = [around("R11A", "motor_current", *span) for span in spans]
    assert pressure[1] < pressure[0] - 0.3e5
    assert current[1] == pytest.approx(current[0], rel=0.03)


def test_the_glycol_seal_begins_to_drip() -> None:
    assert around("R41A", "seal_leakage", -12.0, -5.0) == 0.0
    per_drop = 0.05e-6 / 60.0
    assert around("R41A", "seal_leakage", -0.5, 0.0) > 4.0 * per_drop


def test_condensate_nears_boiling_in_the_warm_spell() -> None:
    warm = around("B21A", "liquid_temperature", -2.0, 0.0)
    assert warm > around("B21A", "liquid_temperature", -19.0, -5.0) + 1.0
    assert warm < 373.15


def test_sound_pumps_stay_where_they_are() -> None:
    for tag, point in (("R31", "flow"), ("E11A", "discharge_pressure"), ("W31", "motor_current")):
        pump = PLANT.pump(tag)
        assert pump is not None
        place = pump.point(point)
        assert place is not None
        assert place.usual is not None
        assert around(tag, point, -5.0, 0.0) == pytest.approx(place.usual, rel=0.08)
