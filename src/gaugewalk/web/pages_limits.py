"""The limits of one pump: in force, as the plant file has them, who changed what and why."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from gaugewalk.plant.pump import Pump
from gaugewalk.units import unit_named
from gaugewalk.watch.changes import POINT_FIELDS
from gaugewalk.watch.limit_views import LimitLine, LimitsView
from gaugewalk.watch.point_views import ordered
from gaugewalk.watch.telling import label_of
from gaugewalk.web.frame import Frame
from gaugewalk.web.shown import Shown

FIELD_WORDS: Mapping[str, str] = {
    "usual": "usual value",
    "watch_low": "watch, low",
    "watch_high": "watch, high",
    "act_low": "act, low",
    "act_high": "act, high",
    "stop_low": "stop, low",
    "stop_high": "stop, high",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One entry of a select."""

    value: str
    words: str
    chosen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitRow:
    """One limit or datum in force."""

    title: str
    shown: str
    filed: str
    changed: str  # "14 Nov 09:10 by R. Vale"; empty where it is as the plant file has it
    why: str
    change_href: str  # empty where it is no limit of a point
    field: str
    point: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PastLine:
    """One change."""

    when: str
    text: str
    who: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitsPage:
    """The limits of one pump, and the form that changes one."""

    frame: Frame
    tag: str
    may: bool
    changed: tuple[LimitRow, ...]
    rows: tuple[LimitRow, ...]
    past: tuple[PastLine, ...]
    points: tuple[Choice, ...]
    fields: tuple[Choice, ...]
    typed: Mapping[str, str]
    error: str = ""


def limits_page(
    frame: Frame,
    view: LimitsView,
    shown: Shown,
    *,
    may: bool,
    typed: Mapping[str, str],
    error: str = "",
) -> LimitsPage:
    """Build the page of a pump's limits.

    Parameters
    ----------
    frame, view, shown
        The limits as they stand.
    may : bool
        Whether the reader may change one.
    typed : mapping
        What was chosen or typed in the form.
    error : str
        Why it could not be taken.
    """
    rows = [_row(line, view.pump, shown) for line in view.lines]
    return LimitsPage(
        frame=frame,
        tag=view.pump.tag,
        may=may,
        changed=tuple(row for row in rows if row.changed),
        rows=tuple(rows),
        past=tuple(
            PastLine(when=shown.clock(one.at), text=one.text, who=one.who) for one in view.history
        ),
        points=tuple(_points(view.pump, typed.get("point", ""))),
        fields=tuple(_choices(FIELD_WORDS.items(), typed.get("field", ""))),
        typed=typed,
        error=error,
    )


def _row(line: LimitLine, pump: Pump, shown: Shown) -> LimitRow:
    changed = f"{shown.clock(line.changed_at)} by {line.changed_by}" if line.changed_at else ""
    href = f"/pump/{pump.tag}/limits?point={line.point}&field={line.field}#change"
    return LimitRow(
        title=line.title,
        shown=line.shown,
        filed=line.filed_shown,
        changed=changed,
        why=line.why,
        change_href=href if line.point and line.field in POINT_FIELDS else "",
        field=line.field,
        point=line.point or "",
    )


def _points(pump: Pump, chosen: str) -> Iterator[Choice]:
    units = {point.point: point.unit for point in pump.points}
    named = ((n, f"{label_of(n)}, {unit_named(units[n]).symbol}") for n in ordered(pump))
    return _choices(named, chosen)


def _choices(named: Iterable[tuple[str, str]], chosen: str) -> Iterator[Choice]:
    for value, words in named:
        yield Choice(value=value, words=words, chosen=value == chosen)
