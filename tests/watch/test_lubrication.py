"""The program of a pump from plant file and formulas; the use of oil from what was topped up."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gaugewalk.plant.plant_file import load_plant
from gaugewalk.plant.pump import Lubrication, Pump
from gaugewalk.watch.care import Deed
from gaugewalk.watch.lubrication import Conditions, GreasePoint, grease_points, oil_points
from gaugewalk.watch.oil_use import DAY, oil_use
from gaugewalk.watch.procedure_file import load_procedures
from gaugewalk.watch.procedure_fit import settings_for

PLANT = load_plant(Path(__file__).with_name("care.toml"))
MONTH = 365.25 / 12 * DAY


def pump(tag: str) -> Pump:
    found = PLANT.pump(tag)
    assert found is not None
    return found


def given_for(one: Pump, **housing: float) -> Conditions:
    return Conditions(
        settings=settings_for(load_procedures(), one), housing=housing, round_every=4 * 3600.0
    )


def points(one: Pump, **housing: float) -> dict[str, GreasePoint]:
    return {p.place: p for p in grease_points(one, given_for(one, **housing))}


def test_amount_and_interval_by_the_formulas() -> None:
    de = points(pump("W1A"))["de"]
    # 0.005 x 100 mm x 25 mm = 12.5 g; 10 (14e6 / (1500 sqrt 45) - 4 x 45) = 12,113 h: the worked
    # figures of the two formulas (gaugewalk.physics.grease).
    assert de.mass is not None
    assert de.mass.value == pytest.approx(0.0125)
    assert de.interval is not None
    assert de.interval.value / 3600 == pytest.approx(12113.3, abs=0.1)
    assert de.strokes == 10  # at 1.3 g a stroke
    assert "0.005 D B" in de.mass.source
    assert "halved for each 15 K over 70 °C" in de.interval.source


def test_what_the_plant_file_says_comes_first_with_the_formula_beside_it() -> None:
    driver = points(pump("W1A"))["driver_de"]
    assert driver.mass is not None
    assert (driver.mass.value, driver.mass.source) == (pytest.approx(0.03), "plant file")
    assert driver.mass.beside == pytest.approx(0.0125)
    assert driver.interval is not None
    assert driver.interval.value == 4000 * 3600
    # A roller bearing: half as often as a ball bearing.
    assert driver.interval.beside == pytest.approx(12113.3 * 3600 / 2, rel=1e-4)
    assert any("too much heats a bearing" in remark for remark in driver.remarks)


def test_heat_halves_the_interval() -> None:
    cool = points(pump("W1A"), de=273.15 + 50)["de"].interval
    hot = points(pump("W1A"), de=273.15 + 74)["de"].interval  # 85 degC inside: 15 K over 70
    assert cool is not None
    assert hot is not None
    assert hot.value == pytest.approx(cool.value / 2, rel=1e-6)
    far = points(pump("W1A"), de=273.15 + 115)["de"]
    assert far.interval is None
    assert "The formula gives no interval" in far.remarks[0]


def test_a_vertical_shaft_halves_it_too() -> None:
    upright = replace(pump("W1A"), orientation="vertical")
    cool, half = points(pump("W1A"))["de"].interval, points(upright)["de"].interval
    assert cool is not None
    assert half is not None
    assert half.value == pytest.approx(cool.value / 2)


def test_a_bearing_that_the_file_does_not_know_asks_for_what_is_missing() -> None:
    bare = replace(pump("W1A"), bearings=())
    de = points(bare)["de"]
    assert (de.mass, de.interval, de.strokes) == (None, None, None)
    assert "add grease_mass" in de.remarks[0]
    assert "add grease_interval" in de.remarks[1]


def test_a_sleeve_bearing_gets_no_grease() -> None:
    sleeves = tuple(replace(bearing, kind="sleeve") for bearing in pump("W1A").bearings)
    assert set(points(replace(pump("W1A"), bearings=sleeves))) == {"de", "driver_de"}


def test_a_cup_spreads_one_charge_over_its_interval() -> None:
    cup = points(pump("G3"))["de"]
    assert cup.turns is not None
    assert (cup.turns.value, cup.strokes) == (0.25, None)
    # 12.5 g in 6,056.6 h (vertical), a round of 4 h, 0.95 g a turn.
    assert cup.turns.beside == pytest.approx(12.5 / 0.95 * 4 / 6056.65, rel=1e-3)
    own = replace(pump("G3"), lubrication=Lubrication(kind="grease cup", cup_turns_per_round=0.5))
    turns = points(own)["de"].turns
    assert turns is not None
    assert (turns.value, turns.source) == (0.5, "plant file")


def test_oil_is_changed_by_running_and_by_the_calendar() -> None:
    (bath,) = oil_points(pump("W1B"), given_for(pump("W1B")))
    assert bath.change_running is not None
    assert bath.change_running.value == 4000 * 3600
    assert bath.change_calendar is not None
    assert bath.change_calendar.value == pytest.approx(12 * MONTH)
    (warm,) = oil_points(pump("W1B"), given_for(pump("W1B"), de=373.15, driver_de=300.0))
    assert warm.change_calendar is not None
    assert warm.change_calendar.value == pytest.approx(3 * MONTH)  # printed: 3 months at 100 degC
    (oiler,) = oil_points(pump("H4"), given_for(pump("H4")))
    assert oiler.change_running is None
    assert oiler.change_calendar is not None
    assert oiler.change_calendar.value == pytest.approx(6 * MONTH)
    (system,) = oil_points(pump("F2"), given_for(pump("F2")))
    assert (system.change_running, system.change_calendar) == (None, None)
    assert system.sample is not None
    assert system.sample.value == pytest.approx(3 * MONTH)


# ------------------------------------------------------------------ oil use


def filled(day: float, amount: float | None) -> Deed:
    liters = None if amount is None else amount / 1e3
    return Deed(id=f"{day}", at=day * DAY, ran=0.0, who="v", amount=liters)


def rows(*pairs: tuple[float, float | None]) -> list[Deed]:
    return [filled(day, amount) for day, amount in pairs]


def test_steady_use_is_no_finding() -> None:
    use = oil_use(rows((0, 1), (10, 1), (20, 1.1), (30, 0.9)), [], 1.5, now=31 * DAY)
    assert not use.growing
    assert use.grew == pytest.approx(0.09 / 0.105)
    assert use.rate == pytest.approx(0.9e-3 / (10 * DAY))


def test_too_few_top_ups_say_nothing() -> None:
    assert oil_use([], [], 1.5, now=0.0).sentence == "Not topped up."
    assert oil_use(rows((0, 1)), [], 1.5, now=DAY).sentence == "Topped up once."
    use = oil_use(rows((0, 1), (10, 1), (11, 1)), [], 1.5, now=12 * DAY)
    assert (use.growing, use.grew) == (False, None)
    assert "too few to compare" in use.sentence


def test_without_amounts_the_spacing_counts() -> None:
    use = oil_use(rows((0, None), (10, 1), (20, 1), (24, None)), [], 1.5, now=24 * DAY)
    assert use.growing
    assert "once in 4.0 days, usually once in 10.0 days" in use.sentence


def test_two_goes_are_one_and_a_change_begins_anew() -> None:
    use = oil_use(rows((0, 1), (10, 0.5), (10.1, 0.5), (20, 1), (30, 1)), [], 1.5, now=30 * DAY)
    assert (use.count, use.growing) == (4, False)
    assert use.grew == pytest.approx(1.0, rel=0.05)
    # Topped up two days after an oil change that filled it to the mark: that is the use, and the
    # eight days before the change say nothing.
    use = oil_use(rows((0, 1), (10, 1), (20, 1), (30, 1)), [filled(28, 5.0)], 1.5, now=30 * DAY)
    assert use.growing
    assert use.grew == pytest.approx(5.0)


def test_oil_that_lasts_again_no_longer_grows() -> None:
    grown = rows((0, 1), (10, 1), (20, 1), (24, 1))
    assert oil_use(grown, [], 1.5, now=34 * DAY).growing
    assert not oil_use(grown, [], 1.5, now=34.1 * DAY).growing


@given(st.lists(st.floats(0.1, 5.0), min_size=4, max_size=12), st.floats(0.1, 10.0))
def test_the_unit_of_the_amounts_does_not_matter(liters: list[float], factor: float) -> None:
    plain = oil_use(rows(*((10.0 * n, x) for n, x in enumerate(liters))), [], 1.5, now=0.0)
    scaled = oil_use(
        rows(*((10.0 * n, factor * x) for n, x in enumerate(liters))), [], 1.5, now=0.0
    )
    assert scaled.grew == pytest.approx(plain.grew)
