"""What an entry of the journal tells, in a line; and how sure a cause is."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import datetime

from gaugewalk.journal.entry import Entry
from gaugewalk.plant.points import all_points


def label_of(point: str | None) -> str:
    """Return what a point is called; its id where the house does not know it."""
    known = all_points().get(point or "")
    return known.label if known else str(point or "")


def percent(probability: float) -> str:
    """Write a probability so that nothing looks certain.

    Examples
    --------
    >>> percent(0.423), percent(0.004), percent(0.998)
    ('42 %', 'under 1 %', 'over 99 %')
    """
    if probability < 0.01:
        return "under 1 %"
    if probability > 0.99:
        return "over 99 %"
    return f"{probability * 100:.0f} %"


def done_words(actions: Iterable[Entry], write: Callable[[datetime], str]) -> Iterator[str]:
    """Say what was done, the same thing with the same result once with its count.

    Parameters
    ----------
    actions : iterable of Entry
        In the order done.
    write : callable
        Writes a time.
    """
    same: dict[tuple[str, str], list[Entry]] = {}
    for entry in actions:
        key = _said(entry, "do").rstrip("."), _said(entry, "result").rstrip(".")
        same.setdefault(key, []).append(entry)
    for (do, result), rows in same.items():
        last = f"{write(rows[-1].seen_at)} by {rows[-1].who}"
        many = f"{len(rows)} times since {write(rows[0].seen_at)}, last {last}"
        yield f"{many if len(rows) > 1 else last}: {do}." + (
            f" Result: {result}." if result else ""
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


def _said(entry: Entry, key: str) -> str:
    return str(entry.body.get(key) or "")


def _observation(entry: Entry) -> str:
    present = entry.body.get("present")
    word = "could not look" if present is None else "seen" if present else "not there"
    title = _said(entry, "title") or str(entry.point)
    return f"{title}: {word}. {_said(entry, 'note')}".rstrip()


def _skipped(entry: Entry) -> str:
    return f"{label_of(entry.point)} not taken: {_said(entry, 'reason')}"


def _action(entry: Entry) -> str:
    result = _said(entry, "result")
    return f"Done: {_said(entry, 'do')}" + (f" Result: {result}" if result else "")


def _correction(entry: Entry) -> str:
    why = _said(entry, "why")
    new = "withdrawn" if entry.body.get("withdrawn") else f"corrected to {entry.entered}"
    what = label_of(entry.point) or "An entry"
    return f"{what} {new}" + (f": {why}" if why else "")


def _trouble(entry: Entry) -> str:
    step = _said(entry, "step")
    if step == "closed":
        cure = _said(entry, "cure")
        return f"Trouble closed: {_said(entry, 'cause')}" + (f"; {cure}" if cure else "")
    if step == "joined":
        return f"The trouble now shows at {label_of(entry.point).lower()} too"
    word = "Trouble opened" if step == "opened" else "Trouble worse"
    return f"{word}, {_said(entry, 'severity')}: {_said(entry, 'sentence')}"


def _follow_up(entry: Entry) -> str:
    if _said(entry, "step") == "opened":
        return f"To look at again: {_said(entry, 'what')}"
    return f"Looked again: {_said(entry, 'result')}"


def _reading(entry: Entry) -> str:
    verdict = entry.body.get("verdict", {})
    odd = verdict.get("severity", "normal") != "normal"
    said = str(verdict.get("sentence", "")) if odd else ""
    return said or f"{label_of(entry.point)} {entry.entered}"


def _round(entry: Entry) -> str:
    return f"Round {_said(entry, 'step')}: {_said(entry, 'name')}"


def _event(entry: Entry) -> str:
    return _said(entry, "text") or _said(entry, "event").capitalize()


def _note(entry: Entry) -> str:
    return f"Note: {_said(entry, 'text')}"


def _text(entry: Entry) -> str:
    return _said(entry, "text")


def _other(entry: Entry) -> str:
    return f"{entry.kind}: {_said(entry, 'text')}".strip(": ")


_WORDS: Mapping[str, Callable[[Entry], str]] = {
    "reading": _reading,
    "round": _round,
    "observation": _observation,
    "skipped": _skipped,
    "action": _action,
    "correction": _correction,
    "trouble": _trouble,
    "follow_up": _follow_up,
    "event": _event,
    "note": _note,
    "procedure": _text,
    "limit": _text,
}
