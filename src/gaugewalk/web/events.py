"""What an entry of the journal tells, in a line."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from gaugewalk.journal.entry import Entry
from gaugewalk.plant.points import all_points
from gaugewalk.web.shown import Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class EventLine:
    """One thing that happened."""

    when: str
    tag: str
    what: str
    who: str


def event_line(entry: Entry, shown: Shown) -> EventLine:
    """Write an entry as a line with its time and who."""
    return EventLine(
        when=shown.clock(entry.seen_at),
        tag=entry.tag or "",
        what=event_words(entry),
        who=entry.who,
    )


def event_words(entry: Entry) -> str:
    """Say in a line what an entry of the journal tells.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> from gaugewalk.journal.ids import new_id
    >>> at = datetime(2025, 11, 3, tzinfo=UTC)
    >>> event_words(Entry(id=new_id(at), kind="note", who="r", seen_at=at, body={"text": "Wet."}))
    'Note: Wet.'
    """
    return _WORDS.get(entry.kind, _other)(entry)


def _label(point: str | None) -> str:
    known = all_points().get(point or "")
    return known.label if known else str(point or "")


def _said(entry: Entry, key: str) -> str:
    return str(entry.body.get(key) or "")


def _observation(entry: Entry) -> str:
    present = entry.body.get("present")
    word = "could not look" if present is None else "seen" if present else "not there"
    title = _said(entry, "title") or str(entry.point)
    return f"{title}: {word}. {_said(entry, 'note')}".rstrip()


def _skipped(entry: Entry) -> str:
    return f"{_label(entry.point)} not taken: {_said(entry, 'reason')}"


def _action(entry: Entry) -> str:
    result = _said(entry, "result")
    return f"Done: {_said(entry, 'do')}" + (f" Result: {result}" if result else "")


def _correction(entry: Entry) -> str:
    why = _said(entry, "why")
    new = "withdrawn" if entry.body.get("withdrawn") else f"corrected to {entry.entered}"
    return f"{_label(entry.point)} {new}" + (f": {why}" if why else "")


def _trouble(entry: Entry) -> str:
    step = _said(entry, "step")
    if step == "closed":
        cure = _said(entry, "cure")
        return f"Trouble closed: {_said(entry, 'cause')}" + (f"; {cure}" if cure else "")
    if step == "joined":
        return f"The trouble now shows at {_label(entry.point).lower()} too"
    word = "Trouble opened" if step == "opened" else "Trouble worse"
    return f"{word}, {_said(entry, 'severity')}: {_said(entry, 'sentence')}"


def _follow_up(entry: Entry) -> str:
    if _said(entry, "step") == "opened":
        return f"To look at again: {_said(entry, 'what')}"
    return f"Looked again: {_said(entry, 'result')}"


def _event(entry: Entry) -> str:
    return _said(entry, "event").capitalize()


def _note(entry: Entry) -> str:
    return f"Note: {_said(entry, 'text')}"


def _other(entry: Entry) -> str:
    return f"{entry.kind}: {_said(entry, 'text')}".strip(": ")


_WORDS: Mapping[str, Callable[[Entry], str]] = {
    "observation": _observation,
    "skipped": _skipped,
    "action": _action,
    "correction": _correction,
    "trouble": _trouble,
    "follow_up": _follow_up,
    "event": _event,
    "note": _note,
}
