"""Reading a case from JSON: every fault is collected and named with the nearest known word."""

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from gaugewalk.diagnose.case import Case, CaseCurve, CaseLiquid, Done
from gaugewalk.diagnose.knowledge import Knowledge, load_knowledge
from gaugewalk.diagnose.knowledge_check import FACTS, unknown_word
from gaugewalk.errors import CaseError, GaugewalkError, Problem
from gaugewalk.plant.points import all_points
from gaugewalk.units import STANDARD_PRESSURE, Quantity, parse, parse_range

_TOP = ("pump", "readings", "normal", "observations", "done")
_RATED = {
    "flow": "flow",
    "head": "length",
    "npshr": "length",
    "speed": "speed",
    "power": "power",
    "current": "current",
}
_LIQUID = ("name", "temperature", "mass_fraction", "hazards")
_HAZARDS = ("hot", "toxic", "flammable", "corrosive", "slippery")
# Columns of a curve: kind of quantity and whether it must be there.
_CURVE = {"flow": "flow", "head": "length", "power": "power", "npshr": "length"}
_PUMP = (
    *FACTS,
    "liquid",
    "rated",
    "curve",
    "tag",
    "name",
    "elevation",
    "barometric_pressure",
    "suction_diameter",
    "discharge_diameter",
)


@dataclass(slots=True)
class _Reader:
    """Collects what is wrong while it reads."""

    knowledge: Knowledge
    problems: list[Problem] = field(default_factory=list)
    barometric: float = STANDARD_PRESSURE

    def fault(self, where: str, given: object, expected: str) -> None:
        self.problems.append(Problem(where=where, given=repr(given)[:80], expected=expected))

    def table(self, where: str, value: object) -> Mapping[str, Any]:
        if value is None:
            return {}
        if isinstance(value, Mapping):
            return value
        self.fault(where, value, "a table of keys and values")
        return {}

    def known(self, where: str, keys: Iterable[str], allowed: Iterable[str]) -> None:
        allowed = tuple(allowed)
        self.problems += [
            unknown_word(f"{where}.{key}" if where else str(key), str(key), allowed)
            for key in keys
            if key not in allowed
        ]

    def quantity(self, where: str, value: object, kinds: str | tuple[str, ...]) -> Quantity | None:
        """Read a text with a unit, or a table with low and high."""
        try:
            if isinstance(value, Mapping) and value.keys() == {"low", "high"}:
                return parse_range(
                    str(value["low"]), str(value["high"]), kinds, barometric=self.barometric
                )
            if isinstance(value, str):
                return parse(value, kinds, barometric=self.barometric)
        except GaugewalkError as error:
            self.fault(where, value, getattr(error, "expected", str(error)).removesuffix("."))
            return None
        self.fault(where, value, 'a text with its unit, or {"low": ..., "high": ...}')
        return None

    def number(self, where: str, value: object, kinds: str) -> float | None:
        found = self.quantity(where, value, kinds)
        return None if found is None else found.value


def read_case(data: object, knowledge: Knowledge | None = None) -> Case:
    """Read one case as it stands in JSON (see the design's section 6).

    Parameters
    ----------
    data : object
        The decoded JSON.
    knowledge : Knowledge, optional
        Whose findings may be named; the built-in knowledge where none is given.

    Raises
    ------
    CaseError
        Lists every unknown key, finding, point or unit, each with the nearest known one.

    Examples
    --------
    >>> case = read_case({"pump": {"suction": "lift"},
    ...                   "readings": {"discharge_pressure": "3.1 barg"},
    ...                   "observations": [{"finding": "noise-hiss", "present": True}]})
    >>> case.facts["suction"], case.observations["noise-hiss"]
    ('lift', True)
    >>> read_case({"pump": {"suction": "lifted"}})
    Traceback (most recent call last):
    gaugewalk.errors.CaseError: the case has 1 fault
      - pump.suction: given 'lifted'; expected one of flooded, lift, vessel, sump.
        Did you mean 'lift'?
    """
    reader = _Reader(knowledge or load_knowledge())
    top = reader.table("case", data)
    if data is None:
        reader.fault("case", data, "a table of keys and values")
    reader.known("", top, _TOP)
    pump = reader.table("pump", top.get("pump"))
    reader.known("pump", pump, _PUMP)
    reader.barometric = _barometric(reader, pump)
    case = Case(
        facts=MappingProxyType(_facts(reader, pump)),
        liquid=_liquid(reader, pump.get("liquid")),
        rated=MappingProxyType(_rated(reader, pump.get("rated"))),
        curve=_curve(reader, pump.get("curve")),
        readings=MappingProxyType(_readings(reader, "readings", top.get("readings"))),
        normal=MappingProxyType(_readings(reader, "normal", top.get("normal"))),
        observations=MappingProxyType(_observations(reader, top.get("observations"))),
        done=_done(reader, top.get("done")),
        barometric=reader.barometric,
        suction_diameter=_length(reader, pump, "suction_diameter"),
        discharge_diameter=_length(reader, pump, "discharge_diameter"),
    )
    if reader.problems:
        count = len(reader.problems)
        raise CaseError(f"the case has {count} fault{'s' if count > 1 else ''}", reader.problems)
    return case


