"""Paper: the sheet of a round to write on, tags to hang at the pumps, typing a sheet in."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from markupsafe import Markup

from gaugewalk.errors import extra
from gaugewalk.journal.ids import new_id
from gaugewalk.plant.pump import Pump
from gaugewalk.units import unit_named
from gaugewalk.watch.states import looks_at
from gaugewalk.watch.views import PointView, PumpView, RoundStop
from gaugewalk.web.fields import REASONS, UnitChoice, unit_choices
from gaugewalk.web.frame import Frame
from gaugewalk.web.shown import Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRow:
    """One point on paper."""

    label: str
    where: str
    expected: str
    last: str
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetLook:
    """One thing to look at, with the words to ring."""

    question: str
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPump:
    """One pump on paper."""

    tag: str
    name: str
    area: str
    rows: tuple[SheetRow, ...]
    looks: tuple[SheetLook, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPage:
    """The paper of a round."""

    frame: Frame
    name: str
    plant: str
    printed: str
    pumps: tuple[SheetPump, ...]


def sheet_page(
    frame: Frame, name: str, plant: str, views: tuple[PumpView, ...], shown: Shown
) -> SheetPage:
    """Build the paper of a round: every point with what is expected and a box to write in."""
    return SheetPage(
        frame=frame,
        name=name,
        plant=plant,
        printed=shown.clock(shown.now),
        pumps=tuple(_sheet_pump(view, shown) for view in views),
    )


def _sheet_pump(view: PumpView, shown: Shown) -> SheetPump:
    pump = view.pump
    looks = looks_at(pump)
    return SheetPump(
        tag=pump.tag,
        name=pump.name,
        area=pump.area,
        rows=tuple(_sheet_row(point, shown) for point in view.points),
        looks=tuple(
            SheetLook(question=look.question, words=tuple(c.words for c in look.choices))
            for look in looks
        ),
    )


def _sheet_row(view: PointView, shown: Shown) -> SheetRow:
    return SheetRow(
        label=view.label,
        where=view.place,
        expected=shown.band(view.expected, view.unit) if view.expected else "–",
        last=shown.entry(view.last, view.unit) if view.last else "–",
        unit=unit_named(view.unit).symbol,
    )


# ------------------------------------------------------------------ tags


@dataclass(frozen=True, slots=True, kw_only=True)
class TagPlate:
    """One plate to cut out and hang at a pump."""

    tag: str
    name: str
    area: str
    address: str
    code: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class TagsPage:
    """Plates of many pumps."""

    frame: Frame
    plates: tuple[TagPlate, ...]


def plate_of(pump: Pump, address: str) -> TagPlate:
    """Make the plate of a pump, with a code that opens its page.

    Raises
    ------
    ArgumentError
        The library that draws the code is not installed.
    """
    with extra("phone", "A tag with a code"):
        import segno
    code = segno.make(address, error="m", micro=False)
    drawn = code.svg_inline(border=2, svgclass="code", lineclass="dark", omitsize=True)
    return TagPlate(
        tag=pump.tag,
        name=pump.name,
        area=pump.area,
        address=address,
        code=Markup(drawn),  # noqa: S704  drawn by segno from numbers alone
    )


# ------------------------------------------------------------------ typing in


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperTyped:
    """What was typed in one row, and what was wrong with it."""

    text: str = ""
    unit: str = ""
    reason: str = ""
    message: str = ""
    id: UUID | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperRow:
    """One point to be typed in from paper."""

    point: str
    label: str
    expected: str
    units: tuple[UnitChoice, ...]
    done: str  # what stands written already
    typed: PaperTyped
    id: UUID


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperPage:
    """One pump of a paper sheet being typed in."""

    frame: Frame
    round_id: str
    tag: str
    place: str
    seen: str  # local, "2025-11-20T09:30"
    who: str
    rows: tuple[PaperRow, ...]
    reasons: tuple[str, ...]
    before: str
    after: str
    error: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperBeginPage:
    """Which sheet is typed in, and when it was walked."""

    frame: Frame
    rounds: tuple[str, ...]
    chosen: str
    began: str
    error: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperForm:
    """What a form of a sheet carried."""

    seen: str
    who: str
    rows: dict[str, PaperTyped]
    error: str = ""


def paper_page(
    frame: Frame,
    round_id: str,
    stops: tuple[RoundStop, ...],
    tag: str,
    form: PaperForm,
    shown: Shown,
) -> PaperPage:
    """Build the page at which one pump of a sheet is typed in."""
    tags = [stop.pump.tag for stop in stops]
    at = tags.index(tag)
    return PaperPage(
        frame=frame,
        round_id=round_id,
        tag=tag,
        place=f"Pump {at + 1} of {len(tags)}",
        seen=form.seen,
        who=form.who,
        rows=tuple(_paper_row(view, form.rows, shown) for view in stops[at].points),
        reasons=REASONS,
        before=f"/type-in/{round_id}/{tags[at - 1]}" if at else "",
        after=f"/type-in/{round_id}/{tags[at + 1]}" if at + 1 < len(tags) else "",
        error=form.error,
    )


def _paper_row(view: PointView, typed: dict[str, PaperTyped], shown: Shown) -> PaperRow:
    mine = typed.get(view.point, PaperTyped())
    done = ""
    if view.taken and view.last:
        done = f"{shown.entry(view.last, view.unit)}, seen {shown.clock(view.last.seen_at)}"
    elif view.skipped:
        done = f"not taken: {view.skipped}"
    return PaperRow(
        point=view.point,
        label=view.label,
        expected=shown.band(view.expected, view.unit) if view.expected else "",
        units=unit_choices(view, mine.unit or view.unit),
        done=done,
        typed=mine,
        id=mine.id or new_id(shown.now),
    )


def local_text(moment: datetime, shown: Shown) -> str:
    """Write a moment as the field for a time takes it."""
    return f"{moment.astimezone(shown.zone):%Y-%m-%dT%H:%M}"
