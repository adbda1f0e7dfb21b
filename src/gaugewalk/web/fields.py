"""One observation point as a field: what is expected, the last value, what was typed."""

from collections.abc import Mapping
from dataclasses import dataclass
from uuid import UUID

from markupsafe import Markup

from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ids import new_id
from gaugewalk.judge.limits import limits_of
from gaugewalk.judge.severity import Severity
from gaugewalk.judge.verdict import Verdict
from gaugewalk.plant.points import point_kind
from gaugewalk.plant.pump import Pump
from gaugewalk.units import table, unit_named
from gaugewalk.watch.views import PointView
from gaugewalk.web.drawing import Mark, pump_drawing
from gaugewalk.web.scale import scale_drawing
from gaugewalk.web.shown import Shown
from gaugewalk.web.stepper import Stepper, stepper_of
from gaugewalk.web.tool_links import Tool, glass_for, tool_for

REASONS = (
    "Pump standing still",
    "Gauge broken or missing",
    "Cannot be reached safely",
    "Cannot be read now",
    "No time",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """What somebody typed that could not be taken, and why; it is shown again, not lost."""

    point: str
    text: str
    unit: str
    message: str


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitChoice:
    """One unit to choose."""

    name: str
    symbol: str
    chosen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One point of a pump as it is entered."""

    point: str
    label: str
    where: str
    how: str
    group: str
    units: tuple[UnitChoice, ...]
    expected: str  # "2.9 to 3.3 barg"
    basis: str  # "its own normal ... (42 readings)"
    last: str  # "3.1 barg"
    last_when: str
    entered: str  # as typed, where that was in another unit than is shown
    severity: str
    sentence: str
    also: tuple[str, ...]  # other readings of the same point in the same round
    before: str  # what was off at the last reading, while this one is not taken yet
    skipped: str
    taken: bool
    text: str
    message: str
    corrects: str  # id of the entry that a new text would correct
    new_id: UUID
    scale: Markup
    stepper: Stepper
    glass: Markup
    tool: Tool | None


def field_of(
    pump: Pump,
    view: PointView,
    shown: Shown,
    typed: Typed | None = None,
    *,
    in_round: bool = False,
    also: tuple[Entry, ...] = (),
    round_id: str = "",
) -> Field:
    """Build the field of one point; in a round, what was read before it is only remembered."""
    mine = typed if typed is not None and typed.point == view.point else None
    entry, verdict, band = view.last, view.verdict, view.expected
    unit = mine.unit if mine and mine.unit else view.unit
    just_read = view.taken and entry is not None
    waiting = in_round and not view.taken
    return Field(
        point=view.point,
        label=view.label,
        where=view.place,
        how=view.how,
        group=view.group,
        units=unit_choices(view, unit),
        expected=shown.band(band, view.unit) if band else "",
        basis=band.sentence if band else "",
        last=shown.entry(entry, view.unit) if entry else "",
        last_when=shown.clock(entry.seen_at) if entry else "",
        entered=_entered(view) if just_read else "",
        severity=verdict.severity.value if verdict and not waiting and not view.skipped else "",
        sentence=verdict_words(verdict) if verdict and not waiting else "",
        also=tuple(also_words(one, view.unit, shown) for one in also if _other(one, entry)),
        before=_before(verdict) if verdict and waiting else "",
        skipped=view.skipped,
        taken=view.taken,
        text=mine.text if mine else "",
        message=mine.message if mine else "",
        corrects=str(entry.id) if entry is not None and just_read else "",
        new_id=new_id(shown.now),
        scale=_scale(pump, view, shown),
        stepper=stepper_of(view, shown),
        glass=glass_for(view),
        tool=tool_for(pump.tag, view, round_id),
    )


def verdict_words(verdict: Verdict) -> str:
    """Write a verdict's sentence, with the slip that would explain a doubtful reading."""
    if verdict.suspicion and verdict.suspicion not in verdict.sentence:
        doubt = verdict.suspicion
        return f"{verdict.sentence} {doubt[0].upper()}{doubt[1:]}"
    return verdict.sentence


def also_words(entry: Entry, unit: str, shown: Shown) -> str:
    """Say that somebody else read the same point in the same round; neither is dropped."""
    value, when = shown.entry(entry, unit), shown.clock(entry.seen_at)
    return f"Read twice in this round: also {value} at {when} by {entry.who}. Both are kept."


def _other(one: Entry, last: Entry | None) -> bool:
    return last is None or one.id != last.id


def _entered(view: PointView) -> str:
    entry = view.last
    if entry is None or not entry.entered or not entry.unit or entry.unit == view.unit:
        return ""
    symbol = unit_named(entry.unit).symbol
    return f"{entry.entered} {symbol}" if entry.entered[-1].isdigit() else entry.entered


def _before(verdict: Verdict) -> str:
    if verdict.severity is Severity.NORMAL:
        return ""
    return f"Last time, {verdict.severity.value}: {verdict.sentence}"


def unit_choices(view: PointView, chosen: str) -> tuple[UnitChoice, ...]:
    """Return the units of a point, its own first."""
    names = (view.unit, *(name for name in view.units if name != view.unit))
    if chosen not in names:
        chosen = view.unit
    return tuple(
        UnitChoice(name=name, symbol=table()[name].symbol or name, chosen=name == chosen)
        for name in names
    )


def units_of(point: str) -> tuple[str, ...]:
    """Return the name of every unit in which a point may be entered.

    Examples
    --------
    >>> "psig" in units_of("discharge_pressure"), "degF" in units_of("discharge_pressure")
    (True, False)
    """
    kinds = set(point_kind(point).kinds)
    return tuple(unit.name for unit in table().values() if kinds & set(unit.kinds))


def _scale(pump: Pump, view: PointView, shown: Shown) -> Markup:
    if view.expected is None:
        return Markup("")
    value = view.last.value if view.last else None
    return scale_drawing(
        view.expected,
        [limit.value for limit in limits_of(pump, view.point)],
        last=None if view.taken else value,
        taken=value if view.taken else None,
        words=f"Expected {shown.band(view.expected, view.unit)}",
    )


def drawing_of(pump: Pump, fields: Mapping[str, Field], *, base: str = "") -> Markup:
    """Draw the pump with each field's last value; a plate leads to the field of that name."""
    marks = {
        field.point: Mark(
            point=field.point,
            label=field.label,
            value=field.last or "–",
            severity=field.severity,
            href=f"{base}#{field.point}",
        )
        for field in fields.values()
    }
    return pump_drawing(pump, marks)