def read_case_text(text: str, knowledge: Knowledge | None = None) -> Case:
    """Read one case from JSON text.

    Raises
    ------
    CaseError
        The text is no JSON, or see `read_case`.
    """
    try:
        data = json.loads(text)
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        given = repr(text[error.pos :].strip()[:60]) if text[error.pos :].strip() else "the end"
        problem = Problem(
            where=f"case, {place}", given=given, expected=f"one case as JSON: {error.msg}"
        )
        raise CaseError("the case is not JSON", [problem]) from error
    except (ValueError, RecursionError) as error:  # a number of 5,000 digits; 10,000 brackets
        problem = Problem(
            where="case", given=repr(text[:60]), expected="one case, as short as a person writes it"
        )
        raise CaseError("the case cannot be read", [problem]) from error
    return read_case(data, knowledge)


def _barometric(reader: _Reader, pump: Mapping[str, Any]) -> float:
    if "barometric_pressure" in pump:
        found = reader.number("pump.barometric_pressure", pump["barometric_pressure"], "pressure")
        return STANDARD_PRESSURE if found is None else found
    if "elevation" in pump:
        from gaugewalk.physics.npsh import barometric_pressure

        found = reader.number("pump.elevation", pump["elevation"], "length")
        return STANDARD_PRESSURE if found is None else float(barometric_pressure(found))
    return STANDARD_PRESSURE


def _length(reader: _Reader, pump: Mapping[str, Any], key: str) -> float | None:
    return reader.number(f"pump.{key}", pump[key], "length") if key in pump else None


def _facts(reader: _Reader, pump: Mapping[str, Any]) -> dict[str, object]:
    facts: dict[str, object] = {}
    for key, allowed in FACTS.items():
        if key not in pump:
            continue
        value = pump[key]
        # In Python True == 1: a fact is a word or a truth value, never a number.
        if type(value) in (str, bool) and value in allowed:
            facts[key] = value
        elif allowed == (True, False):
            reader.fault(f"pump.{key}", value, "true or false")
        else:
            reader.problems.append(
                unknown_word(f"pump.{key}", str(value), [str(word) for word in allowed])
            )
    return facts


def _liquid(reader: _Reader, value: object) -> CaseLiquid:
    raw = reader.table("pump.liquid", {"name": value} if isinstance(value, str) else value)
    reader.known("pump.liquid", raw, _LIQUID)
    name = raw.get("name", "")
    if not isinstance(name, str):
        reader.fault("pump.liquid.name", name, "a text")
        name = ""
    temperature = fraction = None
    if "temperature" in raw:
        temperature = reader.number("pump.liquid.temperature", raw["temperature"], "temperature")
    if "mass_fraction" in raw:
        fraction = reader.number("pump.liquid.mass_fraction", raw["mass_fraction"], "fraction")
    hazards = raw.get("hazards", ())
    if isinstance(hazards, str) or not isinstance(hazards, Sequence):
        reader.fault("pump.liquid.hazards", hazards, "a list of words")
        hazards = ()
    reader.known("pump.liquid.hazards", [str(one) for one in hazards], _HAZARDS)
    return CaseLiquid(
        name=name,
        temperature=temperature,
        mass_fraction=fraction,
        hazards=tuple(str(one) for one in hazards),
    )


def _rated(reader: _Reader, value: object) -> dict[str, float]:
    raw = reader.table("pump.rated", value)
    reader.known("pump.rated", raw, _RATED)
    found = {
        key: reader.number(f"pump.rated.{key}", raw[key], kind)
        for key, kind in _RATED.items()
        if key in raw
    }
    return {key: number for key, number in found.items() if number is not None}


