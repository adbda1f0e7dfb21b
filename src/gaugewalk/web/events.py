"""One thing that happened, as a line of a page."""

from dataclasses import dataclass

from gaugewalk.journal.entry import Entry
from gaugewalk.watch.telling import event_words
from gaugewalk.web.shown import Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class EventLine:
    """One thing that happened."""

    when: str
    tag: str
    what: str
    who: str
    photo: str  # its address; empty where there is none


def event_line(entry: Entry, shown: Shown) -> EventLine:
    """Write an entry as a line with its time and who."""
    return EventLine(
        when=shown.clock(entry.seen_at),
        tag=entry.tag or "",
        what=event_words(entry),
        who=entry.who,
        photo=f"/photo/{entry.body['photo']}.jpg" if entry.body.get("photo") else "",
    )
