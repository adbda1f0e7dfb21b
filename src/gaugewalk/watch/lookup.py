"""Find an entry by the id that a door was given as text."""

from uuid import UUID

from gaugewalk.errors import NotFoundError
from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ledger import Ledger


def first_entry(ledger: Ledger, id_text: str, kind: str, step: str, word: str) -> Entry:
    """Return the entry with which a thing began: a trouble, a round, a follow-up.

    Raises
    ------
    NotFoundError
        No such thing ever began under that id.
    """
    try:
        id = UUID(id_text)
    except ValueError as error:
        raise NotFoundError(f"There is no {word} {id_text[:40]!r}.") from error
    entry = ledger.find([id]).get(id)
    if entry is None or entry.kind != kind or entry.body["step"] != step:
        raise NotFoundError(f"There is no {word} {id}.")
    return entry
