"""The page of a handover: what stands, what the outgoing adds, two signatures."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import quote

from markupsafe import Markup

from gaugewalk.watch.handover_view import GENERAL, Handover, Item, Remark, Section, Signature
from gaugewalk.web.frame import Frame
from gaugewalk.web.shown import Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One thing to be told."""

    href: str
    where: str
    severity: str
    heat: str  # of the margin
    mark: str
    late: bool
    text: str
    more: tuple[str, ...]
    charts: tuple[Markup, ...]
    remedy: str  # id, where it may be taken back here
    answer_href: str  # of a follow-up


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One section with its remark."""

    id: str
    title: str
    lines: tuple[Line, ...]
    remark: str
    remark_by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One signature in words."""

    who: str
    when: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ToRead:
    """One trouble that the incoming confirms to have read about."""

    id: str
    words: str
    read: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class HandoverPage:
    """What the next watch must know."""

    frame: Frame
    shift: str  # ISO 8601, for the forms
    written: str
    general: Part
    parts: tuple[Part, ...]
    empty: tuple[Part, ...]
    news: tuple[Line, ...]
    gone: tuple[Line, ...]
    signed: Told | None
    taken: Told | None
    to_read: tuple[ToRead, ...]
    earlier_href: str
    text_href: str
    pdf_href: str
    error: str = ""
    said: str = ""  # a remark or words that could not be taken


def handover_page(
    frame: Frame,
    told: Handover,
    shown: Shown,
    charts: Mapping[str, Sequence[Mapping[str, str]]],
    *,
    error: str = "",
    said: str = "",
) -> HandoverPage:
    """Build the page of one shift's handover."""
    parts = [_part(section, charts) for section in told.sections]
    shift = told.began_at.isoformat()
    before = (told.began_at - (told.ends_at - told.began_at) / 2).isoformat()
    read = set(told.taken.read) if told.taken else set()
    return HandoverPage(
        frame=frame,
        shift=shift,
        written=f"written {shown.clock(told.written_at)}",
        general=_part(Section(id=GENERAL, title="In own words", remark=told.general), charts),
        parts=tuple(part for part in parts if part.lines or part.remark),
        empty=tuple(part for part in parts if not (part.lines or part.remark)),
        news=tuple(_line("", item, charts) for item in told.news),
        gone=tuple(_line("", item, charts) for item in told.gone),
        signed=_told(told.signed, shown),
        taken=_told(told.taken, shown),
        to_read=tuple(
            ToRead(id=i.id, words=f"{i.tag} {i.name}: {i.text}", read=i.id in read)
            for i in told.to_read
        ),
        earlier_href=f"/handover?shift={quote(before)}",
        text_href=f"/handover.txt?shift={quote(shift)}",
        pdf_href=f"/handover.pdf?shift={quote(shift)}",
        error=error,
        said=said,
    )


def _part(section: Section, charts: Mapping[str, Sequence[Mapping[str, str]]]) -> Part:
    remark: Remark | None = section.remark
    return Part(
        id=section.id,
        title=section.title,
        lines=tuple(_line(section.id, item, charts) for item in section.items),
        remark=remark.text if remark else "",
        remark_by=f"{remark.who}, {remark.mark}" if remark else "",
    )


def _line(section: str, item: Item, charts: Mapping[str, Sequence[Mapping[str, str]]]) -> Line:
    waiting = section in ("overdue", "due", "later") and bool(item.tag)
    return Line(
        href=_href(section, item),
        where=" ".join(part for part in (item.tag, item.name) if part),
        severity=item.severity,
        heat=item.severity or ("act" if item.late and section == "overdue" else ""),
        mark=item.mark,
        late=item.late,
        text=item.text,
        more=item.more,
        # Made by our own chart; every text in it is escaped there.
        charts=tuple(Markup(chart["svg"]) for chart in charts.get(item.id, ())),  # noqa: S704
        remedy=item.id if section == "remedies" else "",
        answer_href=f"/follow-up/{item.id}" if waiting else "",
    )


def _href(section: str, item: Item) -> str:
    if section == "troubles":
        return f"/trouble/{item.id}"
    if section == "unfinished" and not item.tag:
        return f"/round/{item.id}"
    return f"/pump/{item.tag}" if item.tag else ""


def _told(signature: Signature | None, shown: Shown) -> Told | None:
    if signature is None:
        return None
    return Told(who=signature.who, when=shown.clock(signature.at), text=signature.text)
