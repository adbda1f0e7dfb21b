"""Rows of published values: read from TOML, put through our functions, compared."""

import importlib
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pint

from gaugewalk.physics import liquids
from gaugewalk.physics.npsh import barometric_pressure

FOLDER = Path(__file__).parent / "check_values"
ATMOSPHERE, GRAVITY = 101_325.0, 9.80665
_units: pint.UnitRegistry[Any] = pint.UnitRegistry()
_units.define("gpm = gallon / minute")
_units.define("inHg = 3386.389 pascal")
_OWN = {"rpm": 1 / 60, "Hz": 1.0, "-": 1.0}  # speeds are revolutions per second here, not radians


def rows(name: str) -> list[dict[str, Any]]:
    """Return the rows of one file."""
    with (FOLDER / name).open("rb") as file:
        return list(tomllib.load(file)["row"])


def label(row: Mapping[str, Any]) -> str:
    """Return the name under which a row is reported."""
    return f"{row['id']} {row['call']}"


def check(row: Mapping[str, Any]) -> None:
    """Assert that our answer to a row is the published one within its tolerance."""
    answer = call(row)
    expected = row["expected"]
    allowed = row["abs"] if "abs" in row else row["rel"] * abs(expected)
    message = f"{row['id']}: {answer} {row['unit']} against {expected} ({row['source']})"
    assert abs(answer - expected) <= allowed, message


def call(row: Mapping[str, Any]) -> float:
    """Return our answer to a row, in the row's unit."""
    given = dict(row["args"])
    arguments: dict[str, Any] = {}
    if "density" in given:  # first: a column of liquid needs it
        arguments["density"] = _argument("density", given.pop("density"), 0.0)
    for name, value in given.items():
        arguments[name] = _argument(name, value, arguments.get("density", 0.0))
    module, function = row["call"].split(".")
    result = getattr(importlib.import_module(f"gaugewalk.physics.{module}"), function)(**arguments)
    if "pick" in row:
        result = getattr(result, row["pick"])
    unit = row["unit"]
    if unit in _OWN:
        return float(result)
    return float(_units.Quantity(float(result), _si_of(unit)).to(unit).magnitude)


def _argument(name: str, value: object, density: float) -> object:
    """Return one argument in SI units."""
    if name == "liquid":
        return liquids.find_liquid(str(value))
    if not isinstance(value, list):
        return value
    number, unit, *meaning = value
    si = number * _OWN[unit] if unit in _OWN else _to_si(number, unit)
    return _meant(name, si, meaning[0], density) if meaning else si


def _meant(name: str, si: float, meaning: str, density: float) -> float:
    """Return the argument that a printed number stands for."""
    if meaning == "gauge":
        return ATMOSPHERE + si
    if meaning == "vacuum":
        return ATMOSPHERE - si
    if meaning == "head":
        return si * density * GRAVITY
    if meaning == "altitude":
        return float(barometric_pressure(si))
    liquid = liquids.find_liquid(meaning)
    answer = liquids.density if name == "density" else liquids.vapor_pressure
    return float(answer(liquid, si))


def _to_si(value: float, unit: str) -> float:
    """Return a value in the SI unit of its kind."""
    return float(_units.Quantity(value, unit).to_base_units().to(_si_of(unit)).magnitude)


def _si_of(unit: str) -> Any:
    """Return the SI unit of a unit's kind; temperatures in kelvin."""
    return _units.Quantity(1.0, unit).to_base_units().units
