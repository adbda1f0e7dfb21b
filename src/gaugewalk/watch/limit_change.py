"""Change a limit or a datum of a pump: who, when, why, old and new; the plant file stays the base.

Readings judged before keep the limits they were judged with: those stand in their entries.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Annotated, Any, get_args, get_origin, get_type_hints

from gaugewalk.errors import ArgumentError, nearest_word
from gaugewalk.journal.entry import Entry
from gaugewalk.plant.faults import Faults
from gaugewalk.plant.points import point_kind
from gaugewalk.plant.pump import Pump
from gaugewalk.plant.pump_rules import check_pump
from gaugewalk.units import Quantity, parse, show
from gaugewalk.watch.changes import (
    POINT_FIELDS,
    Changes,
    Target,
    change_key,
    changes_after,
    value_of,
    with_value,
)
from gaugewalk.watch.desk import Desk, unit_of, worded
from gaugewalk.watch.limit_views import LimitChange, LimitLine, LimitsView
from gaugewalk.watch.sitting import sitting
from gaugewalk.watch.stamp import Stamp, sent_before

# Parts of a pump in which a quantity may be changed; nameplate and curve are changed in the file.
_PARTS = (
    "seal", "lubrication", "driver_lubrication", "suction_strainer", "discharge_strainer",
    "source", "rated",
)  # fmt: skip
_NONE = "none"  # typed to take a limit away
_EVER = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True, kw_only=True)
class _New:
    """What a value shall be: the quantity as typed, or none to take it away."""

    quantity: Quantity | None
    restored: bool = False

    @property
    def value(self) -> float | None:
        return self.quantity.value if self.quantity else None


def change_limit(
    desk: Desk, tag: str, field: str, text: str, by: Stamp, *, why: str, point: str | None = None
) -> Entry:
    """Put a limit or a datum in force in the place of the one before.

    Parameters
    ----------
    desk, tag
        At which pump.
    field : str
        At an observation point one of `changes.POINT_FIELDS`; else a path of the plant file's
        keys, as in "lubrication.grease_mass".
    text : str
        The new value as typed, or "none" to take a limit away.
    by : Stamp
        Who and when.
    why : str
        The reason; without one nothing is changed.
    point : str, optional
        The observation point.

    Raises
    ------
    ArgumentError
        There is no such field, the value is the one in force, or the limits would contradict each
        other.
    UnitError
        The value cannot be read.
    """
    pump, target = desk.pump(tag), _target(field, point)
    quantity = None if text.strip().lower() == _NONE else _read(desk, pump, target, text)
    if quantity is None and target.point is None:
        raise ArgumentError(f"{field} = none; a datum of the pump is changed, not taken away.")
    return _store(desk, pump, target, _New(quantity=quantity), by, why)


def restore_limit(
    desk: Desk, tag: str, field: str, by: Stamp, *, why: str, point: str | None = None
) -> Entry:
    """Put what the plant file says in force again."""
    pump, target = desk.pump(tag), _target(field, point)
    if target.key not in desk.changes.get(tag, {}):
        raise ArgumentError(f"{target.key} of {tag} is as the plant file has it.")
    return _store(desk, pump, target, _New(quantity=None, restored=True), by, why)


def _target(field: str, point: str | None) -> Target:
    if point is not None:
        if field not in POINT_FIELDS:
            near = nearest_word(field, POINT_FIELDS)
            hint = f" Did you mean {near!r}?" if near else ""
            raise ArgumentError(
                f"field = {field[:40]!r}; of a point one of {', '.join(POINT_FIELDS)}.{hint}"
            )
        return Target(field=field, point=point_kind(point).id)
    if field.split(".")[0] not in _PARTS or "." not in field:
        raise ArgumentError(
            f"field = {field[:40]!r}; without a point, a key of {', '.join(_PARTS)} as in "
            "'lubrication.grease_mass'. Everything else is changed in the plant file."
        )
    return Target(field=field)


def _read(desk: Desk, pump: Pump, target: Target, text: str) -> Quantity:
    if target.point is not None:
        kinds, unit = point_kind(target.point).kinds, unit_of(pump, target.point)
        return parse(text, kinds, default_unit=unit, barometric=desk.barometric)
    kind, bound = _kind_at(pump, target.field)
    quantity = parse(text, kind, barometric=desk.barometric)
    words, holds = _BOUNDS.get(bound, ("", None))
    if holds is not None and not holds(quantity.value):
        raise ArgumentError(f"{target.field} = {text.strip()!r}; expected {words}.")
    return quantity


_BOUNDS: Mapping[str, tuple[str, Callable[[float], bool]]] = {
    "above zero": ("a value above zero", lambda value: value > 0.0),
    "not negative": ("a value of zero or more", lambda value: value >= 0.0),
    "share": ("a share from 0 to 1 (0 to 100 %)", lambda value: 0.0 <= value <= 1.0),
}


def _kind_at(pump: Pump, field: str) -> tuple[str, str]:
    """Return the kind of quantity at a path of the plant file's keys, and its bound."""
    here: Any = pump
    *parents, name = field.split(".")
    for parent in parents:
        here = getattr(here, parent, None)
        if here is None:
            raise ArgumentError(
                f"The plant file has no {parent} for {pump.tag}: add it there, with all its keys."
            )
    hint = get_type_hints(type(here), include_extras=True).get(name)
    found = next((one for one in (hint, *get_args(hint)) if _is_quantity(one)), None)
    if found is None:
        raise ArgumentError(f"field = {field[:40]!r} is no quantity that can be changed here.")
    _, kind, *bound = get_args(found)
    return str(kind), str(bound[0]) if bound else ""