def _curve(reader: _Reader, value: object) -> CaseCurve | None:
    if value is None:
        return None
    raw = reader.table("pump.curve", value)
    units = {f"{key}_unit": kind for key, kind in _CURVE.items()}
    reader.known("pump.curve", raw, [*_CURVE, *units, "efficiency", "speed"])
    columns = {key: _column(reader, raw, key, kind) for key, kind in _CURVE.items()}
    efficiency = _numbers(reader, "pump.curve.efficiency", raw.get("efficiency", ()))
    speed = reader.number("pump.curve.speed", raw["speed"], "speed") if "speed" in raw else None
    if not columns["flow"] or not columns["head"]:
        reader.fault("pump.curve", list(raw), "flow and head, two rows or more")
        return None
    lengths = {len(column) for column in (*columns.values(), efficiency) if column}
    rising = all(b > a for a, b in zip(columns["flow"], columns["flow"][1:], strict=False))
    if len(lengths) > 1 or lengths < {2} or not rising:
        reader.fault(
            "pump.curve", sorted(lengths), "rows of equal length, two or more, with rising flow"
        )
        return None
    return CaseCurve(
        flow=columns["flow"],
        head=columns["head"],
        power=columns["power"],
        npshr=columns["npshr"],
        efficiency=efficiency,
        speed=speed,
    )


def _column(reader: _Reader, raw: Mapping[str, Any], key: str, kind: str) -> tuple[float, ...]:
    """Return one column of a curve in SI; npshr may go without a unit of its own (that of head)."""
    if key not in raw:
        return ()
    numbers = _numbers(reader, f"pump.curve.{key}", raw[key])
    unit = raw.get(f"{key}_unit") or (raw.get("head_unit") if key == "npshr" else None)
    if not isinstance(unit, str):
        reader.fault(f"pump.curve.{key}_unit", unit, f"the unit of {key}, such as 'm3/h' or 'm'")
        return ()
    found = [reader.number(f"pump.curve.{key}", f"{one!r} {unit}", kind) for one in numbers]
    return tuple(one for one in found if one is not None)


def _numbers(reader: _Reader, where: str, value: object) -> tuple[float, ...]:
    if isinstance(value, Sequence) and not isinstance(value, str):
        if all(isinstance(one, (int, float)) and not isinstance(one, bool) for one in value):
            return tuple(float(one) for one in value)
    reader.fault(where, value, "a list of numbers")
    return ()


def _readings(reader: _Reader, where: str, value: object) -> dict[str, Quantity]:
    raw = reader.table(where, value)
    reader.known(where, raw, all_points())
    found = {
        key: reader.quantity(f"{where}.{key}", one, all_points()[key].kinds)
        for key, one in raw.items()
        if key in all_points()
    }
    return {key: quantity for key, quantity in found.items() if quantity is not None}


def _rows(reader: _Reader, where: str, value: object) -> list[tuple[str, Mapping[str, Any]]]:
    if value is None:
        return []
    if not isinstance(value, Sequence) or isinstance(value, str):
        reader.fault(where, value, "a list")
        return []
    return [(f"{where}[{i}]", reader.table(f"{where}[{i}]", row)) for i, row in enumerate(value)]


def _observations(reader: _Reader, value: object) -> dict[str, bool]:
    seen: dict[str, bool] = {}
    for where, row in _rows(reader, "observations", value):
        reader.known(where, row, ("finding", "present"))
        finding, present = row.get("finding"), row.get("present")
        if not isinstance(finding, str) or finding not in reader.knowledge.findings:
            reader.problems.append(
                unknown_word(f"{where}.finding", str(finding), reader.knowledge.findings)
            )
        elif not isinstance(present, bool):
            reader.fault(f"{where}.present", present, "true or false")
        elif seen.get(finding, present) != present:
            reader.fault(f"{where}.{finding}", present, "one answer: it stands twice, both ways")
        else:
            seen[finding] = present
    return seen


def _done(reader: _Reader, value: object) -> tuple[Done, ...]:
    rules = reader.knowledge.done_rules
    actions = {rule.action for rule in rules}
    done = []
    for where, row in _rows(reader, "done", value):
        reader.known(where, row, ("action", "when", "result", "returned_after"))
        action = row.get("action")
        if action not in actions:
            reader.problems.append(unknown_word(f"{where}.action", str(action), sorted(actions)))
            continue
        results = sorted({r.result for r in rules if r.action == action and r.result})
        result = row.get("result", "")
        if result and result not in results:
            reader.problems.append(unknown_word(f"{where}.result", str(result), results))
        after = row.get("returned_after")
        done.append(
            Done(
                action=str(action),
                when=str(row.get("when", "")),
                result=str(result),
                returned_after=_optional(reader, f"{where}.returned_after", after),
            )
        )
    return tuple(done)


def _optional(reader: _Reader, where: str, value: object) -> float | None:
    read: Callable[[str, object, str], float | None] = reader.number
    return None if value is None else read(where, value, "duration")
