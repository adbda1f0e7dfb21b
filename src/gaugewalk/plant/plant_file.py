"""Read the plant file: every fault at once, each with its table, key and line."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from gaugewalk.errors import FileError, OutOfRangeError, Problem, nearest_word
from gaugewalk.plant.build import Spot, build
from gaugewalk.plant.faults import Faults, problems, shown
from gaugewalk.plant.plant_rules import check_plant
from gaugewalk.plant.pump import Plant, Pump, RoundPlan
from gaugewalk.plant.site import barometric
from gaugewalk.plant.toml_text import line_finder, read_toml
from gaugewalk.units import STANDARD_PRESSURE

_TOP = ("plant", "pump", "round")


def load_plant(path: Path | str) -> Plant:
    """Read a plant file.

    Raises
    ------
    FileError
        The file cannot be read, or has faults; all of them are listed.
    """
    path = Path(path)
    try:
        text = path.read_bytes().decode("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        reason = Problem(where=str(path), given=str(error), expected="a readable file in UTF-8")
        raise FileError(f"{path.name} cannot be read.", [reason]) from error
    plant, found = check_plant_text(text, path.name)
    if plant is None:
        grave = [problem for problem in found if problem.grave]
        raise FileError(f"{path.name}: {len(grave)} fault{'s' * (len(grave) != 1)}.", grave)
    return plant


def check_plant_text(text: str, name: str) -> tuple[Plant | None, tuple[Problem, ...]]:
    """Check the text of a plant file.

    Parameters
    ----------
    text : str
        The whole file.
    name : str
        Its name, for the messages.

    Returns
    -------
    plant : Plant or None
        None if there is a grave problem.
    problems : tuple of Problem
        Grave ones first, then remarks, each by line.

    Examples
    --------
    >>> plant, found = check_plant_text('[plant]\\nname = "Mill"\\nelevatoin = "20 m"\\n', "a.toml")
    >>> print(plant, *found, sep="\\n")
    None
    pump: given nothing; expected one or more tables [[pump]].
    line 3, plant.elevatoin: given key 'elevatoin'; expected a known key of this table. \
Did you mean 'elevation'?
    """
    if not text.strip():
        expected = "a plant file with [plant] and one or more [[pump]]"
        return None, (Problem(where=name, given="an empty file", expected=expected),)
    data, syntax = read_toml(text)
    if syntax and not data:
        return None, syntax
    faults = Faults()
    head = _head(data, faults)
    air = _air(head, faults)
    plant = _with_lists(head, data, faults, air)
    check_plant(plant, faults, air=air, whole=not syntax)
    found = problems(faults, data, line_finder(text)) if faults.items else ()
    everything = (*syntax, *found)
    return (None if any(p.grave for p in everything) else plant), everything


@dataclass(frozen=True, slots=True, kw_only=True)
class _Lists:
    """The lists of tables that stand beside [plant]; the fields of `Plant` with the same names."""

    pumps: tuple[Pump, ...] = ()
    rounds: tuple[RoundPlan, ...] = ()


def _head(data: Mapping[str, Any], faults: Faults) -> Plant:
    """Build what stands in [plant]; the air pressure there is never a gauge pressure."""
    for key in data:
        if key not in _TOP:
            near = nearest_word(key, _TOP)
            faults.add((key,), f"table {key[:40]!r}", "[plant], [[pump]] or [[round]]", near)
    table = data.get("plant")
    if not isinstance(table, Mapping):
        given = "nothing" if table is None else shown(table)
        faults.add(("plant",), given, "a table [plant] with the name of the plant")
        table = {"name": "?"}
    spot = Spot(faults=faults, barometric=STANDARD_PRESSURE, table=table, path=("plant",))
    return build(Plant, spot, leave_out=("pumps", "rounds"))


def _with_lists(head: Plant, data: Mapping[str, Any], faults: Faults, air: float) -> Plant:
    table = {key: data[key] for key in ("pump", "round") if key in data}
    lists = build(_Lists, Spot(faults=faults, barometric=air, table=table, path=()))
    return replace(head, pumps=lists.pumps, rounds=lists.rounds)


def _air(plant: Plant, faults: Faults) -> float:
    """Return the air pressure that the gauge pressures of the file are counted from."""
    try:
        return barometric(plant)
    except OutOfRangeError:
        return STANDARD_PRESSURE  # `check_plant` says what is wrong with the elevation
