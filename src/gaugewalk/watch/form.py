"""In which form the projections are kept, and making them anew where another program kept them.

Projections follow from the entries, so that a new version may keep them as it likes: what an older
one left is thrown away and made again. The form is told from the fields of all that is kept.
"""

import hashlib
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import Any, get_args, get_type_hints

from gaugewalk.watch.board import Board
from gaugewalk.watch.care import Care
from gaugewalk.watch.changes import Changes
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.procedure_run import UnderWay
from gaugewalk.watch.rebuild import projector
from gaugewalk.watch.remembered import Remembered
from gaugewalk.watch.round_plan import Walked

KEPT = (Board, Remembered, Care, Walked, UnderWay, Changes)
MEANING = 1  # raised where the same fields come to mean something else


def form(kept: tuple[Any, ...] = KEPT, meaning: int = MEANING) -> str:
    """Return a short word for the fields of what is kept, all the way down."""
    told = "\n".join([str(meaning), *(line for one in kept for line in _told(one, set()))])
    return hashlib.sha256(told.encode()).hexdigest()[:16]


def _told(kind: Any, known: set[Any]) -> Iterator[str]:
    yield str(kind)
    for inner in get_args(kind):
        yield from _told(inner, known)
    if not is_dataclass(kind) or kind in known:
        return
    known.add(kind)
    hints = get_type_hints(kind)
    for one in fields(kind):
        yield one.name
        yield from _told(hints[one.name], known)


def is_kept(desk: Desk) -> bool:
    """Whether the projections are in the form of this program; a new journal takes it on."""
    with desk.journal.reading() as ledger:
        found, entries = ledger.form(), ledger.last_seq()
    if found == form():
        return True
    if entries == 0:
        with desk.journal.writing() as ledger:
            ledger.note_form(form())
        return True
    return False


def keep(desk: Desk) -> int:
    """Make the projections anew in the form of this program; return how many."""
    return desk.journal.rebuild(projector(desk), form=form())
