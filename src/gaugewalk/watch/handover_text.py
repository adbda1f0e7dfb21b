"""The handover as plain text, for a terminal, a printer of any kind, or a message."""

from collections.abc import Iterator
from zoneinfo import ZoneInfo

from gaugewalk.watch.handover_view import Handover, Item, Remark, Section, Signature
from gaugewalk.watch.wall import clock, stamp_of


def handover_text(handover: Handover) -> str:
    """Write a handover as plain text."""
    return "\n".join([*_head(handover), *_body(handover), *_foot(handover), ""])


def _head(handover: Handover) -> Iterator[str]:
    zone = ZoneInfo(handover.time_zone)
    ends = clock(handover.ends_at, zone, beside=handover.began_at)
    written = clock(handover.written_at, zone, beside=handover.began_at)
    yield f"HANDOVER  {handover.plant}"
    yield f"Shift {stamp_of(handover.began_at, zone)} to {ends}, written {written}."
    yield from _remark(handover.general)


def _body(handover: Handover) -> Iterator[str]:
    for title, items in (("New since it was signed", handover.news),
                         ("No longer standing since it was signed", handover.gone)):  # fmt: skip
        if items:
            yield from _section(Section(id="", title=title, items=items))
    for section in handover.sections:
        yield from _section(section)


def _section(section: Section) -> Iterator[str]:
    yield ""
    yield section.title.upper()
    if not section.items:
        yield "  Nothing."
    for item in section.items:
        yield from _item(item)
    yield from _remark(section.remark)


def _item(item: Item) -> Iterator[str]:
    where = " ".join(part for part in (item.tag, item.name) if part)
    if item.severity:
        since = f", {item.mark}" if item.mark else ""
        yield f"- {where}: {item.severity}{since}."
        yield f"  {item.text}"
    else:
        late = "OVERDUE " if item.late else ""
        yield f"- {item.mark} {late}{f'{where}: ' if where else ''}{item.text}".replace("-  ", "- ")
    yield from (f"  {line}" for line in item.more)


def _remark(remark: Remark | None) -> Iterator[str]:
    if remark:
        yield f"  > {remark.text.replace(chr(10), chr(10) + '  > ')} ({remark.who}, {remark.mark})"


def _foot(handover: Handover) -> Iterator[str]:
    zone = ZoneInfo(handover.time_zone)
    yield ""
    yield f"Handed over by: {_signed(handover.signed, zone)}".rstrip()
    yield f"Taken over by:  {_signed(handover.taken, zone)}".rstrip()
    if handover.taken and handover.taken.text:
        yield f"  > {handover.taken.text}"


def _signed(signature: Signature | None, zone: ZoneInfo) -> str:
    return f"{signature.who}, {stamp_of(signature.at, zone)}" if signature else ""