def _is_quantity(hint: object) -> bool:
    return get_origin(hint) is Annotated and get_args(hint)[0] is float


def _store(desk: Desk, pump: Pump, target: Target, new: _New, by: Stamp, why: str) -> Entry:
    body: dict[str, Any] = {"field": target.field, "why": worded("why", why, longest=300)}
    body |= {"restored": True} if new.restored else {}
    fields = _fields(new.quantity)
    with sitting(desk, by.now) as work:
        draft = by.entry("limit", body, tag=pump.tag, point=target.point, **fields)
        known = sent_before(work.ledger, draft)
        if known is not None:
            return known
        changes: Changes = work.ledger.load_state(change_key(pump.tag)) or {}
        filed = desk.as_filed(pump.tag)
        value = value_of(filed, target) if new.restored else new.value
        old = value_of(pump, target)
        if not new.restored:
            _check(desk, pump, target, old, value)
        text = f"{words_of(target)}: {_shown(desk, pump, target, old)} to "
        text += f"{_shown(desk, pump, target, value)}, because: {body['why']}"
        body |= {"old": old, "text": text}
        entry = by.entry("limit", body, tag=pump.tag, point=target.point, **fields)
        work.keep(change_key(pump.tag), changes_after(changes, entry))
        return work.add(entry)


def _fields(quantity: Quantity | None) -> dict[str, Any]:
    if quantity is None:
        return {}
    if quantity.low is not None:
        raise ArgumentError(f"{quantity.entered!r}: one value is wanted here, not a swing.")
    return {
        "value": quantity.value,
        "quantity": quantity.kind,
        "unit": quantity.unit,
        "entered": quantity.entered,
    }


def _check(desk: Desk, pump: Pump, target: Target, old: float | None, value: float | None) -> None:
    """Refuse a change that changes nothing, or after which the limits contradict each other."""
    if value == old:
        raise ArgumentError(f"{words_of(target)} of {pump.tag} is {_shown(desk, pump, target, old)}"
                            " already.")  # fmt: skip
    before, after = Faults(), Faults()
    check_pump(pump, (), before, desk.barometric)
    check_pump(with_value(pump, target, value), (), after, desk.barometric)
    known = {(fault.given, fault.expected) for fault in before.items}
    for fault in after.items:
        if fault.grave and (fault.given, fault.expected) not in known:
            raise ArgumentError(
                f"{words_of(target)} of {pump.tag}: {fault.given}; expected {fault.expected}."
            )


# ------------------------------------------------------------------ looking


def words_of(target: Target) -> str:
    """Say what is changed.

    Examples
    --------
    >>> words_of(Target(field="act_high", point="flow")), words_of(Target(field="seal.flow"))
    ('Flow, act limit high', 'seal.flow')
    """
    if target.point is None:
        return target.field
    severity, _, side = target.field.partition("_")
    what = f"{severity} limit {side}" if side else "usual value"
    return f"{point_kind(target.point).label}, {what}"


def _shown(desk: Desk, pump: Pump, target: Target, value: float | None) -> str:
    if value is None:
        return "none"
    if target.point is not None:
        return show(value, unit_of(pump, target.point), barometric=desk.barometric)
    kind, _ = _kind_at(pump, target.field)
    if kind not in _UNITS:
        return f"{value:g}"
    return show(value, _UNITS[kind], barometric=desk.barometric)


_UNITS = {
    "mass": "gram", "duration": "h", "leakage": "drops/min", "pressure_difference": "bar",
    "pressure": "barg", "flow": "m3/h", "length": "m", "temperature": "degC", "volume": "L",
}  # fmt: skip


def limits_view(desk: Desk, tag: str, now: datetime) -> LimitsView:
    """Return the limits of a pump as they stand, what the plant file says, and what was changed."""
    pump, filed = desk.pump(tag), desk.as_filed(tag)
    changes = desk.changes.get(tag, {})
    with desk.journal.reading() as ledger:
        entries = ledger.history(tag, since=_EVER, until=now, kinds=["limit"])
    return LimitsView(
        pump=pump,
        lines=tuple(_lines(desk, pump, filed, changes)),
        history=tuple(_past(entry) for entry in reversed(entries)),
    )


def _lines(desk: Desk, pump: Pump, filed: Pump, changes: Changes) -> Iterator[LimitLine]:
    keys = [f"{point.point}/{field}" for point in pump.points for field in POINT_FIELDS]
    for key in dict.fromkeys((*keys, *changes)):
        target = Target.of(key)
        value, base = value_of(pump, target), value_of(filed, target)
        row = changes.get(key)
        if value is None and base is None and row is None:
            continue
        yield LimitLine(
            point=target.point,
            field=target.field,
            title=words_of(target),
            value=value,
            shown=_shown(desk, pump, target, value),
            filed=base,
            filed_shown=_shown(desk, pump, target, base),
            changed_by=str(row["who"]) if row else "",
            changed_at=datetime.fromisoformat(str(row["at"])) if row else None,
            why=str(row["why"]) if row else "",
        )


def _past(entry: Entry) -> LimitChange:
    return LimitChange(
        id=str(entry.id),
        who=entry.who,
        at=entry.seen_at,
        text=str(entry.body["text"]),
        why=str(entry.body["why"]),
    )
