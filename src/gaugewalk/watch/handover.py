"""What the next watch must know, written from the journal alone.

A section is never left out: where there is nothing to tell it says so, because silence could also
mean that nobody looked.
"""

from collections.abc import Iterable
from datetime import datetime

from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ledger import Ledger
from gaugewalk.plant.points import all_points
from gaugewalk.watch.board import Board
from gaugewalk.watch.case import case_of, diagnosis_of
from gaugewalk.watch.clock import shift_end, shift_start
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.round_plan import rounds_due
from gaugewalk.watch.this_watch import follow_ups_on, load_boards, troubles_on, uneasy_on
from gaugewalk.watch.views import TroubleLine

_CAUSES = 3  # most likely ones that are named
_LEAST = 0.05  # probability under which a cause is not named


def handover_text(desk: Desk, now: datetime) -> str:
    """Return the handover of the shift that is on, as plain text."""
    with desk.journal.reading() as ledger:
        boards = load_boards(desk, ledger)
        began = shift_start(desk.plant, now)
        seen = ledger.since(began, ("skipped", "event", "correction", "limit", "action"))
        sections = [
            ("Pumps in trouble", _troubles(desk, ledger, boards, now)),
            ("Temporary remedies in force", _remedies(boards)),
            ("Follow-ups", _follow_ups(desk, boards, now)),
            ("To watch", [f"{u.tag} {u.name}: {u.sentence}" for u in uneasy_on(desk, boards)]),
            ("Not taken this shift", _skips(desk, seen)),
            ("Started, stopped, changed, corrected this shift", _changes(desk, seen)),
            ("Rounds", _rounds(desk, now)),
            ("Standing notes", _notes(desk, ledger)),
        ]
    head = [
        f"HANDOVER  {desk.plant.name}",
        f"Shift {_when(desk, began)} to {_clock(desk, shift_end(desk.plant, now), began)}, "
        f"written {_clock(desk, now, began)}.",
    ]
    parts = [*head, *(line for title, lines in sections for line in _section(title, lines))]
    return "\n".join([*parts, "", "Handed over by:", "Taken over by:", ""])


def _section(title: str, lines: list[str]) -> list[str]:
    return ["", title.upper(), *(lines or ["  Nothing."])]


def _troubles(desk: Desk, ledger: Ledger, boards: dict[str, Board], now: datetime) -> list[str]:
    lines = []
    for line in troubles_on(desk, boards):
        since = _clock(desk, line.opened_at, now)
        lines.append(f"- {line.tag} {line.name}: {line.severity.value}, since {since}.")
        lines.append(f"  {line.sentence}")
        likely = _likely(desk, ledger, line, now)
        if likely:
            lines.append(f"  Most likely: {likely}.")
        lines += [f"  {words}" for words in _done(desk, ledger, line, now)]
    return lines


def _likely(desk: Desk, ledger: Ledger, line: TroubleLine, now: datetime) -> str:
    case = case_of(desk, ledger, desk.pump(line.tag), now, since=line.opened_at)
    causes = diagnosis_of(desk, case).causes[:_CAUSES]
    named = [cause for cause in causes if cause.probability >= _LEAST]
    return "; ".join(f"{cause.title} ({cause.probability * 100:.0f} %)" for cause in named)


def _done(desk: Desk, ledger: Ledger, line: TroubleLine, now: datetime) -> Iterable[str]:
    for entry in ledger.history(line.tag, since=line.opened_at, kinds=["action"]):
        if entry.body.get("trouble") == line.id:
            result = f" Result: {entry.body['result']}" if entry.body.get("result") else ""
            when = _clock(desk, entry.seen_at, now)
            yield f"Done {when} by {entry.who}: {entry.body['do']}{result}"


def _remedies(boards: dict[str, Board]) -> list[str]:
    return [
        f"- {tag}: {words}"
        for tag, board in boards.items()
        if board.trouble
        for words in board.trouble.remedies.values()
    ]


def _follow_ups(desk: Desk, boards: dict[str, Board], now: datetime) -> list[str]:
    lines = []
    for row in follow_ups_on(boards):
        late = " OVERDUE" if row.due_at < now else ""
        lines.append(f"- {_clock(desk, row.due_at, now)}{late} {row.tag}: {row.what}")
    return lines


def _skips(desk: Desk, seen: list[Entry]) -> list[str]:
    return [
        f"- {e.tag} {_label(e.point)}: {e.body['reason']} ({desk.local(e.seen_at):%H:%M}, {e.who})"
        for e in seen
        if e.kind == "skipped"
    ]


def _label(point: str | None) -> str:
    known = all_points().get(point or "")
    return known.label.lower() if known else str(point)


def _changes(desk: Desk, seen: list[Entry]) -> list[str]:
    lines = []
    for entry in seen:
        words = _change(entry)
        if words:
            when = _clock(desk, entry.seen_at, entry.seen_at)
            lines.append(f"- {when} {entry.tag or ''} {words} ({entry.who})".replace("  ", " "))
    return lines


def _change(entry: Entry) -> str:
    body = entry.body
    if entry.kind == "event":
        return str(body["event"])
    if entry.kind == "correction":
        new = "withdrawn" if body.get("withdrawn") else f"corrected to {entry.entered}"
        return f"{_label(entry.point)} {new}" + (f": {body['why']}" if body.get("why") else "")
    if entry.kind == "action" and body.get("trouble") is None:
        return str(body["do"])
    return str(body.get("text", "limit changed")) if entry.kind == "limit" else ""


def _rounds(desk: Desk, now: datetime) -> list[str]:
    lines = []
    for row in rounds_due(desk, now):
        due = f"{'OVERDUE since' if row.due_at < now else 'due'} {_clock(desk, row.due_at, now)}"
        last = f"last begun {_clock(desk, row.last_at, now)}" if row.last_at else "never walked"
        lines.append(f"- {row.name}: {due}, {last}{', being walked' if row.open_id else ''}.")
    return lines


def _notes(desk: Desk, ledger: Ledger) -> list[str]:
    notes = list(ledger.entries(kinds=["note"]))
    ended = {entry.body.get("ends") for entry in notes}
    standing = [e for e in notes if e.body.get("standing") and str(e.id) not in ended]
    return [
        f"- {e.tag + ': ' if e.tag else ''}{e.body['text']} "
        f"({e.who}, {desk.local(e.seen_at):%d %b %Y})"
        for e in standing
    ]


def _when(desk: Desk, moment: datetime) -> str:
    return f"{desk.local(moment):%a %d %b %Y %H:%M}"


def _clock(desk: Desk, moment: datetime, beside: datetime) -> str:
    """Write a time of day, with the date where it is another day than `beside`."""
    here = desk.local(moment)
    same = here.date() == desk.local(beside).date()
    return f"{here:%H:%M}" if same else f"{here:%a %d %b %H:%M}"
