"""`gaugewalk calc` as a person and as a program use it."""

import json
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from gaugewalk.cli.main import app
from gaugewalk.errors import ArgumentError, GaugewalkError, NotFoundError
from gaugewalk.watch.handbook import calculations


def run(*arguments: str) -> str:
    result = CliRunner().invoke(app, ["calc", *arguments], catch_exceptions=False)
    assert result.exit_code == 0, result.output
    return result.output


def data(*arguments: str) -> Any:
    return json.loads(run(*arguments, "--json"))


def test_the_list_has_formula_source_and_caution_of_each() -> None:
    listed = run()
    for one in calculations().values():
        assert f"{one.name}: {one.title}" in listed
        assert one.formula in listed
        assert one.source in listed
        assert all(caution in listed for caution in one.cautions)


def test_the_list_as_data() -> None:
    rows = data()
    assert {row["name"] for row in rows} == set(calculations())
    assert all(row["source"] and row["formula"] for row in rows)


def test_a_name_alone_explains_its_inputs() -> None:
    told = run("film")
    assert "outside_diameter" in told
    assert "needed" in told
    assert 'example: gaugewalk calc film speed="2950 rpm"' in told
    assert data("film")["inputs"][0] == {
        "name": "speed", "form": "quantity", "kind": "speed", "unit": "rpm",
        "words": "of the shaft", "required": True, "default": None, "choices": [],
    }  # fmt: skip


@pytest.mark.parametrize("name", list(calculations()))
def test_every_calculation_explains_itself(name: str) -> None:
    told = run(name)
    assert calculations()[name].title in told


def test_an_answer_for_a_person() -> None:
    told = run("synchronous-speed", "frequency=50 Hz", "poles=4")
    assert "1500 rpm" in told
    assert "formula: n = 120 f/p" in told


def test_an_answer_for_a_program() -> None:
    answer = data("hydraulic_power", "flow=100 m3/h", "head=50 m", "density=1000 kg/m3")
    assert answer["name"] == "hydraulic-power"
    assert answer["values"][0]["value"] == pytest.approx(1000 * 9.80665 * 100 / 3600 * 50)
    assert answer["values"][0]["text"] == "13.6 kW"
    assert answer["inputs"]["flow"] == "100 m3/h"


def test_one_without_needed_inputs_answers_at_once() -> None:
    assert data("seal-leak-limit")["values"]


def test_uncertainty_and_trials() -> None:
    pairs = ("head-of-pressure", "pressure_difference=5 +- 0.1 bar", "density=1000 kg/m3")
    first, trials = data(*pairs)["values"][0], data(*pairs, "--monte-carlo")["values"][0]
    assert trials["uncertainty"] == pytest.approx(first["uncertainty"], rel=0.1)
    assert trials["low"] < trials["value"] < trials["high"]
    assert "95 % interval" in run(*pairs, "--monte-carlo")


def test_elevation_lowers_the_barometer() -> None:
    pairs = ("npsh-from-gauge", "temperature=20", "suction_pressure=0 barg")
    sea, high = (
        data(*pairs, *more)["values"][0]["value"] for more in ((), ("--elevation", "2000 m"))
    )
    # ISO 2533: 795 mbar at 2000 m.
    assert sea - high == pytest.approx((101_325 - 79_495) / (998.2 * 9.80665), rel=2e-3)


def test_plot(tmp_path: Path) -> None:
    file = tmp_path / "window.svg"
    pairs = [f"{k}={v}" for k, v in calculations()["oil-temperature-window"].example.items()]
    assert f"chart: {file}" in run("oil-temperature-window", *pairs, "--plot", str(file)).replace(
        "\n", ""
    )
    assert file.read_text("utf-8").startswith("<svg")


@pytest.mark.parametrize(
    ("arguments", "error", "words"),
    [
        (("torqe",), NotFoundError, "Did you mean 'torque'"),
        (("torque", "shaft_power"), ArgumentError, "'shaft_power' is not key=value; expected such"),
        (("torque", "speed=1", "speed=2"), ArgumentError, "speed is given twice"),
        (("torque", "speed=1500"), ArgumentError, "also needs shaft_power"),
        (("torque", "power=1", "speed=1"), ArgumentError, "no input 'power'"),
        (("torque", "shaft_power=1", "speed=1", "--plot", "x.svg"), ArgumentError, "has no chart"),
        (("torque", "shaft_power=1", "speed=1", "--elevation", "high"), GaugewalkError, "high"),
    ],
)
def test_errors(arguments: tuple[str, ...], error: type[Exception], words: str) -> None:
    with pytest.raises(error, match=words):
        CliRunner().invoke(app, ["calc", *arguments], catch_exceptions=False)
