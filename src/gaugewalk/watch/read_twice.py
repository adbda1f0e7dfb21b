"""Two people, one round, one point: both readings are kept, and both are told."""

from collections.abc import Mapping

from gaugewalk.journal.entry import Entry
from gaugewalk.journal.ledger import Ledger
from gaugewalk.watch.desk import Desk
from gaugewalk.watch.lookup import first_entry


def read_twice(desk: Desk, round_id: str, tag: str) -> Mapping[str, tuple[Entry, ...]]:
    """Return the points of a pump that were read more than once in a round.

    Parameters
    ----------
    desk : Desk
        The plant and its journal.
    round_id, tag : str
        Which round, at which pump.

    Returns
    -------
    mapping of str to tuple of Entry
        By point, every reading in it in the order in which they were seen; a corrected one as it
        was corrected. Points read once are left out.

    Raises
    ------
    NotFoundError
        There is no such round or pump.
    """
    desk.pump(tag)
    with desk.journal.reading() as ledger:
        begun = first_entry(ledger, round_id, "round", "begun", "round")
        return _doubles(ledger, round_id, tag, begun)


def _doubles(
    ledger: Ledger, round_id: str, tag: str, begun: Entry
) -> Mapping[str, tuple[Entry, ...]]:
    found: dict[str, list[Entry]] = {}
    for entry in ledger.history(tag, since=begun.seen_at, kinds=["reading"]):
        if entry.body.get("round") == round_id:
            found.setdefault(str(entry.point), []).append(entry)
    ordered = {point: sorted(rows, key=lambda e: e.seen_at) for point, rows in found.items()}
    return {point: tuple(rows) for point, rows in ordered.items() if len(rows) > 1}
