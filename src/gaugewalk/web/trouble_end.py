"""How a trouble ends: what it may be closed with, what it was, whether it had been before."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from gaugewalk.journal.entry import Entry
from gaugewalk.watch.telling import label_of, percent
from gaugewalk.watch.views import TroubleLine, TroubleView
from gaugewalk.web.shown import Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """A reading that is normal again, with which the trouble may be closed."""

    id: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Guess:
    """A cause to choose when a trouble is closed, the likeliest first."""

    id: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Ending:
    """What a closed trouble was."""

    cause: str
    cause_href: str  # in the book; empty where it is none of its causes
    cure: str
    proof: str
    words: str  # "closed 14:05 by R. Vale"


def guess_of(cause: Mapping[str, Any]) -> Guess:
    """Write a cause of the ranking as a choice."""
    return Guess(
        id=cause["cause"], words=f"{cause['title']}, {percent(float(cause['probability']))}"
    )


def link_of(line: TroubleLine, shown: Shown) -> tuple[str, str]:
    """Return words and address of an earlier trouble."""
    return f"Trouble of {shown.day(line.opened_at)}", f"/trouble/{line.id}"


def ending_of(view: TroubleView, shown: Shown, book: Mapping[str, str]) -> Ending | None:
    """Say what a closed trouble was, what cured it, and which reading showed it.

    `book` has the ids of the known causes by their titles.
    """
    if view.closed_at is None:
        return None
    closing = next((e for e in entries_of(view) if e.body["step"] == "closed"), None)
    body = closing.body if closing else {}
    cause_id = book.get(view.cause, "")
    by = f" by {closing.who}" if closing else ""
    proof = next((e for e in view.timeline if str(e.id) == body.get("proof")), None)
    return Ending(
        cause=view.cause,
        cause_href=f"/causes/{cause_id}" if cause_id else "",
        cure=view.cure,
        proof=_proof(proof, shown).words if proof else "",
        words=f"closed {shown.clock(view.closed_at)}{by}",
    )


def entries_of(view: TroubleView) -> list[Entry]:
    """Return the entries of the trouble itself: opened, worse, joined, closed."""
    mine = (entry for entry in view.timeline if entry.kind == "trouble")
    return [entry for entry in mine if entry.body["trouble"] == view.id]


def proofs_of(view: TroubleView, shown: Shown) -> tuple[Proof, ...]:
    """Return the newest normal reading of each point since it opened, its own points first."""
    newest: dict[str, Proof] = {}
    for entry in view.timeline:
        verdict = entry.body.get("verdict", {})
        if entry.seen_at <= view.opened_at or verdict.get("severity") != "normal":
            continue
        newest[str(entry.point)] = _proof(entry, shown)
    own = {str(entry.point) for entry in entries_of(view)}
    return tuple(newest[point] for point in sorted(newest, key=lambda one: one not in own))


def _proof(entry: Entry, shown: Shown) -> Proof:
    words = f"{label_of(entry.point)} {shown.entry(entry, entry.unit or '')}"
    return Proof(id=str(entry.id), words=f"{words}, {shown.clock(entry.seen_at)}")
